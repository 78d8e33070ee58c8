package working

import (
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

// A toleranceSource is a name whose bracket is written out, as in d = 36 mm ± 0.1 mm:
// one of the tolerances that another bracket is made of.
type toleranceSource struct {
	it             *item
	low, mid, high notation.Expr   // formulas of plain numbers, with the names of the working
	written        []notation.Expr // the two numbers
}

// text returns the tolerance as it is written, or, if it is written with names, what it
// comes to.
func (t *toleranceSource) text() string {
	written := true
	for _, x := range t.written {
		_, is := literalText(notation.Unparen(x))
		written = written && is
	}
	if !written && t.it.result.Text != "" {
		return t.it.defines + " " + t.it.result.Text
	}
	return typeset.Plain(t.it.node)
}

// A sourceSearch finds the tolerances behind an expression.
type sourceSearch struct {
	e       *evaluation
	at      notation.Expr // what is asked about, for messages
	sources []toleranceSource
	users   []*item // that lie between, each behind what it needs
	seen    map[*item]bool
	ok      bool
}

// toleranceSources returns the tolerances behind an expression and what lies between,
// in the order of evaluation. Trouble goes to the evaluation's result.
func (e *evaluation) toleranceSources(x notation.Expr) (*sourceSearch, bool) {
	s := &sourceSearch{e: e, at: x, seen: map[*item]bool{}, ok: true}
	s.visit(x, false)
	return s, s.ok
}

func (s *sourceSearch) fail(repair, format string, args ...any) {
	if s.ok {
		s.e.fail(s.at.Span(), CodeTolerances, format, args...).Repair = repair
	}
	s.ok = false
}

// visit looks at an expression, or at the body of a function, and at what it uses.
func (s *sourceSearch) visit(x notation.Expr, inFunction bool) {
	notation.Inspect(x, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.PlusMinus, *notation.Between:
			s.fail("give it a name of its own, as in d = 36 mm ± 0.1 mm, and write the name here",
				"%s has no name, so that it cannot be told from the other tolerances", typeset.Plain(n))
		case *notation.Call:
			if isReaderOfBrackets(n.Fun.Ident) && (inFunction || s.usesBracket(n)) {
				s.fail("give it a name of its own, as in w = "+typeset.Plain(n), "%s is read from a bracket, which is one value here", typeset.Plain(n))
			}
		case *notation.Field:
			s.field(n)
		}
		return s.ok
	})
	for _, name := range notation.Uses(x) {
		if d := s.e.w.definers[name.Ident]; s.ok && len(d) > 0 && !s.seen[d[0]] {
			s.seen[d[0]] = true
			s.item(d[0])
		}
	}
}

func isReaderOfBrackets(name string) bool {
	switch name {
	case "low", "high", "mid", "width":
		return true
	}
	return false
}

func (s *sourceSearch) usesBracket(n notation.Node) bool {
	for _, name := range notation.Uses(n) {
		if d := s.e.w.definers[name.Ident]; len(d) > 0 && d[0].info.Type.Kind == check.Bracket {
			return true
		}
	}
	return false
}

// field refuses the brackets of a shaft, which has tolerances of its own.
func (s *sourceSearch) field(n *notation.Field) {
	d := s.e.w.definers[n.X.Ident]
	if len(d) == 0 {
		return
	}
	switch n.Field {
	case "length", "stress_at", "segments":
		return // numbers, those of the nominal shaft
	}
	if n.Field == "bracket" || d[0].info.Type.Kind == check.Bracket {
		s.fail("look at the table under the shaft "+n.X.Ident+", which has its tolerances, or write the formula out",
			"%s is a bracket of the shaft %s, whose tolerances are its own", typeset.Plain(n), n.X.Ident)
	}
}

func (s *sourceSearch) item(it *item) {
	switch n := it.node.(type) {
	case *notation.DefineFunc:
		s.visit(n.Body, true)
	case *notation.Define:
		if it.info.Type.Kind != check.Bracket {
			return // one value, whatever it was read from
		}
		if t, is := writtenTolerance(n.Expr); is {
			t.it = it
			if s.usesBracket(t.mid) || s.usesBracket(t.low) {
				s.fail("write both numbers of "+n.Name.Ident+" out", "the tolerance of %s is written in terms of another bracket", n.Name.Ident)
				return
			}
			s.sources = append(s.sources, t)
			return
		}
		s.visit(n.Expr, false)
		s.users = append(s.users, it)
	}
}

// writtenTolerance returns the ends and the middle of a bracket that is written out.
func writtenTolerance(x notation.Expr) (toleranceSource, bool) {
	switch b := notation.Unparen(x).(type) {
	case *notation.PlusMinus:
		half := &notation.Abs{X: b.Half}
		return toleranceSource{low: binary(notation.OpSub, b.Mid, half), mid: b.Mid, high: binary(notation.OpAdd, b.Mid, half), written: []notation.Expr{b.Mid, b.Half}}, true
	case *notation.Between:
		mid := binary(notation.OpDiv, &notation.Paren{X: binary(notation.OpAdd, b.Low, b.High)}, &notation.Number{Text: "2", Value: 2})
		return toleranceSource{low: b.Low, mid: mid, high: b.High, written: []notation.Expr{b.Low, b.High}}, true
	}
	return toleranceSource{}, false
}

func binary(op notation.Op, x, y notation.Expr) notation.Expr {
	b := &notation.Binary{Op: op, X: &notation.Paren{X: x}, Y: &notation.Paren{X: y}}
	b.At = x.Span()
	return b
}
