package attempt

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"shaftbook/exercises/record"
	"shaftbook/exercises/record/sqlite"
)

func TestPace(t *testing.T) {
	p := newPace(6)
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	for i := range 6 {
		if _, _, ok := p.take("one", now); !ok {
			t.Fatalf("turn %d is refused", i+1)
		}
	}
	if _, wait, ok := p.take("one", now); ok || wait != 10*time.Second {
		t.Errorf("the seventh turn: %v, wait %v, want 10 s", ok, wait)
	}
	if _, _, ok := p.take("two", now); !ok {
		t.Error("another learner waits for the first")
	}
	later := now.Add(10 * time.Second)
	back, _, ok := p.take("one", later)
	if !ok {
		t.Fatal("no turn after 10 s")
	}
	back()
	if _, _, ok := p.take("one", later); !ok {
		t.Error("a turn that was given back is gone")
	}
	for i := range mostPaced + 10 {
		p.take(fmt.Sprint(i), now)
	}
	if p.take("last", now.Add(time.Hour)); len(p.of) > 2 {
		t.Errorf("%d learners are remembered after an hour", len(p.of))
	}
}

func TestVariantsAreBounded(t *testing.T) {
	c := newVariants()
	first := c.of(variantKey{learner: "0"})
	for i := range 3 * mostVariants {
		c.of(variantKey{learner: fmt.Sprint(i)})
		c.of(variantKey{learner: "0"})
	}
	if n := len(c.at); n != mostVariants || c.order.Len() != n {
		t.Errorf("%d variants are kept, %d in order, want %d", n, c.order.Len(), mostVariants)
	}
	if c.of(variantKey{learner: "0"}) != first {
		t.Error("the variant in use was dropped")
	}
}

func TestTheKeyIsMadeOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shaftbook.db")
	var sheets, ids []string
	for range 2 {
		store, err := sqlite.Open(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		d, err := NewDesk(t.Context(), store, "test")
		if err != nil {
			t.Fatal(err)
		}
		at := record.Place{Learner: "one", Lesson: "quill", Exercise: "exercise-1", Part: "twist"}
		sheets = append(sheets, d.Sheet("one"), d.Sheet("two"))
		ids = append(ids, d.nextID(at, 0), d.nextID(at, 1))
		if err := store.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if sheets[0] != sheets[2] || sheets[0] == sheets[1] {
		t.Errorf("sheets %q: the same learner's is the same after a start, another's is another", sheets)
	}
	if ids[0] != ids[2] || ids[0] == ids[1] || !isID(ids[0]) {
		t.Errorf("identifiers %q: the same until an answer was kept", ids)
	}
}
