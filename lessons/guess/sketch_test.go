package guess

import (
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// sketchLines are a taper, whose twist is in closed form, a shaft that is driven between
// its ends, and a shaft with spread torque.
const sketchLines = `T = 420 N·m
G = 79 GPa
L = 0.8 m
θ(x) = T/(G·π/32)·(1/3)·(0.8 m/(18 mm))·(1/(36 mm)^3 − 1/(36 mm + 18 mm·x/(0.8 m))^3)
torque(x) = if x < 0.4 m then 200 N·m else −320 N·m
spread(x) = 300 N·m·(1 − x/L)
bump(x) = 100 N·m·4·x/L·(1 − x/L)
none(x) = 0 N·m·x/L
level(x) = 150 N·m + 0 N·m·x/L
gap(x) = √(x/L − 1/2)·(1 N·m)`

const (
	twistSketch  = "ask: Draw.\nkind: sketch\ncurve: θ(x) in deg for x from 0 m to L\nscale: from 0 deg to 2 deg\n"
	torqueSketch = "ask: Draw.\nkind: sketch\ncurve: torque(x) in N·m for x from 0 m to L\nscale: from -500 N·m to 500 N·m\nstations: [0.2 m, 0.4 m, 0.6 m]\njumps: yes\n"
)

func sketchOf(curve, scale string) string {
	return "ask: Draw.\nkind: sketch\ncurve: " + curve + " in N·m for x from 0 m to L\nscale: " + scale + "\n"
}

// The twist of the taper is C·(1/d_0³ − 1/d³), by hand: 1/d_0³ = 21433.5 m⁻³ and at the
// thick end 1/d³ = 6350.7 m⁻³, which is 0.6932 deg. Half of it is reached where
// 1/d³ = 13892 m⁻³, d = 41.60 mm, x = 0.249 m. It is farthest from its chord where
// 3/d⁴ = 15082.8/0.018 m⁻⁴, d = 43.50 mm, x = 0.333 m, and there 0.427 deg. The curve is
// sampled each 4 mm.
func TestCompareSketch(t *testing.T) {
	for name, c := range map[string]struct {
		text, typed  string
		guess, words string
	}{
		"a straight line for a twist": {
			twistSketch, "0;;;;;;;;0.693", "a curve that rises from 0° to 0.693° in a straight line",
			"Yours rises in a straight line; the curve rises, most at its start. Half of the change is reached by x = 0.249 m, in yours by 0.4 m. Yours is right at both ends. The two part most at x = 0.332 m: yours is 0.288°, the lesson’s 0.426°.",
		},
		"close enough": {twistSketch, "0;.18;.31;.42;.5;.56;.61;.65;.69", "a curve that rises from 0° to 0.69°, most at its start", "Yours follows it all along, as closely as a sketch can."},
		"twice as large": {
			twistSketch, "0;.33;.59;.79;.96;1.1;1.21;1.31;1.39", "", "Yours has the right shape and is 2 times as large everywhere.",
		},
		"bent the other way": {
			twistSketch, "0;.02;.05;.1;.15;.23;.35;.5;.69", "a curve that rises from 0° to 0.69°, most at its end", "Yours rises, most at its end; the curve rises, most at its start. Half",
		},
		"zero":            {twistSketch, "0;;;;;;;;", "a curve that is zero all along", "Yours is zero all along."},
		"level":           {twistSketch, ";;;0.5;;;;;", "a curve that is level at 0.5°", "Yours is level; the curve rises, most at its start. Yours is right at neither end."},
		"the right jump":  {torqueSketch, "200;;;200;-320;;;", "a curve that is level at 200 N·m, jumps at 0.4 m to −320 N·m and is level", "Yours follows it all along"},
		"a jump too late": {torqueSketch, "200;;;;;200;-320;", "a curve that is level at 200 N·m, jumps at 0.6 m to −320 N·m and is level", "The curve jumps at 0.4 m; yours does not. Yours jumps at 0.6 m; the curve does not. Yours is right at both ends."},
		"no jump":         {torqueSketch, "200;;;;;;;-320", "", "Between its jumps the curve is level; yours is not everywhere. The curve jumps at 0.4 m; yours does not."},
		"the other sign":  {torqueSketch, "-200;;;-200;320;;;", "", "Yours has the right shape with the opposite sign."},
		"half as large":   {torqueSketch, "100;;;100;-160;;;", "", "Yours has the right shape and is too small everywhere: the curve divided by 2."},
		"a jump too small": {
			torqueSketch, "200;;;200;-100;;;", "", "Yours is right at x = 0 m, and not at the other end. The two part most at x = 0.424 m: yours is −100 N·m, the lesson’s −320 N·m.",
		},
		"a slope where jumps cannot be drawn": {
			strings.Replace(torqueSketch, "stations: [0.2 m, 0.4 m, 0.6 m]\njumps: yes\n", "", 1), "200;200;200;200;-320;-320;-320;-320;-320", "", "Yours follows it all along",
		},
		"a spread torque": {sketchOf("spread(x)", "from -500 N·m to 500 N·m"), "300;;;;;;;;300", "", "Yours is level; the curve falls in a straight line. Yours is right at x = 0 m, and not at the other end. The two part most at x = 0.8 m: yours is 300 N·m, the lesson’s 0 N·m."},
		"a curve that turns": {
			sketchOf("bump(x)", "from -500 N·m to 500 N·m"), "0;;;;;;;;100", "", "Yours rises in a straight line; the curve rises and then falls. Yours is right at x = 0 m",
		},
		"nothing where there is nothing":   {sketchOf("none(x)", "from -1 N·m to 1 N·m"), "0;;;;;;;;", "a curve that is zero all along", "As you drew it."},
		"something where there is nothing": {sketchOf("none(x)", "from -1 N·m to 1 N·m"), "0;;;;;;;;1", "", "Yours goes as far as 1 N·m, at x = 0.8 m."},
		"a constant":                       {sketchOf("level(x)", "from -500 N·m to 500 N·m"), ";;;;150;;;;", "a curve that is level at 150 N·m", "Yours follows it all along"},
		"a constant, a third more":         {sketchOf("level(x)", "from -500 N·m to 500 N·m"), ";;;;200;;;;", "", "Yours has the right shape and is 33 % larger everywhere."},
		"the shape only": {
			"ask: Draw.\nkind: sketch\ncurve: θ(x) in deg for x from 0 m to L\n", "0;;;;;;;;0.5", "a curve that rises from zero to its largest in a straight line",
			"Yours rises in a straight line; the curve rises, most at its start. Half of the change is reached by x = 0.249 m, in yours by 0.4 m. Yours is right at both ends. The two part most at x = 0.332 m: yours is 0.42 of its largest, the lesson’s 0.61 of its largest.",
		},
	} {
		t.Run(name, func(t *testing.T) {
			g := guessOf(t, "guess-s", c.text)
			truth := truthOf(t, g, sketchLines)
			made, doubt, err := g.Read(t.Context(), truth, strings.ReplaceAll(c.typed, ";", "\n"), "")
			if err != nil || doubt != nil {
				t.Fatal(doubt, err)
			}
			got := g.Compare(truth, made.Text, 0)
			if c.guess != "" && got.Guess != c.guess || !strings.HasPrefix(got.Words, c.words) {
				t.Errorf("%q, %q; want %q, %q", got.Guess, got.Words, c.guess, c.words)
			}
			if p, ok := g.Picture(truth, []string{made.Text}); !ok || len(p.Curves) != 2 {
				t.Error("the two have no picture")
			}
		})
	}
}

func TestReadSketch(t *testing.T) {
	g := guessOf(t, "guess-s", torqueSketch)
	f := truthOf(t, g, sketchLines).Field
	for name, c := range map[string]struct{ typed, want, doubt string }{
		"numbers":          {"200;;;200;-320;;;", "m|N·m|0 200;0.2 200;0.2 200;0.4 200;0.4 -320;0.6 -320;0.6 -320;0.8 -320", ""},
		"a slope":          {"0;;;;;;;400", "m|N·m|0 0;0.2 100;0.2 100;0.4 200;0.4 200;0.6 300;0.6 300;0.8 400", ""},
		"with units":       {"0.2 kN·m;;;200 N·m;−3,2e2 N·m;;;", "m|N·m|0 200;0.2 200;0.2 200;0.4 200;0.4 -320;0.6 -320;0.6 -320;0.8 -320", ""},
		"nothing":          {";;;;;;;", "", "Draw a line first"},
		"too few":          {"200;;", "", "Load the page again"},
		"a word":           {"200;;;much;;;;", "", "Just before 0.4 m: “much” is not a number in N·m."},
		"of another kind":  {"200 deg;;;;;;;", "", "is not a number in N·m"},
		"no number at all": {"NaN;;;;;;;", "", "is not a number"},
		"without end":      {"Inf;;;;;;;", "", "is not a number"},
		"too large to be":  {"1e999;;;;;;;", "", "is not a number"},
		"beyond the field": {"501;;;;;;;", "", "501 N·m is beyond the field, which goes from −500 N·m to 500 N·m."},
	} {
		t.Run(name, func(t *testing.T) {
			made, doubt := readSketch(f, strings.ReplaceAll(c.typed, ";", "\n"))
			if c.doubt != "" {
				if doubt == nil || !strings.Contains(doubt.Message, c.doubt) {
					t.Errorf("doubt %+v, want %q", doubt, c.doubt)
				}
				return
			}
			if doubt != nil || made.Text != c.want {
				t.Errorf("read as %q, %+v; want %q", made.Text, doubt, c.want)
			}
		})
	}
}

func TestSketchesThatCannotBeShown(t *testing.T) {
	for name, c := range map[string]struct{ text, at, fault string }{
		"a curve that leaves the scale": {strings.Replace(twistSketch, "to 2 deg", "to 0.5 deg", 1), "from 0 deg to 0.5 deg", "leaves this scale: it goes to 0.693°"},
		"a scale that ends with it":     {strings.Replace(torqueSketch, "to 500 N·m", "to 200 N·m", 1), "from -500 N·m to 200 N·m", "gives it away"},
		"a scale of another kind":       {strings.Replace(twistSketch, "from 0 deg to 2 deg", "from 0 mm to 2 mm", 1), "from 0 mm to 2 mm", "another kind"},
		"a scale without a unit":        {strings.Replace(twistSketch, "from 0 deg to 2 deg", "from 0 to 2", 1), "from 0 to 2", "another kind"},
		"a scale of a formula":          {strings.Replace(twistSketch, "from 0 deg to 2 deg", "from 0 deg to 2·θ(L)", 1), "from 0 deg to 2·θ(L)", "not a scale"},
		"a scale upside down":           {strings.Replace(twistSketch, "from 0 deg to 2 deg", "from 2 deg to 1 deg", 1), "from 2 deg to 1 deg", "smaller to a larger"},
		"a station of another kind":     {strings.Replace(torqueSketch, "0.2 m", "T", 1), "T", "one place along the curve"},
		"a station beyond":              {strings.Replace(torqueSketch, "0.6 m", "0.9 m", 1), "0.9 m", "beyond the curve"},
		"a station twice":               {strings.Replace(torqueSketch, "0.6 m", "0.4 m", 1), "0.4 m", "at or before"},
		"a station of nothing":          {strings.Replace(torqueSketch, "0.6 m", "y_4", 1), "y_4", "y_4"},
		"jumps without stations":        {strings.Replace(torqueSketch, "stations: [0.2 m, 0.4 m, 0.6 m]\n", "", 1), "yes", "needs stations"},
		"too many stations with jumps":  {strings.Replace(torqueSketch, "[0.2 m, 0.4 m, 0.6 m]", "[0.1 m, 0.2 m, 0.3 m, 0.4 m, 0.5 m, 0.6 m]", 1), "yes", "at most 5"},
		"a curve of nothing":            {strings.Replace(twistSketch, "θ(x)", "ψ(x)", 1), "ψ", "ψ"},
		"a curve with no values":        {sketchOf("gap(x)", "from 0 N·m to 2 N·m"), "", ""},
		"a bracket":                     {sketchOf("(between spread(x) and 2·spread(x))", "from 0 N·m to 900 N·m"), "", "one curve"},
		"a logarithmic axis":            {"ask: a\nkind: sketch\ncurve: θ(x) in deg for x from 0.1 m to L on log axes\n", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			text := source.NewText("guess-s", c.text)
			g, list := Parse("guess-s", text)
			if !list.HasErrors() {
				truth, fault := tryTruth(t, g, sketchLines)
				if fault == "" {
					t.Fatalf("no fault: %+v", truth.Field)
				}
				_, list = tryTruthList(t, g, sketchLines)
			}
			for _, d := range list {
				if strings.Contains(d.Message, c.fault) && (c.at == "" || d.Span.Text == text && d.Span.Content() == c.at) {
					return
				}
			}
			t.Errorf("found %v, want “%s” at “%s”", list, c.fault, c.at)
		})
	}
}

// A kept sketch whose lesson has changed is set beside the curve in its own units, or is
// not one of it.
func TestKeptSketches(t *testing.T) {
	f := truthOf(t, guessOf(t, "guess-s", torqueSketch), sketchLines).Field
	for text, want := range map[string]bool{
		"m|N·m|0 200;0.8 200": true, "mm|kN·m|0 0.2;800 0.2": true,
		"mm|kN·m|0 0.2;700 0.2": false, "m|deg|0 1;0.8 1": false, "m|shape|0 1;0.8 1": false,
		"m|N·m|0 200": false, "m|N·m|0 NaN;0.8 1": false, "m|N·m|0.8 1;0 1": false, "": false, "0.7 deg": false,
		"m|N·m|0 1;0.8 1e400": false,
	} {
		d, ok := readDrawn(f, text)
		if ok != want || ok && (math.Abs(d.y[0]-200) > 1e-9 || math.Abs(d.x[len(d.x)-1]-0.8) > 1e-9) {
			t.Errorf("%q: %v, %+v", text, ok, d)
		}
	}
	g := guessOf(t, "guess-s", torqueSketch)
	if c := g.Compare(Truth{Field: f}, "m|deg|0 1;0.8 1", 0); c.Guess != "a sketch of another curve" || c.Words != "" {
		t.Errorf("%+v", c)
	}
}

// FuzzReadSketch: whatever is typed, a sketch that is taken has a finite value within the
// field at each point, is read back as the same, and can be said and drawn.
func FuzzReadSketch(f *testing.F) {
	f.Add("200;;;200;-320;;;", true)
	f.Add("0;;;;;;;1e-9 kN·m", true)
	f.Add(";−0,5;1;;;;;;", false)
	f.Add("1 ;2e;-;.;1e5N·m;;;", true)
	f.Fuzz(func(t *testing.T, typed string, jumps bool) {
		g := guessOf(t, "guess-s", torqueSketch)
		if !jumps {
			g = guessOf(t, "guess-s", "ask: a\nkind: sketch\ncurve: θ(x) in deg for x from 0 m to L\n")
		}
		truth := Truth{Field: fuzzField(t, g, jumps)}
		made, doubt := readSketch(truth.Field, strings.ReplaceAll(typed, ";", "\n"))
		if doubt != nil {
			return
		}
		d, ok := readDrawn(truth.Field, made.Text)
		if !ok || len(d.y) != len(truth.Field.Points) {
			t.Fatalf("%q is kept as %q, which is not read back", typed, made.Text)
		}
		for _, y := range d.y {
			if math.IsNaN(y) || y < truth.Field.Y.Min-1e-6 || y > truth.Field.Y.Max+1e-6 {
				t.Errorf("%q: a value of %g", typed, y)
			}
		}
		c := g.Compare(truth, made.Text, 0)
		if c.Words == "" || strings.Contains(c.Words+c.Guess, "NaN") {
			t.Errorf("%q: %+v", typed, c)
		}
		if _, ok := g.Picture(truth, []string{made.Text, made.Text}); !ok {
			t.Errorf("%q has no picture", typed)
		}
	})
}

var fuzzFields = map[bool]*Field{}

func fuzzField(t *testing.T, g *Guess, jumps bool) *Field {
	if fuzzFields[jumps] == nil {
		fuzzFields[jumps] = truthOf(t, g, sketchLines).Field
	}
	return fuzzFields[jumps]
}
