package sharing

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
)

var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func openLinks(t *testing.T, off bool) (*Links, *time.Time) {
	t.Helper()
	s, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "store.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	p := store.Page{ID: "P", Name: "The quill", Kind: store.KindPage, Text: "# The quill\n", ChangedAt: noon}
	if err := s.AddPage(t.Context(), "learner", p, 10); err != nil {
		t.Fatal(err)
	}
	now := noon
	return NewLinks(s, func() time.Time { return now }, off, nil), &now
}

func TestLinks(t *testing.T) {
	for _, c := range []struct {
		length string
		works  time.Duration // at the longest
	}{{"day", 24 * time.Hour}, {"week", 7 * 24 * time.Hour}, {"month", 30 * 24 * time.Hour}, {"never", 0}} {
		t.Run(c.length, func(t *testing.T) {
			l, now := openLinks(t, false)
			secret, made, err := l.Share(t.Context(), "learner", "P", c.length, "Student 01")
			if err != nil || len(secret) != 26 || strings.Contains(made.ID+made.Hash, secret) {
				t.Fatalf("%q, %+v, %v", secret, made, err)
			}
			s, p, err := l.Open(t.Context(), secret, "192.0.2.7")
			if err != nil || s.By != "Student 01" || p.Name != "The quill" {
				t.Errorf("%+v, %+v, %v", s, p, err)
			}
			for _, nearly := range []string{"", secret[1:], strings.ToLower(secret), made.ID, made.Hash} {
				if _, _, err := l.Open(t.Context(), nearly, "192.0.2.7"); !errors.Is(err, class.ErrNone) {
					t.Errorf("%q: %v", nearly, err)
				}
			}
			*now = noon.Add(max(c.works, 1000*24*time.Hour) - 1)
			if c.works > 0 {
				*now = noon.Add(c.works - 1)
			}
			if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); err != nil {
				t.Errorf("at the end: %v", err)
			}
			*now = now.Add(1)
			if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); (c.works > 0) != errors.Is(err, class.ErrNone) {
				t.Errorf("after the end: %v", err)
			}
		})
	}
}

func TestLinksAreRefused(t *testing.T) {
	l, _ := openLinks(t, false)
	for _, c := range []struct {
		name, learner, page, length, by string
		want                            error
	}{
		{"another's page", "other", "P", "day", "", class.ErrNone},
		{"a browser without a name", "", "P", "day", "", class.ErrNone},
		{"no such page", "learner", "Q", "day", "", class.ErrNone},
		{"no such length", "learner", "P", "year", "", ErrNoLength},
		{"a long name", "learner", "P", "day", strings.Repeat("ä", NameLimit+1), ErrNameLong},
	} {
		if _, _, err := l.Share(t.Context(), c.learner, c.page, c.length, c.by); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	for range MostLinks {
		if _, _, err := l.Share(t.Context(), "learner", "P", "never", strings.Repeat("ä", NameLimit)); err != nil {
			t.Fatal(err)
		}
	}
	_, _, err := l.Share(t.Context(), "learner", "P", "never", "")
	if !errors.Is(err, store.ErrSharesFull) {
		t.Errorf("one more: %v", err)
	}
	if all, err := l.Of(t.Context(), "learner", "P"); err != nil || len(all) != MostLinks {
		t.Errorf("%d links, %v", len(all), err)
	}
}

func TestLinksCanBeSwitchedOff(t *testing.T) {
	l, _ := openLinks(t, false)
	secret, _, err := l.Share(t.Context(), "learner", "P", "never", "")
	if err != nil {
		t.Fatal(err)
	}
	l.Off = true
	if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); !errors.Is(err, class.ErrNone) {
		t.Errorf("a link from before: %v", err)
	}
	if _, _, err := l.Share(t.Context(), "learner", "P", "never", ""); !errors.Is(err, ErrOff) {
		t.Errorf("a new one: %v", err)
	}
	if all, err := l.Of(t.Context(), "learner", "P"); err != nil || len(all) > 0 {
		t.Errorf("%+v, %v", all, err)
	}
	l.Off = false
	if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); err != nil {
		t.Errorf("switched on again: %v", err)
	}
}

// Who guesses waits, also for a link that exists; others do not, and the wait ends.
func TestGuessedLinksWait(t *testing.T) {
	l, now := openLinks(t, false)
	secret, _, err := l.Share(t.Context(), "learner", "P", "never", "")
	if err != nil {
		t.Fatal(err)
	}
	for range 1000 { // those who have the link are not counted
		if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); err != nil {
			t.Fatal(err)
		}
	}
	var soon *TooSoonError
	tried := 0
	for !errors.As(err, &soon) {
		_, _, err = l.Open(t.Context(), "guess", "192.0.2.7")
		if tried++; tried > 1000 {
			t.Fatal("nobody waits")
		}
	}
	if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); !errors.As(err, &soon) || soon.Wait <= 0 {
		t.Errorf("after %d guesses: %v", tried, err)
	}
	if _, _, err := l.Open(t.Context(), secret, "192.0.2.8"); err != nil {
		t.Errorf("from another address: %v", err)
	}
	*now = now.Add(time.Minute)
	if _, _, err := l.Open(t.Context(), secret, "192.0.2.7"); err != nil {
		t.Errorf("a minute later: %v", err)
	}
}

func TestPlace(t *testing.T) {
	blocks := []string{"# The quill\n\n", "The shaft of the quill is tapered.\n\n", "```calc\nT = 420 N·m\nL = 800 mm\n```\n\n", "The shaft of the quill is tapered.\n"}
	note := func(answered string) class.PageNote {
		return class.PageNote{Block: BlockHash(answered), Quote: answered}
	}
	for _, c := range []struct {
		name, answered string
		block          int
		changed        bool
	}{
		{"as it was", "```calc\nT = 420 N·m\nL = 800 mm\n```\n", 2, false},
		{"the first of two that are the same", "The shaft of the quill is tapered.", 1, false},
		{"a number was changed", "```calc\nT = 400 N·m\nL = 800 mm\n```\n", 2, true},
		{"a word was changed", "The spindle of the quill is tapered.", 1, true},
		{"it is not there any more", "Where does the key sit, and what of the bearing?", -1, true},
		{"nothing in common but a word", "The keyway", -1, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Place([]class.PageNote{note(c.answered)}, blocks)[0]
			if got.Block != c.block || got.Changed != c.changed {
				t.Errorf("at block %d, changed %v; want %d, %v", got.Block, got.Changed, c.block, c.changed)
			}
		})
	}
	if got := Place([]class.PageNote{note("a")}, nil)[0]; got.Block != -1 {
		t.Errorf("on an empty page at block %d", got.Block)
	}
}

// What is cut stays text.
func TestCut(t *testing.T) {
	for most := range 8 {
		if got := cut("aθ·∫", most); !strings.HasPrefix("aθ·∫", got) || strings.ContainsRune(got, '\uFFFD') || len(got) > most {
			t.Errorf("%d: %q", most, got)
		}
	}
}
