package algebra

import (
	"fmt"

	"shaftbook/kernel/notation"
)

// Substitute returns e with every free use of name as a value replaced by by.
// Where a form in e binds a name that is free in by, the bound name is renamed
// first, so that nothing is captured: in ∑ x·i for i from 1 to n, putting i for
// x gives ∑ i·i_1 for i_1 from 1 to n. Names of functions and shafts stay.
// The parts that hold no free use of name are shared with e.
func Substitute(e notation.Expr, name string, by notation.Expr) notation.Expr {
	return substituteAll(e, map[string]notation.Expr{name: by})
}

// substituteAll replaces several names at once.
func substituteAll(e notation.Expr, by map[string]notation.Expr) notation.Expr {
	switch e := e.(type) {
	case *notation.Name:
		if x, ok := by[e.Ident]; ok {
			return x
		}
		return e
	case *notation.Bind:
		if !mentions(e, by) {
			return e
		}
		return substituteBind(e, by)
	}
	return notation.Map(e, func(x notation.Expr) notation.Expr { return substituteAll(x, by) })
}

func substituteBind(e *notation.Bind, by map[string]notation.Expr) notation.Expr {
	c := *e
	if e.From != nil {
		c.From = substituteAll(e.From, by)
	}
	if e.To != nil {
		c.To = substituteAll(e.To, by)
	}
	inner := map[string]notation.Expr{}
	taken := map[string]bool{}
	for name, x := range by {
		if name == e.Var.Ident {
			continue
		}
		inner[name] = x
		if mentions(e.Body, map[string]notation.Expr{name: x}) {
			for _, n := range notation.FreeNames(x) {
				taken[n.Ident] = true
			}
		}
	}
	if taken[e.Var.Ident] {
		for _, n := range notation.FreeNames(e.Body) {
			taken[n.Ident] = true
		}
		fresh := *e.Var
		fresh.Ident = freshName(e.Var.Ident, taken)
		inner[e.Var.Ident] = &fresh
		c.Var = &fresh
	}
	c.Body = substituteAll(e.Body, inner)
	return &c
}

// freshName returns base_1, base_2, … the first that is not taken.
func freshName(base string, taken map[string]bool) string {
	for i := 1; ; i++ {
		if name := fmt.Sprintf("%s_%d", base, i); !taken[name] {
			return name
		}
	}
}

// mentions reports whether any of the names is free in e.
func mentions(e notation.Expr, names map[string]notation.Expr) bool {
	return notation.HasFree(e, func(ident string) bool {
		_, ok := names[ident]
		return ok
	})
}

// Inline returns the body of one of the lesson's own functions with the
// arguments in place of its parameters.
func Inline(call *notation.Call, params []string, body notation.Expr) (notation.Expr, bool) {
	if len(params) != len(call.Args) {
		return nil, false
	}
	by := map[string]notation.Expr{}
	for i, p := range params {
		by[p] = call.Args[i]
	}
	return substituteAll(body, by), true
}
