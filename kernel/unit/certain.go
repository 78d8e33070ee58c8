package unit

import (
	"math"
	"shaftbook/kernel/elementary"
	"strconv"
	"strings"
)

// certainFigures is to how many figures at least a number shown without a
// rounding of its own has to be certain: one that is exact in fewer is written
// with fewer.
const certainFigures = defaultFigures

// Certain reports whether a number shown is certain to its last digit, where the
// true value lies from lo to hi in SI base units: hi − lo is less than half a
// unit of that digit, and the number is the rounding of a value between them.
// A 0 shown without a rounding of its own has no digit that says how small the
// value is, so it is certain only if the value is 0.
//
// text is the number as Format wrote it in the unit u by the rounding r. A difference of four
// units in the last place of float64 is put down to the conversion.
func Certain(lo, hi float64, text string, u Unit, r Rounding) bool {
	narrow, agrees := compareShown(lo, hi, text, u, r)
	return narrow && agrees
}

// Contradicts reports whether text, see Certain, is not the rounding of any value
// from lo to hi.
func Contradicts(lo, hi float64, text string, u Unit, r Rounding) bool {
	_, agrees := compareShown(lo, hi, text, u, r)
	return !agrees
}

// compareShown reports whether lo and hi are near enough to one another for
// Certain, and whether text may be the rounding of a value between them; what
// cannot be compared is not narrow, and agrees.
func compareShown(lo, hi float64, text string, u Unit, r Rounding) (narrow, agrees bool) {
	number := strings.TrimSuffix(text, u.Text)
	shown, place, ok := readShown(number)
	if !ok || !finite(lo) || !finite(hi) {
		return false, true
	}
	x, y := lo/u.Factor, hi/u.Factor
	slack := float64(endSlack * 0x1p-52 * max(math.Abs(x), math.Abs(y)))
	lead := place
	if shown != 0 {
		lead = int(math.Floor(elementary.Log10(math.Abs(shown)) + 1e-12))
		if r.Figures > 0 && !r.HasPlaces {
			place = lead - r.Figures + 1
		}
	}
	half := float64(0.5 * elementary.Pow(10, float64(place)))
	finest := half
	if shown != 0 && r == (Rounding{}) {
		finest = min(half, 0.5*elementary.Pow(10, float64(lead-certainFigures+1)))
	}
	if narrow = y-x < finest; shown == 0 && !r.HasPlaces {
		narrow = lo == 0 && hi == 0
	}
	return narrow, x <= shown+half+slack && y >= shown-half-slack
}

// raised turns superscripts into digits.
var raised = strings.NewReplacer("⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// readShown reads a number as formatNumber wrote it: its value, and the power of
// ten of its last digit.
func readShown(text string) (v float64, place int, ok bool) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "−", "-"))
	mantissa, power, scientific := strings.Cut(text, "×10")
	if scientific {
		n, err := strconv.Atoi(raised.Replace(power))
		if err != nil {
			return 0, 0, false
		}
		place = n
	}
	v, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(place), 64)
	if err != nil {
		return 0, 0, false
	}
	if _, fraction, found := strings.Cut(mantissa, "."); found {
		return v, place - len(fraction), true
	}
	// The noughts at the end of a whole number were rounded to: 164900.
	whole := strings.TrimLeft(mantissa, "-")
	if figures := len(strings.TrimRight(whole, "0")); figures > 0 && len(whole) > certainFigures {
		place += len(whole) - max(figures, certainFigures)
	}
	return v, place, true
}
