package plot

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestDotNamesHideNothing holds that whatever a class answers, no name covers another,
// no leader runs through a name, and names lie within the figure.
func TestDotNamesHideNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &DotPlot{Low: rapid.Float64Range(0.01, 0.9).Draw(t, "low"), High: rapid.Float64Range(1.1, 30).Draw(t, "high")}
		if rapid.Bool().Draw(t, "unbounded") {
			d.Low, d.High = 0, 0
		}
		near := rapid.OneOf(rapid.Float64Range(0.5, 2), rapid.Float64Range(-1, 30), rapid.Just(1.0))
		for i := range rapid.IntRange(1, 9).Draw(t, "groups") {
			d.Groups = append(d.Groups, DotGroup{rapid.StringN(1, 70, -1).Draw(t, "name"), LetterSign, string(rune('a' + i)), rapid.SliceOfN(near, 1, 40).Draw(t, "values")})
		}
		width := rapid.SampledFrom([]float64{340, 640, 860}).Draw(t, "width")
		s := strip{width: width, x0: beside, x1: width - beside}
		s.scale = stripScale(s.x1-s.x0, nil)
		high := map[int]int{}
		dots := d.stacks(&s)
		for _, q := range dots {
			high[q.stack]++
		}
		labels, rows := d.labels(&s, dots, high)
		for i := range labels {
			l := &labels[i]
			if l.row >= rows || l.left < 3 || l.left+l.width > width+1 && l.left > 4 {
				t.Fatalf("%q at %.0f, row %d of %d, in a figure of %.0f", l.text, l.left, l.row, rows, width)
			}
			for j := range i {
				if l.hits(&labels[j]) {
					t.Fatalf("%q and %q hide each other", l.text, labels[j].text)
				}
			}
		}
	})
}

// A name stands right above its signs where there is room for it.
func TestDotNamesStandAtTheirSigns(t *testing.T) {
	d := &DotPlot{Groups: []DotGroup{
		{"right", FullSign, "", []float64{1, 1, 1, 1, 1}},
		{"radius for diameter", LetterSign, "a", []float64{16, 16}},
	}}
	s := strip{width: 860, x0: beside, x1: 800}
	s.scale = stripScale(s.x1-s.x0, []float64{1, 16})
	dots := d.stacks(&s)
	labels, rows := d.labels(&s, dots, map[int]int{dots[0].stack: 2, dots[2].stack: 5})
	if rows != 1 || labels[0].row != 0 || labels[1].row != inPlot || labels[1].up != 2*dotPitch+8 {
		t.Errorf("%d rows, %+v", rows, labels)
	}
	if x := s.axisX(16); math.Abs(labels[1].x-x) > dotPitch/2 || labels[1].left > x || labels[1].left+labels[1].width < x {
		t.Errorf("the name of the signs at %.0f stands from %.0f, %.0f wide", x, labels[1].left, labels[1].width)
	}
}

// A name that has no room above its stack stands beside its own signs, level with them.
func TestDotNamesStandBesideTheirSigns(t *testing.T) {
	d := &DotPlot{Groups: []DotGroup{
		{"right", FullSign, "", []float64{1, 1, 1, 1, 1, 1}},
		{"rounded early", LetterSign, "r", []float64{1, 0.97}},
		{"hoist torque inside", LetterSign, "a", []float64{0.9}},
	}}
	s := strip{width: 860, x0: beside, x1: 800}
	s.scale = stripScale(s.x1-s.x0, []float64{0.2, 2})
	dots, high := d.stacks(&s), map[int]int{}
	for _, q := range dots {
		high[q.stack]++
	}
	labels, _ := d.labels(&s, dots, high)
	for i, l := range labels[1:] {
		near := math.Min(math.Abs(l.left-l.x), math.Abs(l.left+l.width-l.x))
		if over := l.over(l.x, l.x+1); l.row != inPlot || !over && near > dotPitch || !over && math.Abs(l.up+5-dotPitch/2) > dotPitch {
			t.Errorf("%q of the stack at %.0f stands from %.0f to %.0f, %.0f up, row %d", d.Groups[i+1].Label, l.x, l.left, l.left+l.width, l.up, l.row)
		}
	}
}
