package program

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// largestPutIn is how many nodes a formula may have with definitions and
// functions put in, to be enclosed as a function of the brackets it depends on.
const largestPutIn = 400

// A formula is an expression as a function of the brackets that were written:
// definitions and functions are put in as far as they depend on brackets, so
// that a bracket that reaches the expression on several ways is one variable.
//
// Every value of the expression is one of the formula. The variables vary
// independently; where the brackets behind two of them do not, the formula has
// more values than the expression, and what encloses it encloses both.
type formula struct {
	expr     notation.Expr
	vars     []variable
	fixed    []local         // other names that are visible, under their new names
	partials []notation.Expr // by the variables; nil without a rule for all of them
}

// A variable is a bracket that a formula depends on. Its name is none that can
// be written.
type variable struct {
	name string
	b    interval.Interval
}

// formulaOf puts an expression together as a formula. ok is false where it is
// too large, or where its natural enclosure is its range anyway: every variable
// occurs once.
func (w *walker) formulaOf(e notation.Expr) (f *formula, ok bool) {
	for _, shallow := range []bool{false, true} {
		x := newPutter(w, shallow)
		expr := x.put(e, surrounds{})
		if x.failed || !notation.AtMost(expr, largestPutIn) {
			continue
		}
		f := &formula{expr: expr, vars: x.vars, fixed: x.fixed}
		if !f.repeats() {
			return nil, false
		}
		f.differentiate(w.scope)
		return f, true
	}
	return nil, false
}

// repeats reports whether a variable occurs more than once, or in a form, which
// evaluates its body more than once.
func (f *formula) repeats() bool {
	counts, form := map[string]int{}, false
	notation.Inspect(f.expr, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Bind:
			form = true
		case *notation.Name:
			counts[n.Ident]++
		}
		return true
	})
	some := false
	for _, v := range f.vars {
		if counts[v.name] > 1 {
			return true
		}
		some = some || counts[v.name] > 0
	}
	return some && form
}

// differentiate finds the partial derivatives. A formula that may jump keeps
// none: its derivative does not report a jump.
func (f *formula) differentiate(s Scope) {
	if jumps(f.expr, s) {
		return
	}
	within := notation.Within{Left: largestSlope} // all of them together
	for _, v := range f.vars {
		d, err := algebra.Derivative(f.expr, v.name, nil)
		if err != nil || !within.Holds(d) {
			f.partials = nil
			return
		}
		f.partials = append(f.partials, d)
	}
}

// jumps reports whether an expression may jump where its natural enclosure
// exists. The derivative of one with seams counts: it jumps at a kink.
func jumps(e notation.Expr, s Scope) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.If:
			found = true
		case *notation.Call:
			found = found || jumping[n.Fun.Ident]
		case *notation.Bind:
			found = found || n.Kind == notation.Derivative && hasSeam(n.Body, s)
		}
		return !found
	})
	return found
}

// jumping are the built-in functions that jump.
var jumping = map[string]bool{"floor": true, "ceil": true, "round": true, "atan2": true}
