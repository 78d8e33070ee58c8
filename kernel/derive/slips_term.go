package derive

import (
	"fmt"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

func isSum(b *notation.Binary) bool { return b.Op == notation.OpAdd || b.Op == notation.OpSub }

// termSlips drops a term or reverses its sign, or turns a fraction over.
func termSlips(list []mistaken, e notation.Expr) []mistaken {
	sums := find(e, isSum)
	for _, b := range sums {
		m := makerAt(b)
		left, right := notation.Print(b.X), notation.Print(b.Y)
		withoutX := b.Y
		if b.Op == notation.OpSub {
			withoutX = m.paren(m.neg(m.paren(b.Y)))
		}
		other := notation.OpAdd
		if b.Op == notation.OpAdd {
			other = notation.OpSub
		}
		list = append(list,
			slipOf(replace(e, b, b.X), fmt.Sprintf("the term %s is missing", right), DroppedTerm).inGeneral(),
			slipOf(replace(e, b, withoutX), fmt.Sprintf("the term %s is missing", left), DroppedTerm).inGeneral(),
			slipOf(replace(e, b, m.binary(other, b.X, m.paren(b.Y))), fmt.Sprintf("the sign of the term %s is reversed", right), WrongSign).inGeneral(),
			slipOf(replace(e, b, m.neg(m.paren(m.binary(other, b.X, m.paren(b.Y))))), fmt.Sprintf("the sign of the term %s is reversed", left), WrongSign).inGeneral())
	}
	for _, b := range sums {
		for i, term := range []notation.Expr{b.X, b.Y} {
			q, ok := notation.Unparen(term).(*notation.Binary)
			if !ok || q.Op != notation.OpDiv {
				continue
			}
			c, m := *b, makerAt(b)
			turned := m.paren(m.div(m.paren(q.Y), m.paren(q.X)))
			if i == 0 {
				c.X = turned
			} else {
				c.Y = turned
			}
			list = append(list, slipOf(replace(e, b, &c), fmt.Sprintf("the fraction %s was turned over", notation.Print(q)), WrongPower).inGeneral())
		}
	}
	return list
}

// A term is a part of a sum.
type term struct {
	x        notation.Expr
	negative bool
}

// termsOf takes a sum apart.
func termsOf(e notation.Expr) []term {
	b, ok := notation.Unparen(e).(*notation.Binary)
	if !ok || !isSum(b) {
		return []term{{notation.Unparen(e), false}}
	}
	list := termsOf(b.X)
	for _, t := range termsOf(b.Y) {
		list = append(list, term{t.x, t.negative != (b.Op == notation.OpSub)})
	}
	return list
}

// joined makes a sum of what f makes of each term.
func (m maker) joined(terms []term, f func(notation.Expr) notation.Expr) notation.Expr {
	var sum notation.Expr
	for _, t := range terms {
		x := m.paren(f(t.x))
		switch {
		case sum == nil && t.negative:
			sum = m.neg(x)
		case sum == nil:
			sum = x
		case t.negative:
			sum = m.sub(sum, x)
		default:
			sum = m.add(sum, x)
		}
	}
	return m.paren(sum)
}

// denominatorSlips splits a denominator, adds fractions by their denominators,
// and adds in series what adds in parallel.
func (j *judge) denominatorSlips(list []mistaken, e notation.Expr) []mistaken {
	inSum := map[notation.Expr]bool{}
	for _, b := range find(e, isSum) {
		for _, x := range []notation.Expr{b.X, b.Y} {
			inSum[notation.Unparen(x)] = true
		}
	}
	for _, b := range find(e, isSum) {
		terms := termsOf(b)
		if inSum[b] || len(terms) > 6 {
			continue
		}
		m := makerAt(b)
		var quotients []*notation.Binary
		for _, t := range terms {
			if q, ok := t.x.(*notation.Binary); ok && q.Op == notation.OpDiv {
				quotients = append(quotients, q)
			}
		}
		one := m.number(1)
		inverse := m.div(one, m.joined(terms, func(x notation.Expr) notation.Expr { return m.div(one, m.paren(x)) }))
		if words := j.seriesWords(b); words != "" {
			list = append(list, slipOf(replace(e, b, m.paren(inverse)), words, Series))
		}
		if len(quotients) == len(terms) {
			over, under := m.joined(terms, func(x notation.Expr) notation.Expr { return x.(*notation.Binary).X }), m.joined(terms, func(x notation.Expr) notation.Expr { return x.(*notation.Binary).Y })
			list = append(list, slipOf(replace(e, b, m.paren(m.div(over, under))),
				fmt.Sprintf("the fractions of %s were added top to top and bottom to bottom", notation.Print(b)), SplitDenominator))
			same := true
			for _, q := range quotients {
				same = same && notation.Print(q.X) == notation.Print(quotients[0].X)
			}
			if same {
				i := -1
				under := m.joined(terms, func(notation.Expr) notation.Expr { i++; return quotients[i].Y })
				list = append(list, slipOf(replace(e, b, m.paren(m.div(m.paren(quotients[0].X), under))),
					fmt.Sprintf("the fractions of %s were added by adding their denominators", notation.Print(b)), SplitDenominator))
			}
		}
	}
	for _, q := range find(e, func(b *notation.Binary) bool { return b.Op == notation.OpDiv }) {
		m := makerAt(q)
		for _, factor := range factorsOf(q.Y) {
			terms := termsOf(factor)
			if len(terms) < 2 || len(terms) > 6 {
				continue
			}
			split := m.joined(terms, func(x notation.Expr) notation.Expr {
				return m.div(m.paren(q.X), m.paren(replace(q.Y, factor, m.paren(x))))
			})
			words := "the denominator " + notation.Print(notation.Unparen(factor)) + " was split: 1/(a + b) is not 1/a + 1/b"
			list = append(list, slipOf(replace(e, q, split), words, SplitDenominator))
		}
	}
	return list
}

// factorsOf takes a product apart.
func factorsOf(e notation.Expr) []notation.Expr {
	b, ok := notation.Unparen(e).(*notation.Binary)
	if !ok || b.Op != notation.OpMul {
		return []notation.Expr{e}
	}
	return append(factorsOf(b.X), factorsOf(b.Y)...)
}

// seriesWords says what went wrong where the reciprocals of the terms of a sum
// were added: "" unless the sum is one of stiffnesses or of compliances.
func (j *judge) seriesWords(sum notation.Expr) string {
	t, errs := j.scope.typeOf(sum)
	if len(errs) > 0 || !t.IsQuantity() {
		return ""
	}
	switch {
	case t.Dim == torqueDimension && (j.eachUses(sum, stressDimension) || j.eachUses(sum, torqueDimension)):
		return "parts side by side add their stiffnesses G·J/L; here the reciprocals were added, as for parts in series"
	case t.Dim == compliance, t.Dim.IsNumber() && j.eachUses(sum, torqueDimension) && (j.eachUses(sum, stressDimension) || j.overStiffnesses(sum)):
		return "the stiffnesses were added; parts in series add their compliances L/(G·J)"
	}
	return ""
}

// overStiffnesses reports whether every term of a sum is divided by a stiffness.
func (j *judge) overStiffnesses(sum notation.Expr) bool {
	for _, t := range termsOf(sum) {
		q, ok := t.x.(*notation.Binary)
		if !ok || q.Op != notation.OpDiv {
			return false
		}
		if under, errs := j.scope.typeOf(q.Y); len(errs) > 0 || under.Dim != torqueDimension {
			return false
		}
	}
	return true
}

// eachUses reports whether every term of a sum has a name of a dimension in it.
func (j *judge) eachUses(sum notation.Expr, d unit.Dimension) bool {
	for _, t := range termsOf(sum) {
		uses := false
		for _, ident := range distinctNames(t.x) {
			s := j.scope.symbols[ident]
			uses = uses || s != nil && s.Func == nil && s.Type.Dim == d
		}
		if !uses {
			return false
		}
	}
	return true
}

// absoluteSlips takes |u| and √(u²) for u.
func absoluteSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, x := range find(e, func(x notation.Expr) bool { _, ok := absoluteOf(x); return ok }) {
		u, _ := absoluteOf(x)
		m := makerAt(x)
		text := notation.Print(x)
		words := "the absolute value was lost: " + text + " is not " + notation.Print(notation.Unparen(u)) + " where that is negative"
		if _, isAbs := x.(*notation.Abs); !isAbs && !strings.HasPrefix(text, "abs") {
			words = fmt.Sprintf("the absolute value was lost: %s is |%s|", text, notation.Print(notation.Unparen(u)))
		}
		list = append(list,
			slipOf(replace(e, x, m.paren(u)), words, AbsoluteValue),
			slipOf(replace(e, x, m.paren(m.neg(m.paren(u)))), words, AbsoluteValue))
	}
	return list
}

// areEnds reports whether two names look like one quantity of two sections: d_0
// and d_1, d_A and d_B; not R_i and R_o, inside and outside.
func areEnds(x, y string) bool {
	first, of, ok1 := strings.Cut(x, "_")
	second, and, ok2 := strings.Cut(y, "_")
	return ok1 && ok2 && first == second && of != and && !strings.HasPrefix(of, "i") && !strings.HasPrefix(and, "i")
}

// isRise reports whether e is the difference of the diameters at two ends.
func isRise(e notation.Expr) bool {
	b, ok := notation.Unparen(e).(*notation.Binary)
	if !ok || b.Op != notation.OpSub {
		return false
	}
	x, ok1 := notation.Unparen(b.X).(*notation.Name)
	y, ok2 := notation.Unparen(b.Y).(*notation.Name)
	return ok1 && ok2 && areEnds(x.Ident, y.Ident) && isAcross(x.Ident)
}

// slopeSlips takes the slope of a taper upside down, or without the length or
// with another one.
func (j *judge) slopeSlips(list []mistaken, e notation.Expr) []mistaken {
	hasRise := func(e notation.Expr) bool {
		return len(find(e, func(x *notation.Binary) bool { return isRise(x) })) > 0
	}
	for _, b := range find(e, func(b *notation.Binary) bool {
		return b.Op == notation.OpDiv && hasRise(b.X) && !isFreeOfNames(b.Y) && !hasSumOutside(b.X)
	}) {
		m := makerAt(b)
		over := notation.Print(b.Y)
		list = append(list,
			slipOf(replace(e, b, m.paren(b.X)), "the slope of the taper was not divided by "+over, Slope),
			slipOf(replace(e, b, m.paren(m.div(m.paren(b.Y), m.paren(b.X)))), "the slope of the taper was turned over", Slope))
		for _, ident := range j.scope.order {
			if t := j.scope.symbols[ident]; t.Kind == check.Value && t.Type.Dim == lengthDimension && !isFree(e, ident) && !isAcross(ident) {
				list = append(list, slipOf(replace(e, b, m.paren(m.div(b.X, m.name(ident)))),
					"the slope of the taper was divided by "+ident+", not by "+over, Slope).showing(ident))
			}
		}
	}
	for _, b := range find(e, func(b *notation.Binary) bool { return isRise(b) }) {
		m := makerAt(b)
		words := fmt.Sprintf("the slope of the taper is upside down: %s stands where %s belongs", notation.Print(m.sub(b.Y, b.X)), notation.Print(b))
		list = append(list, slipOf(replace(e, b, m.paren(m.sub(b.Y, b.X))), words, Slope))
	}
	return list
}

func isFreeOfNames(e notation.Expr) bool { return len(notation.FreeNames(e)) == 0 }

// hasSumOutside reports whether e has a sum in it that is not a rise.
func hasSumOutside(e notation.Expr) bool {
	return len(find(e, func(b *notation.Binary) bool { return isSum(b) && !isRise(b) })) > 0
}
