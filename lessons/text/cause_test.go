package text_test

import (
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// mistakes are single mistakes such as beginners make, each in a line of a lesson
// that others build on. The list was written before it was run for the first time.
var mistakes = []struct{ lesson, right, wrong string }{
	{"uniform-shaft", "T = 420 N·m", "T = 420"},
	{"uniform-shaft", "L = 1.2 m", "L = 1.2"},
	{"uniform-shaft", "G = 79 GPa", "G = 79"},
	{"uniform-shaft", "T = 420 N·m", "T = 420 N"},
	{"uniform-shaft", "G = 79 GPa", "G = 79 kN"},
	{"uniform-shaft", "J = π/32·d^4 in mm⁴", "J = π/32·d^3 in mm⁴"},
	{"uniform-shaft", "J = π/32·d^4 in mm⁴", "J = π/32·d^4 in mm³"},
	{"uniform-shaft", "θ = T·L/(J·G) in deg", "θ = T·L/(J·G in deg"},
	{"uniform-shaft", "θ = T·L/(J·G) in deg", "θ = T·L/(J + G) in deg"},
	{"uniform-shaft", "T = 420 N·m", "T 420 N·m"},
	{"uniform-shaft", "d − 0.5 mm in mm", "d − 0.5 in mm"},
	{"can-it-be-right", "d_0 = 36 mm", "d_0 = 36"},
	{"can-it-be-right", "d_0 = 36 mm", "d_0 = 36 N"},
	{"can-it-be-right", "d_1 = 54 mm", "d_l = 54 mm"},
	{"can-it-be-right", "L = 0.8 m", "L = 0.8 MPa"},
	{"can-it-be-right", "J(d) = π/32·d^4", "J(d) = π/32·d^4·d"},
	{"can-it-be-right", "solid d_0 to d_1 for L", "solid d_0 to d_1 for"},
	{"can-it-be-right", "torque −T at 0 mm", "torque −T at 0 N"},
	{"can-it-be-right", "fixed at L", "fixd at L"},
	{"can-it-be-right", "expect spindle.twist between φ_mid(2)", "expect spindel.twist between φ_mid(2)"},
	{"can-it-be-right", "expect θ_A between θ_stiff and θ_soft", "expect θ_A between θ_stif and θ_soft"},
	{"can-it-be-right", "lowest(m) = low(spindle.bracket(m))", "lowest(m) = low(spindle.bracket(m)"},
	{"held-at-both-ends", "T = 300 N·m", "T = 300"},
	{"held-at-both-ends", "d(x) = d_0 + (d_1 − d_0)·x/L", "d(x) = d_0 + (d_1 − d_0)·x·L"},
	{"held-at-both-ends", "J(x) = π/32·d(x)^4", "J(x) = π/32·d(x)^2"},
	{"held-at-both-ends", "torque T at a", "torque T at"},
	{"held-at-both-ends", "f_A = integral of 1/(G·J(x)) for x from 0 m to a", "f_A = integral of 1/(G·J(x)) for x from 0 m a"},
	{"held-at-both-ends", "A = T·k_A/(k_A + k_B)", "A = T·k_A/(k_A + kB)"},
	{"held-at-both-ends", "L = 0.8 m", "L = 0,8 m"},
	{"hollow-taper", "D_0 = 60 mm", "D_0 = 60"},
	{"hollow-taper", "b_0 = 44 mm", "b_0 = 44 kN"},
	{"hollow-taper", "D(x) = D_0 + (D_1 − D_0)·x/L", "D(x) = D_0 + (D_1 − D_0)·x/"},
	{"hollow-taper", "hollow D_0 to D_1 bore b_0 to b_1 for L", "hollow D_0 to D_1 bore b_0 to b_1 for L·L"},
	{"hollow-taper", "J(x) = π/32·(D(x)^4 − b(x)^4)", "J(x) = π/32·(D(x)^4 − b(x)^3)"},
	{"hollow-taper", "G = 79 GPa", "G = 79 GPaa"},
	{"how-the-sum-settles", "rate(x) = T/(G·J(x))", "rate(x) = T/(G·I(x))"},
	{"how-the-sum-settles", "thin(m) = sum of rate((i − 1)·L/m)·(L/m) for i from 1 to m", "thin(m) = sum of rate((i − 1)·L/m)·(L/m) for i from 1 m"},
	{"how-the-sum-settles", "d_0 = 36 mm", "d_0 = 36 mm^2"},
	{"how-the-sum-settles", "T = 420 N·m", "T = 420 kg"},
	{"how-the-sum-settles", "middle(m) = sum of rate((i − 1/2)·L/m)·(L/m)", "middle(m) = sum of rate((i − 1/2)·L/m)·(L/m"},
	{"stepped-shaft", "T_stones = 200 N·m", "T_stones = 200"},
	{"stepped-shaft", "L_2 = 500 mm", "L_2 = 500"},
	{"stepped-shaft", "T_gear = T_stones + T_hoist", "T_gear = T_stones + T_host"},
	{"stepped-shaft", "d_3 = 38 mm", "d_3 = 38 s"},
	{"stepped-shaft", "torque T_gear at L_1", "torque T_gear at 4000 mm"},
	{"stress-along-a-taper", "q = 180 N·m/m", "q = 180 N·m"},
	{"stress-along-a-taper", "L_b = 1.2 m", "L_b = 1.2"},
	{"stress-along-a-taper", "τ(x) = 16·T/(π·d(x)^3)", "τ(x) = 16·T/(π·d(x)^4)"},
	{"stress-along-a-taper", "D_1 = 36 mm", "D1 = 36 mm"},
	{"stress-along-a-taper", "k = (D_1 − D_0)/L_b", "k = (D_1 − D_0/L_b"},
	{"sizing-a-shaft", "P = 9 kW", "P = 9 kN"},
	{"sizing-a-shaft", "τ_allow = 40 MPa", "τ_allow = 40"},
	{"sizing-a-shaft", "L = 2.2 m", "L = 2.2 m +"},
	{"sizing-a-shaft", "solid d_stock for L", "solid d_stok for L"},
	{"spread-torque", "q = 180 N·m/m", "q = 180"},
	{"spread-torque", "J_0 = π/32·d_0^4 in mm⁴", "J_0 = π/32·d_0^4 in mm"},
	{"units-that-cannot-lie", "T = 420 N·m", "T = 420 N·m·"},
	{"units-that-cannot-lie", "d = 36 mm", "d = 36 deg"},
	{"measured-shaft", "Δx = 100 mm", "Δx = 100"},
	{"uniform-shaft", "T = 420 N·m", "T = 420 N·m; q = 1 m"},
	{"measured-shaft", "200 mm: 39.6 mm", "200 mm: 39.6"},
}

// leastFound is how many of the mistakes must be named first, at their own place.
const leastFound = 57

// TestFirstMessageIsAtTheMistake makes each mistake in its lesson and looks at the
// first message: it must be on the line of the mistake.
func TestFirstMessageIsAtTheMistake(t *testing.T) {
	found := 0
	for _, l := range shelf(t).Lessons {
		w := working(l)
		for _, m := range mistakes {
			if m.lesson != l.Slug {
				continue
			}
			id, text, line := withMistake(t, l, m.right, m.wrong)
			cell, _ := l.Cell(id)
			if err := w.Edit(id, text); err != nil {
				t.Fatal(err)
			}
			first, more := firstErrors(t, w, l)
			switch {
			case first == nil:
				t.Errorf("%s: no message", m.wrong)
			case first.Span.Text.Name != cell.Text.Name || first.Span.Position().Line != line:
				t.Logf("%s: the first message is elsewhere: %s", m.wrong, first.Render())
			default:
				found++
			}
			if more > 0 {
				t.Logf("%s: %d more messages", m.wrong, more)
			}
			if err := w.Edit(id, cell.Text.Content); err != nil {
				t.Fatal(err)
			}
		}
	}
	if !t.Failed() && found < leastFound {
		t.Errorf("the first message is at the mistake in %d of %d cases, want at least %d", found, len(mistakes), leastFound)
	}
}

// severalMistakes are lines that lack their units together, as beginners type them.
var severalMistakes = []struct {
	lesson string
	wrong  map[string]string
}{
	{"uniform-shaft", map[string]string{"T = 420 N·m": "T = 420", "L = 1.2 m": "L = 1200"}},
	{"uniform-shaft", map[string]string{"T = 420 N·m": "T = 420", "L = 1.2 m": "L = 1200", "G = 79 GPa": "G = 79"}},
	{"uniform-shaft", map[string]string{"T = 420 N·m": "T = 420", "L = 1.2 m": "L = 1200", "G = 79 GPa": "G = 79", "vary d from 24 mm to 72 mm by 1 mm starting at 48 mm": "d = 48"}},
	{"uniform-shaft", map[string]string{"L = 1.2 m": "L = 1.2 kg", "G = 79 GPa": "G = 79"}},
}

// TestSeveralMistakesAreNamed makes mistakes in several lines of a lesson at once: each
// has a message at its own line, and no other line has one.
func TestSeveralMistakesAreNamed(t *testing.T) {
	for _, m := range severalMistakes {
		for _, l := range shelf(t).Lessons {
			if l.Slug != m.lesson {
				continue
			}
			w := working(l)
			missing, edited := map[int]string{}, map[string]string{}
			for right, wrong := range m.wrong {
				id, text, line := withMistake(t, l, right, wrong)
				missing[line] = wrong
				if edited[id] != "" {
					text = strings.Replace(edited[id], right, wrong, 1)
				}
				edited[id] = text
				if err := w.Edit(id, text); err != nil {
					t.Fatal(err)
				}
			}
			for _, r := range results(t, w, l) {
				for _, d := range r.Said(false) {
					if d.Severity != source.Error {
						continue
					}
					line := d.Span.Position().Line
					if missing[line] == "" && !r.Folded {
						t.Errorf("%v: a message elsewhere: %s", m.wrong, d.Render())
					}
					delete(missing, line)
				}
			}
			for _, wrong := range missing {
				t.Errorf("%v: no message at %s", m.wrong, wrong)
			}
		}
	}
}

// withMistake puts a mistake into the first cell of a lesson that holds the right
// text, and returns the cell, its text and the line of the file.
func withMistake(t *testing.T, l *lessons.Lesson, right, wrong string) (id, text string, line int) {
	t.Helper()
	for _, c := range l.WorkingCells() {
		at := strings.Index(c.Text.Content, right)
		if at < 0 {
			continue
		}
		line = c.Text.FirstLine + strings.Count(c.Text.Content[:at], "\n")
		return c.ID, c.Text.Content[:at] + wrong + c.Text.Content[at+len(right):], line
	}
	t.Fatalf("%s does not hold %q", l.Slug, right)
	return "", "", 0
}

// firstErrors returns the first error that is shown and how many others are.
func firstErrors(t *testing.T, w *kernel.Working, l *lessons.Lesson) (first *source.Diagnostic, more int) {
	t.Helper()
	for _, r := range results(t, w, l) {
		for _, d := range r.Said(false) {
			switch {
			case d.Severity != source.Error:
			case first == nil:
				first = &d
			default:
				more++
			}
		}
	}
	return first, more
}
