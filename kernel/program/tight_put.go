package program

import (
	"maps"
	"strconv"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// A putter puts definitions and functions into an expression. Every name that
// is not one of the lesson gets a new one, so that nothing is captured.
type putter struct {
	w       *walker // at the expression
	lesson  *walker // sees the names of the lesson alone
	shallow bool    // definitions stay out

	vars   []variable
	fixed  []local
	known  map[string]notation.Expr // by name of the lesson
	locals map[string]notation.Expr
	nodes  int
	serial int
	failed bool
}

// surrounds say what names mean at a place of an expression.
type surrounds struct {
	bound  map[string]notation.Expr // parameters and bound names
	lesson bool                     // the names around the expression are not seen
	inner  bool                     // within a form or a function, evaluated more than once
}

func newPutter(w *walker, shallow bool) *putter {
	lesson := newWalker(w.run, w.scope)
	lesson.readings = w.readings
	return &putter{w: w, lesson: lesson, shallow: shallow,
		known: map[string]notation.Expr{}, locals: map[string]notation.Expr{}}
}

func (x *putter) fail(e notation.Expr) notation.Expr {
	x.failed = true
	return e
}

func (x *putter) put(e notation.Expr, at surrounds) notation.Expr {
	if x.nodes++; x.failed || x.nodes > largestPutIn {
		return x.fail(e)
	}
	switch e := e.(type) {
	case *notation.Name:
		return x.name(e, at)
	case *notation.Between, *notation.PlusMinus:
		if !at.inner {
			return x.written(e, at)
		}
	case *notation.Bind:
		return x.form(e, at)
	case *notation.Call:
		return x.call(e, at)
	}
	return notation.Map(e, func(part notation.Expr) notation.Expr { return x.put(part, at) })
}

// newName returns a name that nobody can write.
func (x *putter) newName(base string, e notation.Expr) *notation.Name {
	x.serial++
	n := &notation.Name{Ident: base + " " + strconv.Itoa(x.serial)}
	n.At = e.Span()
	return n
}

func (x *putter) variable(base string, e notation.Expr, b interval.Interval) notation.Expr {
	n := x.newName(base, e)
	x.vars = append(x.vars, variable{n.Ident, b})
	return n
}

func (x *putter) constant(e notation.Expr, l local) notation.Expr {
	n := x.newName(l.name, e)
	l.name = n.Ident
	x.fixed = append(x.fixed, l)
	return n
}

// walkerAt returns the walker that sees what is visible at a place outside of
// forms and functions.
func (x *putter) walkerAt(at surrounds) *walker {
	if at.lesson {
		return x.lesson
	}
	return x.w
}

func (x *putter) name(e *notation.Name, at surrounds) notation.Expr {
	if by, ok := at.bound[e.Ident]; ok {
		return by
	}
	if l, ok := x.w.lookup(e.Ident); ok && !at.lesson {
		return x.local(e, l)
	}
	object, _ := x.w.scope.Lookup(e.Ident)
	b, ok := object.(Interval)
	if !ok {
		return e
	}
	if by, ok := x.known[e.Ident]; ok {
		return by
	}
	by, ok := x.definition(e)
	if !ok {
		by = x.variable(e.Ident, e, interval.Interval(b))
	}
	x.known[e.Ident] = by
	return by
}

func (x *putter) local(e *notation.Name, l local) notation.Expr {
	by, ok := x.locals[e.Ident]
	switch {
	case ok:
		return by
	case l.isBracket && !l.single:
		by = x.variable(e.Ident, e, l.b)
	default:
		by = x.constant(e, l)
	}
	x.locals[e.Ident] = by
	return by
}

// definition puts in the formula of a bracket. ok is false for a bracket that
// was written as one, or that depends on no other.
func (x *putter) definition(e *notation.Name) (notation.Expr, bool) {
	d, ok := x.w.scope.(Definer)
	if !ok || x.shallow {
		return nil, false
	}
	def, ok := d.Definition(e.Ident)
	if !ok {
		return nil, false
	}
	by := x.fit(x.put(def, surrounds{lesson: true}))
	return by, !x.failed && x.depends(by)
}

// fit fails where what was put together is too large. What was put in once may stand
// in many places and be put in again with all of them, so this is asked before
// anything walks over it.
func (x *putter) fit(e notation.Expr) notation.Expr {
	x.failed = x.failed || !notation.AtMost(e, largestPutIn)
	return e
}

// depends reports whether an expression mentions a variable.
func (x *putter) depends(e notation.Expr) bool {
	for _, n := range notation.FreeNames(e) {
		for _, v := range x.vars {
			if v.name == n.Ident {
				return true
			}
		}
	}
	return false
}

// written makes a bracket that was written a variable, with values of its own
// even where its ends are taken from other brackets.
func (x *putter) written(e notation.Expr, at surrounds) notation.Expr {
	b, ok := x.walkerAt(at).interval(e)
	if !ok {
		return x.fail(e)
	}
	return x.variable("±", e, b)
}

func (x *putter) form(e *notation.Bind, at surrounds) notation.Expr {
	c := *e
	c.Var = x.newName(e.Var.Ident, e.Var)
	if e.From != nil {
		c.From = x.put(e.From, at)
	}
	if e.To != nil {
		c.To = x.put(e.To, at)
	}
	inner := at
	inner.inner = true
	inner.bound = maps.Clone(at.bound)
	if inner.bound == nil {
		inner.bound = map[string]notation.Expr{}
	}
	inner.bound[e.Var.Ident] = c.Var
	c.Body = x.put(e.Body, inner)
	return &c
}

func (x *putter) call(e *notation.Call, at surrounds) notation.Expr {
	if isBracketReader(e.Fun.Ident) {
		return x.read(e, at)
	}
	c := *e
	c.Args = make([]notation.Expr, len(e.Args))
	depends := false
	for i, a := range e.Args {
		c.Args[i] = x.fit(x.put(a, at))
		depends = depends || !x.failed && x.depends(c.Args[i])
	}
	object, _ := x.w.scope.Lookup(e.Fun.Ident)
	f, ok := object.(*Function)
	if x.failed || !ok || len(f.Params) != len(c.Args) || !depends && !x.lesson.callHoldsBracket(&c) {
		return &c
	}
	body := surrounds{lesson: true, inner: true, bound: map[string]notation.Expr{}}
	for i, p := range f.Params {
		body.bound[p] = c.Args[i]
	}
	return x.fit(x.put(f.Body, body))
}

// read puts in the number that low, high, width or mid take from a bracket. In a
// form or a function it may be another one every time.
func (x *putter) read(e *notation.Call, at surrounds) notation.Expr {
	if at.inner || len(e.Args) != 1 {
		return x.fail(e)
	}
	b, ok := x.walkerAt(at).interval(e)
	if !ok {
		return x.fail(e)
	}
	return x.constant(e, local{name: e.Fun.Ident, x: singleOf(b), b: b, isBracket: true, single: true})
}
