package derive

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
)

// extra names what would have to be added to a sum in the claim.
const extra = "′extra"

// missingTerm finds a term z that is missing in a sum, a denominator or a
// bracket S of the claim: with S + z in its place the claim would be right. z is
// worked out at the measured points, from the claim or its reciprocal being
// linear in z, and accepted if it is a number times powers of given names.
func (j *judge) missingTerm(a, b *statement, m measured) (string, Slip) {
	for _, part := range sumsAndDenominators(b.expr) {
		mk := makerAt(part)
		full, err := j.scope.full(replace(b.expr, part, mk.paren(mk.add(mk.paren(part), mk.name(extra)))))
		if err != nil {
			continue
		}
		solve := func(p point) (float64, bool) { return j.solveExtra(a.full, full, p) }
		text, negative, ok := j.monomial(solve, m, usedNames(a.full, b.full))
		if !ok {
			text, negative, ok = j.product(solve, m)
		}
		if !ok {
			continue
		}
		where := notation.Print(notation.Unparen(part))
		if negative {
			return fmt.Sprintf("%s is too much in %s", text, where), DroppedTerm
		}
		return fmt.Sprintf("the term %s is missing in %s", text, where), DroppedTerm
	}
	return "", NoSlip
}

// sumsAndDenominators lists the parts of e to which a term may be missing.
func sumsAndDenominators(e notation.Expr) []notation.Expr {
	var list []notation.Expr
	var walk func(e notation.Expr, inSum bool)
	walk = func(e notation.Expr, inSum bool) {
		b, ok := e.(*notation.Binary)
		isSum := ok && (b.Op == notation.OpAdd || b.Op == notation.OpSub)
		if isSum && !inSum {
			list = append(list, e)
		}
		if ok && b.Op == notation.OpDiv {
			list = append(list, b.Y)
		}
		notation.Map(e, func(c notation.Expr) notation.Expr { walk(c, isSum); return c })
	}
	walk(e, false)
	return list
}

// solveExtra returns the z for which claim(z) = true.
func (j *judge) solveExtra(above, claim notation.Expr, p point) (float64, bool) {
	right, err := j.eval.value(above, p)
	if err != nil {
		return 0, false
	}
	one := bigfloat.Int(1)
	var f, reciprocal [3]bigfloat.Value
	q := maps.Clone(p)
	for i := range f {
		q[extra] = bigfloat.Int(int64(i))
		if f[i], err = j.eval.value(claim, q); err != nil {
			return 0, false
		}
		if reciprocal[i], err = bigfloat.Div(one, f[i]); err != nil {
			return 0, false
		}
	}
	if z, ok := linearSolve(f, right); ok {
		return z, true
	}
	inverse, err := bigfloat.Div(one, right)
	if err != nil {
		return 0, false
	}
	return linearSolve(reciprocal, inverse)
}

// linearSolve returns z with f(z) = y for the linear f through f(0), f(1), f(2);
// ok is false if they do not lie on a line.
func linearSolve(f [3]bigfloat.Value, y bigfloat.Value) (float64, bool) {
	first, err1 := bigfloat.Sub(f[1], f[0])
	second, err2 := bigfloat.Sub(f[2], f[1])
	run, err3 := bigfloat.Sub(y, f[0])
	if err1 != nil || err2 != nil || err3 != nil || bigfloat.Compare(first, second, 12, 0) != bigfloat.Agrees {
		return 0, false
	}
	z, err := bigfloat.Div(run, first)
	if err != nil {
		return 0, false
	}
	return z.Float64(), true
}

// monomial reports whether f is a number times powers of given names, and
// writes it.
func (j *judge) monomial(f func(point) (float64, bool), m measured, used map[string]bool) (text string, negative, ok bool) {
	var rest []float64
	for _, p := range m.points {
		z, ok := f(p)
		if !ok || z == 0 {
			return "", false, false
		}
		rest = append(rest, z)
	}
	values := append([]float64(nil), rest...)
	var over, under []string
	for _, v := range j.scope.vars {
		ident := v.name.Ident
		if !used[ident] || v.whole {
			continue
		}
		s, ok := exponentIn(f, ident, m.points, values)
		if !ok {
			return "", false, false
		}
		for i, p := range m.points {
			rest[i] /= elementary.Pow(math.Abs(p[ident].Float64()), s)
		}
		switch {
		case s > 0:
			over = append(over, powerText(ident, s))
		case s < 0:
			under = append(under, powerText(ident, -s))
		}
	}
	c, ok := sameEverywhere(rest)
	if !ok {
		return "", false, false
	}
	number, known := factorText(math.Abs(c))
	if !known {
		return "", false, false
	}
	if number != "1" || len(over) == 0 {
		over = append([]string{number}, over...)
	}
	text = strings.Join(over, "·")
	if len(under) > 0 {
		text += "/" + bracketed(strings.Join(under, "·"))
	}
	return text, c < 0, true
}

// product reports whether f is a number times one defined or given name, or two.
func (j *judge) product(f func(point) (float64, bool), m measured) (text string, negative, ok bool) {
	type column struct {
		ident  string
		values []float64
	}
	columns := []column{{"", slices.Repeat([]float64{1}, len(m.points))}}
	for _, ident := range j.scope.order {
		c := column{ident: ident}
		for _, p := range m.points {
			e, defined := j.scope.values[ident]
			if !defined {
				e = maker{}.name(ident)
			}
			x, err := j.eval.value(e, p)
			if err != nil || x.Sign() == 0 {
				break
			}
			c.values = append(c.values, x.Float64())
		}
		if len(c.values) == len(m.points) {
			columns = append(columns, c)
		}
	}
	var z []float64
	for _, p := range m.points {
		x, ok := f(p)
		if !ok || x == 0 {
			return "", false, false
		}
		z = append(z, x)
	}
	ratio := make([]float64, len(z))
	for i, x := range columns {
		for _, y := range columns[:i+1] {
			for k := range z {
				ratio[k] = z[k] / (x.values[k] * y.values[k])
			}
			c, ok := sameEverywhere(ratio)
			number, known := factorText(math.Abs(c))
			if !ok || !known {
				continue
			}
			return joinFactors(number, y.ident, x.ident), c < 0, true
		}
	}
	return "", false, false
}

func joinFactors(number string, names ...string) string {
	list := []string{number}
	for _, n := range names {
		if n != "" {
			list = append(list, n)
		}
	}
	if number == "1" && len(list) > 1 {
		list = list[1:]
	}
	return strings.Join(list, "·")
}

// exponentIn is ∂ln|f|/∂ln x, if that is the same whole or half number at all
// points.
func exponentIn(f func(point) (float64, bool), ident string, points []point, values []float64) (float64, bool) {
	const step = 1e-6
	result := 0.0
	for i, p := range points {
		x, err := bigfloat.Float(p[ident].Float64() * (1 + step))
		if err != nil || x.Sign() == 0 {
			return 0, false
		}
		moved := maps.Clone(p)
		moved[ident] = x
		z, ok := f(moved)
		if !ok || z/values[i] <= 0 {
			return 0, false
		}
		s := float64(elementary.Ln(z/values[i]) / elementary.Log1p(step))
		nearest := float64(math.Round(2*s) / 2)
		if math.Abs(s-nearest) > 1e-6 || i > 0 && nearest != result {
			return 0, false
		}
		result = nearest
	}
	return result, true
}
