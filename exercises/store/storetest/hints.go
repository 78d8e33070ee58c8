package storetest

import (
	"errors"
	"reflect"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var hints = []Case{
	{"a hint stays shown", "a learner who comes back sees the help they had", func(t *testing.T, s contract.Work) {
		h := store.Hint{Place: attempt("s1").Place, Level: 1, At: noon}
		second := h
		second.Level = 2
		for _, h := range []store.Hint{second, h, h} { // in any order, and again
			if err := s.Reveal(t.Context(), h); err != nil {
				t.Fatal(err)
			}
		}
		h.At = noon.UTC().Truncate(time.Microsecond)
		second.At = h.At
		got, err := s.Hints(t.Context(), "student-01", "the-quill", "exercise-1")
		if want := []store.Hint{h, second}; err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("Hints = %+v, %v, want %+v", got, err, want)
		}
		h.Level = 0
		if err := s.Reveal(t.Context(), h); !errors.Is(err, store.ErrInvalid) {
			t.Errorf("level 0: %v", err)
		}
	}},
	{"a secret is made once", "with another key every learner would get other numbers", func(t *testing.T, s contract.Work) {
		got := make([]string, 8)
		var all sync.WaitGroup
		for i := range got {
			all.Go(func() {
				value, err := s.Secret(t.Context(), "variants", []byte{byte(i), 0, 0xff})
				if err != nil {
					t.Error(err)
				}
				got[i] = string(value)
			})
		}
		all.Wait()
		for _, g := range got {
			if g == "" || g != got[0] {
				t.Errorf("secrets %q, want one", got)
				break
			}
		}
		if _, err := s.Secret(t.Context(), "variants", nil); !errors.Is(err, store.ErrInvalid) {
			t.Errorf("an empty secret: %v", err)
		}
	}},
}
