package room

import (
	"fmt"
	"testing"
	"time"

	"shaftbook/exercises/store"
)

// BenchmarkRefresh measures what one look at a class of 30 costs beside its
// reads of the store: once all answers are known, and the first time, when each
// student's numbers have to be drawn.
func BenchmarkRefresh(b *testing.B) {
	s := newSchool(b, 30)
	for i := range 30 {
		id := fmt.Sprintf("S%02d", i+1)
		s.here(id, "exercise-twist", 0)
		s.answer(id, bendingTwist, time.Minute)
		s.answer(id, rightTwist, 0)
		s.guess(id, "stiff", "between 0 deg and 90 deg", store.Bracket, 0, 1.57)
	}
	for _, c := range []struct{ name, chosen string }{{"everybody", ""}, {"exercise", s.cell().ID}} {
		b.Run(c.name, func(b *testing.B) {
			s.view.Chosen = c.chosen
			start := time.Now()
			r := New(s, s.service)
			if _, err := r.Pieces(b.Context(), s.view, s.now); err != nil {
				b.Fatal(err)
			}
			first := time.Since(start)
			var spent time.Duration
			for b.Loop() {
				start := time.Now()
				if _, err := r.Pieces(b.Context(), s.view, s.now); err != nil {
					b.Fatal(err)
				}
				spent += time.Since(start)
			}
			mean := spent / time.Duration(b.N)
			b.ReportMetric(mean.Seconds()*1e3, "ms/refresh")
			b.ReportMetric(float64(first)/float64(mean), "first/refresh")
		})
	}
}
