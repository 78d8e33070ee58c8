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
	{"an impossible prediction is refused", "a page draws predictions on an axis, which needs numbers", func(t *testing.T, s contract.Work) {
		for name, spoil := range map[string]func(*store.Prediction){
			"ends swapped":  func(p *store.Prediction) { p.Low, p.High = 2, 1 },
			"NaN":           func(p *store.Prediction) { p.Low = math.NaN() },
			"infinite":      func(p *store.Prediction) { p.High = math.Inf(1) },
			"unknown kind":  func(p *store.Prediction) { p.Kind = "perhaps" },
			"more, of ends": func(p *store.Prediction) { p.Kind = store.More },
		} {
			p := prediction("p1")
			spoil(&p)
			if _, _, err := s.AddPrediction(t.Context(), p); !errors.Is(err, store.ErrInvalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}},
}
