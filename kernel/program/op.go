package program

import (
	"math"

	"shaftbook/kernel/elementary"
)

// An opcode is one operation on float64. Truths are 0 and 1.
type opcode uint8

const (
	opNone  opcode = iota
	opConst        // a known number
	opInput        // a number given from outside: a parameter, a captured value
	opIndex        // the loop variable of a sum, a whole number
	opAdd          // a + b
	opSub          // a − b
	opMul          // a · b
	opDiv          // a / b
	opNeg          // −a
	opAbs          // |a|
	opSqrt         // √a
	opPow          // a ^ b
	opSin
	opCos
	opTan
	opAsin
	opAcos
	opAtan
	opAtan2
	opExp
	opLn
	opLog10
	opFloor
	opCeil
	opRound
	opMin
	opMax
	opLess
	opLessEq
	opEqual
	opNotEqual
	opAnd
	opOr
	opNot
	opSelect // a ? b : c
	opField  // a field of a shaft at a
	opLoop   // a form that binds a name
	opWalk   // what only the walker can do
)

// unaryOps and binaryOps are the functions of the notation that are one operation.
var (
	unaryOps = map[string]opcode{
		"sqrt": opSqrt, "abs": opAbs, "sin": opSin, "cos": opCos, "tan": opTan,
		"asin": opAsin, "acos": opAcos, "atan": opAtan, "exp": opExp, "ln": opLn,
		"log10": opLog10, "floor": opFloor, "ceil": opCeil, "round": opRound,
	}
	binaryOps = map[string]opcode{"atan2": opAtan2, "min": opMin, "max": opMax}
)

const (
	// largestPower is the largest whole exponent that is multiplied out.
	largestPower = 64
	// largestAngle is where neighbouring float64 lie so far apart that an
	// angle has lost its digits: ulp(1e15) = 0.125 rad.
	largestAngle = 1e15
	// tangentPole is a tangent that only an angle within rounding of a pole has:
	// the float64 nearest to π/2 has the tangent 1.6e16.
	tangentPole = 1e15
)

// apply does one operation. sound is false where the result may be finite
// although an operand is not, or although the operation has no value there; it
// may be true for a result that is not finite, since that shows by itself.
func apply(op opcode, a, b, c float64) (result float64, sound bool) {
	switch op {
	case opAdd:
		return a + b, true
	case opSub:
		return a - b, true
	case opMul:
		return a * b, true
	case opDiv:
		return a / b, finite(b)
	case opNeg:
		return -a, true
	case opAbs:
		return math.Abs(a), true
	case opSqrt:
		return math.Sqrt(a), true
	case opPow:
		return power(a, b)
	case opSin:
		return elementary.Sin(a), math.Abs(a) <= largestAngle
	case opCos:
		return elementary.Cos(a), math.Abs(a) <= largestAngle
	case opTan:
		t := elementary.Tan(a)
		return t, math.Abs(a) <= largestAngle && math.Abs(t) < tangentPole
	case opAsin:
		return elementary.Asin(a), true
	case opAcos:
		return elementary.Acos(a), true
	case opAtan:
		return elementary.Atan(a), finite(a)
	case opAtan2:
		return elementary.Atan2(a, b), finite(a) && finite(b) && (a != 0 || b != 0)
	case opExp:
		return elementary.Exp(a), finite(a)
	case opLn:
		return elementary.Ln(a), true
	case opLog10:
		return elementary.Log10(a), true
	case opFloor:
		return math.Floor(a), true
	case opCeil:
		return math.Ceil(a), true
	case opRound:
		return math.Round(a), true
	case opMin:
		return math.Min(a, b), finite(a) && finite(b)
	case opMax:
		return math.Max(a, b), finite(a) && finite(b)
	case opLess:
		return truth(a < b), finite(a) && finite(b)
	case opLessEq:
		return truth(a <= b), finite(a) && finite(b)
	case opEqual:
		return truth(a == b), finite(a) && finite(b)
	case opNotEqual:
		return truth(a != b), finite(a) && finite(b)
	case opAnd:
		return truth(a != 0 && b != 0), a == a && b == b // NaN: not known
	case opOr:
		return truth(a != 0 || b != 0), a == a && b == b
	case opNot:
		return truth(a == 0), a == a
	case opSelect:
		if a != 0 {
			return b, a == a
		}
		return c, true
	}
	panic("program: not an operation on numbers")
}

// power is x^y by the rules of the package comment.
func power(x, y float64) (result float64, sound bool) {
	if !finite(x) || !finite(y) {
		return math.NaN(), false
	}
	if n, ok := smallWhole(y); ok {
		return wholePower(x, n)
	}
	if y == 0.5 {
		return math.Sqrt(x), true
	}
	return elementary.Pow(x, y), true
}

// smallWhole returns y as a whole number that is multiplied out.
func smallWhole(y float64) (int, bool) {
	if y != math.Trunc(y) || math.Abs(y) > largestPower {
		return 0, false
	}
	return int(y), true
}

// wholePower multiplies out: squares from the left, x⁵ = (x²)²·x.
func wholePower(x float64, n int) (result float64, sound bool) {
	if n == 0 {
		return 1, true
	}
	m := max(n, -n)
	p := x
	for bit := topBit(m) >> 1; bit > 0; bit >>= 1 {
		p *= p
		if m&bit != 0 {
			p *= x
		}
	}
	if n < 0 {
		return 1 / p, finite(p)
	}
	return p, true
}

func topBit(n int) int {
	bit := 1
	for bit<<1 <= n {
		bit <<= 1
	}
	return bit
}

// finite is also right for a product, which must not be fused into the
// difference.
func finite(x float64) bool { return float64(x)-float64(x) == 0 }

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
