package storetest

import (
	"fmt"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// shownPage is page PAGE-1 of student 1, shown to class C.
func shownPage() class.ShownPage {
	return class.ShownPage{Class: "C", Person: person(1).ID, Page: "PAGE-1", At: micro, Name: ownPage("", "").Name, ChangedAt: micro}
}

func pageNote(id string) class.PageNote {
	return class.PageNote{ID: id, Class: "C", Person: person(1).ID, Page: "PAGE-1", Block: class.HashText("θ"), Quote: "θ", Text: "Which J is it? ✓", By: person(0).ID, At: micro}
}

// shows opens a school in which student 1 shows a page.
func shows(t *testing.T, s contract.Store) {
	t.Helper()
	school(t, s)
	mustSucceed(t, s.AddPage(t.Context(), person(1).ID, ownPage("PAGE-1", "# θ\n"), 10))
	mustSucceed(t, s.ShowPage(t.Context(), shownPage(), 5, entry("shown")))
}

func wantShown(t *testing.T, s contract.Store, shown bool) {
	t.Helper()
	_, err := s.ShownPage(t.Context(), "C", person(1).ID, "PAGE-1")
	all, failed := s.ShownIn(t.Context(), "C", person(1).ID)
	if (err == nil) != shown || failed != nil || (len(all) == 1) != shown {
		t.Errorf("ShownPage: %v; ShownIn: %+v, %v; want shown %v", err, all, failed, shown)
	}
}

var shownCases = []ClassCase{
	{"a page is shown to a class until it is withdrawn", "a student asks, and has done with asking", func(t *testing.T, s contract.Store) {
		shows(t, s)
		mustSucceed(t, s.ShowPage(t.Context(), shownPage(), 5, entry("shown"))) // again
		mustSucceed(t, s.AddNote(t.Context(), pageNote("N"), 5, entry("answer")))
		want := shownPage()
		want.Notes = 1
		in, err := s.ShownIn(t.Context(), "C", person(1).ID)
		mustSucceed(t, err)
		same(t, "in the class", in, []class.ShownPage{want})
		all, err := s.ShownIn(t.Context(), "C", "")
		mustSucceed(t, err)
		same(t, "of everybody in the class", all, []class.ShownPage{want})
		if other, err := s.ShownIn(t.Context(), "C", person(2).ID); err != nil || len(other) > 0 {
			t.Errorf("of another student: %+v, %v", other, err)
		}
		to, err := s.ShownTo(t.Context(), person(1).ID, "PAGE-1")
		mustSucceed(t, err)
		same(t, "of the page", to, []class.ShownPage{want})
		p, err := s.ShownPage(t.Context(), "C", person(1).ID, "PAGE-1")
		if err != nil || p.Text != "# θ\n" {
			t.Errorf("%+v, %v", p, err)
		}
		mustSucceed(t, s.HidePage(t.Context(), "C", person(1).ID, "PAGE-1", entry("hidden")))
		wantShown(t, s, false)
		wantError(t, "again", s.HidePage(t.Context(), "C", person(1).ID, "PAGE-1", entry("hidden")), class.ErrNone)
		wantError(t, "an answer then", s.AddNote(t.Context(), pageNote("M"), 5, entry("answer")), class.ErrNone)
		notes, err := s.Notes(t.Context(), "", person(1).ID, "PAGE-1")
		mustSucceed(t, err)
		same(t, "answers stay", notes, []class.PageNote{pageNote("N")})
		log, err := s.Log(t.Context(), "C", "", 0, 10)
		if err != nil || len(log) != 3 {
			t.Errorf("%d lines in the log, %v; want shown, answer, hidden", len(log), err)
		}
	}},
	{"only what is one's own is shown, and only to one's class", "no page leaks by a number in a form", func(t *testing.T, s contract.Store) {
		school(t, s)
		mustSucceed(t, s.AddPage(t.Context(), person(1).ID, ownPage("PAGE-1", "x"), 10))
		for name, spoil := range map[string]func(*class.ShownPage){
			"another's page": func(p *class.ShownPage) { p.Person = person(2).ID }, "no such page": func(p *class.ShownPage) { p.Page = "none" },
			"an instructor": func(p *class.ShownPage) { p.Person = person(0).ID }, "another class": func(p *class.ShownPage) { p.Class = "D" },
		} {
			p := shownPage()
			spoil(&p)
			wantError(t, name, s.ShowPage(t.Context(), p, 5, entry("shown")), class.ErrNone)
		}
		wantShown(t, s, false)
	}},
	{"who leaves the class shows nothing there", "access ends with the class", func(t *testing.T, s contract.Store) {
		shows(t, s)
		m := class.Member{Class: "C", Person: person(1).ID, Role: class.Student, Left: true, Since: micro}
		mustSucceed(t, s.Enrol(t.Context(), nil, nil, []class.Member{m}, class.Entry{}))
		wantShown(t, s, false)
		wantError(t, "shown after", s.ShowPage(t.Context(), shownPage(), 5, entry("shown")), class.ErrNone)
		m.Left = false
		mustSucceed(t, s.Enrol(t.Context(), nil, nil, []class.Member{m}, class.Entry{}))
		wantShown(t, s, false)
	}},
	{"a deleted page is not shown", "deleted means deleted, and brought back as it was", func(t *testing.T, s contract.Store) {
		shows(t, s)
		mustSucceed(t, s.AddNote(t.Context(), pageNote("N"), 5, entry("answer")))
		mustSucceed(t, s.DeletePage(t.Context(), person(1).ID, "PAGE-1", micro))
		wantShown(t, s, false)
		wantError(t, "an answer then", s.AddNote(t.Context(), pageNote("M"), 5, entry("answer")), class.ErrNone)
		mustSucceed(t, s.BringBackPage(t.Context(), person(1).ID, "PAGE-1", 10))
		wantShown(t, s, true)
		mustSucceed(t, s.RemovePage(t.Context(), person(1).ID, "PAGE-1"))
		if notes, err := s.Notes(t.Context(), "", person(1).ID, "PAGE-1"); err != nil || len(notes) > 0 {
			t.Errorf("%+v, %v", notes, err)
		}
	}},
	{"answers are a class's own", "instructors of one class do not read those of another", func(t *testing.T, s contract.Store) {
		shows(t, s)
		late := pageNote("M")
		late.At = micro.Add(time.Minute)
		mustSucceed(t, s.AddNote(t.Context(), late, 5, entry("answer")))
		mustSucceed(t, s.AddNote(t.Context(), pageNote("N"), 5, entry("answer")))
		mustSucceed(t, s.AddNote(t.Context(), pageNote("N"), 5, entry("answer"))) // again
		notes, err := s.Notes(t.Context(), "C", person(1).ID, "PAGE-1")
		mustSucceed(t, err)
		same(t, "answers", notes, []class.PageNote{pageNote("N"), late})
		if notes, err = s.Notes(t.Context(), "D", person(1).ID, "PAGE-1"); err != nil || len(notes) > 0 {
			t.Errorf("another class: %+v, %v", notes, err)
		}
		wantError(t, "another class", s.RemoveNote(t.Context(), "D", person(1).ID, "N", entry("")), class.ErrNone)
		wantError(t, "another student", s.RemoveNote(t.Context(), "C", person(2).ID, "N", entry("")), class.ErrNone)
		mustSucceed(t, s.RemoveNote(t.Context(), "C", person(1).ID, "N", entry("answer")))
		if notes, err = s.Notes(t.Context(), "", person(1).ID, "PAGE-1"); err != nil || len(notes) != 1 {
			t.Errorf("%+v, %v", notes, err)
		}
	}},
	{"there are as many as allowed", "nobody fills the disk", func(t *testing.T, s contract.Store) {
		shows(t, s)
		p := shownPage()
		p.Page = "PAGE-2"
		mustSucceed(t, s.AddPage(t.Context(), person(1).ID, ownPage(p.Page, "x"), 10))
		wantError(t, "a second page", s.ShowPage(t.Context(), p, 1, entry("shown")), store.ErrShownFull)
		for i := range 3 {
			mustSucceed(t, s.AddNote(t.Context(), pageNote(fmt.Sprint(i)), 3, entry("answer")))
		}
		wantError(t, "a fourth answer", s.AddNote(t.Context(), pageNote("3"), 3, entry("answer")), store.ErrShownFull)
		empty := pageNote("4")
		empty.Text = ""
		wantError(t, "an empty one", s.AddNote(t.Context(), empty, 9, entry("answer")), store.ErrInvalid)
	}},
}
