package page

import (
	"context"
	"testing"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// BenchmarkFigureStep measures one step of a slider in a lesson with a plot and
// a drawing: the rows that change, each with its two figures. Cold draws
// everything anew; warm finds the axes of the plot drawn; again finds whole
// figures drawn, as when a class moves the same slider. The kernel's own work
// is beside it.
func BenchmarkFigureStep(b *testing.B) {
	const text = "vary d_1 from 40 mm to 60 mm by 0.1 mm starting at 54 mm\n" +
		"plot S.twist(x) in deg, S.rate(x)·(400 mm) in deg as \"rate\" for x from 0 m to 800 mm\ndraw S"
	const shaft = "G = 79 GPa\nsolid 36 mm to d_1 for 800 mm\nhold at 0 mm\ntorque 420 N·m at 800 mm"
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells([]kernel.Cell{
		{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText("", text)},
		{ID: "shaft-1", Kind: kernel.Shaft, Name: "S", Text: source.NewText("", shaft)},
	})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		b.Fatal(err)
	}
	step := func(i int) []kernel.Result {
		var changed []kernel.Result
		if err := w.Vary("d_1", 40+0.1*float64(i%200)); err != nil {
			b.Fatal(err)
		}
		if err := w.Evaluate(context.Background(), func(r kernel.Result) { changed = append(changed, r) }); err != nil {
			b.Fatal(err)
		}
		return changed
	}
	render := func(rows *Rows, changed []kernel.Result) time.Duration {
		start := time.Now()
		for i := range changed {
			if _, err := rows.Row("quill", &changed[i]); err != nil {
				b.Fatal(err)
			}
		}
		return time.Since(start)
	}
	kept := NewRows(16 << 20)
	var kernelTime, cold, warm, again time.Duration
	for i := 0; b.Loop(); i++ {
		start := time.Now()
		changed := step(i)
		kernelTime += time.Since(start)
		cold += render(NewRows(0), changed)
		warm += render(kept, changed)
		again += render(kept, changed)
	}
	n := float64(b.N) * 1e3
	b.ReportMetric(float64(kernelTime)/n, "kernel-µs")
	b.ReportMetric(float64(cold)/n, "cold-µs")
	b.ReportMetric(float64(warm)/n, "warm-µs")
	b.ReportMetric(float64(warm)/float64(cold), "warm/cold")
	b.ReportMetric(float64(again)/float64(cold), "again/cold")
}
