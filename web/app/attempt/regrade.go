package attempt

import (
	"context"
	"encoding/json"
	"reflect"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/web/turns"
)

// A Regraded is an attempt judged again under another text of its exercise.
type Regraded struct {
	class.Regrade
	Changed bool   // whether anything that the learner was told or given differs
	Cannot  string // why it was not judged again and stands as it was; empty if it was
}

// Why an attempt cannot be judged again.
const (
	OtherNumbers = "the exercise now gives different numbers"
	NoPart       = "the part no longer exists"
	CannotBeSet  = "the exercise cannot be set for this student any more"
)

// Regrade judges graded attempts of one learner at one exercise again under
// another text of it, and keeps nothing. An answer to other numbers than the
// text would give the learner is not judged, since it was never an answer to
// these. The place names the learner and the lesson by the name under which the
// attempts were made. set is the way in which the exercise is set for the learner
// by this text, or nil if it cannot be. The error is ctx's.
func (d *Service) Regrade(ctx context.Context, p Place, e *exercises.Exercise, attempts []store.Attempt) (set *exercises.Structure, all []Regraded, err error) {
	err = turns.Do(ctx, turns.Regrade, func(ctx context.Context) error {
		v, err := e.Variant(ctx, d.key, p.variant(e).learner, 0)
		all = make([]Regraded, len(attempts))
		if err == nil {
			set = v.Structure
		}
		for i, a := range attempts {
			all[i].Cannot = CannotBeSet
			if set != nil {
				all[i] = d.rejudged(ctx, v, &a, before(attempts[:i], all, &a))
			}
			all[i].Person, all[i].Exercise, all[i].Submission = a.Learner, a.Exercise, a.Submission
		}
		return ctx.Err()
	})
	return set, all, err
}

// before returns the earlier attempts at the part of an attempt, as they are judged
// now.
func before(attempts []store.Attempt, now []Regraded, a *store.Attempt) []store.Attempt {
	var list []store.Attempt
	for i, e := range attempts {
		if e.Place != a.Place || e.Number >= a.Number {
			continue
		}
		if now[i].Cannot == "" {
			e.Verdict, e.Slip, e.Free = now[i].Verdict, now[i].Slip, now[i].Free
		}
		list = append(list, e)
	}
	return list
}

func (d *Service) rejudged(ctx context.Context, v *exercises.Variant, a *store.Attempt, earlier []store.Attempt) Regraded {
	switch {
	case !slices.ContainsFunc(v.Structure.Parts, func(ask *exercises.Part) bool { return ask.Name == a.Part }):
		return Regraded{Cannot: NoPart}
	case !sameNumbers(v, a.Variant):
		return Regraded{Cannot: OtherNumbers}
	}
	verdict, err := judge(ctx, v, a.Part, a.Answer, a.Reading)
	if err != nil {
		return Regraded{Cannot: CannotBeSet}
	}
	free := notAgain(ctx, v, a.Part, &verdict, a.Answer, earlier)
	r := Regraded{Regrade: class.Regrade{
		Verdict: string(verdict.Kind), Slip: strings.Join(verdict.Slips, " "), Message: verdict.Message,
		Points: verdict.Points, Free: free, Program: d.program,
	}}
	r.Changed = r.Verdict != a.Verdict || r.Slip != a.Slip || r.Message != a.Message || r.Points != a.Points || r.Free != a.Free
	return r
}

// sameNumbers reports whether a variant has the numbers that were kept with an
// attempt.
func sameNumbers(v *exercises.Variant, kept json.RawMessage) bool {
	var was numbers
	return json.Unmarshal(kept, &was) == nil && reflect.DeepEqual(was, numbersOf(v))
}
