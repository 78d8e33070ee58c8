package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var anomalies = []Case{
	{"a closed store says so", "a request that comes while the server stops gets words and no crash", func(t *testing.T, s contract.Work) {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		_, _, submit := s.Submit(t.Context(), attempt("s1"), 0)
		_, _, commit := s.AddPrediction(t.Context(), prediction("p1"))
		_, save := s.Save(t.Context(), "student-01", "the-quill", 0, []store.Edit{text("calc-1", "one")}, noon)
		_, restore := s.Restore(t.Context(), "student-01", "the-quill")
		_, list := s.Attempts(t.Context(), "student-01", "the-quill", "exercise-1")
		_, working := s.Working(t.Context(), "student-01", "the-quill")
		_, guesses := s.Predictions(t.Context(), "student-01", "the-quill")
		for i, err := range []error{submit, commit, save, restore, list, working, guesses, s.Close()} {
			if !errors.Is(err, store.ErrClosed) {
				t.Errorf("%d: %v", i, err)
			}
		}
	}},
	{"closing waits for what is under way", "an answer handed over before the server stopped is kept or refused, never half kept", func(t *testing.T, s contract.Work) {
		var all sync.WaitGroup
		for i := range 8 {
			all.Go(func() {
				_, _, err := s.Submit(t.Context(), attempt(fmt.Sprint("s", i)), 0)
				if err != nil && !errors.Is(err, store.ErrClosed) {
					t.Error(err)
				}
			})
		}
		time.Sleep(time.Millisecond)
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		all.Wait()
	}},
	{"a caller that has gone leaves the store sound", "a browser closes while its answer is on the way", func(t *testing.T, s contract.Work) {
		gone, cancel := context.WithCancel(t.Context())
		cancel()
		if _, _, err := s.Submit(gone, attempt("s0"), 0); !errors.Is(err, context.Canceled) {
			t.Errorf("Submit: %v", err)
		}
		if _, err := s.Working(gone, "student-01", "the-quill"); !errors.Is(err, context.Canceled) {
			t.Errorf("Working: %v", err)
		}
		var all sync.WaitGroup
		for i := range 16 {
			all.Go(func() {
				leaving, cancel := context.WithTimeout(t.Context(), time.Duration(i)*200*time.Microsecond)
				defer cancel()
				a := attempt(fmt.Sprint("s", i))
				_, _, err := s.Submit(leaving, a, 0)
				if err != nil && !errors.Is(err, context.DeadlineExceeded) && !errors.Is(err, context.Canceled) {
					t.Errorf("leaving: %v", err)
				}
				if _, _, err := s.Submit(t.Context(), a, 0); err != nil {
					t.Errorf("sent again: %v", err)
				}
			})
		}
		all.Wait()
		count(t, s, 16)
	}},
	{"texts are not SQL", "answers are free text", func(t *testing.T, s contract.Work) {
		a := attempt("'; DROP TABLE attempts; --")
		a.Answer = `$1 ?1 \' " ; %s`
		submit(t, s, a, 0)
		all, err := s.Attempts(t.Context(), a.Learner, a.Lesson, a.Exercise)
		if err != nil || len(all) != 1 || all[0].Answer != a.Answer {
			t.Errorf("%+v, %v", all, err)
		}
	}},
	{"a long cell is kept", "a generous text goes through drivers and pages of any size", func(t *testing.T, s contract.Work) {
		long := strings.Repeat("θ = T·L/(G·J) # δ\n", 20000)
		save(t, s, 0, text("calc-1", long))
		wantWorking(t, s, 1, "calc-1", long)
	}},
}
