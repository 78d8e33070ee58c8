package search

import (
	"slices"
	"strings"
	"testing"

	"shaftbook/lessons"
	"shaftbook/lessons/markdown"
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

More of the quill, and of numbers.

` + "```calc\nL = 2 m  # near the gear\n```\n"

func sections(t *testing.T) []Section {
	t.Helper()
	l, _ := lessons.Parse("quill.md", []byte(mill))
	return SectionsOf(l)
}

func plain(pieces []Piece) string {
	var b strings.Builder
	for _, p := range pieces {
		b.WriteString(p.Text)
	}
	return b.String()
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
		{"a heading alone", "last", "quill#last", "More of the quill, and of numbers."},
		{"front matter", "minutes", "", ""},
		{"another form", "turning", "quill", "The quill turns"},
		{"the singular of a plural", "bearings", "quill", "bearing of bronze"},
		{"another word of the trade", "moment", "quill#numbers", "The torque is"},
		{"a phrase for a word", "torque per length", "", ""},
		{"both words of a phrase", "guess moment", "quill#numbers", "a guess"},
		{"a word beside one that is nowhere", "torque elephant", "", ""},
		{"a comment of a cell", "near the gear", "quill#last", "L = 2 m (near the gear)"},
		{"the heading before the text", "numbers", "quill#numbers quill#last", ""},
		{"nothing", " ", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Find(s, Read(c.query))
			var paths []string
			for _, m := range found {
				paths = append(paths, strings.TrimPrefix(m.Path(), lessons.Path("")))
			}
			if got := strings.Join(paths, " "); got != c.paths {
				t.Fatalf("found %q, want %q", got, c.paths)
			}
			if len(found) > 0 && !strings.Contains(plain(found[0].Excerpt), c.excerpt) {
				t.Errorf("excerpt %q, want %q", plain(found[0].Excerpt), c.excerpt)
			}
		})
	}
}

func TestExcerptIsShort(t *testing.T) {
	long := strings.Repeat("word ", 100) + "needle " + strings.Repeat("word ", 100)
	got := plain(excerpt([]markdown.Piece{{Text: long}}, Read("needle")))
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
		found := Find(all, Read(query))
		if len(found) == 0 {
			t.Errorf("%s: nothing found", query)
		}
		for _, m := range found {
			for _, mark := range []string{`\`, "mathrm", "frac{", "text{", "{", "cdot"} {
				if text := plain(m.Excerpt); strings.Contains(text, mark) {
					t.Errorf("%s: %q in %q", query, mark, text)
				}
			}
		}
	}
}

func TestExcerptsMarkWhatWasLookedFor(t *testing.T) {
	const sentence = "So (the angle) of a twisted bar, "
	for _, c := range []struct{ name, query, marked string }{
		{"a word", "bar", "bar,"},
		{"a form", "twisting", "twisted"},
		{"another word", "torsion", "twisted"},
		{"a word in brackets", "angle", "angle)"},
		{"a formula", "theta", "θ"},
		{"nothing", "x", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var marked []string
			pieces := excerpt([]markdown.Piece{{Text: sentence}, {Text: "θ", Markup: "<math></math>"}, {Text: "."}}, Read(c.query))
			for _, p := range pieces {
				if p.Found {
					marked = append(marked, p.Text)
				}
			}
			if got := strings.Trim(strings.Join(marked, ""), "."); got != c.marked {
				t.Errorf("marked %q, want %q in %q", got, c.marked, plain(pieces))
			}
			if got := plain(pieces); got != sentence+"θ." {
				t.Errorf("excerpt %q", got)
			}
		})
	}
}

// The lesson that is about a thing comes before those that mention it.
func TestTheLessonAboutItComesFirst(t *testing.T) {
	catalog, faults := lessons.Load(text.Files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var all []Section
	for _, l := range catalog.Lessons {
		all = append(all, SectionsOf(l)...)
	}
	for query, want := range map[string]string{"yield": "beyond-yield", "gear ratio": "the-drive-line", "thin walls": "thin-walls"} {
		found := Find(all, Read(query))
		if len(found) == 0 || found[0].Lesson.Slug != want {
			t.Errorf("%s: first %v, want %s", query, found[0].Lesson.Slug, want)
		}
	}
	if terms := FindTerms(catalog.Reference.Terms, Read("gear ratio")); len(terms) == 0 || terms[0].Word != "gear ratio" {
		t.Errorf("gear ratio in the glossary: %v", terms)
	}
}

// Words of the trade lead somewhere, whichever of them the lessons use.
func TestWordsOfTheTradeLeadSomewhere(t *testing.T) {
	catalog, faults := lessons.Load(text.Files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var all []Section
	for _, l := range catalog.Lessons {
		all = append(all, SectionsOf(l)...)
	}
	for _, group := range synonyms {
		for _, word := range group {
			if len(Find(all, Read(word))) == 0 {
				t.Errorf("%s: nothing found", word)
			}
		}
	}
}

// Each phrase belongs to the group that it is listed in, so that none is out of reach
// behind another; only “twist” and the like may be the plain word of two.
func TestEveryPhraseOfTheTableIsReached(t *testing.T) {
	for _, group := range synonyms {
		reached := false
		for _, text := range group {
			q := Read(text)
			if len(q.terms) != 1 {
				t.Errorf("%s is read as %d terms", text, len(q.terms))
			}
			reached = reached || slices.ContainsFunc(group, func(other string) bool { return slices.Contains(q.Also, other) })
		}
		if !reached {
			t.Errorf("no word leads to %q", group)
		}
	}
}

// From the test data of the stemmer's author (snowballstem.org, English, vocabulary
// and output; from memory).
func TestStems(t *testing.T) {
	for _, c := range []struct{ word, stem string }{
		{"consistently", "consist"}, {"knightly", "knight"}, {"consolations", "consol"}, {"kneeling", "kneel"},
	} {
		if got := stemsOf([]string{c.word})[0]; got != c.stem {
			t.Errorf("%s: %s, want %s", c.word, got, c.stem)
		}
	}
}
