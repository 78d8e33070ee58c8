package algebra

import (
	"testing"
	"time"
)

// BenchmarkEqualExactly decides a published step: the two shapes of the
// taper's closed form, as ratio to reading them.
func BenchmarkEqualExactly(b *testing.B) {
	const (
		left  = "(1/d_0^3 − 1/(d_0 + k·L)^3)/(3·k)"
		right = "L·(d_0^2 + d_0·(d_0 + k·L) + (d_0 + k·L)^2)/(3·d_0^3·(d_0 + k·L)^3)"
	)
	x, y := parse(b, left), parse(b, right)
	for b.Loop() {
		if equal, decided := EqualExactly(x, y, nil); !equal || !decided {
			b.Fatal("undecided")
		}
	}
	decide := float64(b.Elapsed()) / float64(b.N)
	start := time.Now()
	for range b.N {
		parse(b, left)
		parse(b, right)
	}
	b.ReportMetric(decide/(float64(time.Since(start))/float64(b.N)), "time/reading")
}
