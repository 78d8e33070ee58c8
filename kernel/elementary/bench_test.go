package elementary

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// BenchmarkRatio reports the time of each block form as a multiple of a loop
// over package math's function, the shortest of many turns of both in one run.
func BenchmarkRatio(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	x, y, dst := make([]float64, 1024), make([]float64, 1024), make([]float64, 1024)
	cases := []struct {
		name  string
		draw  func() float64
		block func(dst, x []float64)
		plain func(float64) float64
	}{
		{"exp", func() float64 { return 20 * (r.Float64() - 0.5) }, ExpBlock, math.Exp},
		{"ln", func() float64 { return 20 * r.Float64() }, LnBlock, math.Log},
		{"log10", func() float64 { return 20 * r.Float64() }, Log10Block, math.Log10},
		{"sin", func() float64 { return 20 * (r.Float64() - 0.5) }, SinBlock, math.Sin},
		{"cos", func() float64 { return 20 * (r.Float64() - 0.5) }, CosBlock, math.Cos},
		{"tan", func() float64 { return 20 * (r.Float64() - 0.5) }, TanBlock, math.Tan},
		{"asin", func() float64 { return 2 * (r.Float64() - 0.5) }, AsinBlock, math.Asin},
		{"acos", func() float64 { return 2 * (r.Float64() - 0.5) }, AcosBlock, math.Acos},
		{"atan", func() float64 { return 5 * (r.Float64() - 0.5) }, AtanBlock, math.Atan},
		{"atan2", func() float64 { return r.Float64() - 0.5 }, func(dst, x []float64) { Atan2Block(dst, x, y) }, nil},
		{"pow", func() float64 { return r.Float64() }, func(dst, x []float64) { PowBlock(dst, x, y) }, nil},
	}
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			for i := range x {
				x[i], y[i] = c.draw(), 4*(r.Float64()-0.5)
			}
			plain := func() {
				switch c.name {
				case "atan2":
					for i := range x {
						dst[i] = math.Atan2(x[i], y[i])
					}
				case "pow":
					for i := range x {
						dst[i] = math.Pow(x[i], y[i])
					}
				case "exp": // called by name, as a program would
					for i := range x {
						dst[i] = math.Exp(x[i])
					}
				case "ln":
					for i := range x {
						dst[i] = math.Log(x[i])
					}
				default:
					for i := range x {
						dst[i] = c.plain(x[i])
					}
				}
			}
			ours, theirs := math.Inf(1), math.Inf(1)
			for b.Loop() {
				start := time.Now()
				c.block(dst, x)
				middle := time.Now()
				plain()
				ours, theirs = min(ours, float64(middle.Sub(start))), min(theirs, float64(time.Since(middle)))
			}
			b.ReportMetric(ours/1024, "ns/value")
			b.ReportMetric(theirs/1024, "math-ns/value")
			b.ReportMetric(ours/theirs, "×math")
			b.ReportMetric(0, "ns/op")
		})
	}
}
