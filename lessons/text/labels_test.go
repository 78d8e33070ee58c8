package text_test

import (
	"testing"

	"shaftbook/kernel/figure/figuretest"
	"shaftbook/lessons"
)

// TestLabels draws every figure of the lessons as it is met on a telephone, a
// page, a board and paper: no label leaves the figure or covers another.
func TestLabels(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		for _, r := range results(t, working(l), l) {
			if r.Figure == nil {
				continue
			}
			for _, o := range figuretest.Places {
				wrong, err := figuretest.Labels(r.Figure, o)
				if err != nil {
					t.Fatal(err)
				}
				for _, w := range wrong {
					t.Errorf("%s, statement %d: %s", r.Cell, r.Index+1, w)
				}
			}
		}
	})
}
