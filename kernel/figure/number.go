package figure

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"

	"shaftbook/kernel/unit"
)

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// power writes 10ⁿ.
func power(n int) string { return "10" + superscripts.Replace(strconv.Itoa(n)) }

// format writes a number with a true minus sign, to at most the given number
// of significant figures, as m×10ⁿ where the plain form would be long.
func format(v float64, figures int) string {
	if v == 0 {
		return "0"
	}
	a := math.Abs(v)
	if a < 1e-3 || a >= 1e6 {
		s := unit.RoundText(v, 'e', figures-1)
		mantissa, exponent, _ := strings.Cut(s, "e")
		n, _ := strconv.Atoi(exponent)
		return minus(trimZeros(mantissa)) + "×" + power(n)
	}
	decimals := figures - 1 - int(math.Floor(math.Log10(a)))
	if decimals < 0 {
		decimals = 0
	}
	return minus(trimZeros(unit.RoundText(v, 'f', decimals)))
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// tickStep returns the 1, 2 or 5 × 10ⁿ that cuts the span most nearly into n
// parts.
func tickStep(span float64, n int) float64 {
	raw := span / float64(n)
	mag := math.Pow(10, math.Floor(math.Log10(raw)))
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

// A scale is the range and the marks of one axis.
type scale struct {
	min, max float64
	ticks    []plot.Tick // an empty label is a minor tick
}

// Ticks makes a scale a ticker of gonum/plot.
func (s scale) Ticks(float64, float64) []plot.Tick { return s.ticks }

// norm maps a value to its fraction of the axis.
func (s *scale) norm(v float64, log bool) float64 {
	if log {
		return (math.Log(v) - math.Log(s.min)) / (math.Log(s.max) - math.Log(s.min))
	}
	return (v - s.min) / (s.max - s.min)
}

// linearScale chooses about n marks for values from lo to hi. Unless tight,
// the range is rounded outward to half a step, so that it stays put while the
// values move a little.
func linearScale(lo, hi float64, n int, tight bool) scale {
	if lo == hi {
		pad := math.Abs(lo) / 10
		if pad == 0 {
			pad = 1
		}
		lo, hi = lo-pad, hi+pad
		tight = false
	}
	step := tickStep(hi-lo, n)
	s := scale{min: lo, max: hi}
	if !tight {
		half := step / 2
		s.min = math.Floor(lo/half+1e-9) * half
		s.max = math.Ceil(hi/half-1e-9) * half
	}
	first := math.Ceil(s.min/step - 1e-6)
	last := math.Floor(s.max/step + 1e-6)
	for k := first; k <= last; k++ {
		s.ticks = append(s.ticks, plot.Tick{Value: k * step, Label: tickLabel(k*step, step)})
	}
	return s
}

// tickLabel writes a multiple of step with just the decimals the step needs.
func tickLabel(v, step float64) string {
	if math.Abs(v) < step/2 {
		return "0"
	}
	order := int(math.Floor(math.Log10(step) + 1e-9))
	top := int(math.Floor(math.Log10(math.Abs(v)) + 1e-9))
	if order < -4 || top >= 6 {
		return format(v, max(top-order+1, 1))
	}
	return minus(unit.RoundText(v, 'f', max(-order, 0)))
}

// logScale puts marks at powers of ten, thinned to about n, with 2 and 5
// between them where there are few; the rest of 1 … 9 are minor marks.
func logScale(lo, hi float64, n int, tight bool) scale {
	if lo == hi {
		lo, hi = lo/2, hi*2
		tight = false
	}
	s := scale{min: lo, max: hi}
	if !tight {
		s.min, s.max = logFloor(lo), logCeil(hi)
	}
	a, b := int(math.Floor(math.Log10(s.min)+1e-9)), int(math.Ceil(math.Log10(s.max)-1e-9))
	decades := math.Log10(s.max / s.min)
	every := max(1, int(math.Ceil(float64(b-a)/float64(max(n, 2)))))
	for e := a; e <= b; e++ {
		for m := 1; m <= 9; m++ {
			v := float64(m) * math.Pow(10, float64(e))
			if v < s.min*(1-1e-9) || v > s.max*(1+1e-9) {
				continue
			}
			v = math.Max(s.min, math.Min(s.max, v))
			label := ""
			switch {
			case m == 1 && e%every == 0:
				label = powerLabel(e)
			case decades <= 2.2 && (m == 2 || m == 5):
				label = format(v, 1)
			case every > 1 && m != 1:
				continue
			}
			s.ticks = append(s.ticks, plot.Tick{Value: v, Label: label})
		}
	}
	return s
}

func powerLabel(e int) string {
	if e < -3 || e > 3 {
		return power(e)
	}
	return format(math.Pow(10, float64(e)), 1)
}

// logFloor rounds down to 1, 2 or 5 × 10ⁿ, logCeil up.
func logFloor(v float64) float64 {
	mag := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{5, 2, 1} {
		if m*mag <= v*(1+1e-9) {
			return m * mag
		}
	}
	return mag
}

func logCeil(v float64) float64 {
	mag := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*mag >= v*(1-1e-9) {
			return m * mag
		}
	}
	return 10 * mag
}
