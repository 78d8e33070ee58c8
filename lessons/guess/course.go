package guess

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/figure"
)

// What is said to be the same, as shares of the largest size of a curve; a hand is no
// sharper. Common practice, no source.
const (
	levelWithin    = 0.03 // a run that varies by less is level
	straightWithin = 0.06 // of the rise: how far a straight run may leave its chord
	smallestJump   = 0.05
	nearStation    = 0.03 // of the length: two jumps at one place
)

// A course is a curve as its words see it: a chain of points with increasing x, in the
// units of the field. Two points at almost one x are a jump.
type course struct {
	x, y []float64
	size float64 // what its variations are measured by
	span float64

	stations []Point // a jump between two samples with a station among them is at that
}

func newCourse(f *Field, x, y []float64) course {
	size := largest(y)
	if size == 0 {
		size = math.Max(math.Abs(f.Y.Min), math.Abs(f.Y.Max))
	}
	return course{x, y, size, f.X.Max - f.X.Min, f.Points}
}

// isZero reports whether a curve is nowhere other than zero.
func (c course) isZero() bool { return largest(c.y) <= 1e-9*c.size }

// at returns the value at x, on the left of a jump there if before.
func (c course) at(x float64, before bool) float64 {
	n := len(c.x)
	i, found := slices.BinarySearch(c.x, x)
	switch {
	case found:
		for !before && i+1 < n && c.x[i+1] == x {
			i++
		}
		return c.y[i]
	case i == 0:
		return c.y[0]
	case i == n:
		return c.y[n-1]
	}
	t := (x - c.x[i-1]) / (c.x[i] - c.x[i-1])
	return float64(c.y[i-1]*(1-t)) + float64(c.y[i]*t)
}

// A jump is between the points i and i+1 of a course.
type jump struct {
	i  int
	x  float64
	by float64
}

// jumps finds where a curve goes upright: two values at one place, or between two
// neighbours of a finely sampled curve that changes little before and after.
func (c course) jumps() []jump {
	var all []jump
	step := func(i int) float64 {
		if i < 0 || i+1 >= len(c.y) {
			return 0
		}
		return c.y[i+1] - c.y[i]
	}
	for i := 0; i+1 < len(c.x); i++ {
		by, wide := step(i), c.x[i+1]-c.x[i]
		sudden := math.Abs(by) > 8*math.Max(math.Abs(step(i-1)), math.Abs(step(i+1))) && math.Abs(by) > 0.1*c.size
		if math.Abs(by) > smallestJump*c.size && (wide <= 1e-6*c.span || sudden && wide <= 0.02*c.span) {
			all = append(all, jump{i, c.placeOf(i), by})
		}
	}
	return all
}

// placeOf returns where a jump between the points i and i+1 is said to be.
func (c course) placeOf(i int) float64 {
	for _, p := range c.stations {
		if p.X > c.x[i] && p.X <= c.x[i+1] {
			return p.X
		}
	}
	return c.x[i+1]
}

// A shape is the kind of a run between two jumps.
type shape int

const (
	isLevel shape = iota
	isStraight
	steepFirst // it goes one way, and most of it at its start
	steepLast
	steepBetween
	flatBetween
	turnsOnce
	turnsOften
)

// A run is a piece of a course between jumps.
type run struct {
	from, to float64 // its values at both ends
	shape    shape
	peak     int // of one that turns once: the point at which it turns
	up       bool
}

// runs cuts a course at its jumps.
func (c course) runs() []run {
	var all []run
	first := 0
	for _, j := range c.jumps() {
		all = append(all, c.run(first, j.i))
		first = j.i + 1
	}
	return append(all, c.run(first, len(c.x)-1))
}

// run tells the shape of the points from a to z.
func (c course) run(a, z int) run {
	y := c.y[a : z+1]
	r := run{from: c.y[a], to: c.y[z], up: c.y[z] > c.y[a]}
	low, high := slices.Min(y), slices.Max(y)
	if high-low <= levelWithin*c.size {
		return r
	}
	rise := math.Abs(r.to - r.from)
	if high-low > float64(1.1*rise)+float64(levelWithin*c.size)/2 {
		return c.turning(r, a, z)
	}
	above, below := 0.0, 0.0
	for i := a; i <= z; i++ {
		t := (c.x[i] - c.x[a]) / (c.x[z] - c.x[a])
		off := c.y[i] - float64(r.from*(1-t)) - float64(r.to*t)
		if !r.up {
			off = -off
		}
		above, below = math.Max(above, off), math.Max(below, -off)
	}
	switch {
	case math.Max(above, below) <= straightWithin*rise:
		r.shape = isStraight
	case below < above/3:
		r.shape = steepFirst
	case above < below/3:
		r.shape = steepLast
	case c.y[a+(z-a)/4] < float64(0.75*r.from)+float64(0.25*r.to) == r.up:
		r.shape = steepBetween
	default:
		r.shape = flatBetween
	}
	return r
}

// turning tells a run that turns once from one that turns more often.
func (c course) turning(r run, a, z int) run {
	r.shape = turnsOnce
	chord := func(i int) float64 { // from the straight line between the ends
		t := (c.x[i] - c.x[a]) / (c.x[z] - c.x[a])
		return math.Abs(c.y[i] - float64(r.from*(1-t)) - float64(r.to*t))
	}
	r.peak = a
	for i := a; i <= z; i++ {
		if chord(i) > chord(r.peak) {
			r.peak = i
		}
	}
	r.up = c.y[r.peak] > r.from
	for _, half := range [][2]int{{a, r.peak}, {r.peak, z}} {
		y := c.y[half[0] : half[1]+1]
		if slices.Max(y)-slices.Min(y) > float64(1.1*math.Abs(y[len(y)-1]-y[0]))+float64(levelWithin*c.size)/2 {
			r.shape = turnsOften
		}
	}
	return r
}

// kind is a run without its values: "rises in a straight line".
func (r run) kind() string {
	verb := "falls"
	if r.up {
		verb = "rises"
	}
	switch r.shape {
	case isLevel:
		return "is level"
	case isStraight:
		return verb + " in a straight line"
	case turnsOnce:
		if r.up {
			return "rises and then falls"
		}
		return "falls and then rises"
	case turnsOften:
		return "goes up and down"
	}
	return verb + r.bend()
}

func (r run) bend() string {
	switch r.shape {
	case steepFirst:
		return ", most at its start"
	case steepLast:
		return ", most at its end"
	case steepBetween:
		return ", most in between"
	case flatBetween:
		return ", least in between"
	}
	return ""
}

// words is a course in words with its values: "is level at 200 N·m, jumps at 400 mm to
// −320 N·m and is level".
func (c course) words(f *Field) string {
	if c.isZero() {
		return "is zero all along"
	}
	jumps := c.jumps()
	var parts []string
	for i, r := range c.runs() {
		if i > 0 {
			j := jumps[i-1]
			parts = append(parts, "jumps at "+f.place(j.x)+" to "+f.said(c.y[j.i+1]))
		}
		if j := i - 1; j >= 0 && jumps[j].i+1 == len(c.x)-1 {
			continue // a jump at the very end
		}
		parts = append(parts, c.runWords(f, r, i == 0))
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// runWords is a run with its values; the one at its start is left out after a jump to it.
func (c course) runWords(f *Field, r run, first bool) string {
	verb, from := "falls", ""
	if r.up {
		verb = "rises"
	}
	if first {
		from = " from " + f.said(r.from)
	}
	switch r.shape {
	case isLevel:
		if first {
			return "is level at " + f.said((r.from+r.to)/2)
		}
		return "is level"
	case isStraight:
		return verb + from + " to " + f.said(r.to) + " in a straight line"
	case turnsOnce:
		back := "falls"
		if !r.up {
			back = "rises"
		}
		return verb + from + " to " + f.said(c.y[r.peak]) + " at " + f.place(c.x[r.peak]) + ", then " + back + " to " + f.said(r.to)
	case turnsOften:
		return "goes up and down" + from + " to " + f.said(r.to)
	}
	return verb + from + " to " + f.said(r.to) + r.bend()
}

// place says a position along the curve.
func (f *Field) place(x float64) string {
	return figure.NumberWithUnit(figure.FormatNumber(x, 3), f.X.Unit)
}

// said says a value of a curve; of a shape in parts of its largest size.
func (f *Field) said(y float64) string {
	if !f.ShapeOnly {
		return f.Value(y)
	}
	switch {
	case math.Abs(y) < 0.005:
		return "zero"
	case y > 0.995:
		return "its largest"
	case y < -0.995:
		return "its largest below zero"
	}
	return figure.FormatNumber(y, 2) + " of its largest"
}
