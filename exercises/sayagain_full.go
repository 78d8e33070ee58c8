package exercises

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
)

// A fullTerm is a number times whole powers of factors. Equal factors are gathered and
// cancelled, equal terms of a sum added; no bracket is multiplied out.
type fullTerm struct {
	number *big.Rat
	powers map[string]int
}

func fullForm(x notation.Expr, bound names) fullTerm {
	x = notation.Unparen(x)
	switch x := x.(type) {
	case *notation.Number:
		if r := rational(x); r != nil {
			return fullTerm{number: r}
		}
	case *notation.Unary:
		t := fullForm(x.X, bound)
		if x.Op == notation.OpNeg {
			t.number = new(big.Rat).Neg(t.number)
		}
		return t
	case *notation.Binary:
		switch {
		case isSumOf(x):
			return fullSum(x, bound)
		case x.Op == notation.OpMul:
			return fullForm(x.X, bound).times(fullForm(x.Y, bound), 1)
		case x.Op == notation.OpDiv:
			if under := fullForm(x.Y, bound); under.number.Sign() != 0 {
				return fullForm(x.X, bound).times(under, -1)
			}
		case x.Op == notation.OpPow:
			n, ok := notation.Unparen(x.Y).(*notation.Number)
			if base := fullForm(x.X, bound); ok && n.Value == float64(int(n.Value)) && n.Value >= 0 && n.Value <= mostPower {
				return fullTerm{number: big.NewRat(1, 1)}.times(base, int(n.Value))
			}
		}
	}
	text := atomForm(x, bound, func(e notation.Expr, n names) string { return fullForm(e, n).text() })
	return fullTerm{big.NewRat(1, 1), map[string]int{text: 1}}
}

// mostPower bounds the powers that are taken apart.
const mostPower = 64

// times returns a term times a power of another; a negative power needs a number that is
// not 0.
func (t fullTerm) times(other fullTerm, power int) fullTerm {
	out := fullTerm{new(big.Rat).Set(t.number), map[string]int{}}
	number := other.number
	if power < 0 {
		number = new(big.Rat).Inv(number)
	}
	for range max(power, -power) {
		out.number.Mul(out.number, number)
	}
	for factor, n := range t.powers {
		out.powers[factor] = n
	}
	for factor, n := range other.powers {
		if out.powers[factor] += n * power; out.powers[factor] == 0 {
			delete(out.powers, factor)
		}
	}
	return out
}

// fullSum adds equal terms. What is left, where it is more than one term, is a factor
// with the number of its first term taken out.
func fullSum(x notation.Expr, bound names) fullTerm {
	numbers, terms := map[string]*big.Rat{}, map[string]fullTerm{}
	var add func(notation.Expr, bool)
	add = func(x notation.Expr, negative bool) {
		x = notation.Unparen(x)
		if b, ok := x.(*notation.Binary); ok && isSumOf(x) {
			add(b.X, negative)
			add(b.Y, negative != (b.Op == notation.OpSub))
			return
		}
		t := fullForm(x, bound)
		if negative {
			t.number = new(big.Rat).Neg(t.number)
		}
		key := t.factors()
		if numbers[key] == nil {
			numbers[key] = new(big.Rat)
		}
		numbers[key].Add(numbers[key], t.number)
		terms[key] = t
	}
	add(x, false)
	var keys []string
	for key, n := range numbers {
		if n.Sign() != 0 {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	switch len(keys) {
	case 0:
		return fullTerm{number: new(big.Rat)}
	case 1:
		return fullTerm{numbers[keys[0]], terms[keys[0]].powers}
	}
	first := numbers[keys[0]]
	var parts []string
	for _, key := range keys {
		parts = append(parts, new(big.Rat).Quo(numbers[key], first).RatString()+"·"+key)
	}
	return fullTerm{first, map[string]int{"(" + strings.Join(parts, "+") + ")": 1}}
}

// factors writes a term without its number.
func (t fullTerm) factors() string {
	var parts []string
	for factor, n := range t.powers {
		parts = append(parts, fmt.Sprintf("%s^%d", factor, n))
	}
	slices.Sort(parts)
	return strings.Join(parts, "·")
}

func (t fullTerm) text() string {
	if t.number.Sign() == 0 {
		return "0"
	}
	if len(t.powers) == 0 {
		return t.number.RatString()
	}
	return t.number.RatString() + "·" + t.factors()
}
