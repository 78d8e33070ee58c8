package gradebook

import (
	"context"

	"shaftbook/exercises/class"
)

// Items are the item statistics of an assignment, of the students who have not
// left.
type Items struct {
	*Work
	Students int // who have not left
	Began    int // of them, who have a try anywhere in the assignment
	Items    []class.Item
}

// Items gathers the item statistics of an assignment.
func (r *Reader) Items(ctx context.Context, a class.Assignment) (*Items, error) {
	w, err := r.Work(ctx, a)
	if err != nil {
		return nil, err
	}
	_, members, err := r.store.Members(ctx, a.Class)
	if err != nil {
		return nil, err
	}
	attempts, err := r.store.AttemptsIn(ctx, a.Key())
	if err != nil {
		return nil, err
	}
	hints, err := r.store.HintsIn(ctx, a.Key())
	if err != nil {
		return nil, err
	}
	set := map[string][]class.Worth{}
	for _, m := range members {
		if m.Role != class.Student || m.Left {
			continue
		}
		if set[m.Person], _, err = r.worth(ctx, w, m.Person); err != nil {
			return nil, err
		}
	}
	began := map[string]bool{}
	for _, t := range attempts {
		if _, in := set[t.Learner]; in && t.Series == 0 && !t.Free && a.Counts(t.Exercise) {
			began[t.Learner] = true
		}
	}
	return &Items{w, len(set), len(began), class.ItemsOf(set, attempts, hints)}, nil
}
