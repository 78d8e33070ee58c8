package storetest

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var attempts = []Case{
	{"an attempt comes back as it was kept", "a mark must be explained years later from what is stored", func(t *testing.T, s contract.Work) {
		want := attempt("s1")
		got := submit(t, s, want, 3)
		want.Number, want.At = 1, noon.UTC().Truncate(time.Microsecond)
		if !reflect.DeepEqual(got, want) {
			t.Errorf("Submit returned\n%+v, want\n%+v", got, want)
		}
		all, err := s.Attempts(t.Context(), want.Learner, want.Lesson, want.Exercise)
		if err != nil || len(all) != 1 || !reflect.DeepEqual(all[0], want) {
			t.Errorf("Attempts = %+v, %v, want\n%+v", all, err, want)
		}
	}},
	{"a repeat is recognised and keeps the first verdict", "a page sends again when an acknowledgement was lost, and the program may have been replaced between", func(t *testing.T, s contract.Work) {
		first := submit(t, s, attempt("s1"), 3)
		again := attempt("s1")
		again.Verdict, again.Points, again.At = "right", 2, noon.Add(time.Hour)
		got, repeat, err := s.Submit(t.Context(), again, 3)
		if err != nil || !repeat || !reflect.DeepEqual(got, first) {
			t.Errorf("repeat = %+v, %v, %v, want %+v", got, repeat, err, first)
		}
		count(t, s, 1)
	}},
	{"the last try may be sent twice", "the repeat must be recognised before the tries are counted", func(t *testing.T, s contract.Work) {
		submit(t, s, attempt("s1"), 1)
		if _, repeat, err := s.Submit(t.Context(), attempt("s1"), 1); err != nil || !repeat {
			t.Errorf("repeat %v, %v", repeat, err)
		}
	}},
	{"an identifier with another answer is refused", "the learner would be told a verdict on an answer they did not give", func(t *testing.T, s contract.Work) {
		submit(t, s, attempt("s1"), 0)
		other := attempt("s1")
		other.Answer = "1.2 deg"
		if _, _, err := s.Submit(t.Context(), other, 0); !errors.Is(err, store.ErrReused) {
			t.Errorf("another answer: %v", err)
		}
		other = attempt("s1")
		other.Part = "τ"
		if _, _, err := s.Submit(t.Context(), other, 0); !errors.Is(err, store.ErrReused) {
			t.Errorf("another part: %v", err)
		}
		count(t, s, 1)
	}},
	{"two learners may use the same identifier", "an identifier made by one page must not block, or show, another learner's work", func(t *testing.T, s contract.Work) {
		submit(t, s, attempt("s1"), 0)
		other := attempt("s1")
		other.Learner = "student-02"
		if got := submit(t, s, other, 0); got.Number != 1 {
			t.Errorf("number %d", got.Number)
		}
	}},
	{"two exercises may use the same identifier", "an identifier is made for a place, and what is kept at another must not block it", func(t *testing.T, s contract.Work) {
		submit(t, s, attempt("s1"), 0)
		for i, set := range []func(*store.Attempt){
			func(a *store.Attempt) { a.Exercise = "exercise-2" }, func(a *store.Attempt) { a.Lesson = "the-lay-shaft" },
		} {
			other := attempt("s1")
			set(&other)
			if got := submit(t, s, other, 0); got.Number != 1 {
				t.Errorf("place %d: number %d", i, got.Number)
			}
			if _, repeat, err := s.Submit(t.Context(), other, 0); err != nil || !repeat {
				t.Errorf("place %d: sent again: repeat %v, %v", i, repeat, err)
			}
		}
	}},
	{"attempts are counted at each place", "lesson, exercise, part and series each start their own count", func(t *testing.T, s contract.Work) {
		for i, set := range []func(*store.Attempt){
			func(a *store.Attempt) {}, func(a *store.Attempt) { a.Part = "" }, func(a *store.Attempt) { a.Series = 1 },
			func(a *store.Attempt) { a.Exercise = "exercise-2" }, func(a *store.Attempt) { a.Lesson = "the-lay-shaft" },
		} {
			for try := 1; try <= 2; try++ {
				a := attempt(fmt.Sprint("s", i, "-", try))
				set(&a)
				if got := submit(t, s, a, 2); got.Number != try {
					t.Errorf("place %d: attempt %d has number %d", i, try, got.Number)
				}
			}
		}
		count(t, s, 6)
	}},
	{"tries run out, free attempts do not count", "an answer that could not be read costs nothing", func(t *testing.T, s contract.Work) {
		unreadable := attempt("s0")
		unreadable.Free = true
		submit(t, s, unreadable, 2)
		submit(t, s, attempt("s1"), 2)
		submit(t, s, attempt("s2"), 2)
		if _, _, err := s.Submit(t.Context(), attempt("s3"), 2); !errors.Is(err, store.ErrNoTries) {
			t.Errorf("a third try: %v", err)
		}
		unreadable.Submission = "s4"
		if got := submit(t, s, unreadable, 2); got.Number != 4 {
			t.Errorf("a free attempt after the last try has number %d", got.Number)
		}
	}},
	{"attempts made at once are all kept and numbered without gaps", "two tabs, or an impatient finger", func(t *testing.T, s contract.Work) {
		const n = 12
		var all sync.WaitGroup
		for i := range n {
			all.Go(func() {
				for range 2 {
					if _, _, err := s.Submit(t.Context(), attempt(fmt.Sprint("s", i)), 0); err != nil {
						t.Error(err)
					}
				}
			})
		}
		all.Wait()
		count(t, s, n)
	}},
	{"tries made at once do not exceed the limit", "a race must not give a fourth try", func(t *testing.T, s contract.Work) {
		var all sync.WaitGroup
		for i := range 8 {
			all.Go(func() {
				if _, _, err := s.Submit(t.Context(), attempt(fmt.Sprint("s", i)), 3); err != nil && !errors.Is(err, store.ErrNoTries) {
					t.Error(err)
				}
			})
		}
		all.Wait()
		count(t, s, 3)
	}},
	{"an impossible attempt is refused", "what one database would keep and the other not must not get there", func(t *testing.T, s contract.Work) {
		for name, spoil := range map[string]func(*store.Attempt){
			"no identifier": func(a *store.Attempt) { a.Submission = "" },
			"no learner":    func(a *store.Attempt) { a.Learner = "" },
			"NUL":           func(a *store.Attempt) { a.Answer = "1\x002" },
			"not UTF-8":     func(a *store.Attempt) { a.Answer = "\xff" },
			"NaN points":    func(a *store.Attempt) { a.Points = math.NaN() },
			"no JSON":       func(a *store.Attempt) { a.Variant = nil },
			"no time":       func(a *store.Attempt) { a.At = time.Time{} },
			"below series":  func(a *store.Attempt) { a.Series = -1 },
			"long":          func(a *store.Attempt) { a.Answer = string(make([]byte, 2<<20)) },
		} {
			a := attempt("s1")
			spoil(&a)
			if _, _, err := s.Submit(t.Context(), a, 0); !errors.Is(err, store.ErrInvalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		count(t, s, 0)
	}},
}

// count wants n attempts at the exercise of attempt, numbered from 1 at each
// place.
func count(t *testing.T, s contract.Work, n int) {
	t.Helper()
	all, err := s.Attempts(t.Context(), "student-01", "the-quill", "exercise-1")
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != n {
		t.Errorf("%d attempts are kept, want %d", len(all), n)
	}
	next := map[store.Place]int{}
	for _, a := range all {
		if next[a.Place]++; a.Number != next[a.Place] {
			t.Errorf("%+v has number %d, want %d", a.Place, a.Number, next[a.Place])
		}
	}
}
