package storetest

import (
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var predictions = []Case{
	{"a prediction comes back as it was committed", "after the result is shown both are compared, to the last bit", func(t *testing.T, s contract.Work) {
		var want []store.Prediction
		bracket := prediction("p1")
		more := prediction("p2")
		more.Part, more.Kind, more.Text, more.Low, more.High = "then", store.More, "more", 0, 0
		for _, p := range []store.Prediction{bracket, more} {
			got, repeat, err := s.AddPrediction(t.Context(), p)
			p.At = noon.UTC().Truncate(time.Microsecond)
			if err != nil || repeat || got != p {
				t.Errorf("Commit = %+v, %v, %v", got, repeat, err)
			}
			want = append(want, p)
		}
		got, err := s.Predictions(t.Context(), "student-01", "the-quill")
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("Predictions = %+v, %v, want %+v", got, err, want)
		}
	}},
	{"the first prediction stands", "a second guess would be made knowing the result", func(t *testing.T, s contract.Work) {
		first, _, err := s.AddPrediction(t.Context(), prediction("p1"))
		if err != nil {
			t.Fatal(err)
		}
		second := prediction("p2")
		second.High = 1
		got, _, err := s.AddPrediction(t.Context(), second)
		if !errors.Is(err, store.ErrPredicted) || got != first {
			t.Errorf("second = %+v, %v, want the first with ErrCommitted", got, err)
		}
		if got, repeat, err := s.AddPrediction(t.Context(), prediction("p1")); err != nil || !repeat || got != first {
			t.Errorf("repeat = %+v, %v, %v", got, repeat, err)
		}
		changed := prediction("p1")
		changed.High = 1
		if _, _, err := s.AddPrediction(t.Context(), changed); !errors.Is(err, store.ErrReused) {
			t.Errorf("the identifier with another guess: %v", err)
		}
	}},
	{"the guesses of a lesson come back, again and again", "a later guess stands beside the first one", func(t *testing.T, s contract.Work) {
		value := prediction("g1")
		value.Exercise, value.Part, value.Kind, value.Text, value.Low, value.High = "guess-how-far", "", store.Value, "0.7 deg", 0.0122, 0.0122
		again := value
		again.Submission, again.Series, again.Text = "g2", 1, "0.69 deg"
		want := []store.Prediction{value, again}
		for i, kind := range []store.PredictionKind{store.Chosen, store.Order, store.Drawn, store.Seen} {
			p := prediction("h" + string(kind))
			p.Exercise, p.Part, p.Kind, p.Text, p.Low, p.High, p.Series = "guess-other", "", kind, "b a", 0, 0, i
			want = append(want, p)
		}
		for i, p := range want {
			if _, repeat, err := s.AddPrediction(t.Context(), p); err != nil || repeat {
				t.Errorf("%s: %v, %v", p.Kind, repeat, err)
			}
			want[i].At = noon.UTC().Truncate(time.Microsecond)
		}
		got, err := s.Predictions(t.Context(), "student-01", "the-quill")
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("Predictions = %+v, %v, want %+v", got, err, want)
		}
	}},
	{"an impossible prediction is refused", "a page draws predictions on an axis, which needs numbers", func(t *testing.T, s contract.Work) {
		for name, spoil := range map[string]func(*store.Prediction){
			"ends swapped":   func(p *store.Prediction) { p.Low, p.High = 2, 1 },
			"NaN":            func(p *store.Prediction) { p.Low = math.NaN() },
			"infinite":       func(p *store.Prediction) { p.High = math.Inf(1) },
			"unknown kind":   func(p *store.Prediction) { p.Kind = "perhaps" },
			"more, of ends":  func(p *store.Prediction) { p.Kind = store.More },
			"two values":     func(p *store.Prediction) { p.Kind = store.Value },
			"order, of ends": func(p *store.Prediction) { p.Kind = store.Order },
		} {
			p := prediction("p1")
			spoil(&p)
			if _, _, err := s.AddPrediction(t.Context(), p); !errors.Is(err, store.ErrInvalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}},
}
