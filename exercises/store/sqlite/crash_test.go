package sqlite

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

const (
	kills   = 100
	lanes   = 2  // stores that are written and killed side by side
	fresh   = 10 // a new store after so many kills
	workers = 8
)

// place is where a worker answers in a round.
func place(round string, worker int) store.Place {
	return store.Place{Learner: fmt.Sprintf("student-%02d", worker), Lesson: "the-quill", Exercise: round}
}

func answer(round string, worker, i int) store.Attempt {
	a := sample(fmt.Sprintf("%s-%d", round, i))
	a.Place = place(round, worker)
	a.Answer = strconv.Itoa(i)
	return a
}

func typed(i int) []store.Edit {
	return []store.Edit{{Kind: store.CellText, Key: "calc-1", Content: strconv.Itoa(i)}}
}

// writeUnderLoad answers and types from several learners at once until it is
// killed. It prints a line after each acknowledgement.
func writeUnderLoad(args []string) error {
	path, round := args[0], args[1]
	s, err := Open(context.Background(), path)
	if err != nil {
		return err
	}
	fmt.Println("opened")
	failed := make(chan error)
	for w := range workers {
		go func() {
			for i := 0; ; i++ {
				a := answer(round, w, i)
				if _, _, err := s.Submit(context.Background(), a, 0); err != nil {
					failed <- err
				}
				fmt.Println("answer", w, i)
				if _, err := s.Save(context.Background(), a.Learner, round, 0, typed(i), a.At); err != nil {
					failed <- err
				}
				fmt.Println("edit", w, i)
			}
		}()
	}
	return <-failed
}

// heard holds what a child had acknowledged when it was killed: the last number of
// each worker, or -1.
type heard struct {
	opened        bool
	answer, edits [workers]int
}

// TestKill kills a writing process at random moments. SIGKILL is not a test of a
// power failure, since the system's cache survives; that every commit waits for
// the disk is what TestSettings reads back.
func TestKill(t *testing.T) {
	each := kills / lanes
	if testing.Short() {
		each = fresh
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	for lane := range lanes {
		t.Run(fmt.Sprint("lane", lane), func(t *testing.T) {
			t.Parallel()
			killMany(t, each, rand.New(rand.NewPCG(seed, uint64(lane))))
		})
	}
}

func killMany(t *testing.T, times int, random *rand.Rand) {
	path, acknowledged := "", 0
	for i := range times {
		early := i%fresh == 0 // also while the store is being made
		if early {
			path = FileIn(t.TempDir())
		}
		round := fmt.Sprint("round-", i)
		wait := time.Duration(20e6 + random.Int64N(60e6))
		h := killOnce(t, path, round, early, wait)
		acknowledged += verify(t, path, round, h)
		if t.Failed() {
			t.Fatalf("%s, killed after %v", round, wait)
		}
	}
	t.Logf("%d kills, %d writes acknowledged", times, acknowledged)
	if acknowledged == 0 {
		t.Error("nothing was written before any kill")
	}
}

// killOnce starts a writer and kills it some time after it has opened the
// store, or, if early, after it was started.
func killOnce(t *testing.T, path, round string, early bool, wait time.Duration) heard {
	t.Helper()
	c := child("write under load", nil, path, round)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	kill := func() { c.Process.Kill() }
	if early {
		defer time.AfterFunc(wait, kill).Stop()
	}
	var h heard
	for w := range workers {
		h.answer[w], h.edits[w] = -1, -1
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var w, i int
		switch line := lines.Text(); {
		case line == "opened":
			h.opened = true
			if !early {
				defer time.AfterFunc(wait, kill).Stop()
			}
		case scan(line, "answer", &w, &i):
			h.answer[w] = i
		case scan(line, "edit", &w, &i):
			h.edits[w] = i
		default:
			t.Errorf("the writer said %q", line)
		}
	}
	c.Wait()
	return h
}

func scan(line, what string, w, i *int) bool {
	rest, ok := strings.CutPrefix(line, what+" ")
	if !ok {
		return false
	}
	n, err := fmt.Sscan(rest, w, i)
	return n == 2 && err == nil
}

// verify opens the store as a server does after a crash. It wants everything
// acknowledged; then it sends what was on its way once more, as a page does, and
// wants every answer once, numbered without gaps. It returns how many writes had
// been acknowledged.
func verify(t *testing.T, path, round string, h heard) (acknowledged int) {
	t.Helper()
	s := mustOpen(t, path)
	defer s.Close()
	var all sync.WaitGroup
	for w := range workers {
		acknowledged += h.answer[w] + h.edits[w] + 2
		all.Go(func() { verifyWorker(t, s, round, w, &h) })
	}
	all.Wait()
	db, err := sql.Open(driverName, dsn(path, "", settings...))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := integrity(t.Context(), db); err != nil {
		t.Error(err)
	}
	return acknowledged
}

func verifyWorker(t *testing.T, s contract.Work, round string, w int, h *heard) {
	p := place(round, w)
	kept, err := s.Attempts(t.Context(), p.Learner, p.Lesson, p.Exercise)
	if err != nil {
		t.Error(err)
		return
	}
	next := h.answer[w] + 1
	if len(kept) != next && len(kept) != next+1 {
		t.Errorf("worker %d: %d answers were acknowledged, %d are kept", w, next, len(kept))
	}
	_, repeat, err := s.Submit(t.Context(), answer(round, w, next), 0)
	if err != nil || repeat != (len(kept) == next+1) {
		t.Errorf("worker %d: sending again: repeat %v, %v", w, repeat, err)
	}
	kept, err = s.Attempts(t.Context(), p.Learner, p.Lesson, p.Exercise)
	if err != nil || len(kept) != next+1 {
		t.Errorf("worker %d: %d answers, want %d; %v", w, len(kept), next+1, err)
	}
	for i, a := range kept {
		if a.Answer != strconv.Itoa(i) || a.Number != i+1 {
			t.Errorf("worker %d: answer %d is %q with number %d", w, i, a.Answer, a.Number)
		}
	}
	working, err := s.Working(t.Context(), p.Learner, round)
	if err != nil || len(working.Edits) > 1 {
		t.Errorf("worker %d: %d edits, %v", w, len(working.Edits), err)
		return
	}
	last := -1
	for _, e := range working.Edits {
		last, _ = strconv.Atoi(e.Content)
	}
	if last < h.edits[w] || last > h.edits[w]+1 || working.Revision != int64(last)+1 {
		t.Errorf("worker %d: edit %d was acknowledged, %d is kept at revision %d", w, h.edits[w], last, working.Revision)
	}
}
