package num

import (
	"fmt"
	"testing"
	"time"

	"gonum.org/v1/gonum/integrate/quad"
)

// BenchmarkIntegrate reports evaluations and the ratio of time to gonum's fixed
// Gauss–Legendre rule with the fewest points that reach 1e-12 (8, 19 and 66),
// which no one knows beforehand.
func BenchmarkIntegrate(b *testing.B) {
	for _, c := range []struct {
		beta   float64
		points int
	}{{1.5, 8}, {5, 19}, {50, 66}} {
		b.Run(fmt.Sprintf("taper-%g", c.beta), func(b *testing.B) {
			f := taper(c.beta)
			blocked := blocks(f)
			var got Integral
			for b.Loop() {
				got, _ = Integrate(blocked, 0, 1, Options{RelTol: 1e-12})
			}
			ours := float64(b.Elapsed()) / float64(b.N)
			start := time.Now()
			for range b.N {
				quad.Fixed(f, 0, 1, c.points, quad.Legendre{}, 0)
			}
			fixed := float64(time.Since(start)) / float64(b.N)
			b.ReportMetric(float64(got.Evaluations), "evaluations")
			b.ReportMetric(float64(got.Evaluations)/float64(c.points), "evaluations/gonum")
			b.ReportMetric(ours/fixed, "time/gonum")
		})
	}
}
