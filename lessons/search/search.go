// Package search finds words in lessons and returns the sections that hold them,
// each with an excerpt in which formulas are formulas.
//
// Start with SectionsOf, once for each lesson, then Read a query and Find it.
// Lessons are searched as they are read, in the tree of their Markdown: marks, link
// addresses and the text of exercises are not found. A word also finds its other
// forms (twist, twisted) and what the trade says for the same thing (torsion).
package search

import (
	"cmp"
	"slices"
	"strings"

	"shaftbook/lessons"
	"shaftbook/lessons/markdown"
)

// QueryLimit is the greatest length of a query, in characters.
const QueryLimit = 100

const foundLimit = 50 // places shown

// A Section is a piece of a lesson under one heading.
type Section struct {
	Lesson  *lessons.Lesson
	ID      string // the heading's anchor; "" before the first
	Heading string
	Level   int // of the heading; 1 before the first
	Line    int // of the heading, from 1

	passages []passage
	heading  index
	all      index // heading and passages
}

// A passage is one block of text as it is read and as it is compared.
type passage struct {
	pieces []markdown.Piece
	index
}

// A Match is a section in which all words of a query are.
type Match struct {
	*Section
	Excerpt []Piece // whole words around the words that were looked for
}

// Path returns the address of the section.
func (m *Match) Path() string {
	if m.ID == "" {
		return lessons.Path(m.Lesson.Slug)
	}
	return lessons.Path(m.Lesson.Slug) + "#" + m.ID
}

// SectionsOf cuts a lesson at its headings.
func SectionsOf(l *lessons.Lesson) []Section { return sectionsOf(l, l.Passages()) }

// CoveredSectionsOf is SectionsOf without the numbers that a guess covers.
func CoveredSectionsOf(l *lessons.Lesson, c *lessons.Covering) []Section {
	return sectionsOf(l, c.Passages(l))
}

func sectionsOf(l *lessons.Lesson, passages []markdown.Passage) []Section {
	sections := []Section{{Lesson: l, Heading: l.Title, Level: 1, Line: 1}}
	for _, h := range l.Headings {
		sections = append(sections, Section{Lesson: l, ID: h.ID, Heading: h.Text, Level: h.Level, Line: h.Line})
	}
	for i := range sections {
		sections[i].heading = indexOf(sections[i].Heading)
		sections[i].all = sections[i].heading
	}
	for _, p := range passages {
		s := &sections[p.Heading]
		text := indexOf(p.Text())
		s.passages = append(s.passages, passage{p.Pieces, text})
		s.all.add(text)
	}
	return sections
}

// Find returns the sections in which all words of a query are. Those of a lesson that has
// them in its title come first, then those that hold them in their heading, then those
// that hold the very words, then other forms of them, then other words for the same thing.
// Of those that are alike, the ones of the lesson that speaks of it in more sections come
// first; else they stand in the order of the lessons.
func Find(sections []Section, q Query) []Match {
	type ranked struct {
		*Section
		rank     int
		untitled int // 0 of a lesson with the words in its title, else 1
	}
	var found []ranked
	many := map[*lessons.Lesson]int{}
	for i := range sections {
		s := &sections[i]
		rank, ok := s.rank(q)
		if !ok {
			continue
		}
		f := ranked{s, rank, 1}
		if title := indexOf(s.Lesson.Title); q.isIn(&title) {
			f.untitled = 0
		}
		found = append(found, f)
		many[s.Lesson]++
	}
	slices.SortStableFunc(found, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.untitled, b.untitled), cmp.Compare(a.rank, b.rank), cmp.Compare(many[b.Lesson], many[a.Lesson]))
	})
	matches := make([]Match, 0, min(len(found), foundLimit))
	for _, s := range found[:cap(matches)] {
		matches = append(matches, Match{s.Section, s.excerpt(q)})
	}
	return matches
}

// isIn reports whether a text has all words of the query, in any form.
func (q Query) isIn(x *index) bool {
	rank, ok := q.rankIn(x)
	return ok && rank <= int(form)
}

// Again returns a match as it is in other sections of its lesson, those in which less is
// covered; unchanged if these have no such section.
func (m Match) Again(sections []Section, q Query) Match {
	for i := range sections {
		if s := &sections[i]; s.ID == m.ID && s.Lesson == m.Lesson {
			return Match{s, s.excerpt(q)}
		}
	}
	return m
}

// HasCovered reports whether a number in the excerpt is covered.
func (m Match) HasCovered() bool {
	return slices.ContainsFunc(m.Excerpt, func(p Piece) bool { return strings.Contains(p.Text, markdown.CoveredWords) })
}

// rank says how far the section is from the very words of the query, 0 being best.
func (s *Section) rank(q Query) (rank int, ok bool) {
	for _, t := range q.terms {
		in, ok := t.in(&s.all)
		if !ok {
			return 0, false
		}
		if heading, ok := t.in(&s.heading); !ok || heading > in {
			in++
		}
		rank += int(in)
	}
	return rank, len(q.terms) > 0
}

// excerpt cuts a piece out of the passage that holds most of the words, the first
// of those that hold as many.
func (s *Section) excerpt(q Query) []Piece {
	var best *passage
	most := -1
	for i := range s.passages {
		n := 0
		for _, t := range q.terms {
			if near, ok := t.in(&s.passages[i].index); ok {
				n += int(farthest - near)
			}
		}
		if n > most {
			best, most = &s.passages[i], n
		}
	}
	if best == nil {
		return nil
	}
	return excerpt(best.pieces, q)
}
