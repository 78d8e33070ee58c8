package guess

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
)

// alikeDrawn is how far a sketch may be from its curve and still follow it, as a share of
// the largest size of the curve. Common practice, no source.
const alikeDrawn = 0.07

// sketched returns a kept sketch as a course; ok is false for one of another curve. Of a
// shape the largest size is 1, whatever was drawn.
func (f *Field) sketched(text string) (course, bool) {
	d, ok := readDrawn(f, text)
	if !ok {
		return course{}, false
	}
	if most := largest(d.y); f.ShapeOnly && most > 0 {
		for i := range d.y {
			d.y[i] /= most
		}
	}
	return newCourse(f, d.x, d.y), true
}

func (f *Field) truth() course { return newCourse(f, f.Curve.X, f.Curve.Y) }

// Picture returns the curve with sketches of it on the axes of the field; ok is false
// where there is none.
func (g *Guess) Picture(t Truth, sketches []string) (p *plot.Plot, ok bool) {
	f := t.Field
	if f == nil {
		return nil, false
	}
	p = &plot.Plot{Heading: "The lesson’s curve", X: f.X, Y: f.Y, Quantity: f.Quantity}
	right := f.Curve
	right.Label = "the lesson"
	p.Curves = append(p.Curves, right)
	if p.Y.Label == "" {
		p.Y.Label = f.Curve.Label
	}
	if f.ShapeOnly {
		p.Y.Label += ", its largest size as 1"
	}
	if len(sketches) > 2 {
		sketches = []string{sketches[0], sketches[len(sketches)-1]}
	}
	for i, text := range sketches {
		c, ok := f.sketched(text)
		if !ok {
			continue
		}
		label := "your sketch"
		if len(sketches) > 1 {
			label = [...]string{"your first sketch", "your last sketch"}[i]
		}
		p.Heading = "Your sketch and the lesson’s curve"
		p.Curves = append(p.Curves, plot.Curve{Label: label, X: c.x, Y: c.y})
	}
	return p, p.Check() == nil
}

// compareSketch says how a sketch compares with its curve.
func (f *Field) compareSketch(s course) string {
	t := f.truth()
	switch {
	case t.isZero() && s.isZero():
		return "As you drew it."
	case t.isZero():
		i := mostAt(s.y)
		return "Yours goes as far as " + f.said(s.y[i]) + ", at " + f.position(s.x[i]) + "."
	case s.isZero():
		return "Yours is zero all along."
	}
	d := f.differences(s, t)
	if d.most <= alikeDrawn*t.size && len(d.jumps) == 0 {
		return "Yours follows it all along, as closely as a sketch can."
	}
	if words := f.sameShape(s, t, d); words != "" {
		return words
	}
	var all []string
	if words := f.shapes(s, t); words != "" {
		all = append(all, words)
	}
	all = append(all, d.jumps...)
	if words := f.ends(s, t); words != "" {
		all = append(all, words)
	}
	if d.most > alikeDrawn*t.size {
		all = append(all, "The two part most at "+f.position(d.x)+": yours is "+f.said(d.yours)+", the lesson’s "+f.said(d.right)+".")
	}
	return strings.Join(all, " ")
}

func (f *Field) position(x float64) string { return f.X.Label + " = " + f.place(x) }

// mostAt returns where the size of a value is largest.
func mostAt(ys []float64) int {
	at := 0
	for i, y := range ys {
		if math.Abs(y) > math.Abs(ys[at]) {
			at = i
		}
	}
	return at
}

// differences are those between a sketch and its curve, away from jumps.
type differences struct {
	most, x, yours, right float64
	jumps                 []string  // sentences on jumps that are not alike
	yoursAt, rightAt      []float64 // both at the same places
}

func (f *Field) differences(s, t course) differences {
	var d differences
	var without [][2]float64 // ranges in which a jump makes any difference
	d.jumps, without = f.jumpWords(s, t)
	for i, x := range t.x {
		if slices.ContainsFunc(without, func(r [2]float64) bool { return x > r[0] && x < r[1] }) {
			continue
		}
		before := i+1 < len(t.x) && t.x[i+1]-x <= 1e-6*t.span
		yours := s.at(x, before)
		d.yoursAt, d.rightAt = append(d.yoursAt, yours), append(d.rightAt, t.y[i])
		if off := math.Abs(yours - t.y[i]); off > d.most {
			d.most, d.x, d.yours, d.right = off, x, yours, t.y[i]
		}
	}
	return d
}

// jumpWords compares the jumps. It also returns the ranges about them in which the curves
// are not compared.
func (f *Field) jumpWords(s, t course) (all []string, without [][2]float64) {
	yours, right := s.jumps(), t.jumps()
	used := make([]bool, len(yours))
	for _, j := range right {
		slack := nearStation * t.span
		k := slices.IndexFunc(yours, func(y jump) bool { return math.Abs(y.x-j.x) <= slack })
		switch {
		case k >= 0:
			used[k] = true
			if (yours[k].by < 0) != (j.by < 0) {
				all = append(all, "At "+f.place(j.x)+" yours jumps the other way.")
			}
			without = append(without, [2]float64{min(j.x, yours[k].x) - slack, max(j.x, yours[k].x) + slack})
		case f.hasNoJumps():
			// The nearest that can be drawn is a slope between two points.
			a, z := f.around(j.x, slack)
			without = append(without, [2]float64{a - slack/10, z + slack/10})
			if change := s.at(z, false) - s.at(a, true); change*j.by <= 0 || math.Abs(change) < math.Abs(j.by)/2 {
				all = append(all, "The curve jumps at "+f.place(j.x)+"; yours does not.")
			}
		default:
			all = append(all, "The curve jumps at "+f.place(j.x)+"; yours does not.")
			without = append(without, [2]float64{j.x - slack/10, j.x + slack/10})
		}
	}
	for k, j := range yours {
		if !used[k] {
			all = append(all, "Yours jumps at "+f.place(j.x)+"; the curve does not.")
		}
	}
	return all, without
}

func (f *Field) hasNoJumps() bool {
	return !slices.ContainsFunc(f.Points, func(p Point) bool { return p.Side != Both })
}

// around returns the points of the field on both sides of a place, by more than slack.
func (f *Field) around(x, slack float64) (a, z float64) {
	a, z = f.X.Min, f.X.Max
	for _, p := range f.Points {
		if p.X < x-slack {
			a = p.X
		} else if p.X > x+slack {
			z = min(z, p.X)
		}
	}
	return a, z
}

// sameShape says so if the sketch is a multiple of the curve, by the least squares of
// their difference.
func (f *Field) sameShape(s, t course, d differences) string {
	product, square := 0.0, 0.0
	for i, y := range d.rightAt {
		product += float64(d.yoursAt[i] * y)
		square += float64(y * y)
	}
	if square == 0 || len(d.jumps) > 0 && product > 0 {
		return ""
	}
	k := product / square
	for i, y := range d.rightAt {
		if math.Abs(d.yoursAt[i]-float64(k*y)) > alikeDrawn*math.Abs(k)*t.size {
			return ""
		}
	}
	if math.Abs(k) < 0.02 {
		return ""
	}
	size := ""
	switch a := math.Abs(k); {
	case a >= 1.95:
		size = figure.FormatNumber(a, 2) + " times as large everywhere"
	case a > 1+alikeDrawn:
		size = figure.FormatNumber(100*(a-1), 1) + " % larger everywhere"
	case a >= 1-alikeDrawn:
	case a > 0.52:
		size = figure.FormatNumber(100*(1-a), 1) + " % smaller everywhere"
	default:
		size = "too small everywhere: the curve divided by " + figure.FormatNumber(1/a, 2)
	}
	switch {
	case k < 0 && size == "":
		return "Yours has the right shape with the opposite sign."
	case k < 0:
		return "Yours has the right shape with the opposite sign, and is " + size + "."
	case size == "":
		return "" // the difference is in places
	}
	return "Yours has the right shape and is " + size + "."
}

// shapes says how the kinds of the two courses differ.
func (f *Field) shapes(s, t course) string {
	yours, right := s.runs(), t.runs()
	if len(yours) == 1 && len(right) == 1 {
		a, b := yours[0], right[0]
		if a.kind() == b.kind() {
			return "The kind of course is right: it " + b.kind() + "."
		}
		words := "Yours " + a.kind() + "; the curve " + b.kind() + "."
		if b.shape != isStraight && b.shape != isLevel && oneWay(a) && oneWay(b) && a.up == b.up {
			words += " Half of the change is reached by " + f.position(t.half(b)) + ", in yours by " + f.place(s.half(a)) + "."
		}
		return words
	}
	isFlat := func(r run) bool { return r.shape == isLevel }
	switch {
	case f.hasNoJumps():
	case !slices.ContainsFunc(right, func(r run) bool { return !isFlat(r) }) && slices.ContainsFunc(yours, func(r run) bool { return !isFlat(r) }):
		return "Between its jumps the curve is level; yours is not everywhere."
	case !slices.ContainsFunc(yours, func(r run) bool { return !isFlat(r) }) && slices.ContainsFunc(right, func(r run) bool { return !isFlat(r) }):
		return "Yours is level throughout; the curve is not."
	}
	return ""
}

func oneWay(r run) bool { return r.shape > isLevel && r.shape < turnsOnce }

// half returns where a course of one run has changed by half of what it does.
func (c course) half(r run) float64 {
	goal := (r.from + r.to) / 2
	for i := 0; i+1 < len(c.x); i++ {
		if a, z := c.y[i], c.y[i+1]; (a-goal)*(z-goal) <= 0 && a != z {
			return c.x[i] + float64((c.x[i+1]-c.x[i])*((goal-a)/(z-a)))
		}
	}
	return c.x[len(c.x)-1]
}

// ends says at which ends a sketch is right.
func (f *Field) ends(s, t course) string {
	near := func(a, b float64) bool { return math.Abs(a-b) <= alikeDrawn*t.size }
	first, last := near(s.y[0], t.y[0]), near(s.y[len(s.y)-1], t.y[len(t.y)-1])
	switch {
	case first && last:
		return "Yours is right at both ends."
	case first:
		return "Yours is right at " + f.position(f.X.Min) + ", and not at the other end."
	case last:
		return "Yours is right at " + f.position(f.X.Max) + ", and not at the other end."
	}
	return "Yours is right at neither end."
}
