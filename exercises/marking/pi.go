package marking

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// A number of at least fewestOfPi figures that is π rounded or cut off is read as π
// from piFigures on; with fewer the learner is asked to write π.
const (
	fewestOfPi = 3
	piFigures  = 6
)

// withPi returns a formula with π for the numbers that are π as far as they are
// written, and those numbers, or the verdict on one with too few figures.
func withPi(x notation.Expr) (exact notation.Expr, meant []string, refused *Verdict) {
	pi, _ := notation.ParseExpr(source.NewText("π", "π"))
	var replace func(notation.Expr) notation.Expr
	replace = func(e notation.Expr) notation.Expr {
		n, ok := e.(*notation.Number)
		if !ok {
			return notation.Map(e, replace)
		}
		decimal := notation.Decimal(n.Text)
		figures, place := written(decimal)
		value := 0.0
		if _, err := fmt.Sscan(decimal, &value); err != nil || figures < fewestOfPi {
			return e
		}
		unit := math.Pow(10, float64(place))
		if math.Abs(value-math.Pi) > unit*slack/2 && !(value <= math.Pi && math.Pi-value < unit) {
			return e
		}
		if figures < piFigures {
			refused = &Verdict{Kind: Unreadable, Message: fmt.Sprintf("%s is π rounded, and a formula is exact. Write π, or pi, for it.", n.Text)}
			return e
		}
		if !slices.Contains(meant, n.Text) {
			meant = append(meant, n.Text)
		}
		return pi
	}
	exact = replace(x)
	return exact, meant, refused
}

// readAsPi is what is said of numbers that are read as π.
func readAsPi(meant []string) string {
	if len(meant) == 0 {
		return ""
	}
	return " " + strings.Join(meant, ", ") + " is read as π."
}

// nearlyOne reports whether ratios differ from 1 by the same small share, as a
// rounded number in a formula makes them.
func nearlyOne(ratios []float64) bool {
	return len(ratios) > 0 && constant(ratios) && math.Abs(ratios[0]-1) <= lostDigits
}
