package lessons

import "shaftbook/kernel"

// Working returns the calculation and shaft cells of the lesson, which are
// evaluated together.
func (l *Lesson) Working() []kernel.Cell {
	var cells []kernel.Cell
	for _, c := range l.Cells {
		switch c.Kind {
		case Calc:
			cells = append(cells, kernel.Cell{ID: c.ID, Kind: kernel.Calc, Text: c.Text})
		case Shaft:
			cells = append(cells, kernel.Cell{ID: c.ID, Kind: kernel.Shaft, Name: c.Name, Text: c.Text})
		}
	}
	return cells
}
