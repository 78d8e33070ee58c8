package storetest

import (
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// wantWorking wants contents by key, in order.
func wantWorking(t *testing.T, s contract.Work, revision int64, keysAndContents ...string) {
	t.Helper()
	w, err := s.Working(t.Context(), "student-01", "the-quill")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range w.Edits {
		got = append(got, e.Key, e.Content)
	}
	if w.Revision != revision || !reflect.DeepEqual(got, keysAndContents) {
		t.Errorf("Working = revision %d, %q, want %d, %q", w.Revision, got, revision, keysAndContents)
	}
}

var edits = []Case{
	{"edits come back on another device", "a learner goes on at home where they stopped in the room", func(t *testing.T, s contract.Work) {
		wantWorking(t, s, 0)
		value := store.Edit{Kind: store.VariedValue, Key: "n", Content: "64", Basis: "b2"}
		if got := save(t, s, 0, text("calc-1", "θ = T·L/(G·J)\n"), value); got.Revision != 1 || got.Overwritten != nil {
			t.Errorf("Save = %+v", got)
		}
		w, err := s.Working(t.Context(), "student-01", "the-quill")
		at := noon.UTC().Truncate(time.Microsecond)
		want := store.Working{Revision: 1, Edits: []store.Edit{
			{Kind: store.CellText, Key: "calc-1", Content: "θ = T·L/(G·J)\n", Basis: "b1", Revision: 1, At: at},
			{Kind: store.VariedValue, Key: "n", Content: "64", Basis: "b2", Revision: 1, At: at},
		}}
		if err != nil || !reflect.DeepEqual(w, want) {
			t.Errorf("Working = %+v, %v, want %+v", w, err, want)
		}
	}},
	{"keys are ordered by their bytes", "the order must not depend on the language of the database server", func(t *testing.T, s contract.Work) {
		save(t, s, 0, text("ä", "3"), text("a", "2"), text("Z", "1"))
		wantWorking(t, s, 1, "Z", "1", "a", "2", "ä", "3")
	}},
	{"the latest save wins, and tells what it replaced unseen", "two devices open at once; nothing may be lost unnoticed", func(t *testing.T, s contract.Work) {
		save(t, s, 0, text("calc-1", "one"), text("calc-2", "two"))
		save(t, s, 1, text("calc-1", "at home"))
		got := save(t, s, 1, text("calc-1", "in the room"), text("calc-2", "seen"))
		if got.Revision != 3 || len(got.Overwritten) != 1 || got.Overwritten[0].Content != "at home" {
			t.Errorf("Save = %+v", got)
		}
		wantWorking(t, s, 3, "calc-1", "in the room", "calc-2", "seen")
	}},
	{"the same save twice changes nothing", "a page sends again when an acknowledgement was lost", func(t *testing.T, s contract.Work) {
		save(t, s, 0, text("calc-1", "one"))
		if got := save(t, s, 0, text("calc-1", "one")); got.Revision != 1 || got.Overwritten != nil {
			t.Errorf("Save = %+v", got)
		}
	}},
	{"falling back to the lesson drops an edit", "one press takes back one cell, or all", func(t *testing.T, s contract.Work) {
		save(t, s, 0, text("calc-1", "one"), text("calc-2", "two"))
		back := store.Edit{Kind: store.CellText, Key: "calc-1", Original: true}
		save(t, s, 1, back)
		wantWorking(t, s, 2, "calc-2", "two")
		if got := save(t, s, 2, back); got.Revision != 2 {
			t.Errorf("dropping it twice: %+v", got)
		}
		saved, err := s.Restore(t.Context(), "student-01", "the-quill")
		if err != nil || saved.Revision != 3 || len(saved.Overwritten) != 1 || saved.Overwritten[0].Content != "two" {
			t.Errorf("Restore = %+v, %v", saved, err)
		}
		wantWorking(t, s, 3)
		if saved, err := s.Restore(t.Context(), "student-01", "the-quill"); err != nil || saved.Revision != 3 {
			t.Errorf("restoring twice: %+v, %v", saved, err)
		}
	}},
	{"learners and lessons are apart", "no learner sees or changes another's cells", func(t *testing.T, s contract.Work) {
		save(t, s, 0, text("calc-1", "one"))
		for _, other := range [][2]string{{"student-02", "the-quill"}, {"student-01", "the-lay-shaft"}} {
			if w, err := s.Working(t.Context(), other[0], other[1]); err != nil || w.Revision != 0 || w.Edits != nil {
				t.Errorf("%v: %+v, %v", other, w, err)
			}
			if _, err := s.Restore(t.Context(), other[0], other[1]); err != nil {
				t.Error(err)
			}
		}
		wantWorking(t, s, 1, "calc-1", "one")
	}},
	{"saves made at once each get a revision", "typing in two tabs", func(t *testing.T, s contract.Work) {
		const n = 12
		var all sync.WaitGroup
		for i := range n {
			all.Go(func() {
				if _, err := s.Save(t.Context(), "student-01", "the-quill", 0,
					[]store.Edit{text("calc-1", fmt.Sprint("text ", i))}, noon); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
		w, err := s.Working(t.Context(), "student-01", "the-quill")
		if err != nil || w.Revision != n || len(w.Edits) != 1 || w.Edits[0].Revision != n {
			t.Errorf("Working = %+v, %v", w, err)
		}
	}},
	{"an impossible save is refused whole", "all or none", func(t *testing.T, s contract.Work) {
		for name, bad := range map[string]store.Edit{
			"unknown kind": {Kind: "picture", Key: "calc-2"}, "no key": {Kind: store.CellText},
			"NUL": text("calc-2", "\x00"), "twice the same": text("calc-1", "other"),
		} {
			_, err := s.Save(t.Context(), "student-01", "the-quill", 0, []store.Edit{text("calc-1", "one"), bad}, noon)
			if !errors.Is(err, store.ErrInvalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		wantWorking(t, s, 0)
	}},
}
