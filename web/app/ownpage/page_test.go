package ownpage

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
	booktext "shaftbook/lessons/text"
)

func addPage(t *testing.T, s *Service, text string) store.Page {
	t.Helper()
	p, err := s.NewPage(t.Context(), learner, text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func blocksOf(text string) []string { return raws(lessons.Blocks(text)) }

// windowOf returns the blocks of a text, or the pieces between its bars.
func windowOf(text string) []string {
	if strings.Contains(text, "¦") {
		return strings.Split(text, "¦")
	}
	return blocksOf(text)
}

// A page made of a lesson's file, saved, is the file letter by letter.
func TestPagesOfTheBookStayAsTheyAre(t *testing.T) {
	s, _ := openService(t)
	names, err := fs.Glob(booktext.Files, "*.md")
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		raw, err := fs.ReadFile(booktext.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		p := addPage(t, s, string(raw))
		blocks := blocksOf(p.Text)
		saved, err := s.SavePage(t.Context(), learner, p.ID, PageChange{Blocks: blocks, Was: blocks, Base: p.Revision})
		if err != nil {
			t.Fatal(name, err)
		}
		if got, err := s.Page(t.Context(), learner, p.ID); err != nil || got.Text != string(raw) || saved.Replaced {
			t.Errorf("%s is not what it was: %v", name, err)
		}
	}
}

func TestPagesStayAsTheyAre(t *testing.T) {
	s, _ := openService(t)
	line := rapid.OneOf(rapid.StringMatching(`[-a-z0-9 =?#*_^$|~>\\\t]{0,12}`), rapid.StringMatching("`{0,5}[a-z ]{0,6}"),
		rapid.SampledFrom([]string{"", "", "```calc", "```", "````derive x", "# A", "## B", "---", "<!--", "- a", "===", "θ = 1"}))
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Join(rapid.SliceOfN(line, 0, 14).Draw(rt, "lines"), "\n")
		p := store.Page{ID: fmt.Sprintf("P%d", time.Now().UnixNano()), Name: "A", Kind: store.KindPage, Text: text, ChangedAt: s.Now()}
		if err := s.Store.AddPage(t.Context(), learner, p, 1<<20); err != nil {
			rt.Fatal(err)
		}
		blocks := blocksOf(text)
		if _, err := s.SavePage(t.Context(), learner, p.ID, PageChange{Blocks: blocks, Was: blocks}); err != nil {
			rt.Fatal(err)
		}
		got, err := s.Page(t.Context(), learner, p.ID)
		if err != nil || lessons.Join(lessons.Blocks(got.Text)) != got.Text {
			rt.Fatal(err)
		}
		if got.Text != text && !slices.ContainsFunc(blocks[:max(len(blocks)-1, 0)], func(raw string) bool { return !strings.HasSuffix(raw, "\n\n") }) {
			rt.Fatalf("%q became %q", text, got.Text)
		}
	})
}

func TestTwoWindowsOfAPage(t *testing.T) {
	const was = "# A\n\nOne.\n\n```calc\nx = 1\n```\n\nTwo.\n"
	for _, c := range []struct {
		name, first, second, want string
		replaced                  bool
	}{
		{"another block each", strings.Replace(was, "One", "1", 1), strings.Replace(was, "x = 1", "x = 2", 1),
			"# A\n\n1.\n\n```calc\nx = 2\n```\n\nTwo.\n", false},
		{"the same block", strings.Replace(was, "x = 1", "x = 3", 1), strings.Replace(was, "x = 1", "x = 2", 1),
			strings.Replace(was, "x = 1", "x = 2", 1), true},
		{"an open cell takes in nothing", was, "# A\n\nOne.\n\n¦```calc\nx = 2\n\n¦Two.\n", "# A\n\nOne.\n\n```calc\nx = 2\n```\n\nTwo.\n", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, _ := openService(t)
			p := addPage(t, s, was)
			save := func(text, writer string) SavedPage {
				saved, err := s.SavePage(t.Context(), learner, p.ID, PageChange{Blocks: windowOf(text), Was: blocksOf(was), Base: 1, Writer: writer})
				if err != nil {
					t.Fatal(err)
				}
				return saved
			}
			save(c.first, "one")
			saved := save(c.second, "two")
			if got := lessons.Join(saved.Blocks); got != c.want || saved.Replaced != c.replaced {
				t.Errorf("got\n%s%v, want\n%s%v", got, saved.Replaced, c.want, c.replaced)
			}
			versions, err := s.Versions(t.Context(), learner, p.ID)
			if err != nil || c.replaced != (len(versions) == 1) {
				t.Errorf("%d versions, %v", len(versions), err)
			}
			if !c.replaced {
				return
			}
			if err := s.BringBackVersion(t.Context(), learner, p.ID, versions[0].Revision); err != nil {
				t.Fatal(err)
			}
			if got, _ := s.Page(t.Context(), learner, p.ID); got.Text != c.first {
				t.Errorf("brought back is\n%s", got.Text)
			}
		})
	}
}

func TestPageLimits(t *testing.T) {
	s, _ := openService(t)
	p := addPage(t, s, "# A\n")
	for _, c := range []struct {
		name string
		text string
		ok   bool
	}{
		{"as long as may be", strings.Repeat("a", PageLimit-1) + "\n", true},
		{"too long", strings.Repeat("a", PageLimit) + "\n", false},
		{"as many cells as may be", strings.Repeat("```calc\n```\n\n", MostCells), true},
		{"too many cells", strings.Repeat("```calc\n```\n\n", MostCells+1), false},
		{"too many blocks", strings.Repeat("# A\n\n", MostBlocks+1), false},
		{"10000 cells", strings.Repeat("```calc\n```\n", 10000), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := s.NewPage(t.Context(), learner, c.text); (err == nil) != c.ok || !c.ok && !errors.Is(err, ErrTooLong) {
				t.Errorf("a new page: %v", err)
			}
			now, err := s.Page(t.Context(), learner, p.ID)
			if err != nil {
				t.Fatal(err)
			}
			_, err = s.SavePage(t.Context(), learner, p.ID, PageChange{Blocks: blocksOf(c.text), Base: now.Revision})
			if (err == nil) != c.ok || !c.ok && !errors.Is(err, ErrTooLong) {
				t.Errorf("a save: %v", err)
			}
		})
	}
}

func TestNamesOfPages(t *testing.T) {
	s, _ := openService(t)
	for _, c := range []struct{ name, text, want, renamed string }{
		{"a heading", "# Lay  shaft\n\nWords.", "Lay shaft", "# B: \"C\"\n\nWords."},
		{"front matter", "---\ntitle: Stone spindle\norder: 3\n---\n\n# Other\n", "Stone spindle", "---\ntitle: \"B: \\\"C\\\"\"\norder: 3\n---\n\n# Other\n"},
		{"neither", "Words.", Untitled, "# B: \"C\"\n\nWords."},
		{"nothing", "", Untitled, "# B: \"C\"\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := addPage(t, s, c.text)
			if p.Name != c.want {
				t.Errorf("it is called %q, want %q", p.Name, c.want)
			}
			if err := s.Rename(t.Context(), learner, p.ID, `B: "C"`); err != nil {
				t.Fatal(err)
			}
			got, err := s.Page(t.Context(), learner, p.ID)
			if err != nil || got.Text != c.renamed || got.Name != `B: "C"` {
				t.Errorf("renamed it is %q with\n%s", got.Name, got.Text)
			}
		})
	}
}
