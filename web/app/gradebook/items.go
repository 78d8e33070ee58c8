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
	Began    int // of them, who have begun: see class.Progress
	Tried    int // of them, who have used a try in the assignment
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
	deeds, err := r.deeds(ctx, &a)
	if err != nil {
		return nil, err
	}
	set, students := map[string][]class.Worth{}, map[string]bool{}
	for _, m := range members {
		if m.Role != class.Student || m.Left {
			continue
		}
		students[m.Person] = true
		if set[m.Person], _, err = r.worth(ctx, w, m.Person); err != nil {
			return nil, err
		}
	}
	begun, _, err := r.count(ctx, w, deeds, students)
	if err != nil {
		return nil, err
	}
	tried := map[string]bool{}
	for _, t := range deeds.Attempts {
		if students[t.Learner] && t.Series == 0 && !t.Free && a.Counts(t.Exercise) {
			tried[t.Learner] = true
		}
	}
	return &Items{w, len(set), begun, len(tried), class.ItemsOf(set, deeds.Attempts, deeds.Hints)}, nil
}
