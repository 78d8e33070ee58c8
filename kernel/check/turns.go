package check

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// This file notes factors that make radians of turns, or newton metres of kilowatts
// and turns per minute, in products whose speed has its unit: 2·π·n·T/60 and T·n/9550
// are formulas of bare numbers.

// A factorOf is one factor of a product, with its power: 1, or −1 below a stroke.
type factorOf struct {
	e     notation.Expr
	power int
}

// factorsOf appends the factors of a product or quotient.
func factorsOf(list []factorOf, e notation.Expr, power int) []factorOf {
	switch x := notation.Unparen(e).(type) {
	case *notation.Binary:
		if x.Op == notation.OpMul || x.Op == notation.OpDiv {
			second := power
			if x.Op == notation.OpDiv {
				second = -power
			}
			return factorsOf(factorsOf(list, x.X, power), x.Y, second)
		}
	case *notation.Unary:
		return factorsOf(list, x.X, power)
	}
	return append(list, factorOf{e, power})
}

// powerConstants are the factors of T = 9550·P/n and its like, in numbers of kW, rpm
// and N·m, hp, rpm and lbf·in, or hp, rpm and lbf·ft. 60000/(2·π) = 9549.3; 33000/(2·π)
// = 5252.1 and 12 times that, as 1 hp is 33000 ft·lbf/min.
var powerConstants = []float64{9550, 9549, 9549.3, 9549.297, 9.55, 9.549, 9.5493, 5252, 5252.1, 63025, 63000}

// noteTurned looks at each product of a statement in which a rotational speed was
// found.
func (c *Checker) noteTurned(s notation.Stmt) {
	if !c.turned || c.list.HasErrors() {
		return
	}
	notation.Inspect(s, func(n notation.Node) bool {
		product, ok := n.(*notation.Binary)
		if !ok || product.Op != notation.OpMul && product.Op != notation.OpDiv {
			return true
		}
		c.noteProduct(product)
		return false
	})
}

// noteProduct notes a product of a rotational speed and a torque, a length or a time
// that has 2·π in it once more, and one of a constant that stands for units.
func (c *Checker) noteProduct(product *notation.Binary) {
	pis, turns, number, rest := 0, 0, "", unit.Dimension{}
	var kept []factorOf
	for _, f := range factorsOf(nil, product, 1) {
		if n, ok := f.e.(*notation.Number); ok {
			for _, v := range powerConstants {
				if n.Value == v {
					number = n.Text
				}
			}
			continue
		}
		if n, ok := notation.Unparen(f.e).(*notation.Name); ok && n.Ident == "π" {
			pis += f.power
			continue
		}
		t := c.quietly(f.e)
		if t.Kind == Invalid {
			return
		}
		if t.Speed == unit.Turning && !t.Pi {
			turns += f.power
		} else {
			switch t.Dim {
			case torqueDim, forceDim, lengthDim, timeDim, powerDim, unit.Dimension{}:
			default:
				return // of a formula for the stress, say, whose π is of the section
			}
			d, ok := rest.Mul(t.Dim)
			if f.power < 0 {
				d, ok = rest.Div(t.Dim)
			}
			if rest = d; !ok {
				return
			}
		}
		kept = append(kept, f)
	}
	if turns != 1 && turns != -1 || len(kept) > 3 {
		return
	}
	isPower := rest == torqueDim && turns == 1 || rest == powerDim && turns == -1
	var d *source.Diagnostic
	switch {
	case turns == 1 && pis == 1 && (rest == torqueDim || rest == lengthDim || rest == timeDim || rest.IsNumber()):
		d = c.list.Notef(product.Span(), CodeTurns, "this multiplies by 2·π twice, since a speed in rpm has it already (1 rpm = 2·π/60 rad/s)")
		switch {
		case rest == torqueDim:
			d.Repair = "the power of a torque T at the speed n is T·n"
		case rest == lengthDim:
			d.Repair = "the speed at a radius r is r·n, and at a diameter d it is d/2·n"
			return
		case rest == timeDim:
			d.Repair = "the angle in a time t is n·t"
		default:
			d.Repair = "n in rad/s is n itself, and " + `“in rad/s” shows it so`
			return
		}
	case number != "" && pis == 0 && isPower:
		d = c.list.Notef(product.Span(), CodeTurns, "the factor %s belongs to bare numbers in fixed units; with units it is not needed", number)
		d.Repair = "the power of a torque T at the speed n is T·n, and the torque of a power P is P/n"
	default:
		return
	}
	if text := productOf(kept); text != "" {
		d.Choose(product.Span(), text)
	}
}

var timeDim = unit.Base(0, 0, 1)

// quietly infers a type and reports nothing.
func (c *Checker) quietly(e notation.Expr) Type {
	list, clashes := c.list, c.clashes
	t := c.expr(e)
	if len(c.list) > len(list) {
		t = invalid
	}
	c.list, c.clashes = list, clashes
	return t
}

// productOf writes factors as a product or a quotient, "" if none is above the stroke.
func productOf(factors []factorOf) string {
	var above, below []string
	for _, f := range factors {
		text := f.e.Span().Content()
		if _, isQuantity := f.e.(*notation.Quantity); isQuantity {
			text = "(" + text + ")"
		}
		if f.power > 0 {
			above = append(above, text)
		} else {
			below = append(below, text)
		}
	}
	switch {
	case len(above) == 0:
		return ""
	case len(below) == 0:
		return strings.Join(above, "·")
	case len(below) == 1:
		return strings.Join(above, "·") + "/" + below[0]
	}
	return strings.Join(above, "·") + "/(" + strings.Join(below, "·") + ")"
}
