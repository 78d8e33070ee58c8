// Package search finds words in lessons and returns the sections that hold them,
// each with an excerpt.
//
// Start with SectionsOf, once for each lesson, then Find. Lessons are searched as
// they are read, in the tree of their Markdown: marks, link addresses and the text
// of exercises are not found.
package search

import (
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"shaftbook/lessons"
)

// QueryLimit is the greatest length of a query, in characters.
const QueryLimit = 100

const (
	foundLimit   = 50 // places shown
	excerptRunes = 130
)

// A Section is a piece of a lesson under one heading.
type Section struct {
	Lesson  *lessons.Lesson
	ID      string // the heading's anchor; "" before the first
	Heading string
	Level   int // of the heading; 1 before the first
	Line    int // of the heading, from 1

	passages []passage
	folded   string // heading and passages, for comparing
}

// A passage is one block of text as it is read and as it is compared.
type passage struct{ text, folded string }

// A Match is a section in which all words of a query are.
type Match struct {
	*Section
	Excerpt string // whole words around the words that were looked for
}

// Path returns the address of the section.
func (m *Match) Path() string {
	if m.ID == "" {
		return lessons.Path(m.Lesson.Slug)
	}
	return lessons.Path(m.Lesson.Slug) + "#" + m.ID
}

// SectionsOf cuts a lesson at its headings.
func SectionsOf(l *lessons.Lesson) []Section {
	sections := []Section{{Lesson: l, Heading: l.Title, Level: 1, Line: 1}}
	for _, h := range l.Headings {
		sections = append(sections, Section{Lesson: l, ID: h.ID, Heading: h.Text, Level: h.Level, Line: h.Line})
	}
	for i := range sections {
		sections[i].folded = fold(sections[i].Heading)
	}
	for _, p := range l.Passages() {
		s := &sections[p.Heading]
		folded := fold(p.Text)
		s.passages = append(s.passages, passage{p.Text, folded})
		s.folded += " " + folded
	}
	return sections
}

// fold makes texts comparable: no case, no marks on letters, and the Greek
// letters of the trade by their names, so that "theta" finds θ.
func fold(s string) string {
	s = greekNames.Replace(cases.Fold().String(norm.NFKD.String(s)))
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, s)
}

var greekNames = strings.NewReplacer("θ", "theta", "τ", "tau", "φ", "phi", "π", "pi", "γ", "gamma", "δ", "delta", "ω", "omega", "ν", "nu", "β", "beta", "σ", "sigma")

// Find returns the sections in which all words of a query are.
func Find(sections []Section, query string) []Match {
	words := strings.Fields(fold(query))
	var found []Match
	for i := range sections {
		s := &sections[i]
		if len(words) == 0 || len(found) == foundLimit || !hasAll(s.folded, words) {
			continue
		}
		found = append(found, Match{s, s.excerpt(words)})
	}
	return found
}

// excerpt cuts a piece out of the passage that holds most of the words, the first
// of those that hold as many.
func (s *Section) excerpt(words []string) string {
	best, most := "", -1
	for _, p := range s.passages {
		n := 0
		for _, w := range words {
			if strings.Contains(p.folded, w) {
				n++
			}
		}
		if n > most {
			best, most = p.text, n
		}
	}
	return excerpt(best, words)
}

func hasAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// excerpt cuts out whole words around the first of the words that is there.
func excerpt(text string, words []string) string {
	pieces := strings.Fields(text)
	at := 0
	for i, p := range pieces {
		if containsAny(fold(p), words) {
			at = i
			break
		}
	}
	from, n := at, 0
	for from > 0 && n < excerptRunes/3 {
		from--
		n += len([]rune(pieces[from])) + 1
	}
	to := from
	for n = 0; to < len(pieces) && n < excerptRunes; to++ {
		n += len([]rune(pieces[to])) + 1
	}
	out := strings.Join(pieces[from:to], " ")
	if from > 0 {
		out = "… " + out
	}
	if to < len(pieces) {
		out += " …"
	}
	return out
}

func containsAny(text string, words []string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}
