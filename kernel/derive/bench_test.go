package derive_test

import (
	"context"
	"os"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// BenchmarkJudge judges a derivation of 20 lines: sum, limit, integral,
// substitution, closed form. The bar is 100 ms; parsing alone is the baseline.
func BenchmarkJudge(b *testing.B) {
	content, err := os.ReadFile("testdata/taper.derive")
	if err != nil {
		b.Fatal(err)
	}
	text := source.NewText("taper.derive", string(content))
	b.Run("parse", func(b *testing.B) {
		for b.Loop() {
			notation.ParseDerivation(text)
		}
	})
	b.Run("judge", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if r := derive.JudgeText(context.Background(), text, derive.Settings{}); r.Failed() {
				b.Fatal("a step fails")
			}
		}
		b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/derivation")
	})
}
