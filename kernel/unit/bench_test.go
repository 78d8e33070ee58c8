package unit

import (
	"strconv"
	"testing"
	"time"
)

// BenchmarkRatio times display against one strconv.FormatFloat in the same run.
func BenchmarkRatio(b *testing.B) {
	deg, _ := Lookup("deg")
	torque := Base(2, 1, -2)
	cases := []struct {
		name string
		f    func(v float64)
	}{
		{"Format", func(v float64) { Format(v, deg, Rounding{}) }},
		{"FormatBracket", func(v float64) { FormatBracket(v, v+1e-3, deg, Rounding{}) }},
		{"Choose", func(v float64) { Choose(v*1e5, torque, nil, NoHint) }},
		{"Parse", func(float64) { _, _ = Parse("N·m/m") }},
	}
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			v := 0.016
			for b.Loop() {
				c.f(v)
				v += 1e-9
			}
			per := float64(b.Elapsed()) / float64(b.N)
			start := time.Now()
			for range b.N {
				strconv.FormatFloat(v, 'e', 3, 64)
				v += 1e-9
			}
			b.ReportMetric(per/(float64(time.Since(start))/float64(b.N)), "×strconv")
		})
	}
}
