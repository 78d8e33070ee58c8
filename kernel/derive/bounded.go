package derive

import (
	"strconv"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// mostBounded is how many functions in one expression are taken as numbers between
// their bounds.
const mostBounded = 2

// signBounded returns the signs that an expression may have when its sines, cosines and
// exponentials are any numbers between their bounds: −1 and 1, and 0 and 1 for an
// exponential of what is not positive. They exist wherever their arguments do, which
// is for the caller to prove.
func (p *prover) signBounded(e notation.Expr) algebra.Sign {
	type bounds struct {
		ident string
		low   int
	}
	known := map[string]bounds{}
	var order []bounds
	var walk func(e notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		c, ok := e.(*notation.Call)
		if _, bind := e.(*notation.Bind); bind {
			return e
		}
		if !ok || len(c.Args) != 1 {
			return notation.Map(e, walk)
		}
		b := bounds{"′bounded " + strconv.Itoa(len(order)), -1}
		switch c.Fun.Ident {
		case "sin", "cos":
		case "exp":
			b.low = 0
			if !p.sign(c.Args[0]).Within(algebra.NonPositive) {
				return e
			}
		default:
			return notation.Map(e, walk)
		}
		key := notation.Print(c)
		if before, met := known[key]; met {
			b = before
		} else {
			known[key] = b
			order = append(order, b)
		}
		return makerAt(e).name(b.ident)
	}
	e = walk(e)
	if len(order) == 0 || len(order) > mostBounded {
		return algebra.AnySign
	}
	m, found := makerAt(e), algebra.AnySign
	var within func(i int) bool
	within = func(i int) bool {
		if i == len(order) {
			found = p.sign(e)
			return true
		}
		return p.in(order[i].ident, m.number(order[i].low), m.number(1), func() bool { return within(i + 1) })
	}
	within(0)
	return found
}
