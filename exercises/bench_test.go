package exercises

import (
	"context"
	"fmt"
	"testing"
	"time"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
)

// twenty is an exercise whose one part has twenty slips.
func twenty(tb testing.TB) *Exercise {
	tb.Helper()
	block := drawn[:len(drawn)-1]
	block = block[:len(block)-len("]")]
	for i := range 12 {
		block += fmt.Sprintf(", {name: own-%d, formula: %g·T·L/(G·π/32·d_0^4), says: An own slip.}", i, 30+7.3*float64(i*i))
	}
	e, list := Parse("twenty", source.NewText("twenty", block+"]\n"))
	if list.HasErrors() {
		tb.Fatal(list[0].Render())
	}
	if n := len(e.Structures[0].Parts[0].Slips); n != 20 {
		tb.Fatalf("%d slips", n)
	}
	return e
}

// BenchmarkMark marks one wrong answer that matches none of twenty slips, once
// with the variant at hand and once from the block's tree: drawing the numbers,
// computing every slip, then marking. The baseline in the same run is the bare
// evaluation of the same answer, ratio-to-evaluation.
func BenchmarkMark(b *testing.B) {
	ctx := context.Background()
	e := twenty(b)
	for _, c := range []struct {
		name  string
		fresh bool
	}{{"variant-at-hand", false}, {"drawn-anew", true}} {
		b.Run(c.name, func(b *testing.B) {
			v, err := e.Variant(ctx, HeadlessKey, "Student 01", 0)
			if err != nil {
				b.Fatal(err)
			}
			bare := bareEvaluation(b, v)
			b.ReportAllocs()
			for b.Loop() {
				if c.fresh {
					if v, err = e.Variant(ctx, HeadlessKey, "Student 01", 0); err != nil {
						b.Fatal(err)
					}
				}
				if verdict, err := v.Mark(ctx, "", "1.37 deg"); err != nil || verdict.Kind == marking.Right {
					b.Fatal(verdict, err)
				}
			}
			b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(bare), "ratio-to-evaluation")
		})
	}
}

func bareEvaluation(b *testing.B, v *Variant) time.Duration {
	const rounds = 2000
	start := time.Now()
	for range rounds {
		if _, list := v.eval.working.Eval(context.Background(), source.NewText("", "1.37 deg")); list.HasErrors() {
			b.Fatal(list)
		}
	}
	return time.Since(start) / rounds
}

// BenchmarkMarkFormula marks a formula at 48 points of the given domain.
func BenchmarkMarkFormula(b *testing.B) {
	v := set(b, quill)
	for b.Loop() {
		if verdict, err := v.Mark(context.Background(), "formula", "T·L/(G·π/32·d_0^3·d_1)"); err != nil || verdict.Kind != marking.Off {
			b.Fatal(verdict, err)
		}
	}
}

// BenchmarkProve proves an exercise of eight slips on 500 variants.
func BenchmarkProve(b *testing.B) {
	e := parsedDrawn(b)
	for b.Loop() {
		if _, err := Prove(context.Background(), e); err != nil {
			b.Fatal(err)
		}
	}
}
