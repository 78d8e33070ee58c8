package postgres

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// answers hands in numbered answers of some learners at once, each again under the same
// name until it is acknowledged, as a page does, and calls between after some. Then it
// wants each answer once.
func answers(t *testing.T, stores []contract.Store, learners, each int, between func(done int)) {
	t.Helper()
	var all sync.WaitGroup
	var done atomic.Int64
	for l := range learners {
		all.Go(func() {
			for i := 0; i < each; {
				a := store.Attempt{
					Place:      store.Place{Learner: fmt.Sprint("student-", l), Lesson: "the-quill", Exercise: "exercise-1", Part: "θ"},
					Submission: fmt.Sprint("answer-", i), Answer: fmt.Sprint(i), Verdict: "wrong", Variant: []byte("{}"), Program: "test", At: when,
				}
				_, _, err := stores[(l+i)%len(stores)].Submit(t.Context(), a, 0)
				var f store.Fault
				switch {
				case err == nil:
					i++
					between(int(done.Add(1)))
				case !errors.As(err, &f) || t.Context().Err() != nil:
					t.Errorf("answer %d of learner %d: %v", i, l, err)
					return
				}
			}
		})
	}
	all.Wait()
	for l := range learners {
		kept, err := stores[0].Attempts(t.Context(), fmt.Sprint("student-", l), "the-quill", "exercise-1")
		if err != nil || len(kept) != each {
			t.Errorf("learner %d: %d answers are kept, want %d; %v", l, len(kept), each, err)
			continue
		}
		for i, a := range kept {
			if a.Number != i+1 || a.Answer != fmt.Sprint(i) {
				t.Errorf("learner %d: answer %d is %q with number %d", l, i, a.Answer, a.Number)
			}
		}
	}
}

// An administrator, or a proxy of the database, ends all connections under load.
func cutConnections(t *testing.T, dsn string) {
	stores := []contract.Store{mustOpen(t, dsn), mustOpen(t, dsn)}
	news, err := stores[0].Watch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	admin, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer admin.Close(context.Background())
	<-news // it listens
	var cut sync.Mutex
	answers(t, stores, 8, 60, func(done int) {
		if done%40 != 0 {
			return
		}
		cut.Lock()
		defer cut.Unlock()
		_, err := admin.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity
			WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()`)
		if err != nil {
			t.Error(err)
		}
	})
	for name := range news {
		if name == "" {
			return // it listens again
		}
	}
	t.Error("watching ended with a connection")
}
