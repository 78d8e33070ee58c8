package room

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"shaftbook/exercises"
	"shaftbook/exercises/store"
	"shaftbook/kernel/figure/plot"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// A predictionStand is how a guess compares with what came out.
type predictionStand struct {
	low, high float64 // of a bracket, as multiples of the result
	held      bool
	known     bool
}

// guess shows what the class predicted.
func (r *Room) guess(ctx context.Context, s *state, cell lessons.Cell, q *exercises.Prediction) (page.RoomPart, error) {
	view := page.RoomPart{ID: "room-guess-" + q.Name, Kind: page.RoomPredictions, Label: page.Inline(q.Text)}
	by := map[string]store.Prediction{}
	for _, p := range s.predictions[cell.ID] {
		if p.Part == q.Name {
			by[p.Learner] = p
		}
	}
	if len(by) == 0 {
		view.Said = []string{"No predictions yet."}
		return view, nil
	}
	view.Said = []string{fmt.Sprintf("%d of %s made a prediction.", len(by), students(len(s.order)))}
	axis := &plot.BracketAxis{Heading: "Predicted brackets compared with the correct result"}
	count, held, judged := map[store.PredictionKind]int{}, 0, 0
	for _, person := range s.order {
		p, ok := by[person]
		if !ok {
			continue
		}
		count[p.Kind]++
		stand, err := r.predictionStand(ctx, s, cell, p)
		if err != nil {
			return view, err
		}
		switch {
		case !stand.known:
		case p.Kind == store.Bracket:
			axis.Guesses = append(axis.Guesses, plot.Guess{Label: s.names[person], Low: stand.low, High: stand.high})
		default:
			judged++
			if stand.held {
				held++
			}
		}
	}
	for _, kind := range []store.PredictionKind{store.More, store.Less, store.Same} {
		if q.Kind == exercises.Change {
			view.Counts = append(view.Counts, page.RoomCount{Word: string(kind), Count: count[kind]})
		}
	}
	if judged > 0 {
		view.Said = append(view.Said, fmt.Sprintf("%d of %d were right.", held, judged))
	}
	if len(axis.Guesses) == 0 {
		return view, nil
	}
	slices.SortStableFunc(axis.Guesses, func(a, b plot.Guess) int { return cmp.Compare(middle(a), middle(b)) })
	if axis.Check() == nil {
		view.Picture = axis
		view.Said = append(view.Said, "Each bracket is drawn as a multiple of that student’s own correct result, on a logarithmic axis.")
	}
	if left := count[store.Bracket] - len(axis.Guesses); left > 0 {
		view.Said = append(view.Said, fmt.Sprintf("%d cannot be drawn: the result is 0 or unknown.", left))
	}
	return view, nil
}

// middle orders brackets: by their middle as it is drawn.
func middle(g plot.Guess) float64 {
	at := func(v float64) float64 { return math.Log(math.Max(v, 1e-3)) }
	return at(g.Low) + at(g.High)
}

// predictionStand compares a prediction with the result, once.
func (r *Room) predictionStand(ctx context.Context, s *state, cell lessons.Cell, p store.Prediction) (predictionStand, error) {
	k := memoKey{exercise: cell.Text, learner: s.Assignment.ID + " " + p.Learner, part: p.Part, said: p.Text}
	return r.predictions.Do(k, func() (g predictionStand, err error) {
		place := s.place(cell, p.Learner)
		if p.Kind == store.Bracket {
			g.low, g.high, g.known, err = r.service.RelativePrediction(ctx, place, p.Part, p.Low, p.High)
		} else {
			g.held, g.known, err = r.service.HeldPrediction(ctx, place, p.Part, p.Text)
		}
		var unset *attempt.Unset
		if errors.As(err, &unset) {
			return predictionStand{}, nil
		}
		return g, err
	})
}
