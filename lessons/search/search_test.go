package search

import (
	"strings"
	"testing"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

const mill = `---
title: The quill
order: 1
summary: One shaft.
minutes: 5
---

The quill *turns* in a [bearing of bronze](wheel.md "hidden title").
It goes on here.

## Numbers

1. The **torque** is 420 N·m &mdash; a guess.
2. Escaped \*stars\*.

~~~text
## Not a heading
~~~

` + "```calc\nθ = 3 deg\n```\n\n```exercise end\ntitle: Secretword\nask: Twist\nanswer: 1\n```\n" + `
The angle is $\theta_{\text{end}}$ there.

$$
\tau = \frac{T r}{J}
$$

## Last

More of the quill.
`

func sections(t *testing.T) []Section {
	t.Helper()
	l, _ := lessons.Parse("quill.md", []byte(mill))
	return SectionsOf(l)
}

func TestSections(t *testing.T) {
	var got []string
	for _, s := range sections(t) {
		got = append(got, s.ID+" "+s.Heading)
	}
	if want := " The quill|numbers Numbers|last Last"; strings.Join(got, "|") != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestFind(t *testing.T) {
	s := sections(t)
	for _, c := range []struct {
		name, query string
		paths       string // of what is found
		excerpt     string // the first one holds it
	}{
		{"before the first heading", "turns", "quill", "The quill turns in a bearing of bronze."},
		{"across a line break", "bronze. it goes", "quill", "bronze. It goes on here."},
		{"the address of a link", "wheel.md", "", ""},
		{"the title of a link", "hidden", "", ""},
		{"the words of a link", "bearing", "quill", ""},
		{"an item of a list", "420 torque", "quill#numbers", "The torque is 420 N·m — a guess."},
		{"an escaped sign", "*stars*", "quill#numbers", "Escaped *stars*."},
		{"text in a fence", "not heading", "quill#numbers", "## Not a heading"},
		{"a cell", "3 deg", "quill#numbers", "θ = 3 deg"},
		{"an exercise", "secretword", "", ""},
		{"a formula in a sentence", "theta angle", "quill#numbers", "The angle is"},
		{"a formula of its own", "tau", "quill#numbers", "τ = Tr/J"},
		{"a name by its sound", "end angle", "quill#numbers", "The angle is θ_end there."},
		{"several sections", "quill", "quill quill#last", "The quill turns"},
		{"a heading alone", "last", "quill#last", "More of the quill."},
		{"front matter", "minutes", "", ""},
		{"nothing", " ", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Find(s, c.query)
			var paths []string
			for _, m := range found {
				paths = append(paths, strings.TrimPrefix(m.Path(), lessons.Path("")))
			}
			if got := strings.Join(paths, " "); got != c.paths {
				t.Fatalf("found %q, want %q", got, c.paths)
			}
			if len(found) > 0 && !strings.Contains(found[0].Excerpt, c.excerpt) {
				t.Errorf("excerpt %q, want %q", found[0].Excerpt, c.excerpt)
			}
		})
	}
}

func TestExcerptIsShort(t *testing.T) {
	long := strings.Repeat("word ", 100) + "needle " + strings.Repeat("word ", 100)
	got := excerpt(long, []string{"needle"})
	if n := len([]rune(got)); n > excerptRunes+20 || !strings.Contains(got, "needle") || !strings.HasPrefix(got, "… ") || !strings.HasSuffix(got, " …") {
		t.Errorf("%d characters: %q", n, got)
	}
}

// Excerpts of the built-in lessons show no marks of TeX.
func TestExcerptsShowFormulasAsText(t *testing.T) {
	catalog, faults := lessons.Load(text.Files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var all []Section
	for _, l := range catalog.Lessons {
		all = append(all, SectionsOf(l)...)
	}
	for _, query := range []string{"radian", "taper", "integral"} {
		found := Find(all, query)
		if len(found) == 0 {
			t.Errorf("%s: nothing found", query)
		}
		for _, m := range found {
			for _, mark := range []string{`\`, "mathrm", "frac{", "text{", "{", "cdot"} {
				if strings.Contains(m.Excerpt, mark) {
					t.Errorf("%s: %q in %q", query, mark, m.Excerpt)
				}
			}
		}
	}
}
