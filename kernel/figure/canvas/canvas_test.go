package canvas

import (
	"math"
	"regexp"
	"strings"
	"testing"
)

func TestTicks(t *testing.T) {
	labels := func(s Scale) string {
		var ls []string
		for _, k := range s.Marks() {
			if k.Label != "" {
				ls = append(ls, k.Label)
			}
		}
		return strings.Join(ls, " ")
	}
	for _, c := range []struct {
		name string
		got  Scale
		want string
	}{
		{"length", LinearScale(0, 1150, 5, true), "0 200 400 600 800 1000"},
		{"both signs", LinearScale(-50, 40, 5, false), "−40 −20 0 20 40"},
		{"decimals", LinearScale(0, 1.48, 5, false), "0 0.2 0.4 0.6 0.8 1.0 1.2 1.4"},
		{"thousandths", LinearScale(0.001, 0.005, 4, true), "0.001 0.002 0.003 0.004 0.005"},
		{"small", LinearScale(0, 4e-7, 4, true), "0 1×10⁻⁷ 2×10⁻⁷ 3×10⁻⁷ 4×10⁻⁷"},
		{"large", LinearScale(0, 4e9, 4, true), "0 1×10⁹ 2×10⁹ 3×10⁹ 4×10⁹"},
		{"one value", LinearScale(10, 10, 4, true), "9.0 9.5 10.0 10.5 11.0"},
		{"decades", LogScale(1, 1000, 5, true), "1 10 100 1000"},
		{"many decades", LogScale(1e-12, 1, 6, false), "10⁻¹² 10⁻¹⁰ 10⁻⁸ 10⁻⁶ 10⁻⁴ 0.01 1"},
		{"within two decades", LogScale(1, 60, 5, false), "1 2 5 10 20 50 100"},
	} {
		if got := labels(c.got); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestQuantity(t *testing.T) {
	const a, b = string(italicOn), string(italicOff)
	const sub, sup, end = string(subscriptOn), string(superscriptOn), string(scriptOff)
	for in, want := range map[string]string{
		"x": a + "x" + b, "diameter d(x)": "diameter " + a + "d" + b + "(" + a + "x" + b + ")",
		"d₀": a + "d" + b + "₀", "θ_max": a + "θ" + b + sub + "max" + end, "d_0, x": a + "d" + b + sub + "0" + end + ", " + a + "x" + b, "with a bore": "with a bore",
		"d^4": a + "d" + b + sup + "4" + end, "G·d_0^−4/2": a + "G" + b + "·" + a + "d" + b + sub + "0" + end + sup + "−4" + end + "/2", "^2": "^2",
		"twist": "twist",
	} {
		if got := Quantity(in); got != want {
			t.Errorf("quantity(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestContrast recomputes WCAG 2.2's contrast ratio (its definitions of
// relative luminance and contrast ratio) of the inks on white: lines need 3:1
// (1.4.11); text is only ever drawn in the main ink.
func TestContrast(t *testing.T) {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	for _, s := range inks {
		if s.opacity != "" {
			continue // the grid only repeats what the marks on the axes say
		}
		l := 0.2126*linear(s.light.R) + 0.7152*linear(s.light.G) + 0.0722*linear(s.light.B)
		if ratio := 1.05 / (l + 0.05); ratio < 3 {
			t.Errorf("%s has a contrast of %.2f on white", s.class, ratio)
		}
	}
}

// TestScriptsInEveryFormat writes d_0^4 as SVG and as a trace: the index below
// the baseline, the power above it, both smaller.
func TestScriptsInEveryFormat(t *testing.T) {
	c := NewSVG(nil, 100)
	c.text(InkMain, TextSize, 0, 50, Left, Quantity("d_0^4 m"))
	got := string(c.Bytes())
	scripts := regexp.MustCompile(`<tspan font-style="italic">d</tspan><tspan dy="[0-9.]+" font-size="11.52">0</tspan><tspan dx="-[0-9.]+" dy="-[0-9.]+" font-size="11.52">4</tspan>`)
	if !scripts.MatchString(got) {
		t.Errorf("got %s", got)
	}
	runs := runsOf(Quantity("d_0^4 m"), TextSize)
	if len(runs) != 5 || runs[1].Drop <= 0 || runs[2].Drop >= 0 || runs[1].Size >= 1 || runs[3].Drop != 0 || !runs[4].Italic {
		t.Errorf("runs %+v", runs)
	}
}
