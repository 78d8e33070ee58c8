package derive_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// longDerivation has so many lines: chains of steps on blocks that share the givens,
// each block with a definition of its own.
func longDerivation(lines int) []string {
	list := []string{"given T: torque > 0, G: stress > 0, L: length > 0, d_1 > d_0 > 0 mm"}
	for i := 1; len(list) < lines; i++ {
		block := []string{
			fmt.Sprintf("J_%d = π/32·d_0^4·%d", i, i),
			fmt.Sprintf("θ_%d = T·L/(G·J_%d)", i, i),
			fmt.Sprintf("  = 32·T·L/(%d·π·G·d_0^4)", i),
			fmt.Sprintf("  = 64·T·L/(%d·π·G·d_0^4)", 2*i),
			"  = 16·(T + T)·L/(π·G·d_0^4)/" + fmt.Sprint(i),
		}
		list = append(list, block[:min(len(block), lines-len(list))]...)
	}
	return list
}

func judgeWith(memory *derive.Memory, lines []string) derive.Report {
	return derive.JudgeText(context.Background(), source.NewText("", strings.Join(lines, "\n")), derive.Settings{Memory: memory})
}

// Of 200 lines, an edit judges the steps that depend on it and no others.
func TestAnEditJudgesWhatDependsOnIt(t *testing.T) {
	lines := longDerivation(200)
	memory := derive.NewMemory(1000)
	first := judgeWith(memory, lines)
	if first.Failed() || len(first.Verdicts) < 100 || memory.Judged() == 0 || memory.Judged() > len(first.Verdicts) {
		t.Fatalf("%d verdicts, %d judged, failed: %v", len(first.Verdicts), memory.Judged(), first.Failed())
	}
	edited := func(at int, text string) []string {
		out := append([]string(nil), lines...)
		out[at] = text
		return out
	}
	for _, test := range []struct {
		name  string
		lines []string
		want  int
	}{
		{"nothing", lines, 0},
		{"a step: itself and the one below", edited(103, "  = 96·T·L/(21·3·π·G·d_0^4)"), 2},
		{"a wrong step: itself and the one below", edited(103, "  = 32·T·L/(22·π·G·d_0^4)"), 2},
		{"back again", lines, 0},
		{"a definition: the steps that use it", edited(101, "J_21 = π/32·d_0^4·21·2/2"), 1},
		{"a line between two blocks", append(append(append([]string(nil), lines[:51]...), "q = 2·T"), lines[51:]...), 0},
		{"a comment", edited(50, lines[50]+"   # as said"), 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			before := memory.Judged()
			judgeWith(memory, test.lines)
			if got := memory.Judged() - before; got != test.want {
				t.Errorf("%d steps were judged, want %d", got, test.want)
			}
		})
	}
}

// Whatever was judged before, the verdicts are those of a first judgement.
func TestMemoryChangesNoVerdict(t *testing.T) {
	memory := derive.NewMemory(200)
	for i := range 30 {
		r := rand.New(rand.NewPCG(9, uint64(i)))
		text := newChain(t, r).text
		lines := strings.Split(strings.TrimSpace(text), "\n")
		for range 3 {
			if at := r.IntN(len(lines)); at > 0 && r.IntN(2) == 0 {
				lines = append(lines[:at:at], lines[at+1:]...)
			}
			got, want := judgeWith(memory, lines), judgeWith(nil, lines)
			for k := range want.Verdicts {
				a, b := got.Verdicts[k], want.Verdicts[k]
				a.Span, b.Span = source.Span{}, source.Span{}
				if !reflect.DeepEqual(a, b) {
					t.Fatalf("with memory %+v\nwithout %+v\n%s", a, b, strings.Join(lines, "\n"))
				}
			}
		}
	}
}
