package working_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"shaftbook/kernel/working"
)

// longLesson is a lesson of 200 statements: twenty tapers of ten statements.
func longLesson() []working.Cell {
	var cells []working.Cell
	for i := range 20 {
		text := strings.NewReplacer("#", fmt.Sprint(i)).Replace(`T_# = 420 N·m
G_# = 79 GPa
L_# = 0.8 m
a_# = 36 mm
b_# = 54 mm
d_#(x) = a_# + (b_# − a_#)·x/L_#
J_#(x) = π/32·d_#(x)^4
θ_# = integral of T_#/(G_#·J_#(x)) for x from 0 m to L_# in deg
φ_# = sum of T_#·(L_#/50)/(G_#·J_#((i − 1/2)·L_#/50)) for i from 1 to 50 in deg
expect φ_# ≈ θ_# within 1 %
`)
		cells = append(cells, calcCell(fmt.Sprintf("calc-%d", i+1), text))
	}
	return cells
}

// BenchmarkEdit compares one edit in a lesson of 200 statements with the
// evaluation of the whole lesson. The bar is a tenth.
func BenchmarkEdit(b *testing.B) {
	cells := longLesson()
	const times = 20
	start := time.Now()
	for range times {
		w := working.New(working.Limits{})
		w.SetCells(cells)
		if err := w.Evaluate(context.Background(), nil); err != nil {
			b.Fatal(err)
		}
	}
	whole := float64(time.Since(start).Nanoseconds()) / times
	w := working.New(working.Limits{})
	w.SetCells(cells)
	if err := w.Evaluate(context.Background(), nil); err != nil {
		b.Fatal(err)
	}
	text := cells[7].Text.Content
	seen := 0
	i := 0
	for b.Loop() {
		i++
		edited := strings.Replace(text, "36 mm", fmt.Sprintf("%d mm", 30+i%20), 1)
		if err := w.Edit("calc-8", edited); err != nil {
			b.Fatal(err)
		}
		seen = 0
		if err := w.Evaluate(context.Background(), func(working.Result) { seen++ }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/whole, "edit/lesson")
	b.ReportMetric(float64(seen), "statements")
}

// BenchmarkSlider is one move of a slider with the integral, the segment sum
// and a figure behind it.
func BenchmarkSlider(b *testing.B) {
	w := working.New(working.Limits{})
	w.SetCells([]working.Cell{calcCell("a", taper+"plot d(x) in mm for x from 0 m to L\n")})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		i++
		if err := w.Vary("n", float64(1+i%200)); err != nil {
			b.Fatal(err)
		}
		if err := w.Evaluate(context.Background(), nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCertain is one move of the slider of a taper with the certainty of
// every row asked for, as a page does, over the same move without. The bar is
// 1.5.
func BenchmarkCertain(b *testing.B) {
	moved := func(ask bool) func(i int) {
		w := working.New(working.Limits{})
		w.SetCells([]working.Cell{calcCell("a", taper+"plot d(x) in mm for x from 0 m to L\n")})
		emit := func(r working.Result) {
			if ask {
				r.Certainty()
			}
		}
		step := func(i int) {
			if err := w.Vary("n", float64(1+i%200)); err != nil {
				b.Fatal(err)
			}
			if err := w.Evaluate(context.Background(), emit); err != nil {
				b.Fatal(err)
			}
		}
		step(0)
		return step
	}
	with, without := moved(true), moved(false)
	var plain, asked time.Duration
	i := 0
	for b.Loop() {
		i++
		start := time.Now()
		without(i)
		middle := time.Now()
		with(i)
		plain, asked = plain+middle.Sub(start), asked+time.Since(middle)
	}
	b.ReportMetric(float64(asked)/float64(plain), "certain/plain")
}
