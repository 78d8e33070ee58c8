package lessons

import "shaftbook/kernel"

// WorkingCells returns the calculation and shaft cells of the lesson, which are
// evaluated together. The caller must not change the slice.
func (l *Lesson) WorkingCells() []kernel.Cell { return l.working }

// NewWorking returns the working of the lesson as it is written, not yet
// evaluated.
func (l *Lesson) NewWorking() *kernel.Working {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(l.working)
	return w
}

func workingCells(cells []Cell) []kernel.Cell {
	var list []kernel.Cell
	for _, c := range cells {
		switch c.Kind {
		case Calc:
			list = append(list, kernel.Cell{ID: c.ID, Kind: kernel.Calc, Text: c.Text})
		case Shaft:
			list = append(list, kernel.Cell{ID: c.ID, Kind: kernel.Shaft, Name: c.Name, Text: c.Text})
		}
	}
	return list
}
