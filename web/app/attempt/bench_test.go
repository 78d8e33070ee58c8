package attempt

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

// benchPlace returns a desk and the place of a built-in exercise with a drawing.
func benchPlace(b *testing.B) (*Service, Place) {
	b.Helper()
	store, err := sqlite.Open(b.Context(), filepath.Join(b.TempDir(), "shaftbook.db"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = store.Close() })
	d, err := NewService(b.Context(), store, "bench")
	if err != nil {
		b.Fatal(err)
	}
	shelf, _ := lessons.Load(text.Files)
	for _, l := range shelf.Lessons {
		if l.Slug == "taper-in-segments" {
			return d, Place{Lesson: l, Cell: l.CellsOf(lessons.Exercise)[0]}
		}
	}
	b.Fatal("the lesson is not there")
	return nil, Place{}
}

// BenchmarkSubmit measures one answer from form to acknowledgement, each of a
// new learner whose numbers have to be drawn, and beside it the bare durable
// row of such an attempt.
func BenchmarkSubmit(b *testing.B) {
	d, p := benchPlace(b)
	var spent, row time.Duration
	for i := 0; b.Loop(); i++ {
		p.Learner = fmt.Sprintf("learner-%d", i)
		s := Submission{Place: p, FormToken: d.FormToken(p.Learner), ID: fmt.Sprintf("%032d", i), Part: "part-1", Text: "0.5 deg"}
		start := time.Now()
		kept, err := d.Submit(b.Context(), s)
		spent += time.Since(start)
		if err != nil {
			b.Fatal(err)
		}
		kept.Submission, kept.Lesson = "bare", "bare"
		start = time.Now()
		if _, _, err := d.store.Submit(b.Context(), kept, 0); err != nil {
			b.Fatal(err)
		}
		row += time.Since(start)
	}
	b.ReportMetric(float64(spent)/float64(b.N)/1e6, "ms/answer")
	b.ReportMetric(float64(spent)/float64(row), "times-bare-row")
}

// BenchmarkView measures an exercise as it is: with the numbers to be drawn
// (a first visit), and with them at hand.
func BenchmarkView(b *testing.B) {
	d, p := benchPlace(b)
	var first, again time.Duration
	for i := 0; b.Loop(); i++ {
		p.Learner = fmt.Sprintf("learner-%d", i)
		for _, spent := range []*time.Duration{&first, &again} {
			start := time.Now()
			if _, _, err := d.View(b.Context(), p); err != nil {
				b.Fatal(err)
			}
			*spent += time.Since(start)
		}
	}
	b.ReportMetric(float64(first)/float64(b.N)/1e6, "ms/first")
	b.ReportMetric(float64(again)/float64(b.N)/1e6, "ms/again")
}
