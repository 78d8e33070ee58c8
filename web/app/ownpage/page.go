package ownpage

import (
	"context"
	"crypto/rand"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
)

// What a page of blocks may have.
const (
	PageLimit  = store.MostPageText // bytes of the text
	MostBlocks = 400
	MostCells  = 120 // blocks that are alive
)

// Untitled is the name of a page that gives itself none.
const Untitled = "Untitled page"

// TitleOf returns the name that a text has for itself: the title of its front matter, or
// its first heading.
func TitleOf(text string) string {
	d := Read(text)
	name := d.lesson.Title
	if name == "" {
		name = d.Name()
	}
	name = strings.Join(strings.Fields(name), " ")
	if name == "" {
		return Untitled
	}
	return string([]rune(name)[:min(utf8.RuneCountInString(name), NameLimit)])
}

// NewPage makes a page of blocks of a text, which stays letter by letter as it is but for
// its line ends; see [lessons.CleanText]. Two pages may have one name.
func (s *Service) NewPage(ctx context.Context, learner, text string) (store.Page, error) {
	text = lessons.CleanText(text)
	if err := withinLimits(text, lessons.Blocks(text)); err != nil {
		return store.Page{}, err
	}
	p := store.Page{ID: rand.Text(), Name: TitleOf(text), Kind: store.KindPage, Text: text, ChangedAt: s.Now()}
	return p, s.Store.AddPage(ctx, learner, p, MostPages)
}

func withinLimits(text string, blocks []lessons.Block) error {
	cells := 0
	for _, b := range blocks {
		if b.Cell != "" {
			cells++
		}
	}
	if len(text) > PageLimit || len(blocks) > MostBlocks || cells > MostCells {
		return &BeyondError{len(text), len(blocks), cells}
	}
	return nil
}

// A BeyondError says how much there is of a page that has more than can be kept. It is
// [ErrTooLong].
type BeyondError struct{ Bytes, Blocks, Cells int }

func (e *BeyondError) Error() string {
	return fmt.Sprintf("a page of %d bytes, %d blocks and %d cells is too long to be kept", e.Bytes, e.Blocks, e.Cells)
}

// Is implements the method of package errors.
func (e *BeyondError) Is(target error) bool { return target == ErrTooLong }

// A PageChange is what a window has to save: its blocks, and those that it last knew the
// server to have, at revision Base.
type PageChange struct {
	Blocks []string `json:"blocks"`
	Was    []string `json:"was"`
	Base   int64    `json:"base"`
	Writer string   `json:"writer"` // names the window; may be empty
}

// A SavedPage is the outcome of a save.
type SavedPage struct {
	Blocks   []lessons.Block // of the page as it is from then on
	Revision int64
	// Replaced: another window had changed the same block since Base. The later save has
	// won, and the text before is an earlier version.
	Replaced bool
}

// SavePage keeps a change. Where another window has changed the page meanwhile, each
// block is taken from the window that changed it; see [Merge]. A block that was left open
// is closed, so that it takes in nothing of what follows; see [lessons.ClosedBlock].
func (s *Service) SavePage(ctx context.Context, learner, id string, c PageChange) (SavedPage, error) {
	if len(c.Blocks) > MostBlocks || len(c.Was) > MostBlocks {
		return SavedPage{}, ErrTooLong
	}
	mine := make([]string, 0, len(c.Blocks))
	for _, raw := range c.Blocks {
		if raw = lessons.CleanText(raw); strings.TrimSpace(raw) != "" || slices.Contains(c.Was, raw) {
			mine = append(mine, raw)
		}
	}
	var saved SavedPage
	var wrong error
	err := s.change(ctx, learner, id, func(old store.Page, doc Document) (Document, store.VersionReason) {
		saved.Replaced = false
		all := mine
		if old.Revision != c.Base && (c.Writer == "" || old.Writer != c.Writer) {
			all, saved.Replaced = Merge(c.Was, mine, raws(lessons.Blocks(old.Text)))
		}
		text := joined(all)
		saved.Blocks = lessons.Blocks(text)
		if wrong = withinLimits(text, saved.Blocks); wrong != nil {
			return doc, store.NotKept
		}
		return Read(text), s.reason(old, saved.Replaced)
	}, func(p store.Page) { saved.Revision = p.Revision }, c.Writer)
	if err == nil {
		err = wrong
	}
	return saved, err
}

// joined puts blocks together so that none takes in what follows. The last one is as it
// was written.
func joined(blocks []string) string {
	var b strings.Builder
	for i, raw := range blocks {
		if i < len(blocks)-1 {
			raw = lessons.ClosedBlock(raw, i == 0)
		}
		b.WriteString(raw)
	}
	return b.String()
}

func raws(blocks []lessons.Block) []string {
	out := make([]string, 0, len(blocks))
	for _, b := range blocks {
		out = append(out, b.Raw)
	}
	return out
}

// reason returns why the text that a save replaces is kept.
func (s *Service) reason(old store.Page, replaced bool) store.VersionReason {
	switch {
	case replaced:
		return store.Replaced
	case s.Now().Sub(old.ChangedAt) >= sitting:
		return store.Earlier
	}
	return store.NotKept
}
