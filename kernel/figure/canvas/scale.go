package canvas

import (
	"math"

	"gonum.org/v1/plot"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/unit"
)

// tickStep returns the 1, 2 or 5 × 10ⁿ that cuts the span most nearly into n
// parts.
func tickStep(span float64, n int) float64 {
	raw := span / float64(n)
	mag := elementary.Pow(10, math.Floor(elementary.Log10(raw)))
	switch r := raw / mag; {
	case r < 1.5:
		return mag
	case r < 3.5:
		return 2 * mag
	case r < 7.5:
		return 5 * mag
	}
	return 10 * mag
}

// A Scale is the range and the marks of one axis.
type Scale struct {
	Min, Max float64
	step     float64 // between two marks; 0 on a logarithmic axis
	n        int     // about how many marks a logarithmic axis has
	marks    []plot.Tick
}

// Marks returns the marks. An empty label is a minor mark. They are worked out when
// they are asked for, since a frame that is kept does not need them again.
func (s *Scale) Marks() []plot.Tick {
	switch {
	case s.marks != nil:
	case s.step == 0:
		s.marks = s.logMarks()
	default:
		s.marks = s.linearMarks()
	}
	return s.marks
}

func (s *Scale) linearMarks() (marks []plot.Tick) {
	first, last := s.multiples()
	for k := first; k <= last; k++ {
		marks = append(marks, plot.Tick{Value: k * s.step, Label: tickLabel(k*s.step, s.step)})
	}
	return marks
}

// Gap is the distance of the first two marks of a linear axis, if it has two.
func (s *Scale) Gap() (gap float64, ok bool) {
	first, last := s.multiples()
	return float64((first+1)*s.step) - float64(first*s.step), s.step > 0 && last > first
}

// multiples returns the first and last multiple of the step on a linear axis.
func (s *Scale) multiples() (first, last float64) {
	return math.Ceil(s.Min/s.step - 1e-6), math.Floor(s.Max/s.step + 1e-6)
}

// Ticks makes a scale a ticker of gonum/plot.
func (s *Scale) Ticks(float64, float64) []plot.Tick { return s.Marks() }

// Norm maps a value to its fraction of the axis.
func (s *Scale) Norm(v float64, log bool) float64 {
	if log {
		return (elementary.Ln(v) - elementary.Ln(s.Min)) / (elementary.Ln(s.Max) - elementary.Ln(s.Min))
	}
	return (v - s.Min) / (s.Max - s.Min)
}

// LinearScale chooses about n marks for values from lo to hi. Unless tight,
// the range is rounded outward to half a step, so that it stays put while the
// values move a little.
func LinearScale(lo, hi float64, n int, tight bool) Scale {
	if lo == hi {
		pad := math.Abs(lo) / 10
		if pad == 0 {
			pad = 1
		}
		lo, hi = lo-pad, hi+pad
		tight = false
	}
	step := tickStep(hi-lo, n)
	s := Scale{Min: lo, Max: hi, step: step}
	if !tight {
		half := step / 2
		s.Min = math.Floor(lo/half+1e-9) * half
		s.Max = math.Ceil(hi/half-1e-9) * half
	}
	return s
}

// DegreeScale is LinearScale for an angle in degrees that spans more than a right angle:
// its marks are the parts of a turn that are drawn with set squares, 30°, 45° or 90°.
func DegreeScale(lo, hi float64, n int, tight bool) Scale {
	s := LinearScale(lo, hi, n, tight)
	span := hi - lo
	if !(span > 90) || span > 3600 {
		return s
	}
	s.step = 30
	for _, wider := range []float64{45, 90, 180, 360, 720, 1080} {
		if s.step == 30 && span < 180 || span <= float64(s.step*float64(n+1)) && s.step > 30 {
			break
		}
		s.step = wider
	}
	if !tight {
		s.Min, s.Max = math.Floor(lo/s.step+1e-9)*s.step, math.Ceil(hi/s.step-1e-9)*s.step
	}
	return s
}

// tickLabel writes a multiple of step with just the decimals the step needs.
func tickLabel(v, step float64) string {
	if math.Abs(v) < step/2 {
		return "0"
	}
	order := int(math.Floor(elementary.Log10(step) + 1e-9))
	top := int(math.Floor(elementary.Log10(math.Abs(v)) + 1e-9))
	if order < -4 || top >= 6 {
		return figure.FormatNumber(v, max(top-order+1, 1))
	}
	return figure.MinusSign(figure.GroupDigits(unit.RoundText(v, 'f', max(-order, 0))))
}

// LogScale puts marks at powers of ten, thinned to about n, with 2 and 5
// between them where there are few; the rest of 1 … 9 are minor marks.
func LogScale(lo, hi float64, n int, tight bool) Scale {
	if lo == hi {
		lo, hi = lo/2, hi*2
		tight = false
	}
	s := Scale{Min: lo, Max: hi, n: n}
	if !tight {
		s.Min, s.Max = logFloor(lo), logCeil(hi)
	}
	return s
}

func (s *Scale) logMarks() (marks []plot.Tick) {
	a, b := int(math.Floor(elementary.Log10(s.Min)+1e-9)), int(math.Ceil(elementary.Log10(s.Max)-1e-9))
	decades := elementary.Log10(s.Max / s.Min)
	every := max(1, int(math.Ceil(float64(b-a)/float64(max(s.n, 2)))))
	for e := a; e <= b; e++ {
		for m := 1; m <= 9; m++ {
			v := float64(m) * elementary.Pow(10, float64(e))
			if v < s.Min*(1-1e-9) || v > s.Max*(1+1e-9) {
				continue
			}
			v = math.Max(s.Min, math.Min(s.Max, v))
			label := ""
			switch {
			case m == 1 && e%every == 0:
				label = powerLabel(e)
			case decades <= 2.2 && (m == 2 || m == 5):
				label = figure.FormatNumber(v, 1)
			case every > 1 && m != 1:
				continue
			}
			marks = append(marks, plot.Tick{Value: v, Label: label})
		}
	}
	return marks
}

// OnlyPowers takes the labels off the marks between the powers of ten where a
// decade is too short for them, unless fewer than two labels would be left.
func (s *Scale) OnlyPowers(decade float64) {
	const enough = 110
	if decade >= enough {
		return
	}
	isPower := func(v float64) bool {
		e := elementary.Log10(v)
		return math.Abs(e-math.Round(e)) < 1e-9
	}
	marks := s.Marks()
	n := 0
	for _, m := range marks {
		if m.Label != "" && isPower(m.Value) {
			n++
		}
	}
	for i := range marks {
		if n >= 2 && !isPower(marks[i].Value) {
			marks[i].Label = ""
		}
	}
}

// LastLabel is the label of the last mark that has one.
func (s *Scale) LastLabel() string {
	if s.step > 0 {
		_, last := s.multiples()
		return tickLabel(last*s.step, s.step)
	}
	marks := s.Marks()
	for i := len(marks) - 1; i >= 0; i-- {
		if marks[i].Label != "" {
			return marks[i].Label
		}
	}
	return ""
}

// ZeroScale is the axis of what is zero throughout.
func ZeroScale() Scale { return Scale{Max: 1, marks: []plot.Tick{{Label: "0"}}} }

func powerLabel(e int) string {
	if e < -3 || e > 3 {
		return figure.PowerOfTen(e)
	}
	return figure.FormatNumber(elementary.Pow(10, float64(e)), 1)
}

// logFloor rounds down to 1, 2 or 5 × 10ⁿ, logCeil up.
func logFloor(v float64) float64 {
	mag := elementary.Pow(10, math.Floor(elementary.Log10(v)))
	for _, m := range []float64{5, 2, 1} {
		if m*mag <= v*(1+1e-9) {
			return m * mag
		}
	}
	return mag
}

func logCeil(v float64) float64 {
	mag := elementary.Pow(10, math.Floor(elementary.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*mag >= v*(1-1e-9) {
			return m * mag
		}
	}
	return 10 * mag
}

// Slope returns the value, or its logarithm, where an axis begins and the
// length drawn for one more.
func (s *Scale) Slope(log bool, length float64) (lo, k float64) {
	lo, hi := s.Min, s.Max
	if log {
		lo, hi = elementary.Ln(lo), elementary.Ln(hi)
	}
	return lo, length / (hi - lo)
}
