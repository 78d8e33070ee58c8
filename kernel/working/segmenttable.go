package working

import (
	"math"
	"sync"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// segmentTable evaluates the table of the segments of a shaft: where each is, what it is
// like there, what it adds to the twist, and the running sum.
func (e *evaluation) segmentTable(n *notation.SegmentTable) {
	object, _ := scope{e.w}.Lookup(n.Shaft.Ident)
	value, ok := object.(shaftValue)
	if !ok {
		return
	}
	v, ok := e.number(n.Segments)
	if !ok {
		return
	}
	pieces := len(value.spec.Pieces)
	if !whole(v) || v < 1 || v*float64(pieces) > mostRows {
		e.fail(n.Segments.Span(), CodeRange, "a table can have 1 to %d segments of each piece here, a whole number", mostRows/pieces).
			Repair = "take fewer; S.segments(n) adds up as many as you like"
		return
	}
	segments, err := value.s.SegmentTwists(int(v))
	if err != nil {
		e.fail(n.Segments.Span(), CodeShaft, "%s", err)
		return
	}
	t := &Table{Rows: make([][]string, len(segments)), Numbers: make([][]float64, len(segments)), step: e.w.step}
	s := segmentColumns{e, t, segments, n.Span()}
	s.add("i", "", unit.Unit{Factor: 1}, check.Type{}, unit.Rounding{}, func(i int) float64 { return float64(i + 1) })
	length := check.Type{Kind: check.Number, Dim: unit.Base(1, 0, 0)}
	s.quantity("x_i", length, func(i int) float64 { return segments[i].X })
	s.quantity("d_i", length, func(i int) float64 { return absentIf(segments[i].Outer == 0, segments[i].Outer) })
	if s.any(func(g shaft.SegmentTwist) bool { return g.Bore != 0 }) {
		s.quantity("b_i", length, func(i int) float64 { return absentIf(segments[i].Outer == 0, segments[i].Bore) })
	}
	s.quantity("J_i", check.Type{Kind: check.Number, Dim: unit.Base(4, 0, 0)}, func(i int) float64 { return segments[i].J })
	if s.any(func(g shaft.SegmentTwist) bool { return g.Torque != segments[0].Torque }) {
		s.quantity("T_i", check.Type{Kind: check.Number, Dim: unit.Base(2, 1, -2)}, func(i int) float64 { return segments[i].Torque })
	}
	largest := 0.0
	for _, g := range segments {
		largest = max(largest, math.Abs(g.Sum))
	}
	angle := check.Type{Kind: check.Number, Angle: check.IsAngle}
	u, r := e.w.unitOf(largest, angle, n.Display), roundingOf(n.Display)
	s.add("Δθ_i", "", u, angle, r, func(i int) float64 { return segments[i].Twist })
	s.add("", "running sum", u, angle, r, func(i int) float64 { return segments[i].Sum })
	t.certain = e.w.segmentsCertain(t, r, n.Segments, value)
	e.r.Table, e.r.Segments = t, n.Shaft.Ident
	e.r.Text = words.Count(len(segments), "segment")
}

// segmentDoubt bounds, as a share, what rounding does to a sum of up to a thousand segments.
// From the number of operations, with room; no enclosure is worked out for it.
const segmentDoubt = 1e-11

// segmentsCertain reports which twists and sums keep what is shown within segmentDoubt;
// S.segments(n) has the mark of an estimate for the same reason. Nothing is certain of
// the segments of a shaft whose numbers are estimates, or where their number is one.
func (w *Working) segmentsCertain(t *Table, r unit.Rounding, segments notation.Expr, v shaftValue) func(row, column int) bool {
	known := sync.OnceValue(func() bool {
		n, err := w.encloseExpr(segments, scope{w})
		if err != nil || n.Hi-n.Lo >= 0.5 {
			return false
		}
		if v.spec.Off == nil {
			return true
		}
		off, err := v.spec.Off()
		return err == nil && off < segmentDoubt
	})
	return func(row, column int) bool {
		if !known() {
			return column == 0 || t.Rows[row][column] == Absent
		}
		text, v := t.Rows[row][column], t.Numbers[row][column]
		if column < len(t.Headers)-2 || text == Absent || v == 0 {
			return true
		}
		off := float64(math.Abs(v) * segmentDoubt)
		return unit.Certain(v-off, v+off, text, t.bare[column], r)
	}
}

func absentIf(is bool, v float64) float64 {
	if is {
		return math.NaN()
	}
	return v
}

// segmentColumns fills the table of segments column by column.
type segmentColumns struct {
	e        *evaluation
	t        *Table
	segments []shaft.SegmentTwist
	at       source.Span
}

func (s *segmentColumns) any(is func(shaft.SegmentTwist) bool) bool {
	for _, g := range s.segments {
		if is(g) {
			return true
		}
	}
	return false
}

// quantity adds a column in the unit that suits its largest value.
func (s *segmentColumns) quantity(symbol string, typ check.Type, value func(i int) float64) {
	largest := 0.0
	for i := range s.segments {
		if v := math.Abs(value(i)); v > largest {
			largest = v
		}
	}
	s.add(symbol, "", s.e.w.unitFor(largest, typ), typ, unit.Rounding{}, value)
}

// add adds a column that is headed by a symbol or by words.
func (s *segmentColumns) add(symbol, label string, u unit.Unit, typ check.Type, r unit.Rounding, value func(i int) float64) {
	h := Header{Label: label, Unit: u.Text, Dim: typ.Dim}
	if symbol != "" {
		name := &notation.Name{Ident: symbol}
		name.At = s.at
		h.Expr = name
	}
	s.t.Headers = append(s.t.Headers, h)
	s.t.bare = append(s.t.bare, unit.Unit{Factor: u.Factor})
	for i := range s.segments {
		s.e.w.step(formatWork)
		v, text := value(i), Absent
		if !math.IsNaN(v) {
			text = unit.Format(v, unit.Unit{Factor: u.Factor}, r)
		}
		s.t.Rows[i] = append(s.t.Rows[i], text)
		s.t.Numbers[i] = append(s.t.Numbers[i], v)
	}
}
