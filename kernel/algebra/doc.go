// Package algebra works on expressions as expressions: it substitutes,
// differentiates, and decides equality where exact arithmetic can.
//
// Nothing here evaluates in floating point. Trees that are put together here
// carry the place of the expression they came from, so that an error in them
// points at text that a person wrote.
package algebra

import (
	"errors"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// Functions gives the definition of a lesson's own function: its parameters and
// its body. ok is false for a name that is not such a function. A nil Functions
// knows none.
type Functions func(ident string) (params []string, body notation.Expr, ok bool)

func (f Functions) lookup(ident string) ([]string, notation.Expr, bool) {
	if f == nil {
		return nil, nil, false
	}
	return f(ident)
}

// collect adds the names that the functions used in e mean by themselves. seen are
// the functions that it has been into.
func (f Functions) collect(e notation.Expr, names, seen map[string]bool) {
	for _, n := range notation.FreeNames(e) {
		params, body, ok := f.lookup(n.Ident)
		if !ok || seen[n.Ident] {
			continue
		}
		seen[n.Ident] = true
		for _, inner := range notation.FreeNames(body) {
			if !contains(params, inner.Ident) {
				names[inner.Ident] = true
			}
		}
		f.collect(body, names, seen)
	}
}

// ErrNoRule is what errors.Is finds in a *NoRuleError.
var ErrNoRule = errors.New("no rule")

// A NoRuleError is the part of an expression that has no derivative by rules.
type NoRuleError struct {
	At   source.Span
	What string // "floor", "largest"
}

func (e *NoRuleError) Error() string { return "there is no rule for the derivative of " + e.What }

// Is reports whether target is ErrNoRule.
func (e *NoRuleError) Is(target error) bool { return target == ErrNoRule }

// deepest bounds how deep functions are put into each other.
const deepest = 64

// MostLooked bounds the parts that one derivative looks at. Functions put into
// functions, slopes of slopes and roots in roots each multiply the size of what they
// stand in, so that a line of a few dozen parts may come to more than fits in memory.
const MostLooked = 2_000_000
