package derive

import (
	"fmt"
	"math"
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// A mistaken line is what the line above would give with one slip made.
type mistaken struct {
	expr  notation.Expr
	words string
	slip  Slip
	name  string // if set, a name that must stand in the claim
}

func slipOf(e notation.Expr, words string, slip Slip) mistaken {
	return mistaken{expr: e, words: words, slip: slip}
}

// showing limits a slip to claims that contain a name: where one name is
// taken for another and then cancels, the claim is better called a special
// case.
func (s mistaken) showing(name string) mistaken {
	s.name = name
	return s
}

// maxSlips bounds how many are tried.
const maxSlips = 250

// slips lists the slips that can be made in a line, the likeliest first. The
// trade's catalogue of slips is common practice, no source.
func (j *judge) slips(e notation.Expr) []mistaken {
	var list []mistaken
	list = j.integralSlips(list, e)
	list = j.sumSlips(list, e)
	list = termSlips(list, e)
	list = powerSlips(list, e)
	list = j.nameSlips(list, e)
	list = j.radiusSlips(list, e)
	list = functionSlips(list, e)
	if len(list) > maxSlips {
		list = list[:maxSlips]
	}
	return list
}

// integralSlips integrates wrongly.
func (j *judge) integralSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, b := range binds(e, notation.Integral) {
		full, err := j.scope.full(b)
		if err != nil {
			continue
		}
		i := full.(*notation.Bind)
		m := makerAt(b)
		for _, s := range []struct {
			how   method
			words string
			slip  Slip
		}{
			{noSlope, "the chain-rule factor 1/%s is missing", ChainRule},
			{noExponent, "after integrating, divide by the new exponent", WrongPower},
			{sameExponent, "the exponent must rise by 1 in integrating", WrongPower},
			{lowered, "the exponent must rise by 1 in integrating; here it fell", WrongPower},
		} {
			if value, ok := integral(nil, i, i.Body, 4, s.how); ok {
				words := s.words
				if s.how == noSlope {
					words = fmt.Sprintf(words, bracketed(slopeText(j.scope.apply(b.Body), b.Var.Ident)))
				}
				list = append(list, slipOf(replace(e, b, m.paren(value)), words, s.slip))
			}
		}
		run := m.paren(m.sub(m.paren(b.To), m.paren(b.From)))
		middle := m.div(m.paren(m.add(m.paren(b.From), m.paren(b.To))), m.number(2))
		for _, s := range []struct {
			place notation.Expr
			words string
		}{
			{middle, "the integrand was taken at mid-length for the whole range"},
			{b.From, "the integrand was taken at the lower limit for the whole range"},
			{b.To, "the integrand was taken at the upper limit for the whole range"},
		} {
			value := m.mul(m.paren(put(b.Body, b.Var.Ident, s.place)), run)
			list = append(list, slipOf(replace(e, b, m.paren(value)), s.words, MeanValue))
		}
		swapped := *b
		swapped.From, swapped.To = b.To, b.From
		list = append(list, slipOf(replace(e, b, &swapped), "the limits of the integral were swapped", SwappedLimits))
	}
	return list
}

// slopeText names the slope of the first inner function that has one.
func slopeText(f notation.Expr, x string) string {
	for _, p := range linearParts(f, x) {
		q, err := algebra.Derivative(p, x, nil)
		if err == nil && !isFree(q, x) && len(notation.FreeNames(q)) > 0 {
			return notation.Print(q)
		}
	}
	return "k"
}

// sumSlips takes a term too few or too many.
func (j *judge) sumSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, b := range binds(e, notation.Sum) {
		m := makerAt(b)
		for _, s := range []struct {
			from, to int
			words    string
		}{
			{0, -1, "the sum ends one term too early"},
			{0, 1, "the sum goes on one term too far"},
			{1, 0, "the sum begins one term too late"},
			{-1, 0, "the sum begins one term too early"},
		} {
			c := *b
			c.From = m.paren(m.add(m.paren(b.From), m.number(s.from)))
			c.To = m.paren(m.add(m.paren(b.To), m.number(s.to)))
			list = append(list, slipOf(replace(e, b, &c), s.words, DroppedTerm))
		}
	}
	return list
}

// termSlips drops a term or reverses its sign.
func termSlips(list []mistaken, e notation.Expr) []mistaken {
	sums := find(e, func(b *notation.Binary) bool { return b.Op == notation.OpAdd || b.Op == notation.OpSub })
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
			slipOf(replace(e, b, b.X), fmt.Sprintf("the term %s is missing", right), DroppedTerm),
			slipOf(replace(e, b, withoutX), fmt.Sprintf("the term %s is missing", left), DroppedTerm),
			slipOf(replace(e, b, m.binary(other, b.X, m.paren(b.Y))), fmt.Sprintf("the sign of the term %s is reversed", right), WrongSign),
			slipOf(replace(e, b, m.neg(m.paren(m.binary(other, b.X, m.paren(b.Y))))), fmt.Sprintf("the sign of the term %s is reversed", left), WrongSign))
	}
	for _, b := range sums {
		m := makerAt(b)
		for i, term := range []notation.Expr{b.X, b.Y} {
			q, ok := notation.Unparen(term).(*notation.Binary)
			if !ok || q.Op != notation.OpDiv {
				continue
			}
			c := *b
			turned := m.paren(m.div(q.Y, q.X))
			if i == 0 {
				c.X = turned
			} else {
				c.Y = turned
			}
			list = append(list, slipOf(replace(e, b, &c), fmt.Sprintf("the fraction %s was turned over", notation.Print(q)), WrongPower))
		}
	}
	return list
}

// powerSlips changes exponents, and splits powers of sums.
func powerSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, b := range find(e, func(b *notation.Binary) bool { return b.Op == notation.OpPow }) {
		n, ok := exponentOf(b)
		if !ok {
			continue
		}
		m := makerAt(b)
		for _, wrong := range []int{n - 1, n + 1, -n} {
			if wrong == 0 {
				continue
			}
			list = append(list, slipOf(replace(e, b, m.pow(b.X, wrong)),
				fmt.Sprintf("the exponent of %s became %s", notation.Print(b), signed(fmt.Sprint(wrong))), WrongPower))
		}
		sum, ok := notation.Unparen(b.X).(*notation.Binary)
		if !ok || sum.Op != notation.OpAdd && sum.Op != notation.OpSub {
			continue
		}
		split := m.paren(m.binary(sum.Op, m.pow(m.paren(sum.X), n), m.pow(m.paren(sum.Y), n)))
		list = append(list, slipOf(replace(e, b, split), fmt.Sprintf("the power of %s was split term by term", notation.Print(b)), Powers))
	}
	for _, b := range find(e, func(b *notation.Binary) bool { return b.Op == notation.OpAdd || b.Op == notation.OpSub }) {
		x, ok1 := notation.Unparen(b.X).(*notation.Binary)
		y, ok2 := notation.Unparen(b.Y).(*notation.Binary)
		if !ok1 || !ok2 || x.Op != notation.OpPow || y.Op != notation.OpPow {
			continue
		}
		n, ok1 := exponentOf(x)
		k, ok2 := exponentOf(y)
		if !ok1 || !ok2 || n != k {
			continue
		}
		m := makerAt(b)
		joined := m.pow(m.paren(m.binary(b.Op, x.X, y.X)), n)
		list = append(list, slipOf(replace(e, b, m.paren(joined)), fmt.Sprintf("the powers in %s were joined before they were taken", notation.Print(b)), Powers))
	}
	return list
}

func exponentOf(b *notation.Binary) (int, bool) {
	r, ok := notation.StaticRational(b.Y, func(string) (notation.Expr, bool) { return nil, false })
	if !ok || !r.IsInt() || r.Num().CmpAbs(big.NewInt(12)) > 0 {
		return 0, false
	}
	return int(r.Num().Int64()), true
}

// nameSlips writes one name for another of the same dimension.
func (j *judge) nameSlips(list []mistaken, e notation.Expr) []mistaken {
	seen := map[string]bool{}
	for _, use := range notation.FreeNames(e) {
		symbol, known := j.scope.symbols[use.Ident]
		if !known || symbol.Func != nil {
			continue
		}
		for _, other := range j.scope.order {
			o := j.scope.symbols[other]
			if other == use.Ident || o.Func != nil || o.Type.Dim != symbol.Type.Dim {
				continue
			}
			words := fmt.Sprintf("%s stands where %s belongs", other, use.Ident)
			list = append(list, slipOf(replace(e, use, makerAt(use).name(other)), words, WrongName).showing(other))
			if key := use.Ident + " " + other; !seen[key] {
				seen[key] = true
				list = append(list, slipOf(put(e, use.Ident, makerAt(use).name(other)), words, WrongName).showing(other))
			}
			if key := other + " " + use.Ident + " swapped"; !seen[key] && isFree(e, other) {
				seen[use.Ident+" "+other+" swapped"] = true
				m := makerAt(use)
				swapped := put(put(put(e, use.Ident, m.name("′swap")), other, m.name(use.Ident)), "′swap", m.name(other))
				list = append(list, slipOf(swapped, fmt.Sprintf("%s and %s have changed places", use.Ident, other), WrongName).showing(other))
			}
		}
	}
	return list
}

// radiusSlips takes a length for its half or its double.
func (j *judge) radiusSlips(list []mistaken, e notation.Expr) []mistaken {
	seen := map[string]bool{}
	for _, use := range notation.FreeNames(e) {
		symbol, known := j.scope.symbols[use.Ident]
		if !known || symbol.Func != nil || seen[use.Ident] || symbol.Type.Dim != lengthDimension {
			continue
		}
		seen[use.Ident] = true
		m := makerAt(use)
		list = append(list,
			slipOf(put(e, use.Ident, m.div(m.name(use.Ident), m.number(2))), fmt.Sprintf("radius and diameter were mixed: half of %s stands for %[1]s", use.Ident), RadiusSlip),
			slipOf(put(e, use.Ident, m.mul(m.number(2), m.name(use.Ident))), fmt.Sprintf("radius and diameter were mixed: twice %s stands for %[1]s", use.Ident), RadiusSlip))
	}
	for _, b := range find(e, func(b *notation.Binary) bool { return b.Op == notation.OpPow }) {
		n, ok := exponentOf(b)
		if !ok || math.Abs(float64(n)) < 2 {
			continue
		}
		m := makerAt(b)
		list = append(list,
			slipOf(replace(e, b, m.pow(m.paren(m.div(m.paren(b.X), m.number(2))), n)), fmt.Sprintf("radius and diameter were mixed in %s", notation.Print(b)), RadiusSlip),
			slipOf(replace(e, b, m.pow(m.paren(m.mul(m.number(2), m.paren(b.X))), n)), fmt.Sprintf("radius and diameter were mixed in %s", notation.Print(b)), RadiusSlip))
	}
	return list
}

// functionSlips writes one function for its sister.
func functionSlips(list []mistaken, e notation.Expr) []mistaken {
	sisters := map[string]string{"sin": "cos", "cos": "sin", "ln": "log10", "asin": "acos", "acos": "asin", "tan": "atan"}
	for _, c := range find(e, func(c *notation.Call) bool { return sisters[c.Fun.Ident] != "" && len(c.Args) == 1 }) {
		other := sisters[c.Fun.Ident]
		list = append(list, slipOf(replace(e, c, makerAt(c).call(other, c.Args[0])), fmt.Sprintf("%s stands where %s belongs", other, c.Fun.Ident), WrongName))
	}
	return list
}
