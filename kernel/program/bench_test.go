package program

import (
	"context"
	"math"
	"testing"
	"time"

	"shaftbook/kernel/notation"
)

// handwritten is the segment sum as a careful person writes it in Go: only
// products, and one division a term.
func handwritten(T, G, L, d0, d1 float64, n int) float64 {
	dx := L / float64(n)
	k := (d1 - d0) / L
	c := G * math.Pi / 32
	t := T * dx
	sum := 0.0
	for i := 1; i <= n; i++ {
		d := d0 + k*((float64(i)-0.5)*dx)
		q := d * d
		sum += t / (c * (q * q))
	}
	return sum
}

// withPow is the same with the fourth power by math.Pow.
func withPow(T, G, L, d0, d1 float64, n int) float64 {
	dx := L / float64(n)
	k := (d1 - d0) / L
	c := G * math.Pi / 32
	t := T * dx
	sum := 0.0
	for i := 1; i <= n; i++ {
		d := d0 + k*((float64(i)-0.5)*dx)
		sum += t / (c * math.Pow(d, 4))
	}
	return sum
}

var sink float64

// best returns the shortest of several times of f, in ns.
func best(times int, f func()) float64 {
	shortest := math.Inf(1)
	for range times {
		start := time.Now()
		f()
		shortest = min(shortest, float64(time.Since(start)))
	}
	return shortest
}

const segmentSum = "sum of T·(L/n)/(G·J((i − 1/2)·(L/n))) for i from 1 to n"

func segmentProgram(t testing.TB) *Program {
	p, list := Compile(parse(t, segmentSum), []string{"n"}, taper(t))
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return p
}

// BenchmarkSegment reports the segment sum of the taper as a multiple of the
// hand-written loop in the same run; with -tags purego without the loops in assembly.
// Of 100 terms about 100 ns are the start of an evaluation: the frame, the budget, the
// bounds.
func BenchmarkSegment(b *testing.B) {
	for _, n := range []int{100, 1_000_000} {
		for _, cores := range []int{1, 2} {
			if n == 100 && cores == 2 {
				continue
			}
			name := map[int]string{100: "n=100", 1_000_000: "n=1e6"}[n] + map[int]string{1: "/one core", 2: "/two cores"}[cores]
			b.Run(name, func(b *testing.B) { segmentRatios(b, n, cores) })
		}
	}
}

func segmentRatios(b *testing.B, n, cores int) {
	p := segmentProgram(b)
	run := newRun()
	run.limits.Terms, run.limits.Work, run.cores = math.MaxInt64/2, math.MaxInt64/2, cores
	inner := 1
	if n == 100 {
		inner = 1000
	}
	var hand, pow, ours float64 = math.Inf(1), math.Inf(1), math.Inf(1)
	b.ReportAllocs()
	for b.Loop() {
		hand = min(hand, best(5, func() {
			for range inner {
				sink = handwritten(420, 79e9, 0.8, 0.036, 0.054, n)
			}
		}))
		pow = min(pow, best(1, func() {
			for range inner {
				sink = withPow(420, 79e9, 0.8, 0.036, 0.054, n)
			}
		}))
		ours = min(ours, best(5, func() {
			for range inner {
				v, err := p.At(run, float64(n))
				if err != nil {
					b.Fatal(err)
				}
				sink = v
			}
		}))
	}
	terms := float64(n * inner)
	b.ReportMetric(hand/terms, "hand-ns/term")
	b.ReportMetric(ours/terms, "ns/term")
	b.ReportMetric(ours/hand, "×hand")
	b.ReportMetric(ours/pow, "×pow")
	b.ReportMetric(0, "ns/op")
}

var _ notation.Expr

// BenchmarkCertified compares an enclosed integral of a taper with the estimate
// that a program gives without proof.
func BenchmarkCertified(b *testing.B) {
	for _, ratio := range []string{"1.5", "5", "50"} {
		b.Run(ratio, func(b *testing.B) {
			e := parse(b, "integral of 1/(1 + ("+ratio+" − 1)·x)^4 for x from 0 to 1").(*notation.Bind)
			p, list := Compile(e.Body, []string{"x"}, names{})
			if err := list.Err(); err != nil {
				b.Fatal(err)
			}
			f := newCertified(nil, e, nil, names{}, false)
			run := NewRun(context.Background(), Limits{Work: 1 << 60, Terms: 1 << 60})
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.found(run, e, nil, 0, 1, nil); err != nil {
					b.Fatal(err)
				}
			}
			proven := float64(b.Elapsed()) / float64(b.N)
			start := time.Now()
			for range b.N {
				if _, err := p.search(run, notation.Integral, nil, 0, 1, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(proven/(float64(time.Since(start))/float64(b.N)), "×estimate")
		})
	}
}
