package derive

import (
	"context"
	"errors"
	"math"
	"math/big"
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/unit"
)

// A point gives each name a value.
type point map[string]bigfloat.Value

var (
	errBudget = errors.New("evaluating it takes too long")
	errForm   = errors.New("it holds a form that cannot be evaluated here")
)

// evaluator computes expressions in high precision. It is not safe for
// concurrent use.
type evaluator struct {
	ctx      context.Context
	point    pause.Point // where judging gives way to others; nil if it need not
	literals map[notation.Expr]bigfloat.Value
	switches map[*notation.Bind][]switchOver // of integrals
	whole    int                             // nodes that may still be visited in the derivation
	left     int                             // and in this step
}

func newEvaluator(ctx context.Context, lines int) *evaluator {
	return &evaluator{ctx: ctx, point: pause.From(ctx), whole: wholeNodes + lines*lineNodes, literals: map[notation.Expr]bigfloat.Value{},
		switches: map[*notation.Bind][]switchOver{}}
}

// stepNodes bounds the evaluation of one step; functions count as several nodes. All of a derivation may take
// wholeNodes and lineNodes for each of its lines: twenty steps at their bound, and
// one of four lines. Most steps take some hundred nodes.
const (
	stepNodes  = 200_000
	wholeNodes = 20 * stepNodes
	lineNodes  = stepNodes / 4
)

// pauseNodes is the number of nodes between two pauses, and nodeWork what one of
// them costs about, in the unit of package pause.
const (
	pauseNodes = 64
	nodeWork   = 1000
)

// weight is what a node costs in terms of a sum or a product: series at 192 bits
// take several times as long (measured with go test -bench in package bigfloat).
func weight(e notation.Expr) int {
	switch e := e.(type) {
	case *notation.Call:
		switch e.Fun.Ident {
		case "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "exp", "ln", "log10":
			return 5
		}
	case *notation.Binary:
		if _, plain := e.Y.(*notation.Number); e.Op == notation.OpPow && !plain {
			return 4 // by logarithm and exponential function
		}
	}
	return 1
}

// spend counts nodes against the bounds, and gives way to others in between.
func (v *evaluator) spend(nodes int) error {
	before := v.left
	v.left -= nodes
	v.whole -= nodes
	if v.left < 0 || v.whole < 0 {
		return errBudget
	}
	if v.left/pauseNodes != before/pauseNodes && v.point != nil {
		v.point.Here(pauseNodes * nodeWork)
	}
	if v.left/1024 != before/1024 {
		return v.ctx.Err()
	}
	return nil
}

func (v *evaluator) value(e notation.Expr, p point) (bigfloat.Value, error) {
	if err := v.spend(weight(e)); err != nil {
		return bigfloat.Value{}, err
	}
	switch e := e.(type) {
	case *notation.Number, *notation.Quantity:
		return v.literal(e)
	case *notation.Name:
		if x, ok := p[e.Ident]; ok {
			return x, nil
		}
		if e.Ident == "π" {
			return bigfloat.Pi(), nil
		}
		return bigfloat.Value{}, errForm
	case *notation.Paren:
		return v.value(e.X, p)
	case *notation.Unary:
		x, err := v.value(e.X, p)
		if err == nil && e.Op == notation.OpNeg {
			x = bigfloat.Neg(x)
		}
		return x, err
	case *notation.Abs:
		x, err := v.value(e.X, p)
		if err != nil {
			return x, err
		}
		return bigfloat.Abs(x), nil
	case *notation.Root:
		return v.unary(bigfloat.Sqrt, e.X, p)
	case *notation.Binary:
		return v.binary(e, p)
	case *notation.Call:
		return v.call(e, p)
	case *notation.Bind:
		return v.bind(e, p)
	case *notation.If:
		holds, err := v.truth(e.Cond, p)
		if err != nil {
			return bigfloat.Value{}, err
		}
		if holds {
			return v.value(e.Then, p)
		}
		return v.value(e.Else, p)
	}
	return bigfloat.Value{}, errForm
}

// literal reads a number as written, and takes the factor of its unit exactly
// where that is a decimal or a multiple of π.
func (v *evaluator) literal(e notation.Expr) (bigfloat.Value, error) {
	if x, ok := v.literals[e]; ok {
		return x, nil
	}
	number, factor := e, bigfloat.Int(1)
	if q, ok := e.(*notation.Quantity); ok {
		number = q.Number
		f, err := unitFactor(q.Unit.Unit.Factor)
		if err != nil {
			return f, err
		}
		factor = f
	}
	x, err := decimal(number.(*notation.Number))
	if err != nil {
		return x, err
	}
	if x, err = bigfloat.Mul(x, factor); err != nil {
		return x, err
	}
	v.literals[e] = x
	return x, nil
}

func decimal(n *notation.Number) (bigfloat.Value, error) {
	if n.Value == math.Trunc(n.Value) && math.Abs(n.Value) < 1e15 {
		return bigfloat.Int(int64(n.Value)), nil
	}
	return bigfloat.Decimal(notation.Decimal(n.Text))
}

// unitFactor returns the exact factor behind a float64: the decimal that it is
// the nearest float64 to, or that multiple of π.
func unitFactor(f float64) (bigfloat.Value, error) {
	for _, den := range []int64{180, 30, 10800, 648000, 180000, 1} {
		num := float64(f / math.Pi * float64(den))
		if n := math.Round(num); n != 0 && math.Abs(num-n) < 1e-12*math.Abs(n) && math.Abs(n) < 1e6 {
			x, err := bigfloat.Rat(big.NewRat(int64(n), den))
			if err != nil {
				return x, err
			}
			return bigfloat.Mul(x, bigfloat.Pi())
		}
	}
	return bigfloat.Decimal(unit.Shortest(f))
}

func (v *evaluator) unary(f func(bigfloat.Value) (bigfloat.Value, error), e notation.Expr, p point) (bigfloat.Value, error) {
	x, err := v.value(e, p)
	if err != nil {
		return x, err
	}
	return f(x)
}

func (v *evaluator) binary(e *notation.Binary, p point) (bigfloat.Value, error) {
	x, err := v.value(e.X, p)
	if err != nil {
		return x, err
	}
	y, err := v.value(e.Y, p)
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
	case notation.OpPow:
		return bigfloat.Pow(x, y)
	}
	return x, errForm
}

var functionsOfOne = map[string]func(bigfloat.Value) (bigfloat.Value, error){
	"sqrt": bigfloat.Sqrt, "sin": bigfloat.Sin, "cos": bigfloat.Cos, "tan": bigfloat.Tan,
	"asin": bigfloat.Asin, "acos": bigfloat.Acos, "atan": bigfloat.Atan,
	"exp": bigfloat.Exp, "ln": bigfloat.Ln, "log10": bigfloat.Log10, "floor": bigfloat.Floor,
	"abs": func(x bigfloat.Value) (bigfloat.Value, error) { return bigfloat.Abs(x), nil },
	"ceil": func(x bigfloat.Value) (bigfloat.Value, error) {
		y, err := bigfloat.Floor(bigfloat.Neg(x))
		if err != nil {
			return y, err
		}
		return bigfloat.Neg(y), nil
	},
	"round": round,
}

// round rounds halves away from 0.
func round(x bigfloat.Value) (bigfloat.Value, error) {
	half, err := bigfloat.Float(0.5)
	if err != nil {
		return half, err
	}
	moved, err := bigfloat.Add(bigfloat.Abs(x), half)
	if err != nil {
		return moved, err
	}
	y, err := bigfloat.Floor(moved)
	if err == nil && x.Sign() < 0 {
		y = bigfloat.Neg(y)
	}
	return y, err
}

func (v *evaluator) call(e *notation.Call, p point) (bigfloat.Value, error) {
	name := e.Fun.Ident
	if f, ok := functionsOfOne[name]; ok && len(e.Args) == 1 {
		return v.unary(f, e.Args[0], p)
	}
	args := make([]bigfloat.Value, len(e.Args))
	for i, a := range e.Args {
		x, err := v.value(a, p)
		if err != nil {
			return x, err
		}
		args[i] = x
	}
	switch {
	case name == "atan2" && len(args) == 2:
		return bigfloat.Atan2(args[0], args[1])
	case (name == "min" || name == "max") && len(args) > 0:
		return extreme(args, name == "max")
	}
	return bigfloat.Value{}, errForm
}

func extreme(args []bigfloat.Value, largest bool) (bigfloat.Value, error) {
	best := args[0]
	for _, x := range args[1:] {
		difference, err := bigfloat.Sub(x, best)
		if err != nil {
			return best, err
		}
		if difference.Sign() > 0 == largest && difference.Sign() != 0 {
			best = x
		}
	}
	return best, nil
}

// truth decides a condition; it fails with bigfloat.ErrDomain where the digits
// do not tell.
func (v *evaluator) truth(e notation.Expr, p point) (bool, error) {
	switch e := notation.Unparen(e).(type) {
	case *notation.Logic:
		x, err := v.truth(e.X, p)
		if err != nil || e.Op == notation.OpNot {
			return !x, err
		}
		if x == (e.Op == notation.OpOr) {
			return x, nil
		}
		return v.truth(e.Y, p)
	case *notation.Compare:
		left, err := v.value(e.Xs[0], p)
		if err != nil {
			return false, err
		}
		for i, op := range e.Ops {
			right, err := v.value(e.Xs[i+1], p)
			if err != nil {
				return false, err
			}
			if holds, err := compare(op, left, right); err != nil || !holds {
				return false, err
			}
			left = right
		}
		return true, nil
	}
	return false, errForm
}

func compare(op notation.Op, x, y bigfloat.Value) (bool, error) {
	difference, err := bigfloat.Sub(x, y)
	if err != nil {
		return false, err
	}
	sign := difference.Sign()
	if sign == 0 && difference.Radius() > 1e-40*math.Abs(x.Float64()) {
		return false, bigfloat.ErrDomain
	}
	switch op {
	case notation.OpLess:
		return sign < 0, nil
	case notation.OpLessEq:
		return sign <= 0, nil
	case notation.OpGreater:
		return sign > 0, nil
	case notation.OpGreaterEq:
		return sign >= 0, nil
	case notation.OpEqual:
		return sign == 0, nil
	case notation.OpNotEqual:
		return sign != 0, nil
	}
	return false, errForm
}

// describe returns in words why an evaluation failed.
func describe(err error) string {
	switch {
	case errors.Is(err, bigfloat.ErrDivide):
		return "something is divided by 0"
	case errors.Is(err, bigfloat.ErrDomain):
		return "a root, logarithm or inverse function is taken of a value for which it does not exist"
	case errors.Is(err, bigfloat.ErrRange):
		return "a value is too large or too small"
	case errors.Is(err, bigfloat.ErrConverge):
		return "an integral or a limit does not settle"
	case errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded):
		return "the judgement was stopped"
	}
	return strings.TrimSuffix(err.Error(), ".")
}
