package exercises

import (
	"shaftbook/kernel"
)

// A reuse keeps the workings of an exercise between sets of numbers that are looked at one
// after the other: the texts that stay are read once, and what does not depend on a number
// that changed keeps its value. A variant made with it is good until the next one is made.
// A nil reuse keeps nothing.
type reuse struct {
	evaluators map[int]*evaluator           // by structure
	workings   map[reuseKey]*kernel.Working // what stands beside the givens
}

// A reuseKey names a working of one structure: the part whose solution it is, or the words.
type reuseKey struct {
	structure int
	use       string
}

func newReuse() *reuse {
	return &reuse{evaluators: map[int]*evaluator{}, workings: map[reuseKey]*kernel.Working{}}
}

// evaluator returns the evaluator of a structure with the chosen value of each given.
func (r *reuse) evaluator(e *Exercise, structure int, choice []int) *evaluator {
	if r == nil {
		return newEvaluator(e, e.Structures[structure], choice)
	}
	d := r.evaluators[structure]
	if d == nil {
		d = newEvaluator(e, e.Structures[structure], choice)
		r.evaluators[structure] = d
		return d
	}
	d.choose(choice)
	return d
}

// working returns a working with these cells, which are the same for a key but for their
// texts.
func (r *reuse) working(key reuseKey, cells []kernel.Cell) *kernel.Working {
	if r != nil && r.workings[key] != nil {
		replaceTexts(r.workings[key], cells)
		return r.workings[key]
	}
	w := kernel.NewWorking(limits)
	w.SetCells(cells)
	if r != nil {
		r.workings[key] = w
	}
	return w
}

// replaceTexts gives the cells of a working these texts.
func replaceTexts(w *kernel.Working, cells []kernel.Cell) {
	for _, c := range cells {
		if err := w.Replace(c.ID, c.Text); err != nil {
			panic("exercises: " + err.Error()) // a key names one list of cells
		}
	}
}
