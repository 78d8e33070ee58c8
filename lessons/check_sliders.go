package lessons

import (
	"context"
	"fmt"
	"slices"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// CodeSliderEnd: a line that is right as the lesson starts fails where a slider stands at
// one of its ends.
const CodeSliderEnd source.Code = "slider-end"

// checkSliders moves each slider to its ends, and to the ends of what may be typed, while
// the others stand where they start, and reports the lines that fail there. A line that
// only waits for another one, or that fails anyway, is not reported, and neither is what
// the front matter lists under breaks. The working is changed.
func (l *Lesson) checkSliders(ctx context.Context, w *kernel.Working) (source.List, error) {
	var sliders []kernel.Result
	broken := map[rowKey]bool{}
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			broken[rowKey{c.ID, r.Index}] = r.Failed()
			if r.Slider != nil && !slices.Contains(l.Breaks, r.Slider.Name) {
				sliders = append(sliders, r)
			}
		}
	}
	var list source.List
	for _, s := range sliders {
		for _, end := range ends(s.Slider) {
			w.Unvary()
			if err := w.Vary(s.Slider.Name, end); err != nil {
				continue // it is not a slider any more, and that was reported
			}
			if err := w.Evaluate(ctx, nil); err != nil {
				return nil, err
			}
			list = append(list, l.failedAt(w, s.Slider, end, broken)...)
		}
	}
	return list, nil
}

// A rowKey names a statement of a working.
type rowKey struct {
	cell  string
	index int
}

// ends lists the values at which a slider ends, each once.
func ends(s *kernel.Slider) []float64 {
	list := []float64{s.Min, s.Max, s.Low, s.High}
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(x float64) bool { return x == s.Value })
}

// failedAt reports the first line that fails with a slider at an end, and how many more do.
func (l *Lesson) failedAt(w *kernel.Working, s *kernel.Slider, end float64, broken map[rowKey]bool) source.List {
	var list source.List
	more := -1
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			if !r.Failed() || r.Cause != nil || broken[rowKey{c.ID, r.Index}] {
				continue
			}
			if more++; more > 0 {
				continue
			}
			d := r.Diagnostics.FirstError()
			at := d.Span
			if !at.IsValid() {
				at = r.Span
			}
			list.Addf(at, CodeSliderEnd, "with %s at %s, an end of its slider, this fails: %s", s.Name, sliderText(s, end), d.Message)
		}
	}
	if more > 0 {
		list[0].Message += fmt.Sprintf(" (and %s there too)", words.CountOf(more, "other line fails", "other lines fail"))
	}
	if len(list) > 0 {
		list[0].Repair = "end the slider before that, or write the line so that it can be worked out there; if it is meant to fail, list " + s.Name + " under breaks in the front matter"
	}
	return list
}

// sliderText writes a value of a slider with its unit.
func sliderText(s *kernel.Slider, x float64) string {
	if s.Unit == "" {
		return unit.Shortest(x)
	}
	return unit.Shortest(x) + " " + s.Unit
}
