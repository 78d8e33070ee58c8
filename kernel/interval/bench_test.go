package interval

import (
	"math"
	"testing"
	"time"
)

// BenchmarkRatio times each operation against the plain float64 one in the same
// run and reports how many times as long it takes.
func BenchmarkRatio(b *testing.B) {
	xs, ys := make([]Interval, 256), make([]Interval, 256)
	for i := range xs {
		v := 0.2 + float64(i)/512
		xs[i], ys[i] = Interval{v, v + 1e-3}, Interval{1 + v, 1.01 + v}
	}
	ignore := func(x Interval, _ error) Interval { return x }
	cases := []struct {
		name    string
		bracket func(x, y Interval) Interval
		plain   func(x, y float64) float64
	}{
		{"add", func(x, y Interval) Interval { return ignore(Add(x, y)) }, func(x, y float64) float64 { return x + y }},
		{"mul", func(x, y Interval) Interval { return ignore(Mul(x, y)) }, func(x, y float64) float64 { return x * y }},
		{"div", func(x, y Interval) Interval { return ignore(Div(x, y)) }, func(x, y float64) float64 { return x / y }},
		{"sqrt", func(x, _ Interval) Interval { return ignore(Sqrt(x)) }, func(x, _ float64) float64 { return math.Sqrt(x) }},
		{"pow4", func(x, _ Interval) Interval { return ignore(PowInt(x, 4)) }, func(x, _ float64) float64 { x *= x; return x * x }},
		{"exp", func(x, _ Interval) Interval { return ignore(Exp(x)) }, func(x, _ float64) float64 { return math.Exp(x) }},
		{"sin", func(x, _ Interval) Interval { return Sin(x) }, func(x, _ float64) float64 { return math.Sin(x) }},
	}
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			var total Interval
			for b.Loop() {
				for i := range xs {
					total = c.bracket(xs[i], ys[i])
				}
			}
			sink = total
			per := float64(b.Elapsed()) / float64(b.N)
			plainSum, start := 0.0, time.Now()
			for range b.N {
				for i := range xs {
					plainSum += c.plain(xs[i].Lo, ys[i].Hi)
				}
			}
			plain := float64(time.Since(start)) / float64(b.N)
			plainSink = plainSum
			b.ReportMetric(per/plain, "×plain")
		})
	}
}

var plainSink float64
