package derivation

import (
	"context"
	"errors"
	"strings"
	"testing"
)

const bending = "given T: torque > 0, d: length > 0\nJ = π/32·d^4\nτ = T·(d/2)/J\n"

func judged(t *testing.T, s Input) *Outcome {
	t.Helper()
	o, err := Judge(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func (o *Outcome) verdicts() string {
	var words []string
	for _, l := range o.Lines {
		word := "-"
		if l.Verdict != nil {
			word = l.Verdict.Kind.String()
		}
		if l.Diagnostics.HasErrors() {
			word += "!"
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

// The stress 16·T/(π·d³) at the surface of a solid round shaft is the
// textbook formula (from memory).
func TestGapsAreFilledWhereTheyStand(t *testing.T) {
	for _, c := range []struct {
		name, steps string
		gaps        []string
		want        string
	}{
		{"left open", "  = ?", nil, "- - - gap"},
		{"filled rightly", "  = ?", []string{"16·T/(π·d^3)"}, "- - - follows"},
		{"filled with the sign of a step", "  = ?", []string{"= 16·T/(π·d^3)"}, "- - - follows"},
		{"filled wrongly", "  = ?", []string{"8·T/(π·d^3)"}, "- - - fails"},
		{"only blanks", "  = ?", []string{"  "}, "- - - gap"},
		{"a question mark", "  = ?", []string{"?"}, "- - - gap"},
		{"the second of two", "  = ?\n  = ?", []string{"", "16·T/(π·d^3)"}, "- - - gap follows"},
		{"an open bracket spoils no other line", "  = ?\n  = 16·T/(π·d^3)", []string{"16·T/(π·d^3"}, "- - - gap! follows"},
		{"a second line in a gap is no second line", "  = ?", []string{"16·T\n/(π·d^3)"}, "- - - follows"},
		{"more than there are gaps", "  = 16·T/(π·d^3)", []string{"4", "5"}, "- - - follows"},
		{"a name that is not known", "  = ?", []string{"q·T"}, "- - - open!"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := judged(t, Input{Text: bending + c.steps, Gaps: c.gaps})
			if got := o.verdicts(); got != c.want {
				t.Errorf("verdicts %q, want %q", got, c.want)
			}
			if at := o.Lines[3].Node.Span().Position().Line; at != 4 {
				t.Errorf("the fourth line says that it is line %d", at)
			}
		})
	}
}

func TestFirstFailure(t *testing.T) {
	o := judged(t, Input{Text: bending + "  = 8·T/(π·d^3)\n  = 8/π·T/d^3\n  = 4/π·T/d^3"})
	if got := o.FirstFailure(); got != 3 {
		t.Errorf("the first failure is line %d, want 3", got)
	}
	if got := judged(t, Input{Text: bending}).FirstFailure(); got != -1 {
		t.Errorf("a derivation without steps has a first failure, %d", got)
	}
}

// T = 420 N·m on 36 mm: 16T/(πd³) = 45.8471… MPa (python3, double precision).
func TestRun(t *testing.T) {
	text := bending + "  = T·(d/2)/(π/32·d^4)\n  = 16·T/(π·d^3)"
	for _, c := range []struct {
		name        string
		text        string
		data        map[string]string
		asked       bool
		ready       bool
		parts       int
		said, named string // of the run, and of the name d
	}{
		{"no numbers", text, nil, false, false, -1, "", ""},
		{"all", text, map[string]string{"T": "420 N·m", "d": "36 mm"}, true, true, -1, "", ""},
		{"an expression", text, map[string]string{"T": "420 N·m", "d": "2·18 mm"}, true, true, -1, "", ""},
		{"one lacks", text, map[string]string{"T": "420 N·m"}, true, false, -1, "d ", ""},
		{"no unit", text, map[string]string{"T": "420 N·m", "d": "36"}, true, false, -1, "d ", "d is a length"},
		{"another dimension", text, map[string]string{"T": "420 N·m", "d": "36 s"}, true, false, -1, "d ", "d is a length"},
		{"a bracket", text, map[string]string{"T": "420 N·m", "d": "36 mm ± 1 mm"}, true, false, -1, "d ", "enter"},
		{"unreadable", text, map[string]string{"T": "420 N·m", "d": "36 mm)"}, true, false, -1, "d ", "this"},
		{"outside the domain", text, map[string]string{"T": "420 N·m", "d": "−36 mm"}, true, false, -1, "d > 0", ""},
		{"a wrong step", bending + "  = 8·T/(π·d^3)", map[string]string{"T": "420 N·m", "d": "36 mm"}, true, true, 3, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := judged(t, Input{Text: c.text, Data: c.data})
			r := o.Run
			if r.Asked != c.asked || r.Ready != c.ready || r.Parts != c.parts || !strings.Contains(r.Said, c.said) {
				t.Errorf("the run is %+v", r)
			}
			if got := o.Givens[1].Said; !strings.HasPrefix(got, c.named) || (c.named == "") != (got == "") {
				t.Errorf("of d it says %q, want %q", got, c.named)
			}
			if v := o.Lines[2].Value; c.ready && (v == nil || v.Text != "45.85 MPa") {
				t.Errorf("τ is %v, want 45.85 MPa", v)
			}
		})
	}
}

func TestOffer(t *testing.T) {
	o := judged(t, Input{Text: bending + "  = ?", Data: map[string]string{"T": "10 N·m"}})
	o.Offer(context.Background(), map[string]string{"T": "420 N·m", "d": "36 mm", "J": "3 mm⁴"})
	if o.Givens[0].Value != "10 N·m" || o.Givens[1].Value != "36 mm" {
		t.Errorf("the fields hold %+v", o.Givens)
	}
	o = judged(t, Input{Text: bending})
	o.Offer(context.Background(), map[string]string{"T": "36 mm"})
	if o.Givens[0].Value != "" || o.Run.Asked {
		t.Errorf("a length was offered for a torque: %+v", o.Givens[0])
	}
}

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		name  string
		sheet Input
	}{
		{"a long text", Input{Text: strings.Repeat("a", TextLimit+1)}},
		{"many lines", Input{Text: strings.Repeat("a = 1\n", LineLimit+1)}},
		{"a long gap", Input{Gaps: []string{strings.Repeat("1", FieldLimit+1)}}},
		{"a long number", Input{Data: map[string]string{"T": strings.Repeat("1", FieldLimit+1)}}},
		{"many gaps", Input{Gaps: make([]string, LineLimit+1)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Judge(context.Background(), c.sheet); !errors.Is(err, ErrTooLong) {
				t.Errorf("error %v, want ErrTooLong", err)
			}
		})
	}
}

func TestWhatIsCutOffIsNotAnOutcome(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if o, err := Judge(ctx, Input{Text: bending + "  = 16·T/(π·d^3)"}); o != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("outcome %v, error %v; want the error of the context alone", o, err)
	}
}

// FuzzJudge looks for texts, gaps and numbers that panic, and holds that every
// line has its place and every verdict its line.
func FuzzJudge(f *testing.F) {
	f.Add(bending+"  = ?\n = 3", "16·T/(π·d^3)", "36 mm")
	f.Add("given n: number\ns = sum of i for i from 1 to n\n = ?", "n·(n + 1)/2", "7")
	f.Add("= ?", ")", "(")
	f.Fuzz(func(t *testing.T, text, gap, number string) {
		o, err := Judge(t.Context(), Input{Text: text, Gaps: []string{gap, gap}, Data: map[string]string{"d": number, "T": number, "n": number}})
		if err != nil {
			return
		}
		if len(o.Lines) != len(o.Cell.Lines) {
			t.Fatalf("%d lines of %d", len(o.Lines), len(o.Cell.Lines))
		}
		for _, l := range o.Lines {
			if step, ok := l.Verdict, l.Verdict != nil; ok && step.Line != l.Node.Span().Position().Line {
				t.Errorf("a verdict on line %d stands at line %d", step.Line, l.Node.Span().Position().Line)
			}
		}
	})
}
