package certify

import (
	"fmt"
	"testing"
	"time"

	"gonum.org/v1/gonum/integrate/quad"
)

// BenchmarkIntegrate reports the points asked for and the ratios to gonum's
// fixed Gauss–Legendre rule with the fewest points that reach 1e-12 (8, 19 and
// 66): of the points, and of the time.
func BenchmarkIntegrate(b *testing.B) {
	for _, c := range []struct {
		ratio  float64
		points int
	}{{1.5, 8}, {5, 19}, {50, 66}} {
		b.Run(fmt.Sprintf("taper-%g", c.ratio), func(b *testing.B) {
			f := function(func(b *Builder, x Expr) Expr {
				return b.Div(b.Number(1), b.PowInt(b.Add(b.Number(1), b.Mul(b.Number(c.ratio-1), x)), 4))
			})
			plain := func(x float64) float64 {
				d := 1 + (c.ratio-1)*x
				return 1 / (d * d * d * d)
			}
			b.ReportAllocs()
			var e Enclosure
			for b.Loop() {
				e, _ = Integrate(f, nil, point(0), point(1), Options{})
			}
			ours := float64(b.Elapsed()) / float64(b.N)
			start := time.Now()
			for range b.N {
				quad.Fixed(plain, 0, 1, c.points, quad.Legendre{}, 0)
			}
			fixed := float64(time.Since(start)) / float64(b.N)
			b.ReportMetric(float64(e.Evaluations), "points")
			b.ReportMetric(float64(e.Evaluations)/float64(c.points), "points/gauss")
			b.ReportMetric(ours/fixed, "time/gauss")
		})
	}
}
