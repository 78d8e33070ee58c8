package marking

import (
	"context"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// doubts returns the ways to mean a value that was read, where more than one is
// sensible and none is written: an angle without its unit, the number of degrees in
// a sine, a number of per cent without the sign. What is asked decides whether there
// is a doubt, and never what is right.
func (m *Marker) doubts(t *typed) []spelling {
	if ways := sineOf(t); len(ways) > 0 {
		return ways
	}
	if ways := m.rareUnit(t); len(ways) > 0 {
		return ways
	}
	if m.Scheme.Kind != Number || !t.got.Value.Dim.IsNumber() || !m.Key.Dim.IsNumber() || t.got.Value.Number == 0 {
		return nil
	}
	if !m.Key.Angle {
		return m.percents(t)
	}
	if HasAngleUnit(t.expr) || (hasNames(t.expr) || hasUnit(t.expr)) && !convertsAngle(t.expr) {
		return nil
	}
	return []spelling{t.inUnit("rad"), t.inUnit("deg")}
}

// inUnit returns a number as so many of a unit.
func (t *typed) inUnit(symbol string) spelling {
	s := spelling{text: t.text + " " + symbol, why: t.why, notes: t.notes, bare: true}
	if _, inBrackets := t.expr.(*notation.Paren); inBrackets {
		s.text = t.text + "·(1 " + symbol + ")"
	} else if !isLiteral(t.text) {
		s.text = "(" + t.text + ")·(1 " + symbol + ")"
	}
	return s
}

var literalAt = pattern.New(`^[-−]?\s*\d+(?:\.\d+)?(?:[eE][-+−]?\d+|\s*[·×]\s*10(?:\^\(?[-−]?\d+\)?|[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))?$`)

// isLiteral reports whether a text in the notation is one number, to which a unit
// can be written.
func isLiteral(text string) bool { return literalAt().MatchString(text) }

// hasNames reports whether an expression has given names.
func hasNames(x notation.Expr) bool {
	for _, name := range notation.FreeNames(x) {
		if _, builtin := notation.LookupBuiltin(name.Ident); !builtin && name.Ident != "π" {
			return true
		}
	}
	return false
}

// hasUnit reports whether an expression has a number with its unit.
func hasUnit(x notation.Expr) bool {
	found := false
	notation.Inspect(x, func(n notation.Node) bool {
		_, is := n.(*notation.Quantity)
		found = found || is
		return !found
	})
	return found
}

// convertsAngle reports whether an expression has the number that makes degrees of
// radians: 180, or 57.3.
func convertsAngle(x notation.Expr) bool {
	found := false
	notation.Inspect(x, func(n notation.Node) bool {
		if _, counted := n.(*notation.Quantity); counted {
			return false
		}
		number, is := n.(*notation.Number)
		found = found || is && (number.Value == 180 || math.Abs(number.Value*math.Pi-180) < 0.02*math.Pi)
		return !found
	})
	return found
}

// sineOf returns both ways to mean the bare numbers of sin(30).
func sineOf(t *typed) []spelling {
	if !strings.Contains(t.text, "sin") && !strings.Contains(t.text, "cos") && !strings.Contains(t.text, "tan") {
		return nil
	}
	x, list := notation.ParseExpr(source.NewText("answer", t.text))
	if list.HasErrors() {
		return nil
	}
	var at []source.Span
	notation.Inspect(x, func(n notation.Node) bool {
		call, is := n.(*notation.Call)
		if !is || len(call.Args) != 1 {
			return true
		}
		switch call.Fun.Ident {
		case "sin", "cos", "tan":
			arg := notation.Unparen(call.Args[0])
			if u, signed := arg.(*notation.Unary); signed {
				arg = notation.Unparen(u.X)
			}
			if number, bare := arg.(*notation.Number); bare && number.Value != 0 {
				at = append(at, number.Span())
			}
		}
		return true
	})
	if len(at) == 0 {
		return nil
	}
	write := func(symbol string) spelling {
		s := spelling{why: t.why, notes: t.notes, text: t.text}
		for i := len(at) - 1; i >= 0; i-- {
			s.text = s.text[:at[i].End] + " " + symbol + s.text[at[i].End:]
		}
		return s
	}
	return []spelling{write("deg"), write("rad")}
}

var (
	perCentAt   = pattern.New(`(?i)\bper\s?cent|%`)
	eachPerCent = pattern.New(`(?i)\b(?:each|every|per|one|an?|1)\s*(?:per\s?cent|%)`)
)

// percents returns the ways to mean a number with or without %, where the question
// is about per cent. Of a change for each per cent, −2.26 % is the number −2.26.
func (m *Marker) percents(t *typed) []spelling {
	own := m.Scheme.Unit != nil && m.Scheme.Unit.Text == "%"
	x := notation.Unparen(t.expr)
	if u, is := x.(*notation.Unary); is {
		x = notation.Unparen(u.X)
	}
	switch x := x.(type) {
	case *notation.Number:
		if own && isLiteral(t.text) && !t.plain {
			plain := spelling{text: t.text, why: t.why, notes: t.notes, bare: true, plain: true}
			in := t.inUnit("%")
			return []spelling{in, plain.with("", "that is "+sixFigures(100*t.got.Value.Number)+" %")}
		}
	case *notation.Quantity:
		number, found := strings.CutSuffix(t.text, "%")
		question := m.Scheme.Question
		if own || !found || x.Unit.Text != "%" || t.plain || !perCentAt().MatchString(question) && !strings.Contains(strings.ToLower(question), "percentage") {
			return nil
		}
		counted := spelling{text: strings.TrimSpace(number), why: t.why, notes: t.notes, plain: true}
		if eachPerCent().MatchString(question) {
			return []spelling{counted.with("", "per cent for each per cent")}
		}
		share := spelling{text: t.text, why: t.why, notes: t.notes, plain: true}
		return []spelling{counted.with("", "the number of per cent"), share.with("", "the number "+sixFigures(t.got.Value.Number))}
	}
	return nil
}

func sixFigures(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// readChoosing reads one value or formula; the unread has the ways to mean it where
// it has several.
func (m *Marker) readChoosing(ctx context.Context, s spelling) (typed, *unread) {
	one, refused := m.readSymbols(ctx, s)
	if refused != nil {
		return one, refused
	}
	if ways := m.doubts(&one); len(ways) > 0 {
		return one, &unread{readings: ways}
	}
	return one, nil
}
