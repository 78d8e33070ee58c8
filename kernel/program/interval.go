package program

import (
	"errors"
	"maps"
	"math"
	"slices"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// EvaluateBracket evaluates an expression by interval arithmetic, with names
// bound to brackets: the result holds every value that the expression takes
// for values of the names within their brackets. A name has one value wherever
// it occurs, as far as a bounded search can make use of that; see tight.
// The list holds at most one error.
func EvaluateBracket(run *Run, e notation.Expr, params map[string]interval.Interval, s Scope) (interval.Interval, source.List) {
	w := newWalker(run, s)
	for _, name := range slices.Sorted(maps.Keys(params)) {
		w.bindBracket(name, params[name])
	}
	return w.listed(w.tight(e))
}

// EvaluateSlice is EvaluateBracket for one name and one of many slices of a
// range: it takes no trouble over names that occur more than once, and the
// result may be wider than need be.
func EvaluateSlice(run *Run, e notation.Expr, name string, slice interval.Interval, s Scope) (interval.Interval, source.List) {
	w := newWalker(run, s)
	w.bindBracket(name, slice)
	return w.listed(w.interval(e))
}

func (w *walker) listed(b interval.Interval, ok bool) (interval.Interval, source.List) {
	if !ok {
		return interval.Interval{}, source.List{*w.problem}
	}
	return b, nil
}

func (w *walker) bindBracket(name string, b interval.Interval) {
	w.locals = append(w.locals, local{name: name, b: b, isBracket: true})
}

// interval evaluates an expression to a bracket. ok is false once something has
// failed; w.problem then holds the reason.
func (w *walker) interval(e notation.Expr) (b interval.Interval, ok bool) {
	if w.depth > deepestTree {
		return b, w.fail(e, CodeSizeLimit, "this is nested too deeply to be evaluated")
	}
	if err := w.run.charge(costEnclosed); err != nil {
		return b, w.failLimit(e, err)
	}
	w.depth++
	b, ok = w.enclose(e)
	w.depth--
	return b, ok
}

func (w *walker) enclose(e notation.Expr) (interval.Interval, bool) {
	switch e := e.(type) {
	case *notation.Number:
		return w.encloseNumber(e)
	case *notation.Quantity:
		return w.encloseQuantity(e)
	case *notation.Name:
		return w.encloseName(e)
	case *notation.Paren:
		return w.interval(e.X)
	case *notation.Abs:
		b, ok := w.interval(e.X)
		return interval.Abs(b), ok
	case *notation.Root:
		return w.encloseFunction(e, interval.Sqrt, e.X)
	case *notation.Unary:
		b, ok := w.interval(e.X)
		if e.Op == notation.OpNeg {
			b = interval.Neg(b)
		}
		return b, ok
	case *notation.Binary:
		return w.encloseBinary(e)
	case *notation.Between:
		return w.encloseBetween(e)
	case *notation.PlusMinus:
		return w.enclosePlusMinus(e)
	case *notation.Call:
		return w.encloseCall(e)
	case *notation.Field:
		return w.encloseField(e)
	case *notation.Bind:
		return w.encloseForm(e)
	case *notation.If:
		return w.encloseChoice(e)
	}
	return interval.Interval{}, w.fail(e, CodeUnknown, "this cannot be evaluated")
}

// sound records an error of the bracket package in the reader's words.
func (w *walker) sound(e, operand notation.Expr, err error) bool {
	if err == nil {
		return true
	}
	var failed *interval.Error
	within := ""
	if errors.As(err, &failed) && !failed.Operand.IsPoint() {
		within = ", which lies between " + digits(failed.Operand.Lo) + " and " + digits(failed.Operand.Hi) + " (SI)"
	}
	switch {
	case errors.Is(err, interval.ErrDivideByZero):
		w.failAt(e.Span(), CodeDivisionByZero, "make the bracket narrower, so that zero is outside", "cannot divide by a bracket that may be zero: %s%s", w.piece(operand), within)
	case errors.Is(err, interval.ErrDomain):
		w.failAt(e.Span(), CodeDomain, "make the bracket narrower", "the function is not defined for all of %s%s", w.piece(operand), within)
	case errors.Is(err, interval.ErrOverflow):
		w.failAt(e.Span(), CodeOverflow, "check the units and exponents", "the result is too large for a number here: %s%s", w.piece(operand), within)
	default:
		w.failAt(e.Span(), CodeBracketUse, "write the lower value first", "the lower value must be smaller than the upper one: %s", w.piece(e))
	}
	return false
}

// widened encloses a number that was rounded once on its way here: a whole
// number is taken as exact, any other moves outward by one unit.
func widened(x float64) interval.Interval {
	if isWhole(x) {
		return interval.Interval{Lo: x, Hi: x}
	}
	return interval.Interval{Lo: math.Nextafter(x, math.Inf(-1)), Hi: math.Nextafter(x, math.Inf(1))}
}

// encloseNumber encloses a literal as written. One that a derivative brought in
// has no text and is taken as rounded once.
func (w *walker) encloseNumber(e *notation.Number) (interval.Interval, bool) {
	if b, ok := w.literals[e]; ok {
		return b, true
	}
	b, err := widened(e.Value), error(nil)
	if e.Text != "" {
		b, err = interval.Literal(notation.Decimal(e.Text))
	}
	if !w.sound(e, e, err) {
		return b, false
	}
	if w.literals == nil {
		w.literals = map[*notation.Number]interval.Interval{}
	}
	w.literals[e] = b
	return b, true
}

func (w *walker) encloseQuantity(e *notation.Quantity) (interval.Interval, bool) {
	b, ok := w.encloseNumber(e.Number)
	if !ok {
		return b, false
	}
	if n, ok := e.Unit.Unit.Reciprocal(); ok {
		b, err := interval.Div(b, point(n))
		return b, w.sound(e, e, err)
	}
	b, err := interval.Mul(b, widened(e.Unit.Unit.Factor))
	return b, w.sound(e, e, err)
}

func (w *walker) encloseName(e *notation.Name) (interval.Interval, bool) {
	if l := w.local(e.Ident); l != nil {
		if l.isBracket {
			return l.b, true
		}
		return widened(l.x), true
	}
	object, ok := w.scope.Lookup(e.Ident)
	if !ok {
		if e.Ident == "π" {
			return interval.Pi, true
		}
		return interval.Interval{}, w.fail(e, CodeUnknown, "%s has no value", e.Ident)
	}
	switch object := object.(type) {
	case Scalar:
		return w.encloseScalar(e, float64(object))
	case Interval:
		return interval.Interval(object), true
	}
	return interval.Interval{}, w.fail(e, CodeUnknown, "%s is not a number", e.Ident)
}

// An Encloser is a Scope that knows in which bracket the exact value of a name
// lies: that of its text, which its float64 need not be.
type Encloser interface {
	// Enclosure returns the bracket of a name that is a Scalar. The error says
	// why none is certain.
	Enclosure(ident string) (interval.Interval, error)
}

// encloseScalar encloses the exact value of a name. Without an Encloser the
// float64 counts as rounded once.
func (w *walker) encloseScalar(e *notation.Name, x float64) (interval.Interval, bool) {
	s, ok := w.scope.(Encloser)
	if !ok {
		return widened(x), true
	}
	b, err := s.Enclosure(e.Ident)
	if err != nil {
		return b, w.failUncertain(e, err)
	}
	return b, true
}

// failUncertain reports that the exact value of a name is not enclosed.
func (w *walker) failUncertain(e *notation.Name, err error) bool {
	w.failAt(e.Span(), CodeUncertain, "write the numbers that it is made of into the bracket", "no bracket of %s is certain: %s", e.Ident, err)
	return false
}

func (w *walker) encloseFunction(e notation.Expr, f func(interval.Interval) (interval.Interval, error), arg notation.Expr) (interval.Interval, bool) {
	b, ok := w.interval(arg)
	if !ok {
		return b, false
	}
	r, err := f(b)
	return r, w.sound(e, arg, err)
}

func (w *walker) encloseBinary(e *notation.Binary) (interval.Interval, bool) {
	if e.Op == notation.OpPow {
		return w.enclosePower(e)
	}
	if e.Op == notation.OpMul && sameName(e.X, e.Y) {
		return w.encloseFunction(e, interval.Sqr, e.X) // both factors are the same value
	}
	x, ok := w.interval(e.X)
	if !ok {
		return x, false
	}
	y, ok := w.interval(e.Y)
	if !ok {
		return y, false
	}
	var err error
	operand := notation.Expr(e)
	switch e.Op {
	case notation.OpAdd:
		x, err = interval.Add(x, y)
	case notation.OpSub:
		x, err = interval.Sub(x, y)
	case notation.OpMul:
		x, err = interval.Mul(x, y)
	default:
		operand = e.Y
		x, err = interval.Div(x, y)
	}
	return x, w.sound(e, operand, err)
}

func sameName(x, y notation.Expr) bool {
	a, okA := notation.Unparen(x).(*notation.Name)
	b, okB := notation.Unparen(y).(*notation.Name)
	return okA && okB && a.Ident == b.Ident
}

func noDefinitions(string) (notation.Expr, bool) { return nil, false }

// An exponent is the number num/den in a power, where it is written as one and small
// enough for PowRational.
type exponent struct {
	num, den int
	known    bool
}

// exponent reads the exponent of a power once.
func (w *walker) exponent(e *notation.Binary) exponent {
	if r, ok := w.exponents[e]; ok {
		return r
	}
	var found exponent
	if r, ok := notation.StaticRational(e.Y, noDefinitions); ok && r.Num().IsInt64() && r.Denom().IsInt64() {
		num, den := r.Num().Int64(), r.Denom().Int64()
		if num >= -1000 && num <= 1000 && den <= 1000 {
			found = exponent{int(num), int(den), true}
		}
	}
	if w.exponents == nil {
		w.exponents = map[*notation.Binary]exponent{}
	}
	w.exponents[e] = found
	return found
}

func (w *walker) enclosePower(e *notation.Binary) (interval.Interval, bool) {
	x, ok := w.interval(e.X)
	if !ok {
		return x, false
	}
	if r := w.exponent(e); r.known {
		p, err := interval.PowRational(x, r.num, r.den)
		return p, w.sound(e, e.X, err)
	}
	y, ok := w.interval(e.Y)
	if !ok {
		return y, false
	}
	const largest = 1 << 20
	if y.IsPoint() && isWhole(y.Lo) && math.Abs(y.Lo) <= largest {
		p, err := interval.PowInt(x, int(y.Lo))
		return p, w.sound(e, e.X, err)
	}
	p, err := interval.Pow(x, y)
	return p, w.sound(e, e.X, err)
}

func (w *walker) encloseBetween(e *notation.Between) (interval.Interval, bool) {
	low, ok := w.interval(e.Low)
	if !ok {
		return low, false
	}
	high, ok := w.interval(e.High)
	if !ok {
		return high, false
	}
	if low.Lo > high.Hi {
		return low, w.sound(e, e, interval.ErrInvalid)
	}
	return interval.Hull(low, high), true
}

func (w *walker) enclosePlusMinus(e *notation.PlusMinus) (interval.Interval, bool) {
	mid, ok := w.interval(e.Mid)
	if !ok {
		return mid, false
	}
	half, ok := w.interval(e.Half)
	if !ok {
		return half, false
	}
	if half.Hi < 0 {
		half = interval.Neg(half)
	}
	low, err := interval.Sub(mid, half)
	if !w.sound(e, e, err) {
		return low, false
	}
	high, err := interval.Add(mid, half)
	return interval.Hull(low, high), w.sound(e, e, err)
}

// bracketFunctions are the functions of the notation on brackets.
var bracketFunctions = map[string]func(interval.Interval) (interval.Interval, error){
	"sqrt": interval.Sqrt, "sin": total1(interval.Sin), "cos": total1(interval.Cos), "tan": interval.Tan,
	"asin": interval.Asin, "acos": interval.Acos, "atan": total1(interval.Atan),
	"exp": interval.Exp, "ln": interval.Ln, "log10": interval.Log10,
	"abs": total1(interval.Abs), "floor": total1(interval.Floor), "ceil": total1(interval.Ceil), "round": total1(interval.Round),
}

// total1 gives a function that cannot fail the form of one that can.
func total1(f func(interval.Interval) interval.Interval) func(interval.Interval) (interval.Interval, error) {
	return func(b interval.Interval) (interval.Interval, error) { return f(b), nil }
}

func (w *walker) encloseCall(e *notation.Call) (interval.Interval, bool) {
	name := e.Fun.Ident
	if f, ok := bracketFunctions[name]; ok && len(e.Args) == 1 {
		return w.encloseFunction(e, f, e.Args[0])
	}
	if op, ok := binaryOps[name]; ok && len(e.Args) > 0 && (op != opAtan2 || len(e.Args) == 2) {
		return w.encloseFold(e, op)
	}
	if isBracketReader(name) && len(e.Args) == 1 {
		return w.encloseReadOnce(e)
	}
	f, ok := w.enter(e)
	if !ok {
		return interval.Interval{}, false
	}
	var few [3]local
	args := few[:0]
	for i, a := range e.Args {
		b, ok := w.interval(a)
		if !ok {
			return b, false
		}
		args = append(args, local{name: f.Params[i], x: singleOf(b), b: b, isBracket: true, single: !w.holdsBracket(a), sliced: w.sliced(a)})
	}
	leave := w.frame(e, args)
	b, ok := w.interval(f.Body)
	leave()
	return b, ok
}

func (w *walker) encloseFold(e *notation.Call, op opcode) (interval.Interval, bool) {
	b, ok := w.interval(e.Args[0])
	for _, arg := range e.Args[1:] {
		if !ok {
			return b, false
		}
		var c interval.Interval
		if c, ok = w.interval(arg); !ok {
			return c, false
		}
		switch op {
		case opMin:
			b = interval.Min(b, c)
		case opMax:
			b = interval.Max(b, c)
		default:
			r, err := interval.Atan2(b, c)
			b, ok = r, w.sound(e, e, err)
		}
	}
	return b, ok
}

// lows returns the lower ends of brackets.
func lows(args []interval.Interval) []float64 {
	list := make([]float64, len(args))
	for i, a := range args {
		list[i] = a.Lo
	}
	return list
}

func (w *walker) encloseField(e *notation.Field) (interval.Interval, bool) {
	object, _ := w.scope.Lookup(e.X.Ident)
	shaft, ok := object.(Fielder)
	if !ok {
		return interval.Interval{}, w.fail(e, CodeUnknown, "%s is not a shaft", e.X.Ident)
	}
	args := make([]interval.Interval, len(e.Args))
	for i, a := range e.Args {
		if args[i], ok = w.interval(a); !ok {
			return args[i], false
		}
	}
	if err := w.run.spend(1, shaft.Cost(e.Field, lows(args))); err != nil {
		return interval.Interval{}, w.failLimit(e, err)
	}
	b, err := shaft.FieldBracket(e.Field, args)
	if err != nil {
		return b, w.failWith(e, CodeField, err)
	}
	return b, true
}
