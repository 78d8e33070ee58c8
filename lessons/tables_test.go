package lessons_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
	"shaftbook/lessons/search"
)

const tableLesson = "---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\n---\n\n```guess how\nask: How much?\nanswer: θ\nunit: deg\ncovers: [θ]\n```\n\n```calc\nT = 300 N·m\nθ = T·(0.8 m)/(79 GPa·π/32·(40 mm)^4) in deg to 3 figures\n```\n\n" +
	"| Bar | Twist | Why |\n| --- | ---: | :---: |\n| solid, *round* | 0.693 deg | $GJ$ |\n| tubular | 7.5 deg | half the `wall` |\n"

// TestTablesAreText wants the words of a table found by a search, its numbers checked
// against the cells, and covered by a guess, as those of a paragraph are.
func TestTablesAreText(t *testing.T) {
	catalog, found := lessons.Load(fstest.MapFS{"a.md": {Data: []byte(tableLesson)}})
	if len(found) > 0 {
		t.Fatal(found[0].List)
	}
	l := catalog.Lessons[0]
	list, err := lessons.Check(t.Context(), l, false)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 1 || list[0].Code != lessons.CodeProse || list[0].Span.Content() != "7.5 deg" {
		t.Errorf("found %v, want the 7.5 deg that no cell gives", list)
	}
	covering, _, err := l.Covering(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(covering.Numbers) != 1 || l.Text.Content[covering.Numbers[0].Start:covering.Numbers[0].End] != "0.693 deg" {
		t.Errorf("covered: %v", covering.Numbers)
	}
	var rows []string
	for _, p := range covering.Passages(l) {
		if text := p.Text(); strings.Contains(text, " · ") && !strings.Contains(text, "=") {
			rows = append(rows, text)
		}
	}
	want := []string{"Bar · Twist · Why", "solid, round · (covered until you guess) · GJ", "tubular · 7.5 deg · half the wall"}
	if strings.Join(rows, "\n") != strings.Join(want, "\n") {
		t.Errorf("the rows are\n%s\nwant\n%s", strings.Join(rows, "\n"), strings.Join(want, "\n"))
	}
	if matches := search.Find(search.CoveredSectionsOf(l, covering), search.Read("tubular wall")); len(matches) != 1 {
		t.Errorf("a search finds %d sections", len(matches))
	}
}

// A table of few letters and millions of cells stays text, and the page says so.
func TestTooLargeATable(t *testing.T) {
	for _, c := range []struct {
		name          string
		columns, rows int
		large         bool
	}{
		{"as large as may be", 100, 98, false},
		{"one row more", 100, 99, true},
		{"many columns, many short rows", 10_000, 25_000, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := "|" + strings.Repeat("a|", c.columns) + "\n|" + strings.Repeat("-|", c.columns) + "\n" + strings.Repeat("|x\n", c.rows)
			_, list := lessons.Parse("page.md", []byte(text))
			large := 0
			for _, d := range list {
				if strings.Contains(d.Message, "is the most") {
					large++
				}
			}
			if large != 0 != c.large || large > 1 {
				t.Errorf("%d messages that it is too large: %v", large, list)
			}
		})
	}
}
