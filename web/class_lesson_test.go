package web

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
)

// TestAssignedLessonIsForItsClass reads an assigned lesson as each kind of
// reader, before and after it opens and when it was withdrawn.
func TestAssignedLessonIsForItsClass(t *testing.T) {
	ctx := context.Background()
	store, err := sqlite.Open(ctx, filepath.Join(t.TempDir(), "class.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	opens := time.Date(2026, 9, 1, 8, 0, 0, 0, time.UTC)
	now := opens
	s := &Server{Class: store, Shelf: &lessons.Catalog{}, clock: func() time.Time { return now }}
	b := newBook(s)
	add := func(id string) {
		t.Helper()
		if err := store.AddPerson(ctx, class.Person{ID: id, Name: id, SignIn: id, Feed: "feed " + id, MadeAt: opens}); err != nil {
			t.Fatal(err)
		}
	}
	for _, id := range []string{"teacher", "student", "gone", "stranger"} {
		add(id)
	}
	if err := store.AddClass(ctx, class.Class{ID: "MILL", Name: "Mill", Zone: "UTC", JoinCode: "code", MadeAt: opens}, []string{"teacher"}, nil, class.Entry{}); err != nil {
		t.Fatal(err)
	}
	if err := store.Enrol(ctx, nil, nil, []class.Member{
		{Class: "MILL", Person: "student", Role: class.Student, Since: opens},
		{Class: "MILL", Person: "gone", Role: class.Student, Left: true, Since: opens},
	}, class.Entry{}); err != nil {
		t.Fatal(err)
	}
	text := askedText
	frozen := class.Frozen{Hash: class.HashText(text), Name: "wheel.md", Text: text}
	a := class.Assignment{
		ID: "A1", Class: "MILL", Title: "Wheel shaft", Lesson: "wheel", Text: frozen.Hash,
		Opens: opens.Add(time.Hour), Due: opens.Add(48 * time.Hour), Closes: opens.Add(48 * time.Hour), Zone: "UTC", Weight: 1, MadeAt: opens, ChangedAt: opens,
	}
	if err := store.AddAssignment(ctx, a, frozen, class.Entry{}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, person, key string
		at                time.Time
		want              string // "" for the page, or what the refusal says
	}{
		{"staff before it opens", "teacher", a.Key(), opens, ""},
		{"a student before it opens", "student", a.Key(), opens, "It opens on 1 September 2026, 09:00 UTC."},
		{"a student as it opens", "student", a.Key(), a.Opens, ""},
		{"a student who has left", "gone", a.Key(), a.Opens, "renamed or taken away"},
		{"a stranger", "stranger", a.Key(), a.Opens, "renamed or taken away"},
		{"nobody", "", a.Key(), a.Opens, "renamed or taken away"},
		{"another lesson’s name before its identifier", "student", "quill~A1", a.Opens, "renamed or taken away"},
		{"an identifier that is not there", "student", "wheel~A2", a.Opens, "renamed or taken away"},
		{"no identifier", "student", "wheel~", a.Opens, "renamed or taken away"},
	} {
		t.Run(c.name, func(t *testing.T) {
			now = c.at
			p, err := b.page(ctx, c.person, c.key)
			if c.want == "" {
				if err != nil || p.lesson.Slug != a.Key() || len(p.lesson.CellsOf(lessons.Exercise)) == 0 {
					t.Fatalf("the page: %v, %v", p, err)
				}
				return
			}
			told, ok := err.(*refusal)
			if !ok || !strings.Contains(told.message, c.want) {
				t.Errorf("error %v, want words with %q", err, c.want)
			}
		})
	}
	a.Withdrawn = true
	if err := store.UpdateAssignment(ctx, a, class.Entry{}); err != nil {
		t.Fatal(err)
	}
	if _, err := b.page(ctx, "student", a.Key()); err != errWithdrawn {
		t.Errorf("withdrawn, for a student: %v", err)
	}
	if _, err := b.page(ctx, "teacher", a.Key()); err != nil {
		t.Errorf("withdrawn, for staff: %v", err)
	}
}
