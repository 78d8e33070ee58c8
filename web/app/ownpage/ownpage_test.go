package ownpage

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
)

const learner = "LEARNER"

// openService returns a service on an empty store, with a clock that the test moves.
func openService(t *testing.T) (*Service, *time.Time) {
	t.Helper()
	s, err := sqlite.Open(t.Context(), sqlite.FileIn(t.TempDir()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	now := time.Date(2026, 11, 29, 7, 0, 0, 0, time.UTC)
	return &Service{Store: s, Now: func() time.Time { return now }}, &now
}

func add(t *testing.T, s *Service, name, text string) store.Page {
	t.Helper()
	p, err := s.New(t.Context(), learner, name, text, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func content(text string, numbers ...string) Content {
	c := Content{text, map[string]string{}}
	for i := 0; i < len(numbers); i += 2 {
		c.Numbers[numbers[i]] = numbers[i+1]
	}
	return c
}

func (c Content) equal(d Content) bool { return c.Text == d.Text && maps.Equal(c.Numbers, d.Numbers) }

// Two windows begin with the same text; the first has saved when the second does.
func TestTwoWindows(t *testing.T) {
	was := content("a", "T", "1 N·m", "L", "2 m")
	for _, c := range []struct {
		name                string
		first, second, want Content
		replaced            bool
	}{
		{"the second changes nothing", content("b", "T", "3 N·m", "L", "2 m"), was, content("b", "T", "3 N·m", "L", "2 m"), false},
		{"text here, numbers there", content("a", "T", "3 N·m"), content("b", "T", "1 N·m", "L", "2 m"), content("b", "T", "3 N·m"), false},
		{"another number each", content("a", "T", "3 N·m", "L", "2 m"), content("a", "T", "1 N·m", "L", "4 m"), content("a", "T", "3 N·m", "L", "4 m"), false},
		{"the same text", content("b", "T", "1 N·m", "L", "2 m"), content("b", "T", "1 N·m", "L", "2 m"), content("b", "T", "1 N·m", "L", "2 m"), false},
		{"both texts", content("b", "T", "1 N·m", "L", "2 m"), content("c", "T", "1 N·m", "L", "2 m"), content("c", "T", "1 N·m", "L", "2 m"), true},
		{"both the same number", content("a", "T", "3 N·m", "L", "2 m"), content("a", "T", "4 N·m", "L", "2 m"), content("a", "T", "4 N·m", "L", "2 m"), true},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, _ := openService(t)
			p, err := s.New(t.Context(), learner, "A", was.Text, was.Numbers)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := s.Save(t.Context(), learner, p.ID, Change{c.first, 1, was, "one"}); err != nil {
				t.Fatal(err)
			}
			saved, err := s.Save(t.Context(), learner, p.ID, Change{c.second, 1, was, "two"})
			if err != nil || !saved.equal(c.want) || saved.Replaced != c.replaced {
				t.Errorf("saved %+v, %v, want %+v", saved, err, c.want)
			}
			p, err = s.Page(t.Context(), learner, p.ID)
			if err != nil || !ContentOf(p).equal(c.want) || p.Revision != saved.Revision {
				t.Errorf("kept %+v, %v", p, err)
			}
			v, err := s.Versions(t.Context(), learner, p.ID)
			if err != nil || len(v) == 1 != c.replaced {
				t.Fatalf("%d versions, %v", len(v), err)
			}
			if !c.replaced {
				return
			}
			if !(Content{Read(v[0].Text).Derivation(), Read(v[0].Text).Numbers()}).equal(c.first) {
				t.Errorf("the version is %q", v[0].Text)
			}
			if err := s.BringBackVersion(t.Context(), learner, p.ID, v[0].Revision); err != nil {
				t.Fatal(err)
			}
			if p, err = s.Page(t.Context(), learner, p.ID); err != nil || !ContentOf(p).equal(c.first) {
				t.Errorf("brought back %+v, %v", p, err)
			}
			if v, err = s.Versions(t.Context(), learner, p.ID); err != nil || len(v) != 2 {
				t.Errorf("%d versions, %v; the text before must be one", len(v), err)
			}
		})
	}
}

func TestAWindowKnowsItsOwnText(t *testing.T) {
	s, _ := openService(t)
	p := add(t, s, "A", "a")
	// The answer to the first save was lost, so the window still has revision 1.
	for _, text := range []string{"ab", "ab", "abc"} {
		saved, err := s.Save(t.Context(), learner, p.ID, Change{content(text), 1, content("a"), "one"})
		if err != nil || saved.Replaced {
			t.Errorf("%q: %+v, %v", text, saved, err)
		}
	}
	// Renaming in another window is no conflict.
	if err := s.Rename(t.Context(), learner, p.ID, "B"); err != nil {
		t.Fatal(err)
	}
	saved, err := s.Save(t.Context(), learner, p.ID, Change{content("abcd"), 3, content("abc"), "one"})
	p, lost := s.Page(t.Context(), learner, p.ID)
	if err != nil || lost != nil || saved.Replaced || p.Name != "B" || ContentOf(p).Text != "abcd" {
		t.Errorf("%+v, %v, %+v", saved, err, p)
	}
}

func TestSavesAtOnceAllArrive(t *testing.T) {
	s, _ := openService(t)
	p := add(t, s, "A", "a")
	var all sync.WaitGroup
	for _, name := range []string{"T", "L", "G", "d"} {
		all.Go(func() {
			if _, err := s.Save(t.Context(), learner, p.ID, Change{content("a", name, "1"), 1, content("a"), name}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	p, err := s.Page(t.Context(), learner, p.ID)
	if err != nil || len(ContentOf(p).Numbers) != 4 {
		t.Errorf("%q, %v", p.Text, err)
	}
}

func TestASittingEndsWithAVersion(t *testing.T) {
	s, now := openService(t)
	p := add(t, s, "A", "a")
	for i, step := range []time.Duration{time.Minute, sitting - 1, sitting, time.Second} {
		*now = now.Add(step)
		if _, err := s.Save(t.Context(), learner, p.ID, Change{content(strings.Repeat("b", i+1)), int64(i + 1), content("a"), "one"}); err != nil {
			t.Fatal(err)
		}
	}
	v, err := s.Versions(t.Context(), learner, p.ID)
	if err != nil || len(v) != 1 || Read(v[0].Text).Derivation() != "bb" || v[0].Reason != store.Earlier {
		t.Errorf("%+v, %v", v, err)
	}
}

func TestNames(t *testing.T) {
	s, _ := openService(t)
	long := strings.Repeat("ß", 200)
	var pages []store.Page
	for _, name := range []string{"Taper", "taper", "Taper 2", long, long} {
		pages = append(pages, add(t, s, name, ""))
	}
	got := []string{}
	for _, p := range pages {
		if got = append(got, p.Name); Read(p.Text).Name() != p.Name {
			t.Errorf("%q begins %q", p.Name, p.Text[:20])
		}
	}
	if want := []string{"Taper", "taper 2", "Taper 2 2", long[:2*76], long[:2*76] + " 2"}; !slices.Equal(got, want) {
		t.Errorf("names %q, want %q", got, want)
	}
	id := pages[0].ID
	for name, want := range map[string]error{"": ErrNoName, "TAPER 2": ErrNameTaken, strings.Repeat("ß", NameLimit+1): ErrNameLong, "TAPER": nil} {
		if err := s.Rename(t.Context(), learner, id, name); !errors.Is(err, want) || (want == nil) != (err == nil) {
			t.Errorf("%q: %v, want %v", name, err, want)
		}
	}
	if NameOf("#  the\ttwist \nx", "none") != "the twist" || NameOf("x = 1", "none") != "none" || NameOf("# ", "none") != "none" {
		t.Error("a text’s own name")
	}
}

func TestDeletedPages(t *testing.T) {
	s, now := openService(t)
	first, second := add(t, s, "A", "a"), add(t, s, "B", "b")
	for _, p := range []store.Page{first, second, first} {
		*now = now.Add(time.Minute)
		if err := s.Delete(t.Context(), learner, p.ID); err != nil {
			t.Fatal(err)
		}
	}
	there, deleted, err := s.List(t.Context(), learner)
	if err != nil || len(there) > 0 || len(deleted) != 2 || deleted[0].ID != second.ID {
		t.Errorf("%+v, %+v, %v", there, deleted, err)
	}
	if _, err := s.Save(t.Context(), learner, first.ID, Change{Content: content("x"), Base: 1}); !errors.Is(err, class.ErrNone) {
		t.Errorf("saving it: %v", err)
	}
	add(t, s, "A", "another")
	for _, p := range []store.Page{first, first} {
		if err := s.BringBack(t.Context(), learner, p.ID); err != nil {
			t.Fatal(err)
		}
	}
	if p, err := s.Page(t.Context(), learner, first.ID); err != nil || p.Name != "A 2" || !p.DeletedAt.IsZero() {
		t.Errorf("%+v, %v", p, err)
	}
	if err := s.Remove(t.Context(), learner, second.ID); err != nil {
		t.Error(err)
	}
	if _, err := s.Page(t.Context(), learner, second.ID); !errors.Is(err, class.ErrNone) {
		t.Errorf("removed: %v", err)
	}
}

func TestLimits(t *testing.T) {
	s, _ := openService(t)
	p := add(t, s, "A", "a")
	for name, c := range map[string]Content{
		"text": content(strings.Repeat("a", TextLimit+1)), "number": content("a", "T", strings.Repeat("1", 2001)),
	} {
		if _, err := s.Save(t.Context(), learner, p.ID, Change{Content: c, Base: 1}); !errors.Is(err, ErrTooLong) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := s.New(t.Context(), learner, "B", c.Text, c.Numbers); !errors.Is(err, ErrTooLong) {
			t.Errorf("%s: %v", name, err)
		}
	}
	longest := strings.Repeat("`", TextLimit/4) + strings.Repeat("a", TextLimit*3/4)
	if _, err := s.Save(t.Context(), learner, p.ID, Change{Content: content(longest), Base: 1}); err != nil && !errors.Is(err, ErrTooLong) {
		t.Errorf("the longest text: %v", err)
	}
	for range MostPages - 1 {
		add(t, s, "A", "")
	}
	if _, err := s.New(t.Context(), learner, "A", "", nil); !errors.Is(err, store.ErrPagesFull) {
		t.Errorf("one page too many: %v", err)
	}
	if _, err := s.Page(t.Context(), "", p.ID); !errors.Is(err, class.ErrNone) {
		t.Errorf("nobody’s page: %v", err)
	}
}
