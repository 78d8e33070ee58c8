package page

import (
	"context"
	"os"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
	"shaftbook/web/app/derivation"
)

// BenchmarkDerivation makes everything that a page shows of a derivation of 20
// lines, as after each rest in typing. Judging alone is the baseline.
func BenchmarkDerivation(b *testing.B) {
	content, err := os.ReadFile("../../kernel/derive/testdata/taper.derive")
	if err != nil {
		b.Fatal(err)
	}
	var judging float64
	b.Run("judge", func(b *testing.B) {
		text := source.NewText("", string(content))
		for b.Loop() {
			derive.JudgeText(context.Background(), text, derive.Settings{})
		}
		judging = float64(b.Elapsed()) / float64(b.N)
	})
	b.Run("page", func(b *testing.B) {
		bytes := 0
		for b.Loop() {
			o, err := derivation.Judge(context.Background(), derivation.Input{Text: string(content)})
			if err != nil {
				b.Fatal(err)
			}
			bytes = 0
			for _, row := range Judge(b.Context(), "derive-1", o).Rows {
				bytes += len(row)
			}
		}
		b.ReportMetric(float64(b.Elapsed())/float64(b.N)/judging, "×judging")
		b.ReportMetric(float64(bytes), "rows-bytes")
	})
}
