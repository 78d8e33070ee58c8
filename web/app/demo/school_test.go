package demo

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web/account/password"
)

// noon is when the tests fill their classes.
var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// hash is the hash of everybody's password.
func hash(t *testing.T) string {
	t.Helper()
	encoded, err := hashed()
	if err != nil {
		t.Fatal(err)
	}
	return encoded
}

var hashed = sync.OnceValues(func() (string, error) {
	return password.NewHasher().Hash(context.Background(), "wheel before quill")
})

// filled returns a small class at noon, or later once the clock is moved.
func filled(t *testing.T, seed uint64) (*School, contract.Store, *time.Time) {
	t.Helper()
	now := noon
	s, store := filledAt(t, seed, func() time.Time { return now })
	return s, store, &now
}

func filledAt(t *testing.T, seed uint64, now func() time.Time) (*School, contract.Store) {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	shelf, err := Shelf()
	if err != nil {
		t.Fatal(err)
	}
	s, err := Fill(t.Context(), store, shelf, Options{Seed: seed, Students: 12, Password: hash(t), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s, store
}

func in(t *testing.T, db contract.School, a class.Assignment) map[string][]store.Attempt {
	t.Helper()
	list, err := db.AttemptsIn(t.Context(), a.Key())
	if err != nil {
		t.Fatal(err)
	}
	by := map[string][]store.Attempt{}
	for _, x := range list {
		by[x.Learner] = append(by[x.Learner], x)
	}
	return by
}

// There is someone of each kind.
func TestFill(t *testing.T) {
	s, db, _ := filled(t, 1)
	ctx := t.Context()
	closed, open := in(t, db, s.Closed), in(t, db, s.Open)
	who := func(n int) class.Person { return s.Students[n-1] }

	terms := func(x *class.Extension) class.Terms { return s.Closed.TermsFor(x) }
	for _, a := range closed[who(late).ID] {
		if days, over := terms(nil).Late(a.At); days != 2 || over {
			t.Errorf("the late student answered at %v: %d days late, closed %v, want 2 and not", a.At, days, over)
		}
	}
	extensions, err := db.Extensions(ctx, s.Closed.ID)
	if err != nil || len(extensions) != 1 || extensions[0].Person != who(extended).ID {
		t.Fatalf("extensions %+v, %v", extensions, err)
	}
	for _, a := range closed[who(extended).ID] {
		if days, _ := terms(&extensions[0]).Late(a.At); days != 0 || !a.At.After(s.Closed.Due) {
			t.Errorf("the student with an extension answered at %v, %d days late, want after %v and in time", a.At, days, s.Closed.Due)
		}
	}
	overrides, err := db.Overrides(ctx, s.Closed.ID)
	if err != nil || len(overrides) != 1 || overrides[0].Person != who(doubted).ID || overrides[0].Reason == "" {
		t.Errorf("overrides %+v, %v", overrides, err)
	}
	isRounded := func(a store.Attempt) bool {
		return a.Verdict == string(marking.RoundedEarly) && a.Exercise == overrides[0].Exercise
	}
	if said := strings.Contains(overrides[0].Reason, "rounded"); said != slices.ContainsFunc(closed[who(doubted).ID], isRounded) {
		t.Errorf("a mark was set by hand because %q; the answer was rounded: %v", overrides[0].Reason, !said)
	}
	if list := closed[who(silent).ID]; len(list) != 1 || len(open[who(silent).ID]) != 0 {
		t.Errorf("the silent student has %d answers", len(list))
	}
	if p := who(absent); p.Password != "" || len(closed[p.ID])+len(open[p.ID]) != 0 {
		t.Errorf("who has not come in has a password %q and %d answers", p.Password, len(closed[p.ID]))
	}
	if m, err := db.Member(ctx, s.Class.ID, who(gone).ID); err != nil || !m.Left || len(closed[m.Person]) == 0 {
		t.Errorf("who has left: %+v, %v, %d answers", m, err, len(closed[m.Person]))
	}
	if list := open[who(ahead).ID]; len(list) == 0 || len(open[who(late).ID]) != 0 {
		t.Errorf("in the open assignment the first student has %d answers and the second %d", len(list), len(open[who(late).ID]))
	}
	if a, err := db.Assignment(ctx, s.Withdrawn.ID); err != nil || !a.Withdrawn {
		t.Errorf("withdrawn: %+v, %v", a, err)
	}
	if len(in(t, db, s.Planned)) != 0 {
		t.Error("there is work in what is not open yet")
	}
	here, err := db.Present(ctx, s.Open.Key(), noon.Add(-time.Second))
	if err != nil || len(here) == 0 {
		t.Errorf("%d are there, %v", len(here), err)
	}
	entries, err := db.Log(ctx, s.Class.ID, "", 0, 100)
	if err != nil || !slices.IsSortedFunc(entries, func(a, b class.Entry) int { return b.At.Compare(a.At) }) {
		t.Errorf("the log is not in the order of time: %v, %v", entries, err)
	}
}

// What is kept could have been kept: each answer at a time at which it was open,
// by someone in the class, and no more than six a minute.
func TestWorkKeepsTheRules(t *testing.T) {
	s, db, _ := filled(t, 2)
	verdicts := map[string]int{}
	for _, a := range []class.Assignment{s.Closed, s.Due, s.Open, s.Withdrawn} {
		list, err := db.AttemptsIn(t.Context(), a.Key())
		if err != nil || len(list) == 0 {
			t.Fatalf("%s: %d answers, %v", a.Title, len(list), err)
		}
		if !slices.IsSortedFunc(list, func(x, y store.Attempt) int { return x.At.Compare(y.At) }) {
			t.Errorf("%s: answers were not kept in the order of time", a.Title)
		}
		last := map[string]time.Time{}
		for _, x := range list {
			verdicts[x.Verdict]++
			if x.At.Before(a.Opens) || x.At.After(noon) || x.At.After(a.Closes.AddDate(0, 0, 3)) {
				t.Errorf("%s: an answer at %v", a.Title, x.At)
			}
			if x.At.Sub(last[x.Learner]) < 10*time.Second {
				t.Errorf("%s: two answers of one student within %v", a.Title, x.At.Sub(last[x.Learner]))
			}
			last[x.Learner] = x.At
		}
	}
	for _, v := range []marking.VerdictKind{marking.Right, marking.SlipMade, marking.OutsideBounds, marking.Off, marking.Unreadable} {
		if verdicts[string(v)] == 0 {
			t.Errorf("no answer is judged %s: %v", v, verdicts)
		}
	}
}

// The seed decides what everybody does.
func TestSeed(t *testing.T) {
	if testing.Short() {
		t.Skip("makes three classes")
	}
	starts := func(seed uint64) (list []time.Time) {
		s, store, _ := filled(t, seed)
		by := in(t, store, s.Closed)
		for _, p := range s.Students {
			if len(by[p.ID]) > 0 {
				list = append(list, by[p.ID][0].At)
			}
		}
		return list
	}
	one, again, other := starts(1), starts(1), starts(9)
	if !slices.EqualFunc(one, again, time.Time.Equal) {
		t.Errorf("the same seed gives\n%v\nand\n%v", one, again)
	}
	if slices.EqualFunc(one, other, time.Time.Equal) {
		t.Error("another seed gives the same")
	}
}

// The room goes on by itself.
func TestGoOn(t *testing.T) {
	if testing.Short() {
		t.Skip("lets a class work for 20 minutes")
	}
	s, store, now := filled(t, 1)
	count := func() int {
		list, err := store.AttemptsIn(t.Context(), s.Open.Key())
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}
	before := count()
	for range 20 {
		*now = now.Add(time.Minute)
		if err := s.goOn(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if after := count(); after <= before {
		t.Errorf("%d answers after 20 minutes, %d before", after, before)
	}
	here, err := store.Present(t.Context(), s.Open.Key(), now.Add(-time.Minute))
	if err != nil || len(here) == 0 {
		t.Errorf("%d are there after 20 minutes, %v", len(here), err)
	}
	// Who is deleted meanwhile is not there any more, and no one else stops.
	for _, p := range here[:min(1, len(here))] {
		if err := store.Erase(t.Context(), p.Person, class.Entry{}); err != nil {
			t.Fatal(err)
		}
	}
	*now = now.Add(time.Minute)
	_ = s.goOn(t.Context())
	*now = now.Add(time.Minute)
	if err := s.goOn(t.Context()); err != nil {
		t.Error(err)
	}
}

func TestTheClosedLessonWasMendedSince(t *testing.T) {
	s, _, _ := filled(t, 1)
	l, _ := s.shelf.Lesson(s.Closed.Lesson)
	if class.HashText(l.Text.Content) == s.Closed.Text {
		t.Error("the lesson that was given is the one on the shelf")
	}
}

func TestOwnLessonIsProved(t *testing.T) {
	shelf, err := Shelf()
	if err != nil {
		t.Fatal(err)
	}
	l, _ := shelf.Lesson("drive-line")
	for _, cell := range l.CellsOf(lessons.Exercise) {
		e, list := exercises.Parse(cell.Name, cell.Text)
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		proof, err := exercises.Prove(context.Background(), e)
		if err != nil || len(proof.Problems) > 0 {
			t.Errorf("%s: %v, %v", cell.Name, proof.Problems, err)
		}
	}
}

func TestTooSmall(t *testing.T) {
	if _, err := Fill(t.Context(), nil, nil, Options{Students: 3}); err == nil {
		t.Error("a class of 3 is filled")
	}
}
