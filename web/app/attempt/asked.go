package attempt

import (
	"context"
	"errors"
	"fmt"
	"html/template"

	"shaftbook/exercises"
	"shaftbook/web/page"
)

// Asked returns what an exercise gives and asks, with the numbers of a place. It
// is the same however far the learner is, so that it can be shown to a room: no
// result is in it. The error is ctx's or the learner's numbers cannot be
// drawn; an exercise that cannot be set for anyone says so in its question.
func (d *Service) Asked(ctx context.Context, p Place) (page.Asked, error) {
	asked := page.Asked{ID: p.Cell.ID}
	err := d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		asked.Title = v.Exercise.Title
		asked.Question = question(ctx, v, fmt.Sprintf("%s-%d", p.Cell.ID, p.Series), false)
		for _, q := range v.Structure.Predictions {
			ask := page.Ask{Text: page.Inline(q.Text)}
			if q.Kind != exercises.Bracket {
				ask.Options = []template.HTML{"more", "less", "the same"}
			}
			asked.Asks = append(asked.Asks, ask)
		}
		for _, a := range v.Structure.Parts {
			ask := page.Ask{Text: page.Inline(a.Asks())}
			for _, o := range a.Options {
				ask.Options = append(ask.Options, page.Inline(o.Text))
			}
			asked.Asks = append(asked.Asks, ask)
		}
		return nil
	})
	var unset *Unset
	if errors.As(err, &unset) {
		asked.Title, asked.Question = unsetTitle, unset.question()
		return asked, nil
	}
	return asked, err
}
