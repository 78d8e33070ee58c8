package text_test

import (
	"strings"
	"testing"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

// gaps are the lines to fill of the lessons: other right lines for each, and lines that
// say again what stands above, by hand.
var gaps = []struct {
	lesson, exercise, part string
	right, again           []string
}{
	{"uniform-shaft", "from-rings", "rings-added",
		[]string{"π·G·κ·R^4/2", "T = G·κ·π·R^4/2", "G·κ·2·π·R^4/4", "G·κ·2·π·(R^4/4)", "0.5·π·κ·G·R^4"},
		[]string{"T", "T·1", "T + 0", "2·T/2", "T = T"}},
	{"uniform-shaft", "from-rings", "with-the-diameter",
		[]string{"π·d^4/32", "π/2·(d/2)^4", "J = π/32·d^4", "π/2·R^4", "π·R·R·R·R/2"},
		[]string{"J", "T/(G·κ)·1", "T/(κ·G)", "1·T/(G·κ)", "(T + T)/(2·G·κ)", "T·R/(G·κ·R)", "T·(1/(G·κ))"}},
	{"nearly-uniform-taper", "why-the-mean-is-good", "product",
		[]string{"d^2·(1 − ε^2/4)", "d·(1 − ε/2)·d·(1 + ε/2)", "d^2 − d^2·ε^2/4", "d^2·(1 − (ε/2)^2)", "d^2·(4 − ε^2)/4", "p = d^2·(1 − ε^2/4)"},
		[]string{"p", "d_1·d_0", "d_0·d_1·1", "d_0·d_1 + 0", "d_0·d_1·d/d"}},
	{"nearly-uniform-taper", "why-the-mean-is-good", "three-terms",
		[]string{"3·d^2 + d^2·ε^2/4", "d^2·(1 − ε/2)^2 + d^2·(1 − ε^2/4) + d^2·(1 + ε/2)^2", "d^2·(12 + ε^2)/4", "(d_0 + d_1)^2 − d_0·d_1", "d^2·(ε^2/4 + 3)"},
		[]string{"s", "d_1^2 + d_0·d_1 + d_0^2", "d_0·d_0 + d_0·d_1 + d_1·d_1", "d_0^2 + d_1^2 + d_1·d_0", "d_0^2 + d_0·d_1 + d_1^2 + d − d"}},
	{"nearly-uniform-taper", "why-the-mean-is-good", "share",
		[]string{"1/((1 + ε^2/12)/(1 − ε^2/4)^3)", "12·(1 − ε^2/4)^3/(12 + ε^2)", "(1 − (ε/2)^2)^3/(1 + ε^2/12)", "(4 − ε^2)^3/64/(1 + ε^2/12)", "q = (1 − ε^2/4)^3/(1 + ε^2/12)"},
		[]string{"q", "θ_mean/θ·1", "1/θ·θ_mean", "2·θ_mean/(2·θ)", "θ_mean·T/(θ·T)"}},
	{"stepped-shaft", "two-springs", "common-factor",
		[]string{"(1/k_1 + 1/k_2)·T", "T·(1/k_2 + 1/k_1)", "T·(k_1 + k_2)/(k_1·k_2)", "T/(k_1·k_2/(k_1 + k_2))", "θ = T·(1/k_1 + 1/k_2)"},
		[]string{"θ", "T/k_2 + T/k_1", "T/k_1 + T/k_2 + 0", "1·T/k_1 + T/k_2", "(T/k_1 + T/k_2)·T/T", "T·(1/k_1) + T/k_2"}},
	{"stepped-shaft", "two-springs", "one-fraction",
		[]string{"k_1·k_2/(k_2 + k_1)", "1/((k_1 + k_2)/(k_1·k_2))", "k_2/(1 + k_2/k_1)", "k_1/(k_1/k_2 + 1)", "k_2·k_1/(k_1 + k_2)"},
		[]string{"k", "1/(1/k_2 + 1/k_1)", "1/(1/k_1 + 1/k_2)·1", "T/(T·(1/k_1 + 1/k_2))", "2/(2/k_1 + 2/k_2)", "T/θ"}},
	{"where-stiffness-comes-from", "tube-against-bar", "one-factor-cancels",
		[]string{"(b^2 + D^2)/(D^2 − b^2)", "(D^2 + b^2)·(D^2 − b^2)/(D^2 − b^2)^2", "(D·D + b·b)/(D·D − b·b)", "(D^2 + b^2)/((D − b)·(D + b))", "g = (D^2 + b^2)/(D^2 − b^2)"},
		[]string{"g", "(D^4 − b^4)/(D^2 − b^2)^2·1", "1/(D^2 − b^2)^2·(D^4 − b^4)", "(−b^4 + D^4)/(D^2 − b^2)^2", "(D^4 − b^4)/((D^2 − b^2)·(D^2 − b^2))"}},
	{"where-stiffness-comes-from", "tube-against-bar", "in-terms-of-q",
		[]string{"(1 + q^2)/(1 − q^2)", "(q^2 + 1)/(1 − q^2)", "(1 + (b/D)^2)/(1 − (b/D)^2)", "(1 + q·q)/(1 − q·q)", "(1 + q^2)/((1 − q)·(1 + q))"},
		[]string{"g", "(b^2 + D^2)/(D^2 − b^2)", "(D^2 + b^2)/(D^2 − b^2) + 0", "(D^4 − b^4)/(D^2 − b^2)^2", "2·(D^2 + b^2)/(2·(D^2 − b^2))"}},
	{"taper-in-segments", "why-it-closes", "what-is-left",
		[]string{"T·L/(3·G)·(1/J_0 − 1/J_3)", "T·L·(1/J_0 − 1/J_3)/(3·G)", "T·L/(3·G·J_0) − T·L/(3·G·J_3)", "L·T/(3·G)·(J_3 − J_0)/(J_0·J_3)", "w = (T·L/(3·G))·(1/J_0 − 1/J_3)"},
		[]string{"w", "−θ_thick + θ_thin", "θ_thin − θ_thick + 0", "(θ_thin − θ_thick)·2/2", "−(θ_thick − θ_thin)"}},
	{"taper-in-segments", "why-it-closes", "share-of-the-first",
		[]string{"1/3·(θ_soft − θ_stiff)", "θ_soft/3 − θ_stiff/3", "(T·L/(G·J_0) − T·L/(G·J_3))/3", "(θ_soft − T·L/(G·J_3))/3", "−(θ_stiff − θ_soft)/3"},
		[]string{"w", "θ_thin − θ_thick", "(T·L/(3·G))·(−1/J_3 + 1/J_0)", "T·L/(3·G)·(1/J_0 − 1/J_3)·1", "(L·T/(G·3))·(1/J_0 − 1/J_3)"}},
	{"how-the-sum-settles", "richardson-step", "errors-cancel",
		[]string{"θ", "(4·(θ − e) − (θ − 4·e))/3", "3·θ/3", "(3·θ)/3", "θ + 4·e/3 − 4·e/3"},
		[]string{"m", "(4·b − a)/3·1", "(−a + 4·b)/3", "1/3·(4·b − a)", "(8·b − 2·a)/6"}},
	{"how-the-sum-settles", "richardson-step", "a-third",
		[]string{"(b − a)/3", "b/3 − a/3", "1/3·(b − a)", "(4·b − a)/3 − b", "(4·b − a − 3·b)/3", "−(a − b)/3"},
		[]string{"δ", "−b + m", "m − b + 0", "(m − b)·1", "2·m − m − b"}},
	{"two-metals", "core-derived", "part-1",
		[]string{"2·π·G·g·∫_0^(c/2) r^3 dr", "G·g·2·π·(integral of r^3 for r from 0 m to c/2)", "2·π·g·G·∫_0^(c/2) r·r·r dr"},
		[]string{"A", "∫_0^(c/2) 2·π·G·g·r·r·r dr·1", "∫_0^(c/2) G·g·s·2·π·s·s ds"}},
	{"two-metals", "core-derived", "part-2",
		[]string{"G·g·π/32·c^4", "G·g·π/2·(c/2)^4", "A = π·c^4·G·g/32", "2·π·G·g·(c/2)^4/4"},
		[]string{"A", "2·π·g·G·∫_0^(c/2) r^3 dr", "2·π·G·g·∫_0^(c/2) r^3 dr + 0"}},
	{"thin-walls", "square-slit-derived", "part-1",
		[]string{"a^3·t", "t·a·a·a", "J_c = t·a^3", "a^4·t/a"},
		[]string{"J_c", "4·(a^2)^2·t/(4·a)·1", "4·t·(a^2)^2/(a·4)", "4·(a^2)^2·t/(4·a) + 0"}},
	{"thin-walls", "square-slit-derived", "part-2",
		[]string{"3/4·(a/t)^2", "3·a^2/(4·t^2)", "k = 0.75·(a/t)^2", "(a/t)^2/(4/3)", "a^3·t/(4·a·t^3/3)"},
		[]string{"k", "J_c/J_o·1", "1/J_o·J_c", "2·J_c/(2·J_o)"}},
	{"how-shafts-break", "wedge-derived", "both-faces",
		[]string{"2·A·τ·cos(φ)·sin(φ)", "N = 2·τ·A·sin(φ)·cos(φ)", "2·sin(φ)·cos(φ)·τ·A", "τ·A·2·cos(φ)·sin(φ)"},
		[]string{"N", "τ·A·cos(φ)·sin(φ) + τ·A·sin(φ)·cos(φ)", "A·τ·sin(φ)·cos(φ) + A·τ·cos(φ)·sin(φ) + 0", "N·1"}},
	{"how-shafts-break", "wedge-derived", "double-angle",
		[]string{"sin(2·φ)·τ", "σ = τ·sin(2·φ)", "τ·sin(φ·2)"},
		[]string{"σ", "N/A·1", "1/A·N", "2·N/(2·A)"}},
	{"torsion-test", "modulus-derived", "part-1",
		[]string{"L/(C·J)", "G = L/(J·C)", "L/C/J", "1/(C·J/L)"},
		[]string{"G", "T·L/(J·θ)", "L·T/(θ·J)·1"}},
	{"torsion-test", "modulus-derived", "part-2",
		[]string{"32·L/(π·C·d^4)", "L/(C·π/32·d^4)", "G = 32/π·L/(C·d^4)", "2·L/(π·C·(d/2)^4)"},
		[]string{"G", "L/(J·C)", "L/(C·J)·1"}},
	{"tolerances", "shares-derived", "power-taken",
		[]string{"T·L·(1 + a)/(π/32·G·(1 − b)·(1 − c)^4·d^4)", "32·T·(1 + a)·L/(π·G·(1 − b)·d^4·(1 − c)^4)", "θ_s = T·(1 + a)·L/(G·(1 − b)·π/32·d^4·(1 − c)^4)"},
		[]string{"θ_s", "T·L·(1 + a)/((1 − b)·G·π/32·(d·(1 − c))^4)", "θ_s·1"}},
	{"tolerances", "shares-derived", "sizes-cancel",
		[]string{"(a + 1)/((1 − c)^4·(1 − b))", "q = (1 + a)/((1 − b)·(1 − c)^4)", "(1 + a)/(1 − b)/(1 − c)^4"},
		[]string{"q", "θ_s/θ·1", "1/θ·θ_s"}},
	{"beyond-yield", "tube-derived", "constants",
		[]string{"2·π·τ·∫_a^c r^2 dr", "T = τ·2·π·∫_a^c r^2 dr", "π·τ·2·∫_a^c r·r dr"},
		[]string{"T", "∫_a^c τ·2·π·r·r dr", "∫_a^c τ·2·π·r·r dr + 0"}},
	{"beyond-yield", "tube-derived", "closed",
		[]string{"2·π·τ·(c^3/3 − a^3/3)", "T = 2/3·π·τ·(c^3 − a^3)", "(c^3 − a^3)·2·π·τ/3"},
		[]string{"T", "2·π·τ·∫_a^c r^2 dr", "τ·2·π·∫_a^c r^2 dr + 0"}},
	{"inches-and-pounds", "folded-derived", "part-1",
		[]string{"550·12·60·p/(2·π·n)·(1 lbf·in)", "p·550·12·60/(2·π·n)·(1 lbf·in)", "(396000 lbf·in)·p/(2·π·n)"},
		[]string{"T", "(p·550·12 lbf·in/s)/(2·π·n/(60 s))·1"}},
	{"inches-and-pounds", "folded-derived", "part-2",
		[]string{"198000·p/(π·n)·(1 lbf·in)", "(198000 lbf·in)·p/(π·n)", "p/n·(198000/π)·(1 lbf·in)"},
		[]string{"T"}},
	{"another-route", "castigliano-lines", "at-the-end",
		[]string{"P·f + E·(f + g)", "φ = E·g + f·(E + P)", "f·P + f·E + g·E"},
		[]string{"φ", "derivative of t^2·g/2 + (P + t)^2·f/2 for t at E"}},
	{"another-route", "castigliano-lines", "where-they-meet",
		[]string{"P·f + E·f", "θ = f·(E + P)", "f·P + E·f"},
		[]string{"θ", "derivative of (s + E)^2·f/2 + E^2·g/2 for s at P"}},
	{"another-route", "castigliano-lines", "work",
		[]string{"((P + E)^2·f + E^2·g)/2", "P·E·f + P^2·f/2 + E^2·(f + g)/2", "W = f·(P + E)^2/2 + E^2·g/2"},
		[]string{"W", "(E·φ + P·θ)/2", "P·θ/2 + E·φ/2"}},
	{"the-drive-line", "square-derived", "angle",
		[]string{"T/n^2/k", "(T/(n·k))/n", "φ_1 = T/(k·n·n)"},
		[]string{"φ_1", "φ_2/n·1", "2·φ_2/(2·n)"}},
	{"the-drive-line", "square-derived", "stiffness",
		[]string{"k·n·n", "k_1 = n^2·k", "k/(1/n^2)"},
		[]string{"k_1", "T/φ_1·1", "1/(φ_1/T)"}},
	{"the-drive-line", "square-derived", "energy",
		[]string{"T^2/(2·n^2·k)", "T/n·T/n/(2·k)", "U = (T/n)^2/(2·k)"},
		[]string{"U", "T^2/(2·k_1)·1", "T·T/(2·k_1)"}},
}

// Every right line of another form is right, also with its name in front; a line that
// says again what stands above, in whatever dress, is not taken and uses no try.
func TestLinesSaySomethingNew(t *testing.T) {
	shelf, _ := lessons.Load(text.Files)
	for _, g := range gaps {
		v := lineExercise(t, shelf, g.lesson, g.exercise)
		for _, line := range g.right {
			got, err := v.Mark(t.Context(), g.part, line)
			if err != nil || got.Kind != marking.Right {
				t.Errorf("%s/%s: the right line %s is %s: %s (%v)", g.exercise, g.part, line, got.Kind, got.Message, err)
			}
		}
		for _, line := range g.again {
			got, err := v.Mark(t.Context(), g.part, line)
			if err != nil || got.Kind != marking.Unreadable || !strings.Contains(got.Message, "says again what stands above") {
				t.Errorf("%s/%s: %s says nothing new and is %s: %s (%v)", g.exercise, g.part, line, got.Kind, got.Message, err)
			}
		}
	}
}

// Every line to fill of the lessons is in the list.
func TestAllLinesToFillAreTried(t *testing.T) {
	tried := map[string]bool{}
	for _, g := range gaps {
		tried[g.lesson+" "+g.exercise+" "+g.part] = true
	}
	shelf, _ := lessons.Load(text.Files)
	for _, l := range shelf.Lessons {
		for _, cell := range l.CellsOf(lessons.Exercise) {
			e, _ := exercises.Parse(cell.Name, cell.Text)
			for _, s := range e.Structures {
				for _, p := range s.Parts {
					if name := l.Slug + " " + cell.Name + " " + p.Name; p.Kind == marking.Line && !tried[name] {
						t.Errorf("%s is not in the list", name)
					}
				}
			}
		}
	}
}

func lineExercise(t *testing.T, shelf *lessons.Catalog, lesson, exercise string) *exercises.Variant {
	t.Helper()
	l, ok := shelf.Lesson(lesson)
	if !ok {
		t.Fatalf("no lesson %s", lesson)
	}
	for _, cell := range l.CellsOf(lessons.Exercise) {
		if cell.Name != exercise {
			continue
		}
		e, list := exercises.Parse(cell.Name, cell.Text)
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		v, err := e.Variant(t.Context(), exercises.HeadlessKey, "Student 01", 0)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	t.Fatalf("no exercise %s in %s", exercise, lesson)
	return nil
}
