package text_test

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/lessons"
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
