package storetest

import (
	"fmt"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

func share(id string) store.Share {
	return store.Share{ID: id, Hash: class.HashText(id), Learner: pageOwner, Page: "A", By: "Schüler θ", MadeAt: micro, EndsAt: micro.Add(24 * time.Hour), PageName: ownPage("", "").Name}
}

var shares = []Case{
	{"a link shows the page as it is", "a page goes on being written after it was shared", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		mustSucceed(t, s.AddShare(t.Context(), share("L"), 5))
		if _, err := write(t, s, "A", "two", 1, store.NotKept); err != nil {
			t.Fatal(err)
		}
		got, p, err := s.Shared(t.Context(), class.HashText("L"), micro)
		mustSucceed(t, err)
		same(t, "link", got, share("L"))
		if p.Text != "two" || p.Revision != 2 {
			t.Errorf("%+v", p)
		}
	}},
	{"a link ends", "who shares for a day has not shared for ever", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		lasting := share("for-ever")
		lasting.EndsAt = time.Time{}
		mustSucceed(t, s.AddShare(t.Context(), share("L"), 5))
		mustSucceed(t, s.AddShare(t.Context(), lasting, 5))
		for _, c := range []struct {
			id    string
			at    time.Time
			works bool
		}{
			{"L", micro.Add(24*time.Hour - time.Microsecond), true}, {"L", micro.Add(24 * time.Hour), false},
			{"for-ever", micro.Add(1e6 * time.Hour), true}, {"unknown", micro, false},
		} {
			_, _, err := s.Shared(t.Context(), class.HashText(c.id), c.at)
			if c.works {
				mustSucceed(t, err)
			} else {
				wantError(t, c.id, err, class.ErrNone)
			}
		}
		there, err := s.SharesOf(t.Context(), pageOwner, "A", micro.Add(25*time.Hour))
		mustSucceed(t, err)
		same(t, "links", there, []store.Share{lasting})
		all, err := s.AllShares(t.Context(), micro)
		mustSucceed(t, err)
		same(t, "all links", all, []store.Share{share("L"), lasting})
	}},
	{"a deleted page's links work again with it", "a page that was deleted by mistake is as it was", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		mustSucceed(t, s.AddShare(t.Context(), share("L"), 5))
		mustSucceed(t, s.DeletePage(t.Context(), pageOwner, "A", micro))
		_, _, err := s.Shared(t.Context(), class.HashText("L"), micro)
		wantError(t, "deleted", err, class.ErrNone)
		wantError(t, "another link", s.AddShare(t.Context(), share("M"), 5), class.ErrNone)
		gone := share("L")
		gone.PageDeleted = true
		listed, err := s.AllShares(t.Context(), micro)
		mustSucceed(t, err)
		same(t, "listed", listed, []store.Share{gone})
		mustSucceed(t, s.BringBackPage(t.Context(), pageOwner, "A", 100))
		_, _, err = s.Shared(t.Context(), class.HashText("L"), micro)
		mustSucceed(t, err)
		mustSucceed(t, s.RemovePage(t.Context(), pageOwner, "A"))
		all, err := s.AllShares(t.Context(), micro)
		if err != nil || len(all) > 0 {
			t.Errorf("%+v, %v", all, err)
		}
	}},
	{"a link is withdrawn by its owner, or by whoever runs the server", "a link that went to the wrong person", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		for _, id := range []string{"L", "M"} {
			mustSucceed(t, s.AddShare(t.Context(), share(id), 5))
		}
		wantError(t, "another learner", s.WithdrawShare(t.Context(), "student-02", "L"), class.ErrNone)
		wantError(t, "unknown", s.WithdrawShare(t.Context(), "", "N"), class.ErrNone)
		mustSucceed(t, s.WithdrawShare(t.Context(), pageOwner, "L"))
		mustSucceed(t, s.WithdrawShare(t.Context(), "", "M"))
		for _, id := range []string{"L", "M"} {
			_, _, err := s.Shared(t.Context(), class.HashText(id), micro)
			wantError(t, id, err, class.ErrNone)
			wantError(t, id+" again", s.WithdrawShare(t.Context(), pageOwner, id), class.ErrNone)
		}
	}},
	{"a page has as many links as allowed", "a script must not fill the disk; links that ended do not count", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		addPage(t, s, "B", "two")
		for i := range 3 {
			mustSucceed(t, s.AddShare(t.Context(), share(fmt.Sprint(i)), 3))
		}
		wantError(t, "a fourth", s.AddShare(t.Context(), share("3"), 3), store.ErrSharesFull)
		other := share("4")
		other.Page = "B"
		mustSucceed(t, s.AddShare(t.Context(), other, 3))
		later := share("5")
		later.MadeAt, later.EndsAt = micro.Add(48*time.Hour), time.Time{}
		mustSucceed(t, s.AddShare(t.Context(), later, 3))
		if all, err := s.AllShares(t.Context(), micro); err != nil || len(all) != 2 {
			t.Errorf("%+v, %v; want the links that ended gone", all, err)
		}
	}},
	{"an impossible link is refused", "what one database cannot keep the other must not", func(t *testing.T, s contract.Work) {
		addPage(t, s, "A", "one")
		for name, spoil := range map[string]func(*store.Share){
			"no identifier": func(l *store.Share) { l.ID = "" }, "no hash": func(l *store.Share) { l.Hash = "" },
			"no page": func(l *store.Share) { l.Page = "" }, "no learner": func(l *store.Share) { l.Learner = "" },
			"no time": func(l *store.Share) { l.MadeAt = time.Time{} }, "ended": func(l *store.Share) { l.EndsAt = micro },
			"NUL": func(l *store.Share) { l.By = "\x00" },
		} {
			l := share("L")
			spoil(&l)
			wantError(t, name, s.AddShare(t.Context(), l, 5), store.ErrInvalid)
		}
		elsewhere := share("L")
		elsewhere.Page = "none"
		wantError(t, "no such page", s.AddShare(t.Context(), elsewhere, 5), class.ErrNone)
		elsewhere.Page, elsewhere.Learner = "A", "student-02"
		wantError(t, "another learner's page", s.AddShare(t.Context(), elsewhere, 5), class.ErrNone)
	}},
}
