package lessons

import (
	"bytes"
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/lessons/text"
)

var bitsFile = flag.String("bits", "", "write the bits of all values of the built-in lessons to this file")

const bitsGolden = "testdata/bits.golden"

// TestBits holds "same text, same bits": a lesson whose text is the same as when
// the golden file was written has the same values, to the last bit, and the same
// drawings. A lesson with another text is passed over until -update. The script
// .ci/machines compares the values of several machines.
func TestBits(t *testing.T) {
	golden := map[string][]string{}
	if content, err := os.ReadFile(bitsGolden); err == nil {
		for line := range strings.Lines(string(content)) {
			f := strings.Fields(line)
			golden[f[0]] = f[1:]
		}
	}
	catalog, _ := Load(text.Files)
	now := map[string]string{}
	var all bytes.Buffer
	for _, l := range catalog.Lessons {
		var values bytes.Buffer
		rows := writeBits(t, &values, l)
		now[l.Slug] = fmt.Sprintf("text:%.16x rows:%d bits:%.16x", sha256.Sum256([]byte(l.Text.Content)), rows, sha256.Sum256(values.Bytes()))
		all.Write(values.Bytes())
		want, got := golden[l.Slug], strings.Fields(now[l.Slug])
		if *update || len(want) != 3 || want[0] != got[0] {
			continue
		}
		if want[1] != got[1] || want[2] != got[2] {
			t.Errorf("%s: the text is the same, its values are not: %v, %s has %v; look at them with -bits FILE before and after your change, then run with -update", l.Slug, got, bitsGolden, want)
		}
	}
	if *bitsFile != "" {
		if err := os.WriteFile(*bitsFile, all.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if *update {
		var b strings.Builder
		for _, slug := range slices.Sorted(maps.Keys(now)) {
			fmt.Fprintf(&b, "%s %s\n", slug, now[slug])
		}
		if err := os.WriteFile(bitsGolden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// writeBits writes every result of a lesson, a line each, and returns how many.
func writeBits(t *testing.T, w io.Writer, l *Lesson) (rows int) {
	t.Helper()
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(l.working)
	if err := working.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	for _, cell := range l.working {
		for _, r := range working.Results(cell.ID) {
			rows++
			fmt.Fprintf(w, "%s %s %d %s %q", l.Slug, cell.ID, r.Index, r.Name, r.Text)
			if v := r.Value; v != nil {
				fmt.Fprintf(w, " %x [%x, %x] ±%x %v", v.Number, v.Low, v.High, v.ErrorEstimate, v.Truth)
			}
			if c, ok := r.Certainty(); ok {
				fmt.Fprintf(w, " certain %v [%x, %x]", c.Certain, c.Low, c.High)
			}
			if r.Verdict != nil {
				fmt.Fprintf(w, " %v %q", r.Verdict.Holds, r.Verdict.Margin)
			}
			if r.Table != nil {
				fmt.Fprintf(w, " %x", r.Table.Numbers)
			}
			if r.Figure != nil {
				svg, err := r.Figure.SVG(figure.Options{ID: "f"})
				if err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(w, " svg:%.16x", sha256.Sum256(svg))
			}
			if d := r.Diagnostics.FirstError(); d != nil {
				fmt.Fprintf(w, " %s", d.Message)
			}
			fmt.Fprintln(w)
		}
	}
	return rows
}
