package storetest

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

const pageOwner = "student-01"

func ownPage(id, content string) store.Page {
	return store.Page{ID: id, Name: "Wellenüberhöhung θ", Kind: store.KindDerivation, Text: content, Writer: "window-1", MadeAt: micro, ChangedAt: micro}
}

func addPage(t *testing.T, s contract.Work, id, content string) {
	t.Helper()
	mustSucceed(t, s.AddPage(t.Context(), pageOwner, ownPage(id, content), 100))
}

// write gives a page another text, a minute later with each revision.
func write(t *testing.T, s contract.Work, id, content string, base int64, keep store.VersionReason) (store.Page, error) {
	t.Helper()
	p := ownPage(id, content)
	p.ChangedAt = micro.Add(time.Duration(base) * time.Minute)
	return s.WritePage(t.Context(), pageOwner, p, base, keep)
}

func wantPage(t *testing.T, s contract.Work, id, content string, revision int64) {
	t.Helper()
	p, err := s.Page(t.Context(), pageOwner, id)
	if err != nil || p.Text != content || p.Revision != revision {
		t.Errorf("Page = %+v, %v, want %q at revision %d", p, err, content, revision)
	}
}

var pages = []Case{
	{"a page comes back as kept", "a learner goes on where they stopped", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "# θ\n\nτ = T\n")
		got, err := s.Page(t.Context(), pageOwner, "A")
		mustSucceed(t, err)
		want := ownPage("A", "# θ\n\nτ = T\n")
		want.Revision = 1
		same(t, "page", got, want)
		next := want
		next.Name, next.Text, next.Writer, next.ChangedAt = "another", "# another\n", "window-2", micro.Add(time.Hour)
		written, err := s.WritePage(t.Context(), pageOwner, next, 1, store.NotKept)
		mustSucceed(t, err)
		next.Revision = 2
		same(t, "written", written, next)
		got, err = s.Page(t.Context(), pageOwner, "A")
		mustSucceed(t, err)
		same(t, "page after", got, next)
	}},
	{"the list has the one changed last first, without texts", "a list of fifty pages must not read megabytes", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		addPage(t, s, "B", "two")
		if _, err := write(t, s, "A", "three", 1, store.NotKept); err != nil {
			t.Fatal(err)
		}
		all, err := s.Pages(t.Context(), pageOwner)
		mustSucceed(t, err)
		if len(all) != 2 || all[0].ID != "A" || all[1].ID != "B" || all[0].Text+all[1].Text != "" || all[0].Name == "" {
			t.Errorf("%+v", all)
		}
	}},
	{"a write that has not seen the latest changes nothing", "two windows: neither may lose the other's text", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		if _, err := write(t, s, "A", "two", 1, store.NotKept); err != nil {
			t.Fatal(err)
		}
		there, err := write(t, s, "A", "three", 1, store.NotKept)
		if wantError(t, "stale", err, store.ErrMoved); there.Text != "two" || there.Revision != 2 {
			t.Errorf("%+v", there)
		}
		wantPage(t, s, "A", "two", 2)
		if again, err := write(t, s, "A", "two", 2, store.Earlier); err != nil || again.Revision != 2 {
			t.Errorf("the same text again: %+v, %v", again, err)
		}
		if v, err := s.PageVersions(t.Context(), pageOwner, "A"); err != nil || len(v) > 0 {
			t.Errorf("%+v, %v", v, err)
		}
	}},
	{"of writes made at once one wins", "typing in two tabs", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		var all sync.WaitGroup
		var won, lost int
		var mu sync.Mutex
		for i := range 12 {
			all.Go(func() {
				_, err := write(t, s, "A", fmt.Sprint("text ", i), 1, store.NotKept)
				mu.Lock()
				defer mu.Unlock()
				switch {
				case err == nil:
					won++
				case errors.Is(err, store.ErrMoved):
					lost++
				default:
					t.Error(err)
				}
			})
		}
		all.Wait()
		if won != 1 || lost != 11 {
			t.Errorf("%d won and %d lost", won, lost)
		}
	}},
	{"what is replaced is kept if asked", "an earlier version can be brought back", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "text 1")
		for i := int64(1); i < 20; i++ {
			keep := []store.VersionReason{store.Replaced, store.Earlier}[i%2]
			if _, err := write(t, s, "A", fmt.Sprint("text ", i+1), i, keep); err != nil {
				t.Fatal(err)
			}
		}
		got, err := s.PageVersions(t.Context(), pageOwner, "A")
		mustSucceed(t, err)
		if len(got) != store.MostVersions {
			t.Fatalf("%d versions", len(got))
		}
		same(t, "the newest", got[0], store.PageVersion{Revision: 19, Name: ownPage("", "").Name, Text: "text 19",
			Reason: store.Earlier, At: micro.Add(18 * time.Minute)})
		same(t, "the oldest", got[len(got)-1].Text, "text 10")
	}},
	{"a page sent twice is one page", "an acknowledgement can be lost", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		addPage(t, s, "A", "one")
		wantError(t, "another text", s.AddPage(t.Context(), pageOwner, ownPage("A", "two"), 100), store.ErrReused)
		wantPage(t, s, "A", "one", 1)
	}},
	{"there are as many pages as allowed", "nobody fills the disk, and none is lost for it", func(t *testing.T, s contract.Work) {
		for i := range 3 {
			mustSucceed(t, s.AddPage(t.Context(), pageOwner, ownPage(fmt.Sprint(i), "x"), 3))
		}
		wantError(t, "a fourth", s.AddPage(t.Context(), pageOwner, ownPage("3", "x"), 3), store.ErrPagesFull)
		mustSucceed(t, s.AddPage(t.Context(), "student-02", ownPage("3", "x"), 3))
		mustSucceed(t, s.DeletePage(t.Context(), pageOwner, "0", micro))
		mustSucceed(t, s.AddPage(t.Context(), pageOwner, ownPage("3", "x"), 3))
		wantError(t, "bringing the first back", s.BringBackPage(t.Context(), pageOwner, "0", 3), store.ErrPagesFull)
		mustSucceed(t, s.BringBackPage(t.Context(), pageOwner, "0", 4))
		wantPage(t, s, "0", "x", 1)
	}},
	{"a deleted page can be brought back", "a press on the wrong line must not cost an evening", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		mustSucceed(t, s.DeletePage(t.Context(), pageOwner, "A", micro.Add(time.Hour)))
		p, err := s.Page(t.Context(), pageOwner, "A")
		mustSucceed(t, err)
		same(t, "deleted", p.DeletedAt, micro.Add(time.Hour))
		_, err = write(t, s, "A", "two", 1, store.NotKept)
		wantError(t, "writing it", err, class.ErrNone)
		wantError(t, "deleting it again", s.DeletePage(t.Context(), pageOwner, "A", micro), class.ErrNone)
		mustSucceed(t, s.BringBackPage(t.Context(), pageOwner, "A", 100))
		mustSucceed(t, s.BringBackPage(t.Context(), pageOwner, "A", 100))
		wantPage(t, s, "A", "one", 1)
	}},
	{"the pages deleted last can be brought back", "deleted pages have a limit too", func(t *testing.T, s contract.Work) {
		for i := range store.MostDeleted + 3 {
			id := fmt.Sprint("page-", i)
			addPage(t, s, id, "x")
			if _, err := write(t, s, id, "y", 1, store.Earlier); err != nil {
				t.Fatal(err)
			}
			mustSucceed(t, s.DeletePage(t.Context(), pageOwner, id, micro.Add(time.Duration(i)*time.Minute)))
		}
		all, err := s.Pages(t.Context(), pageOwner)
		mustSucceed(t, err)
		if len(all) != store.MostDeleted || slices.ContainsFunc(all, func(p store.Page) bool { return p.ID == "page-2" }) {
			t.Errorf("%+v", all)
		}
	}},
	{"a page is removed permanently with its versions", "deleted means deleted", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		if _, err := write(t, s, "A", "two", 1, store.Earlier); err != nil {
			t.Fatal(err)
		}
		mustSucceed(t, s.RemovePage(t.Context(), pageOwner, "A"))
		_, err := s.Page(t.Context(), pageOwner, "A")
		wantError(t, "page", err, class.ErrNone)
		if v, err := s.PageVersions(t.Context(), pageOwner, "A"); err != nil || len(v) > 0 {
			t.Errorf("%+v, %v", v, err)
		}
	}},
	{"pages of learners are apart", "no learner sees or changes another's", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		const other = "student-02"
		_, err := s.Page(t.Context(), other, "A")
		wantError(t, "Page", err, class.ErrNone)
		_, err = s.WritePage(t.Context(), other, ownPage("A", "two"), 1, store.NotKept)
		wantError(t, "WritePage", err, class.ErrNone)
		wantError(t, "DeletePage", s.DeletePage(t.Context(), other, "A", micro), class.ErrNone)
		wantError(t, "BringBackPage", s.BringBackPage(t.Context(), other, "A", 100), class.ErrNone)
		wantError(t, "RemovePage", s.RemovePage(t.Context(), other, "A"), class.ErrNone)
		if all, err := s.Pages(t.Context(), other); err != nil || len(all) > 0 {
			t.Errorf("Pages = %+v, %v", all, err)
		}
		wantPage(t, s, "A", "one", 1)
	}},
	{"an impossible page is refused", "what one database cannot keep the other must not", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		for name, spoil := range map[string]func(*store.Page){
			"no name": func(p *store.Page) { p.Name = "" }, "no kind": func(p *store.Page) { p.Kind = "" },
			"NUL": func(p *store.Page) { p.Text = "\x00" }, "no UTF-8": func(p *store.Page) { p.Name = "\xff" },
			"no time": func(p *store.Page) { p.ChangedAt = time.Time{} }, "no identifier": func(p *store.Page) { p.ID = "" },
			"too long": func(p *store.Page) { p.Text = strings.Repeat("a", store.MostPageText+1) },
		} {
			p := ownPage("A", "two")
			spoil(&p)
			wantError(t, name, s.AddPage(t.Context(), pageOwner, p, 100), store.ErrInvalid)
			_, err := s.WritePage(t.Context(), pageOwner, p, 1, store.NotKept)
			wantError(t, name, err, store.ErrInvalid)
		}
		_, err := s.WritePage(t.Context(), pageOwner, ownPage("A", "two"), 1, "because")
		wantError(t, "an unknown reason", err, store.ErrInvalid)
		wantPage(t, s, "A", "one", 1)
	}},
}
