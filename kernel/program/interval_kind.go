package program

import (
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// isBracketReader reports whether a function takes a number from a bracket.
func isBracketReader(name string) bool {
	return name == "low" || name == "high" || name == "width" || name == "mid"
}

// readings are the numbers that were read from brackets where no parameter and no
// bound name is in sight: they are the same at every use. Without them a bracket
// whose ends are read from another, and that one's from a third, would be followed
// down to the first for every use of each.
type readings struct {
	numbers map[*notation.Call]number
	bounds  map[*notation.Call]interval.Interval
}

// readOnce is readBracket, worked out once where it is the same at every use.
func (w *walker) readOnce(e *notation.Call) (number, bool) {
	if len(w.locals) > w.base {
		return w.readBracket(e)
	}
	if v, ok := w.readings.numbers[e]; ok {
		return v, true
	}
	v, ok := w.readBracket(e)
	if ok {
		if w.readings.numbers == nil {
			w.readings.numbers = map[*notation.Call]number{}
		}
		w.readings.numbers[e] = v
	}
	return v, ok
}

// encloseReadOnce is encloseRead, worked out once where it is the same at every use.
func (w *walker) encloseReadOnce(e *notation.Call) (interval.Interval, bool) {
	if len(w.locals) > w.base {
		return w.encloseRead(e)
	}
	if b, ok := w.readings.bounds[e]; ok {
		return b, true
	}
	b, ok := w.encloseRead(e)
	if ok {
		if w.readings.bounds == nil {
			w.readings.bounds = map[*notation.Call]interval.Interval{}
		}
		w.readings.bounds[e] = b
	}
	return b, ok
}

// encloseRead encloses what low, high, width or mid read.
func (w *walker) encloseRead(e *notation.Call) (interval.Interval, bool) {
	if !w.holdsBracket(e.Args[0]) {
		b, ok := w.interval(e.Args[0])
		if e.Fun.Ident == "width" {
			b = interval.Interval{}
		}
		return b, ok
	}
	if end, ok := w.endOf(e); ok {
		if _, ok := w.interval(e.Args[0]); !ok {
			return interval.Interval{}, false
		}
		return w.encloseEnd(end)
	}
	if w.sliced(e.Args[0]) {
		return w.readSlices(e)
	}
	v, ok := w.readOnce(e)
	return interval.Interval{Lo: v.x, Hi: v.x}, ok
}

// readBracket evaluates low, high, width and mid: of a written bracket by the
// formula of its end, of a computed one from its bounds. A plain number is its
// own low, high and mid.
func (w *walker) readBracket(e *notation.Call) (number, bool) {
	arg := e.Args[0]
	if !w.holdsBracket(arg) {
		v, ok := w.number(arg)
		if e.Fun.Ident == "width" {
			v = number{}
		}
		return v, ok
	}
	if end, ok := w.endOf(e); ok {
		if _, ok := w.interval(arg); !ok {
			return number{}, false
		}
		return w.writtenEnd(end)
	}
	b, ok := w.tight(arg)
	if !ok {
		return number{}, false
	}
	switch e.Fun.Ident {
	case "low":
		return number{x: b.Lo}, true
	case "high":
		return number{x: b.Hi}, true
	case "mid":
		return number{x: b.Mid()}, true
	}
	width, err := b.Width()
	return number{x: width}, w.sound(e, arg, err)
}

// readSlices encloses what is read from brackets that change over a slice: each
// lies in the bracket of all of them.
func (w *walker) readSlices(e *notation.Call) (interval.Interval, bool) {
	b, ok := w.interval(e.Args[0])
	if !ok || e.Fun.Ident != "width" {
		return b, ok
	}
	width, err := b.Width()
	return interval.Interval{Hi: width}, w.sound(e, e.Args[0], err)
}

// holdsBracket reports whether the value of an expression is a bracket.
func (w *walker) holdsBracket(e notation.Expr) bool {
	if w.depth > deepestTree {
		return false // the evaluation will say so
	}
	w.depth++
	defer func() { w.depth-- }()
	switch e := e.(type) {
	case *notation.Between, *notation.PlusMinus:
		return true
	case *notation.Name:
		if l := w.local(e.Ident); l != nil {
			return l.isBracket && !l.single
		}
		object, _ := w.scope.Lookup(e.Ident)
		_, is := object.(Interval)
		return is
	case *notation.Paren:
		return w.holdsBracket(e.X)
	case *notation.Abs:
		return w.holdsBracket(e.X)
	case *notation.Root:
		return w.holdsBracket(e.X)
	case *notation.Unary:
		return w.holdsBracket(e.X)
	case *notation.Binary:
		return w.holdsBracket(e.X) || w.holdsBracket(e.Y)
	case *notation.If:
		return w.holdsBracket(e.Then) || w.holdsBracket(e.Else)
	case *notation.Bind:
		return w.formHoldsBracket(e)
	case *notation.Call:
		return w.callHoldsBracket(e)
	case *notation.Field:
		object, _ := w.scope.Lookup(e.X.Ident)
		shaft, ok := object.(Fielder)
		return ok && shaft.IsBracket(e.Field) || w.anyHoldsBracket(e.Args)
	}
	return false
}

func (w *walker) anyHoldsBracket(es []notation.Expr) bool {
	for _, e := range es {
		if w.holdsBracket(e) {
			return true
		}
	}
	return false
}

func (w *walker) formHoldsBracket(e *notation.Bind) bool {
	if w.holdsBracket(e.From) || e.To != nil && w.holdsBracket(e.To) {
		return true
	}
	mark := len(w.locals)
	w.locals = append(w.locals, local{name: e.Var.Ident})
	holds := w.holdsBracket(e.Body)
	w.locals = w.locals[:mark]
	return holds
}

// callHoldsBracket looks into the body of a function once: whether it holds a
// bracket of its own does not depend on its arguments.
func (w *walker) callHoldsBracket(e *notation.Call) bool {
	if isBracketReader(e.Fun.Ident) {
		return false
	}
	if w.anyHoldsBracket(e.Args) {
		return true
	}
	object, _ := w.scope.Lookup(e.Fun.Ident)
	f, ok := object.(*Function)
	if !ok || len(f.Params) != len(e.Args) {
		return false
	}
	if holds, ok := w.brackets[e.Fun.Ident]; ok {
		return holds
	}
	if w.brackets == nil {
		w.brackets = map[string]bool{}
	}
	w.brackets[e.Fun.Ident] = false // a cycle ends here
	params := make([]local, len(f.Params))
	for i, p := range f.Params {
		params[i] = local{name: p}
	}
	leave := w.frame(e, params)
	holds := w.holdsBracket(f.Body)
	leave()
	w.brackets[e.Fun.Ident] = holds
	return holds
}
