package working

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// mostFindings is how many curves of a plot are put into words; the others are
// in its description and its table.
const mostFindings = 3

// heading names what is plotted: "d(x) along x", "error against n". Along is
// said of x only, which is the place on a shaft throughout the notation.
func heading(n *notation.Plot) string {
	names := make([]string, len(n.Columns))
	for i, c := range n.Columns {
		names[i] = columnName(c)
	}
	if word := n.Columns[0].Label; opening().MatchString(word) {
		names[0] = strings.ToUpper(word[:1]) + word[1:]
	}
	link := " against "
	if n.Range.Var.Ident == "x" {
		link = " along "
	}
	return words.And(names) + link + typeset.Plain(n.Range.Var)
}

// opening is a word that may begin a title with a capital; a symbol keeps its
// letter.
var opening = pattern.New(`^[a-z]{2}`)

func columnName(c *notation.Column) string {
	if c.Label != "" {
		return c.Label
	}
	return typeset.Plain(c.Expr)
}

// A reading puts the curves of one plot into words.
type reading struct {
	x            string // the name along the axis
	xUnit, yUnit unit.Unit
	steep        bool // both axes are logarithmic, so that a slope is a power
	chosen       bool // the author chose the values along the axis, and nothing is between them
}

// finding describes in a sentence or a few what the curves do.
func (r reading) finding(xs []float64, all []series) string {
	var said []string
	for i, s := range all {
		if i == mostFindings {
			break
		}
		name := columnName(s.column)
		if s.column.Label != "" {
			name = "“" + name + "”"
		}
		if len(all) == 1 {
			name = "It"
		}
		if s.isBracket() {
			first, last := s.high[0]-s.low[0], s.high[len(xs)-1]-s.low[len(xs)-1]
			said = append(said, fmt.Sprintf("%s is %s wide at %s and %s at %s", name,
				r.y(first), r.valueText(xs[0]), r.y(last), r.valueText(xs[len(xs)-1])))
			continue
		}
		said = append(said, r.course(name, xs, s.low))
	}
	return strings.Join(said, "; ")
}

func (r reading) y(v float64) string { return unit.Format(v, r.yUnit, unit.Rounding{}) }

func (r reading) valueText(x float64) string {
	return r.x + " = " + unit.Format(x, r.xUnit, unit.Rounding{})
}

// extreme words the greatest or least of a curve, the i-th of its points: how large it is,
// and where. Between two points a curve may go a little farther, so that one in the middle
// of a bend is only about right.
func (r reading) extreme(xs, ys []float64, i int) (value, where string) {
	if r.chosen || isCertain(xs, ys, i) {
		return r.y(ys[i]), r.valueText(xs[i])
	}
	three := unit.Rounding{Figures: 3}
	return "about " + unit.Format(ys[i], r.yUnit, three), r.x + " ≈ " + unit.Format(xs[i], r.xUnit, three)
}

// isCertain reports whether a point is an end of the curve, or a step that was given a
// point of its own, or lies where the curve is level.
func isCertain(xs, ys []float64, i int) bool {
	n := len(xs) - 1
	if i == 0 || i == n {
		return true
	}
	near, least := 1e-8*math.Abs(xs[n]-xs[0]), rounding(ys)
	return math.Abs(xs[i]-xs[i-1]) <= near || math.Abs(xs[i+1]-xs[i]) <= near ||
		math.Abs(ys[i]-ys[i-1]) <= least || math.Abs(ys[i+1]-ys[i]) <= least
}

// course describes how one curve runs.
func (r reading) course(name string, xs, ys []float64) string {
	n := len(ys) - 1
	up, down := turns(ys)
	lo, hi := slices.Index(ys, slices.Min(ys)), slices.Index(ys, slices.Max(ys))
	least, atLeast := r.extreme(xs, ys, lo)
	most, atMost := r.extreme(xs, ys, hi)
	var text string
	switch {
	case !up && !down:
		return fmt.Sprintf("%s stays at %s", name, r.y(ys[0]))
	case !down:
		text = fmt.Sprintf("%s %s from %s to %s", name, steadily("increases", ys), r.y(ys[0]), r.y(ys[n]))
	case !up:
		text = fmt.Sprintf("%s %s from %s to %s", name, steadily("decreases", ys), r.y(ys[0]), r.y(ys[n]))
	case rises(ys[:hi+1]) && falls(ys[hi:]):
		text = fmt.Sprintf("%s rises to %s at %s, then falls to %s", name, most, atMost, r.y(ys[n]))
	case falls(ys[:lo+1]) && rises(ys[lo:]):
		text = fmt.Sprintf("%s falls to %s at %s, then rises to %s", name, least, atLeast, r.y(ys[n]))
	default:
		text = fmt.Sprintf("%s goes up and down, between %s at %s and %s at %s", name, least, atLeast, most, atMost)
	}
	if slope, ok := powerOf(xs, ys); ok && r.steep && up != down {
		text += fmt.Sprintf("; its slope towards the right is %s, so doubling %s multiplies it by %s",
			figures(slope), r.x, figures(elementary.Pow(2, slope)))
	}
	return text
}

func figures(v float64) string {
	return unit.Format(v, unit.Unit{Factor: 1}, unit.Rounding{Figures: 3})
}

// rounding is the size of a step of a curve that means nothing.
func rounding(ys []float64) float64 {
	return 1e-12 * max(math.Abs(slices.Max(ys)), math.Abs(slices.Min(ys)))
}

// turns reports whether a curve rises anywhere and falls anywhere, steps of
// rounding left out.
func turns(ys []float64) (up, down bool) {
	least := rounding(ys)
	for i := 1; i < len(ys); i++ {
		up = up || ys[i]-ys[i-1] > least
		down = down || ys[i-1]-ys[i] > least
	}
	return up, down
}

// steadily says how a curve runs that only increases, or only decreases.
func steadily(verb string, ys []float64) string {
	least := rounding(ys)
	for i := 1; i < len(ys); i++ {
		if math.Abs(ys[i]-ys[i-1]) <= least {
			return verb + " or stays level,"
		}
	}
	return verb + " steadily"
}

func rises(ys []float64) bool { _, down := turns(ys); return !down }
func falls(ys []float64) bool { up, _ := turns(ys); return !up }

// powerOf returns the power p of y ~ xᵖ that is seen in the right half of a
// curve: the median of the slopes between neighbours on logarithmic axes, which
// a few values lost to rounding do not move.
func powerOf(xs, ys []float64) (float64, bool) {
	var slopes []float64
	for i := max(1, len(xs)/2); i < len(xs); i++ {
		s := elementary.Ln(ys[i]/ys[i-1]) / elementary.Ln(xs[i]/xs[i-1])
		if !math.IsNaN(s) && !math.IsInf(s, 0) {
			slopes = append(slopes, s)
		}
	}
	if len(slopes) < 2 {
		return 0, false
	}
	slices.Sort(slopes)
	return slopes[len(slopes)/2], true
}

// shaftFinding describes what a drawing of a shaft should be looked at for: how far
// it turns, and how hard it is sheared, and where.
func (e *evaluation) shaftFinding(v shaftValue) string {
	s := v.s
	angle := func(theta, at float64) string {
		u := e.w.unitFor(theta, check.Type{Angle: check.IsAngle})
		if at == s.Length() {
			return v.markedWhole("twist", theta, u)
		}
		of, proof := v.bounds("twist", at)
		return marked(theta, of, proof, 1, u)
	}
	most, at := s.TwistTotal(), s.Length()
	for _, p := range alongShaft(s) {
		// A value that is the greatest by rounding alone does not take the
		// place of the end.
		if theta, err := s.Twist(p.at); err == nil && math.Abs(theta) > math.Abs(most)*(1+1e-9) {
			most, at = theta, p.at
		}
	}
	if most == 0 {
		return "Nothing twists this shaft"
	}
	text := fmt.Sprintf("The far end turns by %s relative to x = 0", angle(most, at))
	if at != s.Length() {
		text = fmt.Sprintf("It turns most at about x = %s, by %s relative to x = 0", e.showShaft(at, shaft.Length), angle(most, at))
	}
	stress, where := s.StressMax()
	return text + fmt.Sprintf("; the greatest shear stress is %s, at x = %s", v.markedWhole("stress_max", stress, e.shaftUnit(stress, shaft.Stress)), e.showShaft(where, shaft.Length))
}
