package assignment

import (
	"context"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/lru"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/turns"
)

// mostProved is how many texts are remembered. Each is about as large as a lesson.
const mostProved = 64

// A proof is the result of proving the exercises of a lesson.
type proof struct {
	exercises []*exercises.Exercise
	cells     []lessons.Cell
	faults    source.List
}

// proofs keeps the proof of a text by its name and its hash: it takes longer than
// all else of a page and is the same each time.
type proofs struct{ *lru.Cache[string, proof] }

func newProofs() proofs { return proofs{lru.New[string, proof](mostProved)} }

// prove proves the exercises of a lesson that was read, or takes the proof of the
// same text before, which nothing changes. Two that ask at once each prove.
func (p proofs) prove(ctx context.Context, c *Candidate) error {
	key := c.Lesson.Text.Name + "\n" + class.HashText(c.Lesson.Text.Content)
	known, err := p.Do(key, func() (proved proof, err error) {
		err = turns.Do(ctx, turns.Prove, func(ctx context.Context) error {
			proved, err = proveExercises(ctx, c.Lesson)
			return err
		})
		return proved, err
	})
	if err != nil {
		return err
	}
	c.Exercises, c.Cells, c.Faults = known.exercises, known.cells, append(c.Faults, known.faults...)
	return nil
}

func proveExercises(ctx context.Context, l *lessons.Lesson) (p proof, err error) {
	for _, cell := range l.CellsOf(lessons.Exercise) {
		e, list := exercises.Parse(cell.Name, cell.Text)
		if !list.HasErrors() {
			proved, err := exercises.Prove(ctx, e)
			if err != nil {
				return p, err
			}
			list = proved.Problems
		}
		for _, d := range list {
			if d.Severity == source.Error {
				p.faults = append(p.faults, d)
			}
		}
		p.cells, p.exercises = append(p.cells, cell), append(p.exercises, e)
	}
	return p, nil
}
