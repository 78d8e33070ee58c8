package exercises

import (
	"fmt"
	"math"
	"shaftbook/exercises/marking"
	"slices"
	"strings"
	"testing"
)

// The twist of the quill in radians, by the closed form.
var quillTwist = 32 * 420 * 0.8 / (3 * math.Pi * 79e9) * (0.036*0.036 + 0.036*0.054 + 0.054*0.054) / (0.036 * 0.036 * 0.036 * 0.054 * 0.054 * 0.054)

func inDegrees(rad float64) string { return fmt.Sprintf("%.6g deg", rad*180/math.Pi) }

func uniformTwist(d float64) float64 { return 420 * 0.8 / (79e9 * math.Pi / 32 * d * d * d * d) }

func TestLadder(t *testing.T) {
	v := set(t, quill)
	var said strings.Builder
	for _, c := range []struct {
		name, answer string
		kind         marking.VerdictKind
		slips        []string
		points       float64
		says         string
	}{
		{"degrees", inDegrees(quillTwist), marking.Right, nil, 2, ""},
		{"radians", fmt.Sprintf("%.5g rad", quillTwist), marking.Right, nil, 2, ""},
		{"a pure number", fmt.Sprintf("%.5g", quillTwist), marking.UnitMissing, nil, 0, "0.0121 rad or 0.0121 deg"},
		{"powers of ten", fmt.Sprintf("%.4g·10^-3 rad", quillTwist*1000), marking.Right, nil, 2, ""},
		{"e for powers", fmt.Sprintf("%.4ge-3 rad", quillTwist*1000), marking.Right, nil, 2, ""},
		{"milliradians", fmt.Sprintf("%.4g mrad", quillTwist*1000), marking.Right, nil, 2, ""},
		{"minutes of arc", fmt.Sprintf("%.5g′", quillTwist*180/math.Pi*60), marking.Right, nil, 2, ""},
		{"the degree sign", fmt.Sprintf("%.5g°", quillTwist*180/math.Pi), marking.Right, nil, 2, ""},
		{"decimal comma", "0,69 deg", marking.Right, nil, 2, "Read as 0.69 deg: the comma is a decimal mark."},
		{"another name of a unit", "0.69 degrees", marking.Right, nil, 2, "Read as 0.69 deg."},
		{"a comma that can be two things", "1,000 deg", marking.Ambiguous, nil, 0, "1.000 deg (the comma is a decimal mark) or as 1000 deg"},
		{"a given", "T = 420 N·m", marking.Unreadable, nil, 0, "T is given"},
		{"two values", "0.69 deg = 0.02 rad", marking.Unreadable, nil, 0, "0.01204 rad"},
		{"a power of ten", inDegrees(10 * quillTwist), marking.OutsideBounds, []string{"power-of-ten"}, 0, ""},
		{"a name in front", "θ = " + inDegrees(quillTwist), marking.Right, nil, 2, ""},
		{"a formula with names", "32·T·L/(3·π·G)·(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3·d_1^3)", marking.Right, nil, 2, ""},
		{"an integral with names", "integral of T/(G·π/32·(d_0 + (d_1 − d_0)·x/L)^4) for x from 0 m to L", marking.Right, nil, 2, ""},
		{"a formula with numbers", "32·420 N·m·0.8 m/(3·π·79 GPa)·((36 mm)^2 + 36 mm·54 mm + (54 mm)^2)/((36 mm)^3·(54 mm)^3)", marking.Right, nil, 2, ""},
		{"a sum", "sum of T·L/60/(G·π/32·(d_0 + (d_1 − d_0)·(i − 1/2)/60)^4) for i from 1 to 60", marking.Right, nil, 2, ""},

		{"nothing", "  ", marking.Unreadable, nil, 0, ""},
		{"unknown unit", "0.69 furlong", marking.Unreadable, nil, 0, "furlong"},
		{"missing sign", "T L", marking.WrongDimension, nil, 0, ""},
		{"open bracket", "(1 + 2", marking.Unreadable, nil, 0, ""},
		{"a name that is not given", "T·L/(G·J)", marking.Unreadable, nil, 0, "T, L, d_0, d_1, G"},
		{"the shaft itself", "S.twist", marking.Unreadable, nil, 0, ""},
		{"a bracket", "between 0.1 deg and 3 deg", marking.Unreadable, nil, 0, ""},
		{"plus or minus", "0.7 deg ± 0.1 deg", marking.Unreadable, nil, 0, ""},
		{"a comparison", "1 < 2", marking.Unreadable, nil, 0, ""},
		{"division by zero", "1/(d_0 − d_0)·1 mm", marking.Unreadable, nil, 0, ""},
		{"too much work", "sum of 1/i for i from 1 to 10^12", marking.Unreadable, nil, 0, ""},
		{"too long", strings.Repeat("1 + ", 600) + "1", marking.Unreadable, nil, 0, "2000"},

		{"a torque", "420 N·m", marking.WrongDimension, nil, 0, ""},
		{"a formula of another dimension", "T·L/(G·d_0^3)", marking.WrongDimension, nil, 0, ""},
		{"a sum that cannot be", "T + L", marking.WrongDimension, nil, 0, "length"},

		{"degrees without their unit", fmt.Sprintf("%.4g", quillTwist*180/math.Pi), marking.UnitMissing, nil, 0, "deg"},
		{"a formula in degrees", "180/π·32·T·L/(3·π·G)·(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3·d_1^3)", marking.UnitMissing, nil, 0, "deg"},

		{"far too large", "47 deg", marking.OutsideBounds, nil, 0, ""},
		{"too small", "0.1 deg", marking.OutsideBounds, nil, 0, ""},
		{"negative", "−0.69 deg", marking.OutsideBounds, nil, 0, ""},
		{"of one figure, and near ten times by chance", "7 deg", marking.OutsideBounds, nil, 0, "too large"},
		{"radius for diameter", inDegrees(16 * quillTwist), marking.OutsideBounds, []string{"radius-for-diameter"}, 0, ""},
		{"radians called degrees", fmt.Sprintf("%.4g deg", quillTwist), marking.OutsideBounds, []string{"radians-for-degrees"}, 0, ""},
		{"millimetres", inDegrees(1000 * quillTwist), marking.OutsideBounds, []string{"millimetres"}, 0, ""},

		{"mean diameter", inDegrees(uniformTwist(0.045)), marking.SlipMade, []string{"mean-diameter"}, 0, ""},
		{"mean of J", inDegrees(uniformTwist(math.Pow((math.Pow(0.036, 4)+math.Pow(0.054, 4))/2, 0.25))), marking.SlipMade, []string{"mean-of-moments"}, 0, "1/J"},
		{"mean of the twists", inDegrees((uniformTwist(0.036) + uniformTwist(0.054)) / 2), marking.SlipMade, []string{"mean-of-twists"}, 0, ""},
		{"a bound itself", inDegrees(uniformTwist(0.036)), marking.SlipMade, []string{"small-end"}, 0, ""},
		{"the other bound", inDegrees(uniformTwist(0.054)), marking.SlipMade, []string{"large-end"}, 0, ""},
		{"a slip, rounded", fmt.Sprintf("%.2g deg", uniformTwist(0.045)*180/math.Pi), marking.SlipMade, []string{"mean-diameter"}, 0, ""},
		{"two slips of one value", inDegrees(2 * quillTwist), marking.SlipMade, []string{"bending-for-torsion", "torque-twice"}, 0, ""},

		{"inside but off", "0.75 deg", marking.Off, nil, 0, ""},
		{"two figures", fmt.Sprintf("%.1g deg", quillTwist*180/math.Pi), marking.RoundedEarly, nil, 1, "at least 3 figures. As rounded, it gives half"},
		{"a whole number of degrees", "1 deg", marking.RoundedEarly, nil, 0, "gives no points, since it is more than 5 % off"},
		{"radians rounded first", inDegrees(0.012), marking.RoundedEarly, nil, 1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := mark(t, v, "twist", c.answer)
			if got.Kind != c.kind || !slices.Equal(got.Slips, c.slips) || got.Points != c.points || !strings.Contains(got.Message, c.says) {
				t.Errorf("%s\n got %+v\nwant %s %v, %g points, saying %q", c.answer, got, c.kind, c.slips, c.points, c.says)
			}
			fmt.Fprintf(&said, "%s: %s\n", c.name, got.Message)
		})
	}
	golden(t, "ladder.golden", said.String())
}

// TestLadderOfTorque marks a quantity that has a dimension: a pure number has
// no unit to be read in.
func TestLadderOfTorque(t *testing.T) {
	v := set(t, `title: The torque
given: {θ: 1.2 deg, L: 0.8 m, d: 41 mm, G: 79 GPa}
ask: The torque
answer: G·π/32·d^4·θ/L
unit: N·m
tolerance: 3 figures
slips: [radius-for-diameter, bending-for-torsion, degrees-for-radians]
rough: yes
`)
	var said strings.Builder
	torque := 79e9 * math.Pi / 32 * math.Pow(0.041, 4) * (1.2 * math.Pi / 180) / 0.8
	for _, c := range []struct {
		name, answer string
		kind         marking.VerdictKind
		says         string
	}{
		{"three figures", fmt.Sprintf("%.3g N·m", torque), marking.Right, ""},
		{"three figures in kN·m", fmt.Sprintf("%.3g kN·m", torque/1000), marking.Right, ""},
		{"in another system", fmt.Sprintf("%.4g lbf·ft", torque/1.3558179483), marking.Right, ""},
		{"as energy", fmt.Sprintf("%.4g J", torque), marking.Right, ""},
		{"two figures", fmt.Sprintf("%.2g N·m", torque), marking.RoundedEarly, "at least 3 figures"},
		{"no unit", fmt.Sprintf("%.4g", torque), marking.UnitMissing, ""},
		{"a force", "520 N", marking.WrongDimension, ""},
		{"an angle", "1 deg", marking.WrongDimension, "an angle, 1 deg, but the question asks for a torque"},
		{"too large by half", fmt.Sprintf("%.4g N·m", 1.5*torque), marking.Off, ""},
		{"half", fmt.Sprintf("%.4g N·m", torque/2), marking.SlipMade, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := mark(t, v, "", c.answer)
			if got.Kind != c.kind || !strings.Contains(got.Message, c.says) {
				t.Errorf("%s: got %+v, want %s saying %q", c.answer, got, c.kind, c.says)
			}
			fmt.Fprintf(&said, "%s: %s\n", c.name, got.Message)
		})
	}
	golden(t, "ladder-torque.golden", said.String())
}

func TestPick(t *testing.T) {
	v := set(t, quill)
	var said strings.Builder
	for _, c := range []struct {
		answer string
		kind   marking.VerdictKind
		says   string
	}{
		{"thin", marking.Right, ""},
		{"at the thin end", marking.Right, ""},
		{"thick", marking.SlipMade, ""},
		{"in the middle", marking.Unreadable, ""},
	} {
		got := mark(t, v, "which", c.answer)
		if got.Kind != c.kind || !strings.Contains(got.Message, c.says) {
			t.Errorf("%s: got %+v, want %s saying %q", c.answer, got, c.kind, c.says)
		}
		fmt.Fprintf(&said, "%s: %s\n", c.answer, got.Message)
	}
	golden(t, "pick.golden", said.String())
}

func TestFormula(t *testing.T) {
	v := set(t, quill)
	var said strings.Builder
	for _, c := range []struct {
		answer string
		kind   marking.VerdictKind
		says   string
	}{
		{"T·L/(G·π/32·d_0^4)", marking.Right, ""},
		{"32·T·L/(π·G·d_0^4)", marking.Right, ""},
		{"2·T·L/(G·π·(d_0/2)^4)", marking.Right, ""},
		{"integral of T/(G·π/32·d_0^4) for x from 0 m to L", marking.Right, ""},
		{"T·L/(G·π/64·d_0^4)", marking.SlipMade, ""},
		{"T·L/(G·π/32·(d_0/2)^4)", marking.SlipMade, ""},
		{"3·T·L/(G·π/32·d_0^4)", marking.Off, "off by a constant factor"},
		{"T·L/(2·G·π/32·d_0^4)", marking.Off, "off by a constant factor"},
		{"T·L/(G·d_0^4)", marking.Off, "off by a constant factor"}, // π/32
		{"T·L/(G·π/32·d_0^3·d_1)", marking.Off, ""},
		{"T·L/(G·π/32·d_0^4) + (d_1/d_0 − 1)/1000", marking.Off, ""},
		{"T·L/(G·π/32·d_0^3)", marking.WrongDimension, ""},
		{"T/(G·π/32·d_0^3)", marking.Off, ""},
		{"T/(G·π/32)", marking.WrongDimension, ""},
		{"1.7 deg", marking.Unreadable, ""},
		{"T·L/(G·π/32·d_0^4)·sqrt((d_0 − d_1)/mm)", marking.Unreadable, "mm"},
	} {
		got := mark(t, v, "formula", c.answer)
		if got.Kind != c.kind || !strings.Contains(got.Message, c.says) {
			t.Errorf("%s\n got %+v\nwant %s saying %q", c.answer, got, c.kind, c.says)
		}
		fmt.Fprintf(&said, "%s: %s\n", c.answer, got.Message)
	}
	golden(t, "formula.golden", said.String())
}

// TestFormulaThatLosesDigits types a form that exact arithmetic cannot decide
// and that loses eight digits to a difference. It is right; the same form with
// a millionth added is not.
func TestFormulaThatLosesDigits(t *testing.T) {
	v := set(t, quill)
	const form = "T·L/(G·π/32·d_0^4)·(exp(ln(d_1/d_0)/3)^3·10^8 − d_1/d_0·10^8 + 1"
	for answer, kind := range map[string]marking.VerdictKind{form + ")": marking.Right, form + " + 10^-5)": marking.Off} {
		if got := mark(t, v, "formula", answer); got.Kind != kind {
			t.Errorf("%s: %+v, want %s", answer, got, kind)
		}
	}
}

// TestNothingIsGivenAway looks for the expected value and the bounds, to three
// figures, in everything that is said of wrong answers.
func TestNothingIsGivenAway(t *testing.T) {
	v := set(t, quill)
	var secrets []string
	for _, x := range []float64{quillTwist, uniformTwist(0.036), uniformTwist(0.054)} {
		secrets = append(secrets, strings.TrimLeft(fmt.Sprintf("%.3g", x), "0."), fmt.Sprintf("%.3g", x*180/math.Pi))
	}
	for _, factor := range []float64{-1, 0.001, 0.02, 0.3, 0.7, 0.9, 1.1, 1.6, 2, 3, 16, 50, 1000, 1e6} {
		got := mark(t, v, "twist", inDegrees(factor*quillTwist))
		for _, secret := range secrets {
			if strings.Contains(got.Message, secret) {
				t.Errorf("factor %g: %q holds %s", factor, got.Message, secret)
			}
		}
		if got.Kind == marking.Right || len(strings.Fields(got.Message)) < 8 {
			t.Errorf("factor %g: %s %q is no reason with a next step", factor, got.Kind, got.Message)
		}
	}
}
