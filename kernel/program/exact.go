package program

import (
	"errors"
	"math"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A Definer is a Scope that knows from which formula a name has its value, so
// that the value can be worked out again with more digits.
type Definer interface {
	// Definition returns the formula of a name. ok is false for a name that has
	// its value otherwise, which is then exact.
	Definition(ident string) (e notation.Expr, ok bool)
}

// errNotExact says that an expression has no value to 57 digits here: a form
// that searches, a shaft, a bracket.
var errNotExact = errors.New("program: not a formula of plain operations")

// mostExact bounds the operations of one evaluation with many digits.
const mostExact = 10_000

// A closeup evaluates the text of an expression with 57 digits, to see how many
// digits of the float64 are right.
type closeup struct {
	w     *walker
	names map[string]bigfloat.Value // parameters of the function that is evaluated
	spent int
}

func (c *closeup) value(e notation.Expr) (bigfloat.Value, error) {
	if c.spent++; c.spent > mostExact {
		return bigfloat.Value{}, errNotExact
	}
	switch e := e.(type) {
	case *notation.Number:
		return exactNumber(e)
	case *notation.Quantity:
		return c.quantity(e)
	case *notation.Name:
		return c.name(e)
	case *notation.Paren:
		return c.value(e.X)
	case *notation.Abs:
		x, err := c.value(e.X)
		if err != nil {
			return x, err
		}
		return bigfloat.Abs(x), nil
	case *notation.Root:
		return c.function(bigfloat.Sqrt, e.X)
	case *notation.Unary:
		x, err := c.value(e.X)
		if err == nil && e.Op == notation.OpNeg {
			x = bigfloat.Neg(x)
		}
		return x, err
	case *notation.Binary:
		return c.binary(e)
	case *notation.Call:
		return c.call(e)
	}
	return bigfloat.Value{}, errNotExact
}

func exactNumber(e *notation.Number) (bigfloat.Value, error) {
	if e.Text == "" {
		return bigfloat.Float(e.Value)
	}
	return bigfloat.Decimal(notation.Decimal(e.Text))
}

func (c *closeup) quantity(e *notation.Quantity) (bigfloat.Value, error) {
	x, err := exactNumber(e.Number)
	if err != nil {
		return x, err
	}
	r, pi, ok := unit.ExactFactor(e.Unit.Unit)
	if !ok {
		return x, errNotExact
	}
	factor, err := bigfloat.Rat(r)
	if err != nil {
		return x, err
	}
	power, err := bigfloat.PowInt(bigfloat.Pi(), int64(pi))
	if err != nil {
		return x, err
	}
	if factor, err = bigfloat.Mul(factor, power); err != nil {
		return x, err
	}
	return bigfloat.Mul(x, factor)
}

func (c *closeup) name(e *notation.Name) (bigfloat.Value, error) {
	if x, ok := c.names[e.Ident]; ok {
		return x, nil
	}
	if l, ok := c.w.lookup(e.Ident); ok && c.names == nil {
		return bigfloat.Float(l.x)
	}
	object, ok := c.w.scope.Lookup(e.Ident)
	if !ok {
		if e.Ident == "π" {
			return bigfloat.Pi(), nil
		}
		return bigfloat.Value{}, errNotExact
	}
	x, ok := object.(Scalar)
	if !ok {
		return bigfloat.Value{}, errNotExact
	}
	if d, ok := c.w.scope.(Definer); ok {
		if formula, ok := d.Definition(e.Ident); ok {
			return c.inside(map[string]bigfloat.Value{}, formula)
		}
	}
	return bigfloat.Float(float64(x))
}

// inside evaluates a formula that sees the given names and those of the lesson.
func (c *closeup) inside(names map[string]bigfloat.Value, e notation.Expr) (bigfloat.Value, error) {
	outer := c.names
	c.names = names
	x, err := c.value(e)
	c.names = outer
	return x, err
}

func (c *closeup) function(f func(bigfloat.Value) (bigfloat.Value, error), arg notation.Expr) (bigfloat.Value, error) {
	x, err := c.value(arg)
	if err != nil {
		return x, err
	}
	return f(x)
}

func (c *closeup) binary(e *notation.Binary) (bigfloat.Value, error) {
	x, err := c.value(e.X)
	if err != nil {
		return x, err
	}
	y, err := c.value(e.Y)
	if err != nil {
		return y, err
	}
	switch e.Op {
	case notation.OpAdd:
		return bigfloat.Add(x, y)
	case notation.OpSub:
		return bigfloat.Sub(x, y)
	case notation.OpMul:
		return bigfloat.Mul(x, y)
	case notation.OpDiv:
		return bigfloat.Div(x, y)
	}
	if n, ok := y.Whole(); ok && y.Radius() == 0 {
		return bigfloat.PowInt(x, n)
	}
	return bigfloat.Pow(x, y)
}

// exactFunctions are the functions of one argument.
var exactFunctions = map[string]func(bigfloat.Value) (bigfloat.Value, error){
	"sqrt": bigfloat.Sqrt, "exp": bigfloat.Exp, "ln": bigfloat.Ln, "log10": bigfloat.Log10,
	"sin": bigfloat.Sin, "cos": bigfloat.Cos, "tan": bigfloat.Tan,
	"asin": bigfloat.Asin, "acos": bigfloat.Acos, "atan": bigfloat.Atan, "floor": bigfloat.Floor,
	"abs": func(x bigfloat.Value) (bigfloat.Value, error) { return bigfloat.Abs(x), nil },
}

func (c *closeup) call(e *notation.Call) (bigfloat.Value, error) {
	if f, ok := exactFunctions[e.Fun.Ident]; ok && len(e.Args) == 1 {
		return c.function(f, e.Args[0])
	}
	object, _ := c.w.scope.Lookup(e.Fun.Ident)
	f, ok := object.(*Function)
	if !ok || len(f.Params) != len(e.Args) {
		return bigfloat.Value{}, errNotExact
	}
	names := map[string]bigfloat.Value{}
	for i, a := range e.Args {
		x, err := c.value(a)
		if err != nil {
			return x, err
		}
		names[f.Params[i]] = x
	}
	return c.inside(names, f.Body)
}

// rightness is how far a float64 is from the exact value of the text, as a share
// of that: at most error; 0 for both exactly 0, +Inf if the exact value may be
// 0 and the float64 is not known to be.
func (w *walker) rightness(e notation.Expr, v float64) float64 {
	c := closeup{w: w}
	x, err := c.value(e)
	if err != nil {
		return w.enclosedRightness(e, v)
	}
	if v == 0 && x.Float64() == 0 {
		return 0
	}
	own, err := bigfloat.Float(v)
	if err != nil {
		return math.Inf(1)
	}
	off, err := bigfloat.Sub(x, own)
	if err != nil || x.Sign() == 0 {
		return math.Inf(1)
	}
	return (math.Abs(off.Float64()) + off.Radius()) / (math.Abs(x.Float64()) - x.Radius())
}

// enclosedRightness is rightness by interval arithmetic.
func (w *walker) enclosedRightness(e notation.Expr, v float64) float64 {
	mark, problem := len(w.locals), w.problem
	b, ok := w.interval(e)
	w.locals, w.problem = w.locals[:mark], problem
	if !ok || b.Contains(0) && b != (interval.Interval{}) {
		return math.Inf(1)
	}
	if b == (interval.Interval{}) && v == 0 {
		return 0
	}
	return max(v-b.Lo, b.Hi-v) / min(math.Abs(b.Lo), math.Abs(b.Hi))
}
