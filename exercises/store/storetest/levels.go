package storetest

import (
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var levels = []promise[contract.Store]{
	{"a level is kept by its key", "one server must know what was tried at another", func(t *testing.T, s contract.Store) {
		want := store.Level{Much: 2.5, At: micro, Until: micro.Add(time.Minute), Had: "a b", Gone: micro.Add(time.Hour)}
		for _, c := range []struct {
			key       string
			was, next store.Level
		}{
			{"one", store.Level{}, want},
			{"one", want, want},
			{"two", store.Level{}, store.Level{}},
			{"one", want, store.Level{}},
			{"one", store.Level{}, store.Level{Much: 1, At: micro, Gone: micro.Add(time.Second)}},
		} {
			var got store.Level
			mustSucceed(t, s.Level(t.Context(), c.key, func(l store.Level) store.Level {
				got = l
				return c.next
			}))
			if got != c.was {
				t.Errorf("%s: %+v, want %+v", c.key, got, c.was)
			}
		}
	}},
	{"changes of a level follow one another", "many guesses at once must not all be the first", func(t *testing.T, s contract.Store) {
		LevelsCount(t, s)
	}},
	{"a level that is gone is forgotten", "the table would grow for ever", func(t *testing.T, s contract.Store) {
		add := func(key string, at time.Time) (was store.Level) {
			mustSucceed(t, s.Level(t.Context(), key, func(l store.Level) store.Level {
				was = l
				return store.Level{Much: 1, At: at, Gone: at.Add(time.Second)}
			}))
			return was
		}
		add("one", micro)
		add("two", micro.Add(time.Hour))
		if was := add("one", micro.Add(time.Hour)); was != (store.Level{}) {
			t.Errorf("an hour later there is %+v", was)
		}
	}},
}

// LevelsCount wants changes of one key, at several stores of one database at once, all
// to count.
func LevelsCount(t *testing.T, stores ...contract.Store) {
	const each = 20
	var all sync.WaitGroup
	for _, s := range stores {
		for range each {
			all.Go(func() {
				err := s.Level(t.Context(), "counted", func(l store.Level) store.Level {
					return store.Level{Much: l.Much + 1, At: micro, Gone: micro.Add(time.Hour)}
				})
				if err != nil {
					t.Error(err)
				}
			})
		}
	}
	all.Wait()
	mustSucceed(t, stores[0].Level(t.Context(), "counted", func(l store.Level) store.Level {
		if want := float64(each * len(stores)); l.Much != want {
			t.Errorf("%v changes are counted, want %v", l.Much, want)
		}
		return l
	}))
}
