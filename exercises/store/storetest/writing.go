package storetest

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

func draft(who, content string) class.Draft {
	return class.Draft{Person: who, Lesson: "the-quill", Text: content, Base: "# θ in the file\n", OnFile: true, Writer: "window-1", ChangedAt: micro}
}

// writeDraft keeps a draft of the first person at the lesson the-quill.
func writeDraft(t *testing.T, s contract.Store, content string, base int64, keep bool) class.Draft {
	t.Helper()
	d, err := s.WriteDraft(t.Context(), draft(person(1).ID, content), base, keep, 10)
	mustSucceed(t, err)
	return d
}

func lessonVersion(why class.VersionReason, who, content string) class.LessonVersion {
	return class.LessonVersion{Lesson: "the-quill", Person: who, Reason: why, Text: content, At: micro}
}

// texts returns the versions that a person sees, the newest first, with their texts.
func texts(t *testing.T, s contract.Store, who string) (all []string) {
	t.Helper()
	heads, err := s.LessonVersions(t.Context(), "the-quill", who)
	mustSucceed(t, err)
	for _, h := range heads {
		v, err := s.LessonVersion(t.Context(), "the-quill", who, h.Number)
		mustSucceed(t, err)
		if h.Text != "" || v.Number != h.Number || v.Reason != h.Reason || v.Person != h.Person || !v.At.Equal(micro) {
			t.Errorf("listed as %+v, kept as %+v", h, v)
		}
		all = append(all, string(v.Reason)+" "+v.Text)
	}
	return all
}

var writingCases = []ClassCase{
	{"a draft comes back as kept", "an instructor goes on where they stopped", func(t *testing.T, s contract.Store) {
		first := writeDraft(t, s, "# θ\n\nτ = T\n", 0, false)
		want := draft(person(1).ID, "# θ\n\nτ = T\n")
		want.Revision = 1
		same(t, "begun", first, want)
		next := draft(person(1).ID, "another")
		next.Base, next.OnFile, next.Writer, next.ChangedAt = "not taken", false, "window-2", micro.Add(time.Hour)
		written, err := s.WriteDraft(t.Context(), next, 1, false, 10)
		mustSucceed(t, err)
		want.Text, want.Writer, want.ChangedAt, want.Revision = "another", "window-2", micro.Add(time.Hour), 2
		same(t, "written", written, want)
		got, err := s.Draft(t.Context(), want.Person, want.Lesson)
		mustSucceed(t, err)
		same(t, "draft", got, want)
	}},
	{"everybody has their own draft", "two instructors write at one lesson", func(t *testing.T, s contract.Store) {
		writeDraft(t, s, "one", 0, false)
		_, err := s.WriteDraft(t.Context(), draft(person(2).ID, "two"), 0, false, 10)
		mustSucceed(t, err)
		if d, err := s.Draft(t.Context(), person(1).ID, "the-quill"); err != nil || d.Text != "one" {
			t.Errorf("%+v, %v", d, err)
		}
		at, err := s.Drafting(t.Context(), "the-quill")
		mustSucceed(t, err)
		if len(at) != 2 || at[0].Person != person(1).ID || at[0].Text+at[0].Base != "" {
			t.Errorf("%+v", at)
		}
		mine, err := s.Drafts(t.Context(), person(1).ID)
		mustSucceed(t, err)
		if len(mine) != 1 || mine[0].Text != "" || !mine[0].OnFile {
			t.Errorf("%+v", mine)
		}
		mustSucceed(t, s.DiscardDraft(t.Context(), person(1).ID, "the-quill"))
		wantError(t, "again", s.DiscardDraft(t.Context(), person(1).ID, "the-quill"), class.ErrNone)
		if _, err := s.Draft(t.Context(), person(2).ID, "the-quill"); err != nil {
			t.Error(err)
		}
	}},
	{"a draft that was changed meanwhile is not written over", "the same person in two windows", func(t *testing.T, s contract.Store) {
		writeDraft(t, s, "one", 0, false)
		writeDraft(t, s, "two", 1, false)
		there, err := s.WriteDraft(t.Context(), draft(person(1).ID, "three"), 1, false, 10)
		if wantError(t, "stale", err, store.ErrMoved); there.Text != "two" || there.Revision != 2 {
			t.Errorf("%+v", there)
		}
		if _, err := s.WriteDraft(t.Context(), draft(person(1).ID, "three"), 0, false, 10); !errors.Is(err, store.ErrMoved) {
			t.Errorf("begun again: %v", err)
		}
		writeDraft(t, s, "three", 2, true)
		if got := fmt.Sprint(texts(t, s, person(1).ID)); got != "[draft two]" {
			t.Error(got)
		}
		if got := texts(t, s, person(2).ID); len(got) > 0 {
			t.Errorf("another person sees %v", got)
		}
		if _, err := s.LessonVersion(t.Context(), "the-quill", person(2).ID, 1); !errors.Is(err, class.ErrNone) {
			t.Errorf("another person reads it: %v", err)
		}
	}},
	{"drafts are limited in number and size", "a mistake must not fill the disk", func(t *testing.T, s contract.Store) {
		writeDraft(t, s, "one", 0, false)
		more := draft(person(1).ID, "x")
		more.Lesson = "another"
		_, err := s.WriteDraft(t.Context(), more, 0, false, 1)
		wantError(t, "one more", err, store.ErrPagesFull)
		long := draft(person(1).ID, strings.Repeat("x", class.MostLessonText+1))
		_, err = s.WriteDraft(t.Context(), long, 1, false, 1)
		wantError(t, "too long", err, store.ErrInvalid)
		_, err = s.WriteDraft(t.Context(), draft(person(1).ID, "a\x00b"), 1, false, 1)
		wantError(t, "no text", err, store.ErrInvalid)
		_, err = s.WriteDraft(t.Context(), more, 7, false, 10)
		wantError(t, "of none", err, class.ErrNone)
	}},
	{"replaced drafts give way to newer ones", "a draft is written for weeks", func(t *testing.T, s contract.Store) {
		writeDraft(t, s, "draft 0", 0, false)
		mustSucceed(t, s.Published(t.Context(), []class.LessonVersion{lessonVersion(class.VersionFound, "", "in the file")}, "", 0))
		for i := int64(1); i < class.MostDraftVersions+5; i++ {
			writeDraft(t, s, fmt.Sprint("draft ", i), i, true)
		}
		got := texts(t, s, person(1).ID)
		if len(got) != class.MostDraftVersions+1 || got[0] != "draft draft 13" || got[len(got)-1] != "found in the file" {
			t.Errorf("%q", got)
		}
	}},
	{"what is published is kept, and ends the draft", "versions can be brought back", func(t *testing.T, s contract.Store) {
		d := writeDraft(t, s, "new", 0, false)
		both := []class.LessonVersion{lessonVersion(class.VersionFound, "", "old"), lessonVersion(class.VersionPublished, d.Person, "new")}
		mustSucceed(t, s.Published(t.Context(), both, d.Person, d.Revision))
		_, err := s.Draft(t.Context(), d.Person, d.Lesson)
		wantError(t, "the draft", err, class.ErrNone)
		mustSucceed(t, s.Published(t.Context(), both[1:], d.Person, d.Revision)) // the same again
		if got := fmt.Sprint(texts(t, s, person(2).ID)); got != "[published new found old]" {
			t.Error(got)
		}
		typed := writeDraft(t, s, "typed on", 0, false)
		mustSucceed(t, s.Published(t.Context(), []class.LessonVersion{lessonVersion(class.VersionPublished, d.Person, "newer")}, d.Person, typed.Revision+1))
		if got, err := s.Draft(t.Context(), d.Person, d.Lesson); err != nil || got.Text != "typed on" {
			t.Errorf("a draft that was changed meanwhile: %+v, %v", got, err)
		}
		wantError(t, "a draft as published", s.Published(t.Context(), []class.LessonVersion{lessonVersion(class.VersionDraft, d.Person, "x")}, "", 0), store.ErrInvalid)
	}},
	{"versions that are made at once have numbers of their own", "two instructors publish", func(t *testing.T, s contract.Store) {
		var all sync.WaitGroup
		for i := range 6 {
			who := person(1 + i%3).ID
			all.Go(func() {
				if err := s.Published(t.Context(), []class.LessonVersion{lessonVersion(class.VersionPublished, who, fmt.Sprint("text ", i))}, who, 1); err != nil {
					t.Error(err)
				}
			})
		}
		for n := 1; n <= 3; n++ {
			all.Go(func() {
				d, err := s.WriteDraft(t.Context(), draft(person(n).ID, "one"), 0, false, 10)
				if err == nil {
					_, err = s.WriteDraft(t.Context(), draft(person(n).ID, "two"), d.Revision, true, 10)
				}
				if err != nil && !errors.Is(err, class.ErrNone) { // a publication may have ended the draft
					t.Error(err)
				}
			})
		}
		all.Wait()
		heads, err := s.LessonVersions(t.Context(), "the-quill", "")
		mustSucceed(t, err)
		if len(heads) != 6 {
			t.Errorf("%+v", heads)
		}
	}},
	{"images are frozen with a text", "an assignment must not change with a file", func(t *testing.T, s contract.Store) {
		school(t, s)
		image := []byte{0x89, 'P', 'N', 'G', 0, 0xff}
		text := class.Frozen{Name: "wheel.md", Text: "![x](x.png)", Images: []class.Image{{Name: "x.png", Content: image}}}
		text.Hash = class.HashFrozen(text.Text, text.Images)
		a := assignment("B")
		a.Text = text.Hash
		mustSucceed(t, s.AddAssignment(t.Context(), a, text, class.Entry{}))
		got, err := s.FrozenImage(t.Context(), text.Hash, "x.png")
		if mustSucceed(t, err); !bytes.Equal(got, image) {
			t.Errorf("%q", got)
		}
		_, err = s.FrozenImage(t.Context(), text.Hash, "y.png")
		wantError(t, "another name", err, class.ErrNone)
		_, err = s.FrozenImage(t.Context(), quillText.Hash, "x.png")
		wantError(t, "another text", err, class.ErrNone)
		text.Images[0].Content = []byte("another")
		again := text
		again.Hash = class.HashFrozen(text.Text, text.Images)
		if again.Hash == text.Hash {
			t.Error("another image has the same hash")
		}
		mustSucceed(t, s.Regrade(t.Context(), "B", again, nil, class.Entry{At: micro}))
		if got, err := s.FrozenImage(t.Context(), again.Hash, "x.png"); err != nil || string(got) != "another" {
			t.Errorf("%q, %v", got, err)
		}
	}},
	{"a person’s drafts and versions are in their data, and go with them", "a copy has everything", func(t *testing.T, s contract.Store) {
		student := Work(t, s)
		got, err := s.Dossier(t.Context(), student)
		mustSucceed(t, err)
		if len(got.Drafts) != 1 || got.Drafts[0].Text != "MARKER-OF-STUDENT-ONE, again" || len(got.LessonVersions) != 2 {
			t.Errorf("%+v, %+v", got.Drafts, got.LessonVersions)
		}
		mustSucceed(t, s.Erase(t.Context(), student, class.Entry{}))
		versions, err := s.LessonVersions(t.Context(), "the-quill", student)
		mustSucceed(t, err)
		if len(versions) != 1 || versions[0].Person != "" {
			t.Errorf("%+v", versions)
		}
	}},
}
