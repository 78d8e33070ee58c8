package text_test

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/lessons"
	"shaftbook/lessons/template"
)

// TestTemplate checks the lesson that authors start from.
func TestTemplate(t *testing.T) {
	s, found := lessons.Load(os.DirFS("../template"))
	for _, f := range found {
		for _, d := range f.List {
			t.Errorf("%s: %s", f.Name, d.Render())
		}
	}
	if len(s.Lessons) != 1 {
		t.Fatalf("%d templates", len(s.Lessons))
	}
	list, err := lessons.Check(t.Context(), s.Lessons[0], true)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range list {
		t.Error(d.Render())
	}
}

// TestGuideExamples puts each example of the guide into the new lesson and checks it.
func TestGuideExamples(t *testing.T) {
	part := section(t, "## An example of each\n", "\n## Before a class")
	examples := regexp.MustCompile("(?s)````markdown\n(```(guess|exercise) ([a-z-]+)\n.*?\n```\n)````").FindAllStringSubmatch(part, -1)
	kinds := map[string]bool{}
	for _, m := range examples {
		block, kind, name := m[1], m[2], m[3]
		for _, key := range []string{"kind: pick", "kind: order", "kind: sketch", "kind: formula", "kind: line", "structures:", "hints:", "slips:", "solution:", "says:", "bounds:", "ask:\n  - name:", "= ?"} {
			if strings.Contains(block, key) {
				kinds[kind+" "+key] = true
			}
		}
		t.Run(name, func(t *testing.T) {
			place := "## The shaft drawn\n"
			if kind == "exercise" {
				place = "## Summary\n"
			}
			page := template.Lesson("A", 1)
			if !strings.Contains(page, place) {
				t.Fatalf("the new lesson has no %q", place)
			}
			l, list := lessons.Parse("a.md", []byte(strings.Replace(page, place, block+"\n"+place, 1)))
			found, err := lessons.Check(t.Context(), l, true)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range append(list, found...) {
				t.Error(d.Render())
			}
		})
	}
	for _, want := range []string{"guess kind: pick", "guess kind: order", "guess kind: sketch", "exercise kind: pick", "exercise kind: formula", "exercise kind: line", "exercise structures:",
		"exercise hints:", "exercise slips:", "exercise solution:", "exercise bounds:", "exercise ask:\n  - name:", "exercise = ?"} {
		if !kinds[want] {
			t.Errorf("the guide has no example of %q", want)
		}
	}
}

// TestGuideTables reads the table of the guide, and finds it in the page as one.
func TestGuideTables(t *testing.T) {
	table := section(t, "```markdown\n| section", "```")
	l, list := lessons.Parse("a.md", []byte(template.Lesson("A", 1)+"\n| section"+table))
	for _, d := range list {
		t.Error(d.Render())
	}
	var page strings.Builder
	if err := lessons.Render(&page, l, lessons.Hooks{}); err != nil || !strings.Contains(page.String(), `aria-label="Table: section, J, twist against the round bar"`) {
		t.Errorf("%v\n%s", err, page.String())
	}
}

func guide(t *testing.T) string {
	t.Helper()
	content, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// section returns the text from one phrase to another.
func section(t *testing.T, from, to string) string {
	t.Helper()
	_, rest, ok := strings.Cut(guide(t), from)
	part, _, okTo := strings.Cut(rest, to)
	if !ok || !okTo {
		t.Fatalf("the guide has no part from %q to %q", from, to)
	}
	return part
}

// TestGuideTeX typesets every command that the author's guide promises.
func TestGuideTeX(t *testing.T) {
	list := section(t, "These commands can be used.", "`^12` raises")
	arguments := section(t, "- with arguments in braces:", "- brackets:")
	commands := regexp.MustCompile(`\\(?:[A-Za-z]+|[,;:!{}%$])`).FindAllString(list, -1)
	if len(commands) < 100 {
		t.Fatalf("only %d commands were found", len(commands))
	}
	for _, c := range commands {
		tex := c
		switch {
		case c == `\left` || c == `\right`:
			tex = `\left( x \right)`
		case c == `\{` || c == `\}`:
			tex = `\left\{ x \right\}`
		case c == `\frac` || c == `\dfrac` || c == `\tfrac` || c == `\overset` || c == `\underset`:
			tex = c + "{a}{b}"
		case strings.Contains(arguments, c) && c != `\in`:
			tex = c + "{a}"
		}
		page := "---\ntitle: T\norder: 1\nsummary: S\nminutes: 15\n---\n\nText $" + tex + "$ text.\n"
		if _, found := lessons.Parse("t.md", []byte(page)); len(found) > 0 {
			t.Errorf("%s: %s", c, found[0].Message)
		}
	}
}

// TestGuideSlips finds every slip of the catalogue in the author's guide, and
// no other.
func TestGuideSlips(t *testing.T) {
	part := section(t, "usual\nletters (`T`, `d_0`, `D`, `L`, `G`):", "A slip of your own")
	var named []string
	for _, m := range regexp.MustCompile("`([a-z]+(?:-[a-z]+)*)`").FindAllStringSubmatch(part, -1) {
		named = append(named, m[1])
	}
	slices.Sort(named)
	for _, name := range marking.Catalogue() {
		if !slices.Contains(named, name) {
			t.Errorf("the guide does not name %s", name)
		}
	}
	for _, name := range named {
		if !slices.Contains(marking.Catalogue(), name) {
			t.Errorf("the guide names %s, which is not in the catalogue", name)
		}
	}
}
