package assignment

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/kernel/lru"
)

// mostProved is how many texts are remembered. Each is about as large as a lesson.
const mostProved = 64

// proofs keeps the result of proving the exercises of a text, by its name and its
// hash: the proof takes longer than all else of a page and is the same each time.
type proofs struct{ *lru.Cache[string, *Candidate] }

func newProofs() proofs { return proofs{lru.New[string, *Candidate](mostProved)} }

// prove proves the exercises of a lesson that was read, or takes the result of
// the same text before, which nothing changes. Two that ask at once each prove.
func (p proofs) prove(ctx context.Context, c *Candidate) error {
	key := c.Lesson.Text.Name + "\n" + class.HashText(c.Lesson.Text.Content)
	known, err := p.Do(key, func() (*Candidate, error) { return c, c.prove(ctx) })
	if err != nil {
		return err
	}
	c.Exercises, c.Cells, c.Faults = known.Exercises, known.Cells, known.Faults
	return nil
}
