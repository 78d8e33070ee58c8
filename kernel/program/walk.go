package program

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// A walker evaluates a tree one value at a time and has the place of every
// operation. It does the same arithmetic as a program. It serves one goroutine
// at a time.
type walker struct {
	run   *Run
	scope Scope
	quiet bool // no notes: the expression is one of many lanes

	locals []local
	base   int // locals from here on are visible
	calls  []*notation.Call
	depth  int

	programs    map[*notation.Bind]*Program // bodies of forms, compiled once
	derivatives map[placedForm]notation.Expr
	inlined     map[placedForm]notation.Expr // bodies with their functions put in
	branches    map[branchKey]*notation.Bind // what seams leave of a body
	sure        map[formKey]*certified       // the same forms to be enclosed
	literals    map[*notation.Number]interval.Interval
	exponents   map[*notation.Binary]exponent
	brackets    map[string]bool // whether a function's body holds a bracket
	readings    *readings

	derived bool // a derivative in symbols is evaluated: the places of its parts are not their texts

	problem *source.Diagnostic // what failed, once something has
	limit   error              // the limit behind it, if it was one
}

// A local is a parameter or a bound name.
type local struct {
	name      string
	x         float64
	estimate  float64
	noise     float64
	b         interval.Interval
	isBracket bool
	single    bool           // b is where one number lies, and not a bracket that was written
	sliced    bool           // b holds many values that are taken one at a time, and is no bracket for low and high
	form      *notation.Bind // the form that binds it, nil for a parameter
}

// A number is a value on the way, with the error that quadrature admits to and
// a first-order bound of the rounding so far, which says where to look closer.
type number struct {
	x        float64
	estimate float64 // absolute, ≥ 0
	noise    float64 // relative, ≥ 0
}

func newWalker(run *Run, s Scope) *walker {
	return &walker{run: run, scope: s, readings: &readings{}}
}

func (w *walker) bind(name string, x float64) {
	w.locals = append(w.locals, local{name: name, x: x})
}

func (w *walker) lookup(name string) (local, bool) {
	if l := w.local(name); l != nil {
		return *l, true
	}
	return local{}, false
}

// local is lookup without a copy: it stands until a local is added, and is nil where
// there is none.
func (w *walker) local(name string) *local {
	for i := len(w.locals) - 1; i >= w.base; i-- {
		if w.locals[i].name == name {
			return &w.locals[i]
		}
	}
	return nil
}

// number evaluates an expression to one number. ok is false once something has
// failed; w.problem then holds the reason.
func (w *walker) number(e notation.Expr) (v number, ok bool) {
	if w.depth > deepestTree {
		return v, w.fail(e, CodeSizeLimit, "this is nested too deeply to be evaluated")
	}
	if err := w.run.charge(costNode); err != nil {
		return v, w.failLimit(e, err)
	}
	w.depth++
	v, ok = w.evaluate(e)
	w.depth--
	if ok && !finite(v.x) {
		return v, w.fail(e, CodeOverflow, "%s is too large for a number here", w.piece(e))
	}
	return v, ok
}

func (w *walker) evaluate(e notation.Expr) (number, bool) {
	switch e := e.(type) {
	case *notation.Number:
		return number{x: e.Value, noise: roundoff}, true
	case *notation.Quantity:
		return number{x: e.Unit.Unit.SI(e.Number.Value), noise: 3 * roundoff}, true
	case *notation.Name:
		return w.name(e)
	case *notation.Paren:
		return w.number(e.X)
	case *notation.Abs:
		return w.function(e, opAbs, e.X)
	case *notation.Root:
		return w.function(e, opSqrt, e.X)
	case *notation.Unary:
		v, ok := w.number(e.X)
		if e.Op == notation.OpNeg {
			v.x = -v.x
		}
		return v, ok
	case *notation.Binary:
		return w.binary(e)
	case *notation.Call:
		return w.call(e)
	case *notation.Field:
		return w.field(e)
	case *notation.Bind:
		return w.form(e)
	case *notation.If:
		holds, ok := w.condition(e.Cond)
		if !ok {
			return number{}, false
		}
		if holds {
			return w.number(e.Then)
		}
		return w.number(e.Else)
	case *notation.Between, *notation.PlusMinus:
		return number{}, w.fail(e, CodeBracketUse, "a bracket has no single value here")
	case *notation.Compare, *notation.Logic:
		w.failAt(e.Span(), CodeUnknown, "write if … then … else …", "a condition is not a number")
		return number{}, false
	}
	return number{}, w.fail(e, CodeUnknown, "this cannot be evaluated")
}

func (w *walker) name(e *notation.Name) (number, bool) {
	if l, ok := w.lookup(e.Ident); ok {
		if l.isBracket && l.single {
			return number{x: singleOf(l.b), noise: roundoff}, true
		}
		if l.isBracket {
			return number{}, w.fail(e, CodeBracketUse, "%s is a bracket and has no single value here", e.Ident)
		}
		return number{x: l.x, estimate: l.estimate, noise: l.noise}, true
	}
	object, ok := w.scope.Lookup(e.Ident)
	if !ok {
		if e.Ident == "π" {
			return number{x: math.Pi, noise: roundoff}, true
		}
		return number{}, w.fail(e, CodeUnknown, "%s has no value", e.Ident)
	}
	switch object := object.(type) {
	case Scalar:
		return number{x: float64(object), noise: w.noiseOf(e.Ident)}, true
	case Interval:
		return number{}, w.fail(e, CodeBracketUse, "%s is a bracket and has no single value here", e.Ident)
	}
	return number{}, w.fail(e, CodeUnknown, "%s is not a number", e.Ident)
}

// singleOf returns the number that lies in a narrow bracket: the whole number in
// it, if there is one.
func singleOf(b interval.Interval) float64 {
	if n := math.Round(b.Mid()); b.Contains(n) {
		return n
	}
	return b.Mid()
}

// function evaluates an operation of one operand.
func (w *walker) function(e notation.Expr, op opcode, arg notation.Expr) (number, bool) {
	a, ok := w.number(arg)
	if !ok {
		return a, false
	}
	r, sound := apply(op, a.x, 0, 0)
	if !sound || !finite(r) {
		return number{}, w.failFunction(e, op, arg, a.x)
	}
	if op == opExp && r == 0 {
		w.noteTooSmall(e.Span())
	}
	v := number{x: r, noise: 4*roundoff + float64(conditionOf(op, a.x, r)*a.noise)}
	if a.estimate > 0 {
		v.estimate = spreadOf(func(d float64) float64 { y, _ := apply(op, a.x+d, 0, 0); return y }, r, a.estimate)
	}
	return v, true
}

// spreadOf returns how far a function moves when its operand moves by ±d; what
// has no value there is passed over.
func spreadOf(f func(d float64) float64, at, d float64) float64 {
	worst := 0.0
	for _, y := range [...]float64{f(d), f(-d)} {
		if finite(y) {
			worst = max(worst, math.Abs(y-at))
		}
	}
	return worst
}

func (w *walker) binary(e *notation.Binary) (number, bool) {
	a, ok := w.number(e.X)
	if !ok {
		return a, false
	}
	b, ok := w.number(e.Y)
	if !ok {
		return b, false
	}
	op := arithmetic(e.Op)
	r, sound := apply(op, a.x, b.x, 0)
	if !sound && op == opPow && a.x != 0 {
		r = elementary.Pow(a.x, b.x) // a large power whose reciprocal is too small: 0
		sound = true
	}
	if !sound || !finite(r) {
		return number{}, w.failBinary(e, op, a.x, b.x)
	}
	v := number{x: r, estimate: estimateOf(op, a, b, r), noise: noiseOf(op, a, b, r)}
	switch {
	case (op == opAdd || op == opSub) && v.noise > suspect && !w.quiet && !byDesign(e, r):
		v.noise = min(v.noise, w.noteLostDigits(e, a.x, b.x, r))
	case r == 0 && a.x != 0 && (b.x != 0 || op != opMul) && op != opAdd && op != opSub:
		w.noteTooSmall(e.OpAt)
	}
	return v, true
}

// byDesign reports whether a name is subtracted from itself.
func byDesign(e *notation.Binary, r float64) bool { return r == 0 && sameName(e.X, e.Y) }

// roundoff is the relative error of one rounding.
const roundoff = 0x1p-53

// noiseOf carries the relative error of rounding through an operation, to first
// order.
func noiseOf(op opcode, a, b number, r float64) float64 {
	switch op {
	case opAdd, opSub:
		absolute := float64(math.Abs(a.x)*a.noise) + float64(math.Abs(b.x)*b.noise)
		if absolute == 0 {
			return roundoff
		}
		return roundoff + absolute/math.Abs(r)
	case opMul, opDiv:
		return roundoff + a.noise + b.noise
	case opPow:
		return 4*roundoff + float64(math.Abs(b.x)*a.noise) + float64(math.Abs(b.x*elementary.Ln(math.Abs(a.x)))*b.noise)
	}
	return roundoff + max(a.noise, b.noise)
}

// conditionOf returns by how much a function magnifies a relative error.
func conditionOf(op opcode, x, r float64) float64 {
	switch op {
	case opSqrt:
		return 0.5
	case opAbs, opFloor, opCeil, opRound, opAtan:
		return 1
	case opExp:
		return math.Abs(x)
	case opLn, opLog10:
		return 1 / max(math.Abs(r), math.SmallestNonzeroFloat64)
	case opSin:
		if x != 0 {
			return math.Abs(x * elementary.Cos(x) / r)
		}
	case opCos:
		return math.Abs(x * elementary.Sin(x) / r)
	}
	return 4
}

// A Noisy scope knows how well a name is known.
type Noisy interface {
	// Noise returns a first-order bound of the relative error of a name.
	Noise(ident string) float64
}

func (w *walker) noiseOf(ident string) float64 {
	if n, ok := w.scope.(Noisy); ok {
		return n.Noise(ident)
	}
	return 4 * roundoff
}

// estimateOf carries error estimates through an operation, to first order.
func estimateOf(op opcode, a, b number, r float64) float64 {
	if a.estimate == 0 && b.estimate == 0 {
		return 0
	}
	switch op {
	case opAdd, opSub:
		return a.estimate + b.estimate
	case opMul:
		return float64(math.Abs(a.x)*b.estimate) + float64(math.Abs(b.x)*a.estimate)
	case opDiv:
		return (a.estimate + float64(math.Abs(r)*b.estimate)) / math.Abs(b.x)
	}
	along := func(d float64) float64 { y, _ := apply(op, a.x+d, b.x, 0); return y }
	across := func(d float64) float64 { y, _ := apply(op, a.x, b.x+d, 0); return y }
	return spreadOf(along, r, a.estimate) + spreadOf(across, r, b.estimate)
}

func (w *walker) call(e *notation.Call) (number, bool) {
	name := e.Fun.Ident
	if op, ok := unaryOps[name]; ok && len(e.Args) == 1 {
		return w.function(e, op, e.Args[0])
	}
	if op, ok := binaryOps[name]; ok && len(e.Args) > 0 && (op != opAtan2 || len(e.Args) == 2) {
		return w.fold(e, op)
	}
	if isBracketReader(name) && len(e.Args) == 1 {
		return w.readOnce(e)
	}
	f, ok := w.enter(e)
	if !ok {
		return number{}, false
	}
	args := make([]local, len(e.Args))
	for i, a := range e.Args {
		v, ok := w.number(a)
		if !ok {
			return v, false
		}
		args[i] = local{name: f.Params[i], x: v.x, estimate: v.estimate, noise: v.noise}
	}
	leave := w.frame(e, args)
	v, ok := w.number(f.Body)
	leave()
	return v, ok
}

// fold evaluates min, max and atan2.
func (w *walker) fold(e *notation.Call, op opcode) (number, bool) {
	v, ok := w.number(e.Args[0])
	for _, arg := range e.Args[1:] {
		if !ok {
			return v, false
		}
		a := v
		var b number
		if b, ok = w.number(arg); !ok {
			return b, false
		}
		r, sound := apply(op, a.x, b.x, 0)
		if !sound {
			return number{}, w.fail(e, CodeDomain, "atan2(0, 0) has no value: a point at the origin lies in no direction")
		}
		v = number{x: r, estimate: estimateOf(op, a, b, r), noise: noiseOf(op, a, b, r)}
	}
	return v, ok
}

// enter finds the function that a call uses and books the call.
func (w *walker) enter(e *notation.Call) (*Function, bool) {
	object, _ := w.scope.Lookup(e.Fun.Ident)
	f, ok := object.(*Function)
	switch {
	case !ok:
		return nil, w.fail(e, CodeUnknown, "%s is not a function", e.Fun.Ident)
	case len(f.Params) != len(e.Args):
		return nil, w.fail(e, CodeUnknown, "%s takes %d arguments, but has %d here", e.Fun.Ident, len(f.Params), len(e.Args))
	case len(w.calls) >= deepestCall:
		return nil, w.fail(e, CodeSizeLimit, "functions are nested more than %d deep", deepestCall)
	}
	if err := w.run.spend(1, costNode); err != nil {
		return nil, w.failLimit(e, err)
	}
	return f, true
}

// frame makes the arguments the only visible locals until leave is called.
func (w *walker) frame(e *notation.Call, args []local) (leave func()) {
	base, mark := w.base, len(w.locals)
	w.base = mark
	w.locals = append(w.locals, args...)
	w.calls = append(w.calls, e)
	return func() {
		w.calls = w.calls[:len(w.calls)-1]
		w.locals = w.locals[:mark]
		w.base = base
	}
}

func (w *walker) field(e *notation.Field) (number, bool) {
	object, _ := w.scope.Lookup(e.X.Ident)
	shaft, ok := object.(Fielder)
	if !ok {
		return number{}, w.fail(e, CodeUnknown, "%s is not a shaft", e.X.Ident)
	}
	if shaft.IsBracket(e.Field) {
		return number{}, w.fail(e, CodeBracketUse, "%s is a bracket and has no single value here", w.piece(e))
	}
	args := make([]float64, len(e.Args))
	for i, a := range e.Args {
		v, ok := w.number(a)
		if !ok {
			return v, false
		}
		args[i] = v.x
	}
	if err := w.run.spend(1, shaft.Cost(e.Field, args)); err != nil {
		return number{}, w.failLimit(e, err)
	}
	x, err := shaft.Field(e.Field, args)
	if err != nil {
		return number{}, w.failWith(e, CodeField, err)
	}
	return number{x: x, noise: ofForms}, true
}
