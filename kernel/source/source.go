// Package source holds the places in a text and the messages about them: the
// one form in which every stage of the kernel reports trouble. A stage returns
// its result together with a List; it never stops at the first error.
//
// Offsets are bytes into the text of one cell. Lines and columns are worked
// out late, for people, and count from 1; columns count characters (code
// points), since that is what a reader counts.
package source

import (
	"strings"
	"unicode/utf8"
)

// A Text is one piece of text that a person wrote: a cell of a lesson, an
// answer, a line of a derivation. Spans point into it and compare by pointer.
type Text struct {
	Name      string // what to call it in messages, for example "cell 3"; may be empty
	Content   string // the text, UTF-8
	FirstLine int    // line number of its first line in the file it came from, from 1; 0 means 1
}

// NewText returns a text that starts at line 1.
func NewText(name, content string) *Text {
	return &Text{Name: name, Content: content, FirstLine: 1}
}

// A Span is the half-open range of bytes [Start, End) in a text. The zero Span
// is "no place".
type Span struct {
	Text       *Text
	Start, End int
}

// IsValid reports whether the span points into a text.
func (s Span) IsValid() bool { return s.Text != nil }

// Content returns the piece of text the span covers, "" for no place.
func (s Span) Content() string {
	if s.Text == nil {
		return ""
	}
	start, end := clamp(s.Start, len(s.Text.Content)), clamp(s.End, len(s.Text.Content))
	if end < start {
		return ""
	}
	return s.Text.Content[start:end]
}

// To returns the span from the start of s to the end of t; both lie in one text.
func (s Span) To(t Span) Span {
	if !s.IsValid() {
		return t
	}
	if !t.IsValid() {
		return s
	}
	return Span{Text: s.Text, Start: min(s.Start, t.Start), End: max(s.End, t.End)}
}

// A Position is a place as a person counts it: line and column from 1, length
// in characters. Line is the line of the file the text came from.
type Position struct {
	Line, Column, Length int
}

// Position resolves the start of the span. The length stops at the end of the
// line on which the span starts, and is at least 1 so that a caret has room.
func (s Span) Position() Position {
	if s.Text == nil {
		return Position{}
	}
	content := s.Text.Content
	start := clamp(s.Start, len(content))
	lineStart := strings.LastIndexByte(content[:start], '\n') + 1
	line := strings.Count(content[:start], "\n") + max(s.Text.FirstLine, 1)
	end := max(clamp(s.End, len(content)), start)
	if i := strings.IndexByte(content[start:end], '\n'); i >= 0 {
		end = start + i
	}
	return Position{
		Line:   line,
		Column: utf8.RuneCountInString(content[lineStart:start]) + 1,
		Length: max(utf8.RuneCountInString(content[start:end]), 1),
	}
}

// Line returns the whole line of text on which the span starts, without its
// line end.
func (s Span) Line() string {
	if s.Text == nil {
		return ""
	}
	content := s.Text.Content
	start := clamp(s.Start, len(content))
	from := strings.LastIndexByte(content[:start], '\n') + 1
	to := len(content)
	if i := strings.IndexByte(content[start:], '\n'); i >= 0 {
		to = start + i
	}
	return strings.TrimSuffix(content[from:to], "\r")
}

func clamp(n, limit int) int { return min(max(n, 0), limit) }
