package derive_test

import (
	"math"
	"strconv"
)

// value evaluates a tree in float64.
func (n *node) value(p map[string]float64) float64 {
	switch n.op {
	case "name":
		return p[n.text]
	case "number":
		v, _ := strconv.ParseFloat(n.text, 64)
		return v
	case "f":
		x := n.kids[0].value(p)
		switch n.text {
		case "sqrt":
			return math.Sqrt(x)
		case "exp":
			return math.Exp(x)
		}
		return math.Atan(x)
	}
	x, y := n.kids[0].value(p), n.kids[1].value(p)
	switch n.op {
	case "+":
		return x + y
	case "-":
		return x - y
	case "*":
		return x * y
	case "/":
		return x / y
	}
	return math.Pow(x, y)
}

func relative(x, y float64) float64 {
	if x == y {
		return 0
	}
	return math.Abs(x-y) / math.Max(math.Abs(x), math.Abs(y))
}
