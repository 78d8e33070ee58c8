package working

import (
	"context"
	"errors"

	"shaftbook/kernel/pause"
)

// A RowPlace is a statement by its cell and its number in it, from 0.
type RowPlace struct {
	Cell  string
	Index int
}

// EvaluateWithin is Evaluate for a page that is to come soon: a statement that costs
// more than the limit each, in the unit of Limits.Work, is left out, with what
// needs its value, and so is what comes after all of them have cost the limit whole.
// It returns the places that it left; their statements have no result yet and the
// next Evaluate evaluates them. The same text leaves the same places on every
// machine. The error is ctx's.
func (w *Working) EvaluateWithin(ctx context.Context, each, whole int64) (left []RowPlace, err error) {
	isLeft := map[*item]bool{}
	err = w.evaluate(ctx, nil, func(it *item) (reached bool, err error) {
		limit := min(each, whole-w.work)
		if limit > 0 && !w.anyNeeded(it, func(d *item) bool { return isLeft[d] }) {
			reached, err = w.refreshWithin(ctx, it, limit)
		}
		if err == nil && !reached {
			isLeft[it] = true
			left = append(left, RowPlace{it.cell.id, it.index})
		}
		return reached, err
	})
	return left, err
}

// Unreached returns the places that an Evaluate which ended early did not come to or did
// not emit: what was emitted for them before is not of the present texts and values.
func (w *Working) Unreached() (left []RowPlace) {
	isLeft := map[*item]bool{}
	for _, n := range w.order {
		it := w.items[n]
		if it.dirty || it.unsent || it.cell.edited && it.emittedIn != w.round || w.outdated(it) ||
			w.anyNeeded(it, func(d *item) bool { return isLeft[d] }) {
			isLeft[it] = true
			left = append(left, RowPlace{it.cell.id, it.index})
		}
	}
	return left
}

// refreshWithin is refresh for a statement that may cost so much; it reports
// whether that was enough.
func (w *Working) refreshWithin(ctx context.Context, it *item, limit int64) (reached bool, err error) {
	limited, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	p := &limitPoint{outer: pause.From(ctx), left: limit, cancel: cancel}
	if err := w.refresh(pause.With(limited, p), it); err != nil {
		return false, ctx.Err()
	}
	return true, nil
}

// A limitPoint ends a calculation when it has cost so much.
type limitPoint struct {
	outer  pause.Point
	left   int64
	cancel context.CancelCauseFunc
}

var errLimit = errors.New("the limit of this statement for a page is reached")

// Here implements pause.Point.
func (p *limitPoint) Here(work int64) {
	if p.left -= work; p.left < 0 {
		p.cancel(errLimit)
	}
	if p.outer != nil {
		p.outer.Here(work)
	}
}
