package shaft

import (
	"math"
	"testing"
	"time"
)

// long is a shaft of 200 pieces: uniform, tapered and hollow in turn.
func long() Spec {
	spec := Spec{Supports: []Support{{}}, Torques: []Torque{{X: 20, Value: 300}}}
	for i := range 200 {
		d := 0.04 + 0.01*math.Sin(float64(i))
		p := solid(d, 0.1, 79e9)
		if i%2 == 1 {
			p.Outer.End = 1.1 * d
		}
		spec.Pieces = append(spec.Pieces, p)
	}
	return spec
}

// plain adds up the closed forms of long in a loop that does nothing else.
func plain(spec Spec) float64 {
	theta := 0.0
	for _, p := range spec.Pieces {
		beta := p.Outer.End / p.Outer.Start
		d2 := p.Outer.Start * p.Outer.Start
		theta += 300 * p.Length / (p.G * math.Pi / 32 * d2 * d2) * (beta*beta + beta + 1) / (3 * beta * beta * beta)
	}
	return theta
}

var sink float64

// BenchmarkNew solves a shaft of 200 pieces; the bar is 1 ms. x-plain is the
// ratio to a bare loop over 200 closed forms.
func BenchmarkNew(b *testing.B) {
	spec := long()
	s, list := New(spec)
	if list.HasErrors() {
		b.Fatal(list)
	}
	if d := math.Abs(s.TwistTotal()/plain(spec) - 1); d > 1e-13 {
		b.Fatalf("off the plain loop by %g", d)
	}
	const rounds = 2000
	begin := time.Now()
	for range rounds {
		sink = plain(spec)
	}
	base := float64(time.Since(begin).Nanoseconds()) / rounds
	b.ReportAllocs()
	for b.Loop() {
		s, _ := New(spec)
		sink = s.TwistTotal()
	}
	per := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
	b.ReportMetric(per/1000, "µs/shaft")
	b.ReportMetric(per/base, "x-plain")
}

// BenchmarkNewHollow has 200 hollow tapers, which have no closed form here.
func BenchmarkNewHollow(b *testing.B) {
	spec := long()
	for i := range spec.Pieces {
		p := &spec.Pieces[i]
		p.Outer.End = 1.5 * p.Outer.Start
		p.Bore = &Profile{Start: 0.5 * p.Outer.Start, End: 0.4 * p.Outer.Start}
	}
	for b.Loop() {
		s, list := New(spec)
		if list.HasErrors() {
			b.Fatal(list)
		}
		sink = s.TwistTotal()
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N), "µs/shaft")
}

// BenchmarkTwistTo fills a curve of 200 points.
func BenchmarkTwistTo(b *testing.B) {
	s, list := New(long())
	if list.HasErrors() {
		b.Fatal(list)
	}
	x, dst := make([]float64, 200), make([]float64, 200)
	for i := range x {
		x[i] = s.Length() * float64(i) / 199
	}
	for b.Loop() {
		if err := s.TwistTo(dst, x); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/200, "ns/point")
}

// BenchmarkSegments and BenchmarkBracket take 100 segments of one taper.
func BenchmarkSegments(b *testing.B) {
	s, _ := New(Spec{Pieces: []Piece{taper(0.036, 0.054, 0.8, 79e9)}, Supports: []Support{{}}, Torques: []Torque{{X: 0.8, Value: 420}}})
	for b.Loop() {
		sink, _ = s.Segments(100)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100, "ns/segment")
}

func BenchmarkBracket(b *testing.B) {
	s, _ := New(Spec{Pieces: []Piece{taper(0.036, 0.054, 0.8, 79e9)}, Supports: []Support{{}}, Torques: []Torque{{X: 0.8, Value: 420}}})
	for b.Loop() {
		v, err := s.Bracket(100)
		if err != nil {
			b.Fatal(err)
		}
		sink = v.Lo
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/100, "ns/segment")
}
