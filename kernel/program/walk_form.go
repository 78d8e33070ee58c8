package program

import (
	"errors"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

// ofForms is what the error of a sum, an integral or a value of a shaft is taken
// for, as a share of it, when looking for cancellation.
const ofForms = 1e-12

// form evaluates a form that binds a name: the body as a program, with the
// walker at hand for points in doubt.
func (w *walker) form(e *notation.Bind) (number, bool) {
	switch e.Kind {
	case notation.Derivative:
		return w.derivative(e)
	case notation.Limit:
		return number{}, w.fail(e, CodeUnknown, "a limit can be used only in a derivation")
	}
	from, ok := w.bound(e.From)
	if !ok {
		return from, false
	}
	to, ok := w.bound(e.To)
	if !ok {
		return to, false
	}
	if e.Kind != notation.Sum && e.Kind != notation.Product {
		return w.searched(e, from.x, to.x)
	}
	body, caps, ok := w.body(e)
	if !ok {
		return number{}, false
	}
	return w.counted(e, body, caps, from.x, to.x)
}

// bound evaluates an end of a range, which may be infinite.
func (w *walker) bound(e notation.Expr) (number, bool) {
	if i, ok := notation.Unparen(e).(*notation.Infinity); ok {
		return number{x: math.Inf(i.Sign)}, true
	}
	return w.number(e)
}

// body compiles the body of a form, with the visible locals as its uniform
// inputs, and returns it with their values.
func (w *walker) body(e *notation.Bind) (*Program, []float64, bool) {
	visible := w.locals[w.base:]
	caps := make([]float64, len(visible))
	names := make([]string, len(visible))
	for i, l := range visible {
		caps[i], names[i] = l.x, l.name
	}
	// A derivative in symbols shares forms with the functions that it came from,
	// and there other names are visible.
	if p, ok := w.programs[e]; ok && slices.Equal(p.params[:p.uniforms], names) {
		return p, caps, true
	}
	params, counter := []string{e.Var.Ident}, (*notation.Name)(nil)
	if e.Kind == notation.Sum || e.Kind == notation.Product {
		params, counter = nil, e.Var
	}
	p, list := compile(e.Body, params, names, counter, w.scope)
	if d := list.FirstError(); d != nil {
		w.failAs(*d)
		return nil, nil, false
	}
	if err := w.run.charge(p.makeCost); err != nil {
		return nil, nil, w.failLimit(e, err)
	}
	if w.programs == nil {
		w.programs = map[*notation.Bind]*Program{}
	}
	w.programs[e] = p
	return p, caps, true
}

// bodyAt evaluates the body of a form for one value of its variable.
func (w *walker) bodyAt(e *notation.Bind, x float64) (number, bool) {
	mark := len(w.locals)
	quiet := w.quiet
	w.quiet = true
	w.locals = append(w.locals, local{name: e.Var.Ident, x: x, form: e})
	v, ok := w.number(e.Body)
	w.locals = w.locals[:mark]
	w.quiet = quiet
	return v, ok
}

// errFailed reports that the walker has recorded what failed.
var errFailed = errors.New("program: a term has no value")

func (w *walker) counted(e *notation.Bind, body *Program, caps []float64, from, to float64) (number, bool) {
	first, n, problem := count(from, to)
	if problem != "" {
		bound, value := e.From, from
		if problem == "to" {
			bound, value = e.To, to
		}
		return number{}, w.failBound(e, bound, value)
	}
	x, err := body.reduce(w.run, caps, first, n, e.Kind == notation.Product, func(x float64) (float64, error) {
		v, ok := w.bodyAt(e, x)
		if ok {
			return v.x, nil
		}
		if w.limit != nil {
			return 0, w.limit
		}
		return 0, errFailed
	})
	switch {
	case w.problem != nil:
		return number{}, false
	case err != nil:
		return number{}, w.failLimit(e, err)
	case !finite(x):
		return number{}, w.fail(e, CodeOverflow, "this %s is too large for a number here", e.Kind)
	}
	return number{x: x, noise: ofForms}, true
}

// searched encloses a form over a continuous name. Only what that leaves open is
// compiled and estimated.
func (w *walker) searched(e *notation.Bind, from, to float64) (number, bool) {
	sure, params := w.certified(e, false)
	r, err := sure.found(w.run, e, params, from, to, func() (found, error) {
		body, caps, ok := w.body(e)
		if !ok {
			return found{}, errFailed
		}
		return body.search(w.run, e.Kind, caps, from, to, func(x float64) (float64, error) {
			v, ok := w.bodyAt(e, x)
			if ok {
				return v.x, nil
			}
			if w.limit != nil {
				return 0, w.limit
			}
			w.problem = nil // a point without a value is the method's concern
			return math.NaN(), nil
		})
	})
	if err == nil {
		return number{x: r.value, estimate: r.estimate, noise: ofForms}, true
	}
	if w.problem != nil {
		return number{}, false
	}
	if isLimit(err) {
		return number{}, w.failLimit(e, err)
	}
	if u := (*num.UndefinedError)(nil); errors.As(err, &u) {
		if _, ok := w.bodyAt(e, u.Where); !ok {
			return number{}, false // the walker has found the place
		}
	}
	return number{}, w.failSearch(e, err)
}

// derivative evaluates the slope of a formula at a place. A formula with branches
// is resolved around the place first.
func (w *walker) derivative(e *notation.Bind) (number, bool) {
	at, ok := w.number(e.From)
	if !ok {
		return at, false
	}
	if hasSeam(e.Body, w.scope) {
		return w.seamedDerivative(e, at.x)
	}
	return w.smoothDerivative(e, at.x)
}

// smoothDerivative evaluates the symbolic derivative of a formula without
// branches; where there is none it differentiates numerically.
func (w *walker) smoothDerivative(e *notation.Bind, x float64) (number, bool) {
	d, ok := w.symbolic(e)
	switch {
	case w.limit != nil:
		return number{}, false
	case !ok:
		return w.difference(e, x)
	}
	v, ok := w.slope(e, d, x)
	if !ok && w.limit == nil {
		w.underivable(e, x)
	}
	return v, ok
}

func (w *walker) symbolic(e *notation.Bind) (notation.Expr, bool) {
	key := w.placed(e)
	if d, ok := w.derivatives[key]; ok {
		return d, d != nil
	}
	d, ok := w.derivedFrom(e)
	if w.limit != nil {
		return nil, false
	}
	if !ok {
		d = nil
	}
	if w.derivatives == nil {
		w.derivatives = map[placedForm]notation.Expr{}
	}
	w.derivatives[key] = d
	return d, ok
}

func (w *walker) isLocal(name string) bool { _, ok := w.lookup(name); return ok }

// A placedForm is a form where certain names are visible, which decide what the
// names in it mean.
type placedForm struct {
	form    *notation.Bind
	visible string
}

func (w *walker) placed(e *notation.Bind) placedForm {
	visible := w.locals[w.base:]
	if len(visible) == 0 {
		return placedForm{form: e}
	}
	names := make([]string, len(visible))
	for i, l := range visible {
		names[i] = l.name
	}
	return placedForm{e, strings.Join(names, " ")}
}

// difference differentiates numerically over a range about as large as the
// place itself, or 1 at zero.
func (w *walker) difference(e *notation.Bind, x float64) (number, bool) {
	body, caps, ok := w.body(e)
	if !ok {
		return number{}, false
	}
	f := body.take()
	defer body.give(f)
	if err := body.setOnce(w.run, f, caps); err != nil {
		return number{}, w.failLimit(e, err)
	}
	scale := math.Abs(x) / 4
	if scale == 0 {
		scale = 1
	}
	points := func(dst, x []float64) error { return body.points(w.run, f, dst, x, nil) }
	d, estimate, err := num.Differentiate(points, x, scale, num.Options{Stop: w.run.check})
	if err == nil {
		return number{x: d, estimate: estimate, noise: ofForms}, true
	}
	if isLimit(err) {
		return number{}, w.failLimit(e, err)
	}
	if _, ok := w.bodyAt(e, x); !ok {
		return number{}, false
	}
	return number{}, w.failSearch(e, err)
}

// condition evaluates a condition. What "and" and "or" do not need is not
// evaluated.
func (w *walker) condition(e notation.Expr) (holds, ok bool) {
	switch e := e.(type) {
	case *notation.Paren:
		return w.condition(e.X)
	case *notation.Compare:
		return w.compare(e)
	case *notation.Logic:
		x, ok := w.condition(e.X)
		switch {
		case !ok:
			return false, false
		case e.Op == notation.OpNot:
			return !x, true
		case e.Op == notation.OpAnd && !x, e.Op == notation.OpOr && x:
			return x, true
		}
		return w.condition(e.Y)
	}
	return false, w.fail(e, CodeUnknown, "this is not a condition")
}

func (w *walker) compare(e *notation.Compare) (holds, ok bool) {
	for _, x := range e.Xs {
		if w.holdsBracket(x) {
			return w.compareBrackets(e)
		}
	}
	values := make([]float64, len(e.Xs))
	for i, x := range e.Xs {
		v, ok := w.number(x)
		if !ok {
			return false, false
		}
		values[i] = v.x
	}
	for i, op := range e.Ops {
		code, swap, ok := comparison(op)
		if !ok {
			return false, w.fail(e, CodeUnknown, "%s cannot be used in a condition", op)
		}
		a, b := values[i], values[i+1]
		if swap {
			a, b = b, a
		}
		if r, _ := apply(code, a, b, 0); r == 0 {
			return false, true
		}
	}
	return true, true
}
