package working

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/leastsquares"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// readingsValue is what readings stand for: pairs in SI base units.
type readingsValue struct {
	n      *notation.Readings
	xs, ys []float64
}

// axesOf returns the types of x and y of readings, or of a line through them.
func axesOf(it *item) (axes [2]check.Type) {
	switch it.node.(type) {
	case *notation.Readings, *notation.Line:
		copy(axes[:], it.info.Columns)
	}
	return axes
}

// readings evaluates each reading and shows them by their numbers.
func (e *evaluation) readings(n *notation.Readings) {
	v := &readingsValue{n: n}
	for i := range n.Xs {
		x, okX := e.reading(n.Xs[i], n.X)
		y, okY := e.reading(n.Ys[i], n.Y)
		if !okX || !okY {
			return
		}
		v.xs, v.ys = append(v.xs, x), append(v.ys, y)
	}
	e.obj = v
	t := e.readingsTable(v)
	t.table.certain = nil // they are shown as they were written
	e.r.Table = t.table
}

// reading is a value in SI base units; a bare number is in the unit of its axis.
func (e *evaluation) reading(x notation.Expr, a notation.ReadingsAxis) (float64, bool) {
	if v, bare := notation.BareNumber(x); bare && a.Unit != nil {
		return v * a.Unit.Unit.Factor, true
	}
	return e.number(x)
}

// A readingsTable is a table with a row for each reading.
type readingsTable struct {
	e     *evaluation
	table *Table
	v     *readingsValue
	units [2]unit.Unit // of x and y
}

// readingsTable returns a table with the number of each reading, x and y.
func (e *evaluation) readingsTable(v *readingsValue) *readingsTable {
	rows := len(v.xs)
	t := &readingsTable{e: e, v: v, table: &Table{Rows: make([][]string, rows), Numbers: make([][]float64, rows), step: e.w.step}}
	t.add(Header{Label: "reading"}, unit.Unit{Factor: 1}, unit.Rounding{}, func(i int) float64 { return float64(i + 1) })
	for k, a := range []notation.ReadingsAxis{v.n.X, v.n.Y} {
		values := [][]float64{v.xs, v.ys}[k]
		u := e.axisUnit(k, values)
		t.units[k] = u
		t.add(Header{Expr: a.Name, Unit: u.Text, Dim: u.Dim}, u, unit.Rounding{}, func(i int) float64 { return values[i] })
		for i, x := range [][]notation.Expr{v.n.Xs, v.n.Ys}[k] {
			if text, ok := asRead(x, a, u); ok {
				t.table.Rows[i][k+1] = text
			}
		}
	}
	return t
}

// asRead returns the number of a reading as it was written, if that is in the unit in
// which it is shown.
func asRead(x notation.Expr, a notation.ReadingsAxis, shown unit.Unit) (string, bool) {
	if _, bare := notation.BareNumber(x); bare && (a.Unit == nil || a.Unit.Text == shown.Text) {
		return notation.Print(x), true
	}
	if q, ok := x.(*notation.Quantity); ok && q.Unit.Text == shown.Text {
		return notation.Print(q.Number), true
	}
	return "", false
}

// axisUnit is the unit in which x (axis 0) or y (axis 1) is shown.
func (e *evaluation) axisUnit(axis int, values []float64) unit.Unit {
	t := e.it.info.Columns[axis]
	if t.Unit != nil {
		return *t.Unit
	}
	largest := 0.0
	for _, v := range values {
		largest = max(largest, math.Abs(v))
	}
	return e.w.unitFor(largest, t)
}

// add adds a column of numbers; one that is NaN is absent.
func (t *readingsTable) add(h Header, u unit.Unit, r unit.Rounding, value func(i int) float64) {
	bare := unit.Unit{Factor: u.Factor}
	t.table.Headers = append(t.table.Headers, h)
	t.table.bare = append(t.table.bare, bare)
	for i := range t.v.xs {
		t.e.w.step(formatWork)
		v, text := value(i), Absent
		if !math.IsNaN(v) {
			text = unit.Format(v, bare, r)
		}
		t.table.Rows[i] = append(t.table.Rows[i], text)
		t.table.Numbers[i] = append(t.table.Numbers[i], v)
	}
}

// Field implements program.Fielder.
func (v *readingsValue) Field(name string, args []float64) (float64, error) {
	if name == "count" {
		return float64(len(v.xs)), nil
	}
	i, err := readingNumber(args[0], len(v.xs))
	if err != nil {
		return 0, err
	}
	if name == "x" {
		return v.xs[i-1], nil
	}
	return v.ys[i-1], nil
}

// readingNumber returns which reading a number names, from 1.
func readingNumber(v float64, count int) (int, error) {
	if !whole(v) || v < 1 || v > float64(count) {
		return 0, fmt.Errorf("the number of a reading is a whole number from 1 to %d, not %s", count, unit.Format(v, unit.Unit{Factor: 1}, unit.Rounding{}))
	}
	return int(v), nil
}

// FieldBlock implements program.Fielder.
func (v *readingsValue) FieldBlock(dst []float64, name string, args [][]float64) error {
	return blockOf(v.Field, dst, name, args)
}

// blockOf fills a block one by one; what does not exist is NaN.
func blockOf(field func(name string, args []float64) (float64, error), dst []float64, name string, args [][]float64) error {
	at := make([]float64, len(args))
	for i := range dst {
		for k := range args {
			at[k] = args[k][i]
		}
		y, err := field(name, at)
		if err != nil {
			y = math.NaN()
		}
		dst[i] = y
	}
	return nil
}

// FieldBracket implements program.Fielder. A reading is the decimal that was written, in
// its unit: rounded up to three times.
func (v *readingsValue) FieldBracket(name string, args []interval.Interval) (interval.Interval, error) {
	y, err := v.Field(name, middles(args))
	if err != nil || name == "count" {
		return interval.Interval{Lo: y, Hi: y}, err
	}
	return around(y, 3*0x1p-52*math.Abs(y)), nil
}

func middles(args []interval.Interval) []float64 {
	at := make([]float64, len(args))
	for i, a := range args {
		at[i] = wholeIn(a)
	}
	return at
}

// Cost implements program.Fielder.
func (v *readingsValue) Cost(string, []float64) int64 { return 10 }

// IsBracket implements program.Fielder.
func (v *readingsValue) IsBracket(string) bool { return false }

// lineValue is the line through readings.
type lineValue struct {
	readings *readingsValue
	n        *notation.Line
	fit      *leastsquares.Line
	without  []bool
	t        float64 // of Student, for an interval of 95 %
}

// lineWork is what a line through one reading costs, in the unit of program.Limits.Work.
const lineWork = 20_000

// line finds the line, and shows how far each reading is from it.
func (e *evaluation) line(n *notation.Line) {
	object, _ := scope{e.w}.Lookup(n.Through.Ident)
	v, ok := object.(*readingsValue)
	if !ok {
		return
	}
	if err := e.run.Book(0, lineWork*int64(len(v.xs))); err != nil {
		e.report(err, n.Span())
		return
	}
	without, ok := e.leftOut(n, len(v.xs))
	if !ok {
		return
	}
	fit, err := leastsquares.Through(v.xs, v.ys, n.Origin, without)
	if err != nil {
		e.noLine(n, v, err)
		return
	}
	line := &lineValue{v, n, fit, without, leastsquares.StudentT(1-intervalShare, fit.Freedom)}
	e.obj = line
	e.residualTable(line)
}

// intervalShare is how often an interval of so many standard errors holds the slope.
const intervalShare = 0.95

// leftOut reports which readings are left out. The number 0 leaves out none, so that a
// slider can choose.
func (e *evaluation) leftOut(n *notation.Line, count int) ([]bool, bool) {
	without := make([]bool, count)
	for _, x := range n.Without {
		v, ok := e.number(x)
		if !ok {
			return nil, false
		}
		if v == 0 {
			continue
		}
		i, err := readingNumber(v, count)
		if err != nil {
			e.fail(x.Span(), CodeRange, "%s", err).Repair = "the table of the readings has their numbers; 0 leaves none out"
			return nil, false
		}
		without[i-1] = true
	}
	return without, true
}

// noLine reports why there is no line.
func (e *evaluation) noLine(n *notation.Line, v *readingsValue, err error) {
	var few *leastsquares.FewError
	x := v.n.X.Name.Ident
	switch {
	case errors.As(err, &few):
		through := "a line"
		if n.Origin {
			through = "a line through the origin"
		}
		e.fail(n.Through.Span(), CodeRange, "%s needs at least %s for its standard error, and there %s %d", through,
			words.Count(few.Need, "reading"), map[bool]string{true: "is", false: "are"}[few.Have == 1], few.Have).
			Repair = "take more readings, or leave fewer out"
	case errors.Is(err, leastsquares.ErrSameX):
		what := "all readings are at one " + x
		if n.Origin {
			what = "all readings are at " + x + " = 0"
		}
		e.fail(n.Through.Span(), CodeRange, "%s, so they do not say how the line is inclined", what).
			Repair = "take readings at several values of " + x
	default:
		e.fail(n.Through.Span(), CodeRange, "the line has no value: %s", err).Repair = "look at the size of the readings"
	}
}

// residualTable shows each reading with its residual and its distance
// from the line through the others in standard errors.
func (e *evaluation) residualTable(v *lineValue) {
	t := e.readingsTable(v.readings)
	y := v.readings.n.Y
	u := t.units[1]
	t.add(Header{Label: y.Name.Ident + " − line", Unit: u.Text, Dim: u.Dim}, u, residualRounding(v.fit.Scatter/u.Factor), func(i int) float64 { return v.fit.Residuals[i] })
	t.add(Header{Label: "studentised residual"}, unit.Unit{Factor: 1}, unit.Rounding{Places: 1, HasPlaces: true}, func(i int) float64 { return v.fit.Studentised[i] })
	label := "stands out"
	if v.fit.Limit > 0 {
		label = "stands out beyond " + unit.Format(v.fit.Limit, unit.Unit{Factor: 1}, unit.Rounding{Figures: 3})
	}
	t.table.Headers = append(t.table.Headers, Header{Label: label, Words: true})
	t.table.bare = append(t.table.bare, unit.Unit{Factor: 1})
	for i := range v.readings.xs {
		t.table.Rows[i] = append(t.table.Rows[i], v.remark(i))
		t.table.Numbers[i] = append(t.table.Numbers[i], math.NaN())
	}
	t.table.certain = func(row, column int) bool {
		return column < 3 || column == len(t.table.Headers)-1 || t.table.Rows[row][column] == Absent
	}
	e.r.Table = t.table
}

// residualRounding shows all residuals to as many places as give their scatter two
// figures.
func residualRounding(scatter float64) unit.Rounding {
	for places := range mostPlaces {
		if scatter >= 10 {
			return unit.Rounding{Places: places, HasPlaces: true}
		}
		scatter *= 10
	}
	return unit.Rounding{Figures: 3}
}

const mostPlaces = 10

// remark is what is said of a reading beside its residual.
func (v *lineValue) remark(i int) string {
	switch out := v.fit.StandsOut(i); {
	case v.without[i] && out:
		return "left out; stands out"
	case v.without[i]:
		return "left out"
	case out:
		return "stands out"
	}
	return Absent
}

// at returns the line at x.
func (v *lineValue) at(x float64) float64 { return v.fit.Intercept + float64(v.fit.Slope*x) }

// used is how many readings the line goes through.
func (v *lineValue) used() int {
	n := 0
	for _, left := range v.without {
		if !left {
			n++
		}
	}
	return n
}

// Field implements program.Fielder.
func (v *lineValue) Field(name string, args []float64) (float64, error) {
	switch name {
	case "slope":
		return v.fit.Slope, nil
	case "slope_error":
		return v.fit.SlopeError, nil
	case "intercept":
		return v.fit.Intercept, nil
	case "intercept_error":
		if v.n.Origin {
			return 0, fmt.Errorf("%s goes through the origin, so its intercept is 0 and has no standard error", v.n.Name.Ident)
		}
		return v.fit.InterceptError, nil
	case "scatter":
		return v.fit.Scatter, nil
	case "t":
		return v.t, nil
	case "count":
		return float64(v.used()), nil
	case "at":
		return v.at(args[0]), nil
	case "residual":
		i, err := readingNumber(args[0], len(v.fit.Residuals))
		if err != nil {
			return 0, err
		}
		return v.fit.Residuals[i-1], nil
	}
	return 0, fmt.Errorf("a line has no value called %s", name)
}

// FieldBlock implements program.Fielder.
func (v *lineValue) FieldBlock(dst []float64, name string, args [][]float64) error {
	return blockOf(v.Field, dst, name, args)
}

// errReadings is why what follows from readings is an estimate.
var errReadings = errors.New("it comes from readings, whose errors nothing bounds; a standard error says how they scatter and is no bracket")

// FieldBracket implements program.Fielder. Only what is counted, and Student's t, is
// bounded.
func (v *lineValue) FieldBracket(name string, args []interval.Interval) (interval.Interval, error) {
	y, err := v.Field(name, middles(args))
	switch {
	case err != nil:
		return interval.Interval{}, err
	case name == "count", name == "intercept" && v.n.Origin:
		return interval.Interval{Lo: y, Hi: y}, nil
	case name == "t":
		return around(y, studentError*y), nil
	}
	return interval.Interval{}, errReadings
}

// studentError is how far off Student's t may be, as a share: compared with a library,
// with room, and not proven.
const studentError = 1e-11

// Cost implements program.Fielder.
func (v *lineValue) Cost(string, []float64) int64 { return 10 }

// IsBracket implements program.Fielder.
func (v *lineValue) IsBracket(string) bool { return false }

// numberOf writes the number of a reading.
func numberOf(i int) string { return strconv.Itoa(i + 1) }
