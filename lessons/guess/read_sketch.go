package guess

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/unit"
)

// shapeUnit stands where a kept sketch names its upward unit, if it is of a shape only.
const shapeUnit = "shape"

// A drawn sketch is a chain of points; two at one x are a jump. Values are in the units
// that it names.
type drawn struct {
	xUnit, yUnit string
	x, y         []float64
}

// readSketch reads the values of a sketch, a line for each point of its field. A point
// without a value is on the straight line between its neighbours, at an end level with the
// nearest.
func readSketch(f *Field, typed string) (Made, *Doubt) {
	lines := strings.Split(typed, "\n")
	if len(lines) != len(f.Points) {
		return Made{}, &Doubt{Message: "This sketch has other points than the lesson has today. Load the page again."}
	}
	y := make([]float64, len(lines))
	given := make([]bool, len(lines))
	any := false
	for i, line := range lines {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		at := "At " + f.X.Label + " = " + f.Where(f.Points[i]) + ": "
		if f.Points[i].Side != Both {
			at = "J" + f.Where(f.Points[i])[1:] + ": " // just before, just after
		}
		v, ok := f.read(line)
		if !ok {
			return Made{}, &Doubt{Message: at + "“" + line + "” is not a number" + inUnit(f.Y.Unit) + "."}
		}
		if slack := 1e-9 * (f.Y.Max - f.Y.Min); v < f.Y.Min-slack || v > f.Y.Max+slack {
			return Made{}, &Doubt{Message: fmt.Sprintf("%s%s is beyond the field, which goes from %s to %s.", at, f.Value(v), f.Value(f.Y.Min), f.Value(f.Y.Max))}
		}
		y[i], given[i], any = v, true, true
	}
	if !any {
		return Made{}, &Doubt{Message: "Draw a line first, or type values."}
	}
	d := drawn{xUnit: f.X.Unit, yUnit: f.Y.Unit, y: filled(f.Points, y, given)}
	if f.ShapeOnly {
		d.yUnit = shapeUnit
	}
	for _, p := range f.Points {
		d.x = append(d.x, p.X)
	}
	return Made{Text: d.String()}, nil
}

func inUnit(u string) string {
	if u == "" {
		return ""
	}
	return " in " + u
}

// read reads one value in the unit of the field: a plain number, or one with a unit of the
// same kind.
func (f *Field) read(s string) (float64, bool) {
	if v, ok := plainNumber(s); ok {
		return v, true
	}
	if f.Y.Unit == "" {
		return 0, false
	}
	own, err := unit.Parse(f.Y.Unit)
	if err != nil {
		return 0, false
	}
	end := strings.LastIndexAny(s, "0123456789.") + 1
	for i := 1; i <= len(s); i++ { // the longest number at its beginning
		if _, ok := plainNumber(strings.TrimSpace(s[:i])); ok {
			end = i
		}
	}
	v, ok := plainNumber(strings.TrimSpace(s[:end]))
	u, err := unit.Parse(strings.TrimSpace(s[end:]))
	if !ok || err != nil || u.Dim != own.Dim {
		return 0, false
	}
	v = u.SI(v) / own.Factor
	return v, !math.IsInf(v, 0) && !math.IsNaN(v)
}

// plainNumber reads a finite number in decimal digits, with a point or a comma.
func plainNumber(s string) (float64, bool) {
	s = strings.NewReplacer("−", "-", ",", ".").Replace(s)
	if len(s) > 32 || strings.ContainsFunc(s, func(c rune) bool { return !strings.ContainsRune("0123456789.+-eE", c) }) {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, false
	}
	return v, true
}

// filled gives each point a value: points without one lie on the straight line between
// those that have one. At least one must.
func filled(points []Point, y []float64, given []bool) []float64 {
	out := make([]float64, len(y))
	last := -1
	for i := range y {
		if !given[i] {
			continue
		}
		out[i] = y[i]
		for k := last + 1; k < i; k++ {
			switch {
			case last < 0 || points[k].X == points[i].X:
				out[k] = y[i]
			case points[k].X == points[last].X:
				out[k] = y[last]
			default:
				t := (points[k].X - points[last].X) / (points[i].X - points[last].X)
				out[k] = float64(y[last]*(1-t)) + float64(y[i]*t)
			}
		}
		last = i
	}
	for k := last + 1; k < len(y); k++ {
		out[k] = y[last]
	}
	return out
}

// String writes a sketch as it is kept: "mm|N·m|0 200;400 200;400 -320;1200 -320".
func (d drawn) String() string {
	var pairs []string
	for i := range d.x {
		pairs = append(pairs, strconv.FormatFloat(d.x[i], 'g', 10, 64)+" "+strconv.FormatFloat(d.y[i], 'g', 10, 64))
	}
	return d.xUnit + "|" + d.yUnit + "|" + strings.Join(pairs, ";")
}

// readDrawn reads a kept sketch in the units of a field. ok is false for one that cannot
// be set beside its curve as the lesson is today.
func readDrawn(f *Field, text string) (d drawn, ok bool) {
	part := strings.Split(text, "|")
	if len(part) != 3 || f == nil || f.ShapeOnly != (part[1] == shapeUnit) {
		return d, false
	}
	d.xUnit, d.yUnit = part[0], part[1]
	xFactor, ok := factorBetween(d.xUnit, f.X.Unit)
	if !ok {
		return d, false
	}
	yFactor := 1.0
	if !f.ShapeOnly {
		if yFactor, ok = factorBetween(d.yUnit, f.Y.Unit); !ok {
			return d, false
		}
	}
	for _, pair := range strings.Split(part[2], ";") {
		a, b, _ := strings.Cut(pair, " ")
		x, ok1 := plainNumber(a)
		y, ok2 := plainNumber(b)
		x, y = x*xFactor, y*yFactor
		if n := len(d.x); !ok1 || !ok2 || n >= mostPoints || n > 0 && x < d.x[n-1] || math.IsInf(x, 0) || math.IsInf(y, 0) {
			return d, false
		}
		d.x, d.y = append(d.x, x), append(d.y, y)
	}
	slack := 0.01 * (f.X.Max - f.X.Min)
	n := len(d.x)
	return d, n >= 2 && math.Abs(d.x[0]-f.X.Min) <= slack && math.Abs(d.x[n-1]-f.X.Max) <= slack
}

// factorBetween returns how many of one unit another one is.
func factorBetween(from, to string) (float64, bool) {
	if from == to {
		return 1, true
	}
	a, err1 := unit.Parse(from)
	b, err2 := unit.Parse(to)
	if err1 != nil || err2 != nil || a.Dim != b.Dim {
		return 0, false
	}
	return a.Factor / b.Factor, true
}
