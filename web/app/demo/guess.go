package demo

import (
	"context"
	"time"

	"shaftbook/exercises"
	"shaftbook/web/app/attempt"
)

// predict commits a guess.
func (d *session) predict(p attempt.Place, q *exercises.Prediction) bool {
	if !d.pause(d.between(20*time.Second, time.Minute)) {
		return false
	}
	var text string
	err := d.s.service.With(d.ctx, p, func(_ context.Context, v *exercises.Variant) (err error) {
		text, err = d.guess(v, q)
		return err
	})
	if err == nil && text != "" {
		err = d.s.service.Predict(d.ctx, d.submission(p, q.Name, text))
	}
	return err == nil || d.failed(err)
}

// guess writes a guess: one that holds is the likelier the better the student
// is. It is empty for a bracket of a quantity for which none is written here.
func (d *session) guess(v *exercises.Variant, q *exercises.Prediction) (string, error) {
	if q.Kind == exercises.Change {
		held := d.dice.Float64() < 0.35+0.6*d.l.ability
		words := []string{"more", "less", "same"}
		d.dice.Shuffle(len(words), func(i, j int) { words[i], words[j] = words[j], words[i] })
		for _, w := range words {
			g, _, err := v.Predict(d.ctx, q.Name, w)
			if err != nil || g.Held == held {
				return w, err
			}
		}
	}
	g, ok, err := v.Predict(d.ctx, q.Name, "between 0 deg and 1 deg")
	if err != nil || !ok {
		return "", err
	}
	value, unit := valueOf(g.Result)
	middle := value * (1 + 0.8*(1-d.l.ability)*d.dice.NormFloat64()*0.5)
	wide := 0.15 + 0.6*d.dice.Float64()
	low, high := max(0.01*value, middle*(1-wide)), max(0.02*value, middle*(1+wide))
	return "between " + figures(low, 2) + " " + unit + " and " + figures(high, 2) + " " + unit, nil
}
