package exercises

import (
	"context"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
)

// spreadLines has a derivation with two lines to fill. The twist of a uniform shaft held
// at one end under an evenly spread torque is q·L²/(2·G·J), half of that under the whole
// torque at the end (by hand: ∫(L − x)dx = L²/2).
const spreadLines = `title: An evenly spread torque
derivation: |
  given q: N > 0 N, L: length > 0 m, G: shear modulus > 0 Pa, J: second moment of area > 0 m⁴
  θ = ∫_0^L q·(L − x)/(G·J) dx       because the torque at x is what acts beyond it
    = ?                              because q, G and J are the same all along
    = ?                              because L − x grows evenly from 0 to L
ask:
  - {name: constants, kind: line, text: Take the constants out, line: "q/(G·J)·∫_0^L (L − x) dx", points: 1}
  - {name: integrated, kind: line, text: Work out the integral, line: "q·L^2/(2·G·J)", without: [integral], why: Half of what the whole torque at the end gives}
`

func linesOf(t *testing.T, block string) (*Exercise, source.List) {
	t.Helper()
	e, list := Parse("t", source.NewText("block", block))
	if list.HasErrors() {
		return e, list
	}
	proof, err := Prove(context.Background(), e)
	if err != nil {
		t.Fatal(err)
	}
	return e, append(list, proof.Problems...)
}

func TestLinesToFill(t *testing.T) {
	block := spreadLines
	e, list := linesOf(t, block)
	for _, d := range list {
		if d.Severity == source.Error {
			t.Fatal(d.Render())
		}
	}
	v, err := e.Variant(context.Background(), HeadlessKey, "Student 01", 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		part, answer string
		kind         marking.VerdictKind
		says         string
	}{
		{"constants", "q/(G·J)·∫_0^L (L − x) dx", marking.Right, ""},
		{"constants", "= (q/(G*J))*∫_0^L (L-x) dx", marking.Right, ""},
		{"constants", "(1/(G·J))·∫_0^L q·(L − x) dx", marking.Right, ""}, // another route
		{"constants", "∫_0^L q·(L − x)/(G·J) dx", marking.Unreadable, "says again what stands above"},
		{"constants", "q·L^2/(2·G·J)", marking.Unreadable, "line below"},
		{"constants", "θ", marking.Unreadable, "says again what stands above"},
		{"constants", "∫_0^L q·(L − s)/(G·J) ds", marking.Unreadable, "says again what stands above"},
		{"constants", "∫_0^L q·(L − x)/(G·J) dx + 0", marking.Unreadable, "says again what stands above"},
		{"constants", "q/(G·J)·(integral of (L − x) for x from 0 m to L)", marking.Right, ""},
		{"constants", "q/(G·J)·∫_0^L (L − x) dx for x > 0 m", marking.Unreadable, "without its reason"},
		{"constants", "derivative of q·L^2·x/(2·G·J) for x at 1", marking.Right, ""},
		{"integrated", "θ = q·L^2/(2·G·J)", marking.Right, "Half of what"},
		{"integrated", "theta = q·L^2/(2·G·J)", marking.Right, "Half of what"},
		{"integrated", "θ = q·L^2/(3·G·J)", marking.SlipMade, "does not follow"},
		{"integrated", "q·L^2/(3·G·J) = q·L^2/(2·G·J)", marking.Unreadable, "one expression"},
		{"integrated", "∫_0^L q·(L − x)/(G·J) dx", marking.Unreadable, "says again what stands above"},
		{"integrated", "q·L²/(2·G·J)", marking.Right, "Half of what"},
		{"integrated", "0.5·q·L·L/(G·J)", marking.Right, ""},
		{"integrated", "q·L^2/(G·J)", marking.SlipMade, "does not follow"},
		{"integrated", "q·L^2/(2·G·J)·(2 − J/(1 m^4))", marking.Off, "for example, with q = "},
		{"integrated", "q/(G·J)·∫_0^L (x) dx", marking.Unreadable, "sign of the integral"},
		{"integrated", "q·L^2/(2·G·J", marking.Unreadable, ""},
		{"integrated", "q·L^2/(2·G·K)", marking.Unreadable, "K"},
		{"integrated", "?", marking.Unreadable, "no line yet"},
		{"integrated", "q·L^2/(2·G·J) because I say so", marking.Unreadable, "without its reason"},
	} {
		got, err := v.Mark(context.Background(), c.part, c.answer)
		if err != nil {
			t.Fatal(err)
		}
		if got.Kind != c.kind || !strings.Contains(got.Message, c.says) {
			t.Errorf("%s %s: %s, %q; want %s saying %q", c.part, c.answer, got.Kind, got.Message, c.kind, c.says)
		}
		if strings.Contains(got.Message, "q·L^2/(2") && got.Kind != marking.Right && !strings.Contains(c.answer, "q·L^2/(2") {
			t.Errorf("%s gives the line away: %s", c.answer, got.Message)
		}
	}
}

func TestLinesToFillAreProved(t *testing.T) {
	good := spreadLines
	for _, c := range []struct{ name, block, says string }{
		{"a wrong line", strings.Replace(good, `"q·L^2/(2·G·J)"`, `"q·L^2/(3·G·J)"`, 1), "fails"},
		{"a line that is not free of it", strings.Replace(good, `line: "q/(G·J)·∫_0^L (L − x) dx", points`, `line: "q/(G·J)·∫_0^L (L − x) dx", without: [integral], points`, 1), "is not taken"},
		{"more gaps than parts", strings.Replace(good, "ask:", "    = ?\nask:", 1), ""},
		{"no derivation", "title: t\nask: {kind: line, text: t, line: a}\n", "there is no derivation"},
		{"a part without its line", strings.Replace(good, `line: "q·L^2/(2·G·J)", `, "", 1), "has no line"},
		{"free of what is not known", strings.Replace(good, "without: [integral]", "without: [magic]", 1), "free of"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, list := linesOf(t, c.block)
			if d := list.FirstError(); d == nil || !strings.Contains(d.Message, c.says) {
				t.Errorf("%v, want %q", d, c.says)
			}
		})
	}
}
