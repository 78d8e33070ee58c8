package gradebook

import (
	"fmt"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// BenchmarkSheet measures the marks sheet of a class of 30 with four assignments
// beside reading its attempts from the store: once it is known what each was
// set, and the first time, when some numbers have to be drawn.
func BenchmarkSheet(b *testing.B) {
	s := newSchool(b, 30)
	var assigned []class.Assignment
	for i := range 4 {
		a := s.assign(fmt.Sprintf("A%d", i+1), func(*class.Assignment) {})
		assigned = append(assigned, a)
		for j := range 30 {
			person := fmt.Sprintf("S%02d", j+1)
			for _, part := range [][2]string{{"twist", "twist"}, {"twist", "section"}, {"ways", "section"}} {
				s.answer(a, person, "exercise-"+part[0], part[1], "slip", 0, due.Add(-time.Hour))
				s.answer(a, person, "exercise-"+part[0], part[1], "right", 1, due.Add(time.Duration(j-25)*time.Hour))
			}
		}
	}
	now := due.AddDate(0, 0, 5)
	sheet := func() time.Duration {
		start := time.Now()
		if _, err := s.Table(b.Context(), "MILL", assigned, now); err != nil {
			b.Fatal(err)
		}
		return time.Since(start)
	}
	first := sheet()
	var sheets, reads time.Duration
	for b.Loop() {
		sheets += sheet()
		start := time.Now()
		for _, a := range assigned {
			if _, err := s.store.AttemptsIn(b.Context(), a.Key()); err != nil {
				b.Fatal(err)
			}
		}
		reads += time.Since(start)
	}
	b.ReportMetric(float64(sheets)/float64(reads), "sheet/read")
	b.ReportMetric(float64(first)*float64(b.N)/float64(reads), "first/read")
	b.ReportMetric(sheets.Seconds()*1e3/float64(b.N), "ms/sheet")
}
