package class

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func written(list []Line) string {
	var b strings.Builder
	for _, l := range list {
		if l.Parted {
			b.WriteString("…")
		}
		fmt.Fprintf(&b, "%c%s|", l.Sign, l.Text)
	}
	return b.String()
}

func TestChanges(t *testing.T) {
	for _, c := range []struct{ name, before, after, want string }{
		{"nothing", "", "", ""},
		{"the same", "a\nb\n", "a\nb\n", ""},
		{"an end of line", "a\nb", "a\nb\n", ""},
		{"all new", "", "a\nb\n", "+a|+b|"},
		{"all gone", "a\nb\n", "", "-a|-b|"},
		{"one mended", "a\nb\nc\nd\ne\n", "a\nb\nX\nd\ne\n", "… b|-c|+X| d|"},
		{"two places", "a\nb\nc\nd\ne\nf\n", "X\nb\nc\nd\ne\nY\n", "-a|+X| b|… e|-f|+Y|"},
		{"one put in among the same", "a\na\na\n", "a\na\na\na\n", "… a|+a|"},
		{"moved", "a\nb\nc\n", "b\nc\na\n", "-a| b| c|+a|"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := written(Changes(c.before, c.after, 1)); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// With all lines kept, those that are not put in are the old text and those that
// are not taken out are the new one, each under its own number. No more lines
// differ than a table of the whole texts leaves.
func TestChangesHoldBothTexts(t *testing.T) {
	text := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", ""}), 0, 12)
	rapid.Check(t, func(r *rapid.T) {
		a, b := text.Draw(r, "before"), text.Draw(r, "after")
		list := Changes(strings.Join(a, "\n")+"\n", strings.Join(b, "\n")+"\n", 100)
		if len(list) == 0 {
			if strings.Join(a, "\n") != strings.Join(b, "\n") {
				r.Fatal("texts that differ are said to be the same")
			}
			return
		}
		// A text of no lines is written here as one empty line.
		if len(a) == 0 {
			a = []string{""}
		}
		if len(b) == 0 {
			b = []string{""}
		}
		old, fresh, differ := 0, 0, 0
		for _, l := range list {
			if l.Sign != '+' {
				if old++; l.Old != old || a[old-1] != l.Text {
					r.Fatalf("line %d of the old text is %+v", old, l)
				}
			}
			if l.Sign != '-' {
				if fresh++; l.New != fresh || b[fresh-1] != l.Text {
					r.Fatalf("line %d of the new text is %+v", fresh, l)
				}
			}
			if l.Sign != ' ' {
				differ++
			}
		}
		if most := len(a) + len(b) - 2*int(commonLengths(a, b)[0][0]); old != len(a) || fresh != len(b) || differ != most {
			r.Fatalf("%d old, %d new and %d different lines, want %d, %d, %d", old, fresh, differ, len(a), len(b), most)
		}
	})
}

// What is too long to compare is replaced as a whole.
func TestChangesOfLongTexts(t *testing.T) {
	long := func(word string) string { return strings.Repeat(word+"\n", 3000) }
	if got := Changes("same\n"+long("a"), "same\n"+long("b"), 0); len(got) != 6000 {
		t.Errorf("%d lines, want 6000", len(got))
	}
}
