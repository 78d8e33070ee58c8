package class

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite golden files")

// deadlines are invented: one plain, one with an extension, one withdrawn, one
// that is never due.
func deadlines(t testing.TB) []Deadline {
	const zone = "Europe/Oslo"
	quill := Assignment{
		ID: "QUILL0000001", Title: "The tapered quill; by segments, then by the integral", Lesson: "taper", Zone: zone,
		Due: timeIn(t, "2026-11-25 23:59:00", zone), Closes: timeIn(t, "2026-11-28 23:59:00", zone),
		Revision: 2, ChangedAt: timeIn(t, "2026-11-10 08:30:00", zone),
	}
	shaft := quill
	shaft.ID, shaft.Title, shaft.Revision = "LAYSHAFT0001", "Der abgestufte Vorgelegewellenstrang mit ungewöhnlich langem Namen", 0
	shaft.Due, shaft.Closes = timeIn(t, "2026-10-25 02:30:00", zone), time.Time{}
	gone := quill
	gone.ID, gone.Title, gone.Withdrawn, gone.Revision = "WHEEL0000001", `Wheel shaft, θ \ TL/(JG)`, true, 5
	never := quill
	never.ID, never.Due, never.Closes = "NEVERDUE0001", time.Time{}, time.Time{}
	return []Deadline{
		{Assignment: quill, Class: "Mill 1", Address: "https://mill.example/lesson/taper~QUILL0000001"},
		{Assignment: shaft, Class: "Mill 1", Extension: &Extension{
			Due: timeIn(t, "2026-10-27 12:00:00", zone), At: timeIn(t, "2026-11-11 09:00:00", zone)}},
		{Assignment: gone, Class: "Mill 1"},
		{Assignment: never, Class: "Mill 1"},
	}
}

func TestCalendarGolden(t *testing.T) {
	for _, c := range []struct {
		name string
		list []Deadline
	}{{"calendar-empty", nil}, {"calendar", deadlines(t)}} {
		t.Run(c.name, func(t *testing.T) {
			file, got := filepath.Join("testdata", c.name+".ics"), Calendar("Student 01, deadlines", c.list)
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if string(got) != string(want) {
				t.Errorf("differs from %s; got\n%s", file, got)
			}
		})
	}
}

// unfold takes a calendar's lines apart as RFC 5545, section 3.1, requires of a reader
// does: a line end and one space or tab after it are removed.
func unfold(s string) []string {
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n ", ""), "\r\n\t", "")
	return strings.Split(strings.TrimSuffix(s, "\r\n"), "\r\n")
}

// unescape reads a TEXT value, written from the grammar of section 3.3.11 apart
// from escapeText.
func unescape(s string) string {
	return strings.NewReplacer(`\\`, `\`, `\;`, ";", `\,`, ",", `\n`, "\n", `\N`, "\n").Replace(s)
}

func checkFolding(t interface{ Fatalf(string, ...any) }, folded string) {
	if !utf8.ValidString(folded) {
		t.Fatalf("not UTF-8: %q", folded)
	}
	for line := range strings.SplitSeq(strings.TrimSuffix(folded, "\r\n"), "\r\n") {
		if len(line) > 75 {
			t.Fatalf("%d octets in %q", len(line), line)
		}
		if !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
			t.Fatalf("a line is cut wrongly: %q", line)
		}
	}
}

func TestFoldingUnfolds(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		value := rapid.StringOf(rapid.RuneFrom([]rune("aB θ🜂é;,\\\n\t"))).Draw(r, "value")
		var c calendar
		c.line("SUMMARY", escapeText(value))
		checkFolding(r, c.b.String())
		got := unfold(c.b.String())
		if len(got) != 1 || unescape(strings.TrimPrefix(got[0], "SUMMARY:")) != value {
			r.Fatalf("%q came back as %q", value, got)
		}
	})
}

func FuzzCalendar(f *testing.F) {
	f.Add("The tapered quill", "Mill 1")
	f.Add(strings.Repeat("θ", 60), "a\r\nBEGIN:VEVENT\r\nb")
	f.Add("\xff\x00\x7f", "")
	due := timeIn(f, "2026-11-25 23:59:00", "UTC")
	f.Fuzz(func(t *testing.T, title, class string) {
		out := string(Calendar(class, []Deadline{{Assignment: Assignment{ID: "A", Title: title, Due: due}, Class: class}}))
		checkFolding(t, out)
		events := 0
		for _, line := range unfold(out) {
			if name, _, ok := strings.Cut(line, ":"); !ok || strings.ToUpper(name) != name {
				t.Fatalf("%q is no content line", line)
			}
			if line == "BEGIN:VEVENT" {
				events++
			}
		}
		if events != 1 {
			t.Fatalf("%d events for one assignment", events)
		}
	})
}
