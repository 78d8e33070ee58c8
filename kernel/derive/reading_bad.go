package derive

import (
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// withNames reads a line again that can be read in several ways, with the symbols of units that
// are names above it as these names: in 1/2 T θ the half of T·θ is meant where T is
// given. ok is false if it cannot be read so either.
func (r *reader) withNames(l notation.DeriveLine, list source.List) (again notation.DeriveLine, parsed source.List, ok bool) {
	if _, bad := l.(*notation.DeriveBad); !bad || !l.Span().IsValid() {
		return nil, nil, false
	}
	at := lineOf(l)
	asks := func(d source.Diagnostic) bool {
		return d.Code == notation.TwoReadings && at.Start <= d.Span.Start && d.Span.End <= at.End
	}
	if !slices.ContainsFunc(list, asks) {
		return nil, nil, false
	}
	scope := r.judge.scope
	names := map[string]bool{}
	for ident := range scope.symbols {
		names[ident] = true
	}
	whole := &notation.DeriveBad{}
	whole.At = at
	again, parsed = notation.RereadDeriveLine(whole, notation.Choice{Names: names})
	if _, bad := again.(*notation.DeriveBad); bad || parsed.HasErrors() {
		return nil, nil, false
	}
	if _, known := r.typeOf(again); !known {
		return nil, nil, false
	}
	return again, parsed, true
}

// lineOf returns the place of a line up to the end of the line of text.
func lineOf(l notation.DeriveLine) source.Span {
	at := l.Span()
	if n := strings.IndexByte(at.Text.Content[at.Start:], '\n'); n >= 0 {
		at.End = max(at.End, at.Start+n)
	} else {
		at.End = len(at.Text.Content)
	}
	return at
}
