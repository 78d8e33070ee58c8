package text_test

import (
	"fmt"
	"strings"
	"testing"

	"shaftbook/exercises"
	"shaftbook/kernel"
	"shaftbook/kernel/derive"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

func shelf(t *testing.T) *lessons.Catalog {
	t.Helper()
	s, found := lessons.Load(text.Files)
	for _, f := range found {
		for _, d := range f.List {
			t.Errorf("%s: %s", f.Name, d.Render())
		}
	}
	return s
}

func eachLesson(t *testing.T, test func(t *testing.T, l *lessons.Lesson)) {
	for _, l := range shelf(t).Lessons {
		t.Run(l.Slug, func(t *testing.T) {
			t.Parallel()
			test(t, l)
		})
	}
}

func results(t *testing.T, w *kernel.Working, l *lessons.Lesson) []kernel.Result {
	t.Helper()
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	var list []kernel.Result
	for _, c := range l.WorkingCells() {
		list = append(list, w.Results(c.ID)...)
	}
	return list
}

func working(l *lessons.Lesson) *kernel.Working {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(l.WorkingCells())
	return w
}

// TestShape holds every lesson to the parts that the author's guide names.
func TestShape(t *testing.T) {
	for i, l := range shelf(t).Lessons {
		if l.Order != i+1 {
			t.Errorf("%s has the order %d and stands at place %d: the shelf is one path", l.Slug, l.Order, i+1)
		}
		if l.Aim == "" || l.Minutes < 15 || l.Minutes > 40 || i > 0 && len(l.Needs) == 0 {
			t.Errorf("%s: it has an aim, takes 15 to 40 minutes and needs an earlier lesson", l.Slug)
		}
		for _, anchor := range []string{"what-you-need", "predict-first", "can-it-be-right", "your-turn", "summary", "what-this-leaves-out"} {
			if !l.HasAnchor(anchor) && l.Slug != anchor {
				t.Errorf("%s has no heading #%s", l.Slug, anchor)
			}
		}
		if !strings.Contains(strings.Join(strings.Fields(l.Text.Content), " "), "work for qualified engineers under the codes and standards that apply where they are.") {
			t.Errorf("%s does not close with the caution", l.Slug)
		}
		if len(l.CellsOf(lessons.Exercise)) == 0 {
			t.Errorf("%s has no exercise", l.Slug)
		}
	}
}

// TestCheck does what an author does before a class sees a lesson. It proves the
// exercises as well.
func TestCheck(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		list, err := lessons.Check(t.Context(), l, true)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range list {
			t.Error(d.Render())
		}
		kinds := map[kernel.Kind]int{}
		for _, r := range results(t, working(l), l) {
			kinds[r.Kind]++
		}
		kinds[kernel.KindPlot] += kinds[kernel.KindTrials] // which draw how they settle
		for kind, name := range map[kernel.Kind]string{kernel.KindVary: "slider", kernel.KindExpect: "check", kernel.KindPlot: "curve"} {
			if kinds[kind] == 0 {
				t.Errorf("this lesson has no %s", name)
			}
		}
	})
}

// TestDerivations lets every step that is written follow. Gaps are for readers.
func TestDerivations(t *testing.T) {
	steps := 0
	for _, l := range shelf(t).Lessons {
		for _, c := range l.CellsOf(lessons.Derive) {
			report := derive.JudgeText(t.Context(), c.Text, derive.Settings{})
			for _, d := range report.Diagnostics {
				if d.Code != derive.CodeCondition {
					t.Errorf("%s: %s", l.Slug, d.Render())
				}
			}
			for _, v := range report.Verdicts {
				steps++
				if v.Kind != derive.Follows && v.Kind != derive.Agrees && v.Kind != derive.Gap {
					t.Errorf("%s, line %d: %v: %s", l.Slug, v.Line, v.Kind, v.Why)
				}
			}
		}
	}
	if steps < 30 {
		t.Errorf("only %d steps were judged", steps)
	}
}

// brokenAt are the slider ends at which a lesson means to fail.
var brokenAt = map[string]string{
	"nearly-uniform-taper d_1 36 mm": "0/0 is what the lesson is about",
}

// TestSliderEnds moves every slider to both ends: nothing may fail there, and
// every check must hold.
func TestSliderEnds(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		w := working(l)
		var sliders []kernel.Slider
		for _, r := range results(t, w, l) {
			if r.Slider != nil {
				sliders = append(sliders, *r.Slider)
			}
		}
		for _, s := range sliders {
			for _, end := range []float64{s.Min, s.Max} {
				place := strings.TrimSpace(fmt.Sprintf("%s %s %g %s", l.Slug, s.Name, end, s.Unit))
				if brokenAt[place] != "" {
					continue
				}
				if err := w.Vary(s.Name, end); err != nil {
					t.Fatalf("%s: %v", place, err)
				}
				for _, r := range results(t, w, l) {
					for _, d := range r.Diagnostics {
						t.Errorf("%s: %s", place, d.Render())
					}
					if r.Verdict != nil && !r.Verdict.Holds {
						t.Errorf("%s: %s: %s", place, strings.TrimSpace(r.Span.Line()), r.Verdict.Margin)
					}
				}
			}
			w.Unvary()
		}
	})
}

// TestHints asks for hints to every part: the principle, where to look, a
// worked step.
func TestHints(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		for _, c := range l.CellsOf(lessons.Exercise) {
			e, list := exercises.Parse(c.Name, c.Text)
			if list.HasErrors() {
				t.Fatal(list.FirstError().Render())
			}
			for _, s := range e.Structures {
				for _, a := range s.Parts {
					if len(a.Hints) < 2 {
						t.Errorf("%s, %s: two hints help more than %d", e.ID, a.Name, len(a.Hints))
					}
				}
			}
		}
	})
}
