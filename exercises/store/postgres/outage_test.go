package postgres

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/postgres/pgtest"
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
				s := stores[(l+i)%len(stores)]
				_, _, err := s.Submit(t.Context(), a, 0)
				var f store.Fault
				switch {
				case err == nil:
					if !keep(t, s, a, i) {
						return
					}
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
		w, err := stores[0].Working(t.Context(), fmt.Sprint("student-", l), "the-quill")
		if err != nil || len(w.Edits) != 1 || w.Edits[0].Content != fmt.Sprint(each-1) {
			t.Errorf("learner %d: edits %+v, %v; edit %d was acknowledged", l, w.Edits, err, each-1)
		}
	}
}

// keep has an edit kept, and sends it until it is.
func keep(t *testing.T, s contract.Store, a store.Attempt, i int) bool {
	for {
		edit := store.Edit{Kind: store.CellText, Key: "calc-1", Content: fmt.Sprint(i)}
		_, err := s.Save(t.Context(), a.Learner, a.Lesson, int64(i), []store.Edit{edit}, when)
		var f store.Fault
		if err == nil {
			return true
		}
		if !errors.As(err, &f) || t.Context().Err() != nil {
			t.Errorf("edit %d of %s: %v", i, a.Learner, err)
			return false
		}
	}
}

var kills = flag.Int("kills", 4, "how often the test kills the database under load")

// All processes of the database are killed under load, again and again: what was
// acknowledged is there. SIGKILL is not a test of a power failure, since the system's
// cache survives; that a commit waits for the disk is asked of each connection.
func TestKill(t *testing.T) {
	server := pgtest.Start(t)
	dsn := server.Database(t)
	stores := []contract.Store{mustOpen(t, dsn), mustOpen(t, dsn)}
	const learners, apart = 8, 40 // answers between two kills
	done := 0
	var one sync.Mutex
	answers(t, stores, learners, *kills*apart/learners, func(all int) {
		if all%apart != 0 {
			return
		}
		one.Lock()
		defer one.Unlock()
		server.Kill()
		server.Run(t)
		done++
	})
	t.Logf("%d kills, %d answers and as many edits acknowledged", done, *kills*apart)
}

// A database that does not answer is told, also if it is only read or asked whether it
// is ready, and so is its return.
func TestOutageIsTold(t *testing.T) {
	server := pgtest.Start(t)
	dsn := server.Database(t)
	for name, ask := range map[string]func(s contract.Store) error{
		"ready": func(s contract.Store) error {
			ctx, cancel := context.WithTimeout(t.Context(), 300*time.Millisecond)
			defer cancel()
			return s.Ready(ctx)
		},
		"reading": func(s contract.Store) error {
			_, err := s.Attempts(t.Context(), "student-1", "the-quill", "exercise-1")
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := mustOpen(t, dsn)
			var failed, recovered atomic.Int64
			s.Observe(store.Observer{Failed: func(error) { failed.Add(1) }, Recovered: func(time.Duration) { recovered.Add(1) }})
			server.Stop()
			first := ask(s)
			if first == nil || failed.Load() != 1 || recovered.Load() != 0 {
				t.Errorf("stopped: %v; told %d times that it fails, %d that it is well", first, failed.Load(), recovered.Load())
			}
			server.Run(t)
			for ask(s) != nil && t.Context().Err() == nil {
			}
			if failed.Load() != 1 || recovered.Load() != 1 {
				t.Errorf("started: told %d times that it failed, %d that it is well", failed.Load(), recovered.Load())
			}
		})
	}
}

// An administrator, or a proxy of the database, ends all connections under load.
func cutConnections(t *testing.T, server *pgtest.Server) {
	dsn := server.Database(t)
	stores := []contract.Store{mustOpen(t, dsn), mustOpen(t, dsn)}
	news, err := stores[0].Watch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	<-news // it listens
	var cut sync.Mutex
	answers(t, stores, 8, 60, func(done int) {
		if done%40 != 0 {
			return
		}
		cut.Lock()
		defer cut.Unlock()
		server.Cut(t)
	})
	for name := range news {
		if name == "" {
			return // it listens again
		}
	}
	t.Error("watching ended with a connection")
}
