package derive_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

func read(t testing.TB, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("testdata", name+".derive"))
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

func judgeText(t testing.TB, text string) derive.Report {
	t.Helper()
	r := derive.JudgeText(context.Background(), source.NewText("", text), derive.Settings{})
	if r.Diagnostics.HasErrors() {
		t.Fatalf("%s\n%s", r.Diagnostics.FirstError().Render(), text)
	}
	return r
}

// The derivations of published formulas, each file with its source: no valid
// step may be refused or left open.
func TestPublished(t *testing.T) {
	files, err := filepath.Glob("testdata/*.derive")
	if err != nil || len(files) < 7 {
		t.Fatal(files, err)
	}
	exact, steps := 0, 0
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".derive")
		t.Run(name, func(t *testing.T) {
			r := judgeText(t, read(t, name))
			if len(r.Verdicts) < 3 {
				t.Errorf("only %d steps", len(r.Verdicts))
			}
			for _, v := range r.Verdicts {
				steps++
				if v.Exact {
					exact++
				}
				if v.Kind != derive.Follows {
					t.Errorf("line %d %s: %s\n%s", v.Line, v.Kind, v.Why, v.Span.Content())
				}
			}
		})
	}
	t.Logf("%d of %d steps decided exactly", exact, steps)
}

// seeded is a wrong step put into a derivation: the text old of one line
// becomes new. The step must fail, be named as slip, and the steps before it
// must still follow.
type seeded struct {
	file, old, new string
	slip           derive.Slip
	says           string // part of the reason
}

// The slips are those of the trade's catalogue (common practice, no source).
var slips = []seeded{
	// Solid taper.
	{"taper", "(1/d_0^3 − 1/d_1^3)/(3·k)", "(1/d_0^3 − 1/d_1^3)/3", derive.ChainRule, "1/k is missing"},
	{"taper", "(1/d_0^3 − 1/d_1^3)/(3·k)", "(1/d_0^3 − 1/d_1^3)/k", derive.WrongPower, "3 times"},
	{"taper", "(1/d_0^3 − 1/d_1^3)/(3·k)", "(1/d_1^3 − 1/d_0^3)/(3·k)", derive.SwappedLimits, "swapped"},
	{"taper", "(1/d_0^3 − 1/d_1^3)/(3·k)", "(1/d_0^5 − 1/d_1^5)/(5·k)", derive.WrongPower, "exponent"},
	{"taper", "(integral of 1/(k·u^4) for u from d_0 to d_1) with", "(integral of 1/u^4 for u from d_0 to d_1) with", derive.ChainRule, "chain-rule factor"},
	{"taper", "(integral of 1/(k·u^4) for u from d_0 to d_1) with", "(integral of 1/(k·u^4) for u from 0.1·d_0 to L) with", derive.OldLimits, "limits"},
	{"taper", "  = 32·T/(π·G)·(integral of 1/(d_0 + k·x)^4", "  = 2·T/(π·G)·(integral of 1/(d_0 + k·x)^4", derive.RadiusSlip, "radius and diameter"},
	{"taper", "  = 32·T/(π·G)·(integral of 1/(d_0 + k·x)^4", "  = 64·T/(π·G)·(integral of 1/(d_0 + k·x)^4", derive.Bending, "2 times"},
	{"taper", "(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3", "(d_0^2 + d_1^2)/(d_0^3", derive.DroppedTerm, "missing"},
	{"taper", "(β^2 + β + 1)/(3·β^3)", "(β^2 + β + 1)/β^3", derive.WrongFactor, "3 times"},
	{"taper", "  = 32·T/(π·G)·(integral of 1/(d_0 + k·x)^4 for x from 0 m to L)", "  = 32·T·L/(π·G)·1/((d_0 + d_1)/2)^4", derive.MeanValue, "mid-length"},
	// Thin tapered tube.
	{"thin-tube", "(1/d_A^2 − 1/d_B^2)/(2·k)", "(1/d_A^2 − 1/d_B^2)/k", derive.WrongPower, "2 times"},
	{"thin-tube", "(1/d_A^2 − 1/d_B^2)/(2·k)", "(1/d_A^4 − 1/d_B^4)/(4·k)", derive.WrongPower, "exponent"},
	{"thin-tube", "  = 2·T·L/(π·G·t)·(d_A + d_B)/(d_A^2·d_B^2)", "  = 2·T·L/(π·G·t)·(d_B − d_A)/(d_A^2·d_B^2)", "", ""},
	{"thin-tube", "from d_A to d_B) with", "from d_B to d_A) with", derive.SwappedLimits, "u runs from d_A to d_B"},
	// Bredt.
	{"bredt", "  = T/(2·A·t)", "  = T/(A·t)", derive.WrongFactor, "2 times"},
	{"bredt", "  = T·L_m/(4·A^2·G·t)", "  = T·L_m/(4·A·G·t)", derive.WrongPower, "1/A is missing"},
	{"bredt", "  = 2·(q·a·b/2) + 2·(q·a·b/2)", "  = 2·(q·a·b/2)", derive.DroppedTerm, "half of"},
	{"bredt", "  = 4·A^2·t/L_m", "  = 4·A^2·t/(a + b)", derive.WrongFactor, "2 times"},
	// Two holds.
	{"two-holds", "    = T_0·b·J_a/(a·J_b + b·J_a)", "    = T_0·b/(a + b)", derive.EqualSections, "J_a"},
	{"two-holds", "    = T_0·b·J_a/(a·J_b + b·J_a)", "    = T_0·a·J_b/(a·J_b + b·J_a)", "", ""},
	{"two-holds", "    = T_0·a·J_b/(a·J_b + b·J_a)", "    = −T_0·a·J_b/(a·J_b + b·J_a)", derive.WrongSign, "sign"},
	{"two-holds", "= root of X·(a/J_a + b/J_b) − T_0·b/J_b", "= root of X·(a/J_a − b/J_b) − T_0·b/J_b", "", ""},
	// Composite.
	{"composite", "  = T·L/(G_1·J_1 + G_2·J_2)", "  = T·L/(G_1·J_1)", derive.DroppedTerm, "G_2·J_2 is missing"},
	{"composite", "G_2·(d_2^4 − d_1^4))\n", "G_2·(d_2 − d_1)^4)\n", derive.Powers, "powers"},
	{"composite", "G_2·(d_2^4 − d_1^4))\n", "G_2·d_2^4)\n", derive.DroppedTerm, "missing"},
	{"composite", "  = T·G_1·J_1/(G_1·J_1 + G_2·J_2)", "  = T·G_2·J_1/(G_1·J_1 + G_2·J_2)", "", "G"},
	// Spread torque.
	{"spread", "t_A/(2·G·J·L)·L^3/3", "t_A/(2·G·J·L)·L^3", derive.WrongPower, "3 times"},
	{"spread", "  = 16·t_A·L^2/(3·π·G·d^4)", "  = t_A·L^2/(3·π·G·d^4)", derive.RadiusSlip, "one sixteenth of"},
	{"spread", "  = 16·t_A·L^2/(3·π·G·d^4)", "  = 16·t_A·L^2·180/(3·π^2·G·d^4)", derive.WrongAngle, "degrees"},
	// Bore.
	{"bore", "(F(d_B) − F(d_A))\n", "(F(d_A) − F(d_B))\n", derive.SwappedLimits, "swapped"},
	{"bore", "  = 32·T/(π·G·k)·(F(d_B) − F(d_A))", "  = 32·T/(π·G)·(F(d_B) − F(d_A))", derive.ChainRule, "1/k"},
	{"bore", "  = 32·T/(π·G·k)·(F(d_B) − F(d_A))", "  = 32·T/(π·G·k)·F(d_B)", "", ""},
}

func TestSeededSlips(t *testing.T) {
	if testing.Short() {
		t.Skip("judges every slip of every derivation")
	}
	for _, s := range slips {
		t.Run(s.file+" "+s.new, func(t *testing.T) {
			text := read(t, s.file)
			at := strings.Index(text, s.old)
			if at < 0 {
				t.Fatalf("%q is not in the derivation", s.old)
			}
			wrong := text[:at] + s.new + text[at+len(s.old):]
			line := strings.Count(text[:at+1], "\n") + 1
			r := judgeText(t, wrong)
			found := false
			for _, v := range r.Verdicts {
				switch {
				case v.Line < line && v.Kind != derive.Follows:
					t.Errorf("line %d before it %s: %s", v.Line, v.Kind, v.Why)
				case v.Line == line:
					found = true
					checkSlip(t, s, v)
				case v.Line > line+1 && v.Kind == derive.Fails:
					t.Errorf("line %d after it is painted too: %s", v.Line, v.Why)
				}
			}
			if !found {
				t.Errorf("line %d was not judged", line)
			}
		})
	}
}

func checkSlip(t *testing.T, s seeded, v derive.Verdict) {
	if v.Kind != derive.Fails {
		t.Errorf("%s: %s", v.Kind, v.Why)
		return
	}
	if s.slip != "" && v.Slip != s.slip || !strings.Contains(v.Why, s.says) {
		t.Errorf("named as %q (%s), want %q, %q", v.Slip, v.Why, s.slip, s.says)
	}
	if v.Slip != derive.Dimensions && len(v.Counterexample) == 0 && v.Above == "" && !strings.Contains(v.Why, "this line is a") {
		t.Errorf("no counterexample: %s", v.Why)
	}
	t.Logf("%s: %s", v.Slip, v.Why)
}
