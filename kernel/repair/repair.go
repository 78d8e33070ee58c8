// Package repair decides which replacements are sure to mend what a message about a
// text is about, so that they can be offered as a button. A replacement is tried on
// the text, which its owner reads again: kernel/working the cells of a lesson,
// kernel/derive the lines of a derivation.
package repair

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

const mostRepairs = 8 // of the same kind that one line may need

// A Trial is the line that a message is about, read again with a repair made.
type Trial struct {
	Parsed  source.List // what reading the line drew
	IsRight func() bool // whether it is checked without an error in its place
}

// Proves reports whether a repair is sure to mend what a message is about. The line
// must then be read and checked without an error, if need be after more repairs of
// the same kind. read reads a text again; ok is false if anything beside the line
// has changed its meaning, or if no more may be read.
func Proves(d *source.Diagnostic, fix *source.Fix, read func(*source.Text) (t Trial, ok bool)) bool {
	if !meansOneThing(d.Code, fix) {
		return false
	}
	for range mostRepairs {
		trial, ok := read(Apply(fix.Span.Text, fix))
		if !ok {
			return false
		}
		next := trial.Parsed.FirstError()
		if next == nil {
			return !repeats(trial.Parsed, d) && trial.IsRight()
		}
		if next.Code != d.Code || next.Fix == nil || next.Span.Start < fix.Span.Start || !meansOneThing(next.Code, next.Fix) {
			return false
		}
		fix = next.Fix
	}
	return false
}

// meansOneThing refuses a repair where something else may have been meant: what is
// seen in a text was written for something, and what is missing may be another sign.
func meansOneThing(code source.Code, fix *source.Fix) bool {
	found := fix.Span.Content()
	switch {
	case fix.Text == "":
		return strings.TrimFunc(found, isFiller) == ""
	case code == notation.MissingMultiply:
		// Two factors a space apart, the second a name. Before a number or a bracket
		// any operator may have been left out, and between two spaces one was.
		next, _ := utf8.DecodeRuneInString(fix.Span.Text.Content[fix.Span.End:])
		return found == " " && unicode.IsLetter(next)
	case code == notation.ImplicitProduct:
		return joinsNames(found, fix.Text)
	case code == check.CodeUndefined && isBehindNumber(fix.Span):
		return false // a mistyped unit rather than a name
	case code == check.CodeUndefined && found == "d"+fix.Text:
		return false // a differential rather than a name
	case code == check.CodeNotFunction:
		return false // any operator may be missing before the bracket
	case code == notation.UnknownUnit && strings.HasPrefix(fix.Text, "·("):
		return true // the value of a unit that is not one here, by its full name
	case code == notation.UnknownUnit && strings.Contains(fix.Text, "·"):
		return slices.Contains(torques, fix.Text) && strings.ReplaceAll(fix.Text, "·", "") == found
	}
	return true
}

// joinsNames reports whether each · that a text has more than another stands before a
// name and in place of one space at most, which behind a bracket must be there; see
// meansOneThing.
func joinsNames(found, text string) bool {
	old, fresh := []rune(found), []rune(text)
	i := 0
	for j := 0; j < len(fresh); j++ {
		if fresh[j] != '·' || i < len(old) && old[i] == '·' {
			i++
			continue
		}
		spaces := 0
		for i < len(old) && unicode.IsSpace(old[i]) {
			spaces++
			i++
		}
		isBehindBracket := spaces == 0 && j > 0 && fresh[j-1] == ')'
		if spaces > 1 || isBehindBracket || j+1 == len(fresh) || !unicode.IsLetter(fresh[j+1]) {
			return false
		}
	}
	return true
}

// isBehindNumber reports whether a word follows a number with nothing but a space
// between.
func isBehindNumber(s source.Span) bool {
	before := strings.TrimRight(s.Text.Content[:s.Start], " ")
	last, _ := utf8.DecodeLastRuneInString(before)
	return unicode.IsDigit(last)
}

// torques are the units that people write without their dot.
var torques = []string{"N·m", "kN·m", "MN·m", "N·mm", "kN·mm", "lbf·in", "lbf·ft"}

// isFiller reports a character that means nothing where it is: marks between the
// digits of a number, and what cannot be seen.
func isFiller(r rune) bool {
	return strings.ContainsRune("_' ,;.\u00a0\u2009\u202f\u200b\u200c\u200d\ufeff\u00ad", r)
}

// Apply returns a text with a replacement made.
func Apply(t *source.Text, fix *source.Fix) *source.Text {
	start, end := fix.Span.Start, fix.Span.End
	return &source.Text{Name: t.Name, Content: t.Content[:start] + fix.Text + t.Content[end:], FirstLine: t.FirstLine}
}

// repeats reports whether a list still has a message of the same kind at its place.
func repeats(list source.List, d *source.Diagnostic) bool {
	return slices.ContainsFunc(list, func(again source.Diagnostic) bool {
		return again.Code == d.Code && again.Span.Start == d.Span.Start
	})
}
