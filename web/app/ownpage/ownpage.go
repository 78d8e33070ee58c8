// Package ownpage keeps a learner's own pages: documents of Markdown, each with a
// name, that are saved while they are written. Such a page is a derivation, or made of
// any blocks of a lesson. It begins at Service; Document reads and changes the text of a
// page.
package ownpage

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/web/app/derivation"
)

// What a learner may keep.
const (
	MostPages = 50
	NameLimit = 80 // characters of a name
	TextLimit = 48 << 10
	// numberLimit is the most bytes of all numbers of a page; with the text and the
	// name they fit into the store's limit of a page.
	numberLimit = 8 << 10
)

// sitting is how long a page rests until the next change begins a new sitting; the
// text at the end of the one before is then kept as an earlier version.
const sitting = 30 * time.Minute

// tries is how often a save is put together anew because another window saved at
// the same moment.
const tries = 8

// The reasons for which something is not done.
var (
	ErrNoName    = errors.New("a page needs a name")
	ErrNameLong  = errors.New("a name is too long")
	ErrNameTaken = errors.New("the learner has another page of this name")
	ErrTooLong   = errors.New("a page is too long to be kept")
)

// A Service keeps pages in a store.
type Service struct {
	Store contract.Pages
	Now   func() time.Time
}

// List returns a learner's pages without their texts: those that are there, the
// one changed last first, and those that were deleted, the last one first.
func (s *Service) List(ctx context.Context, learner string) (there, deleted []store.Page, err error) {
	if learner == "" {
		return nil, nil, nil
	}
	all, err := s.Store.Pages(ctx, learner)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range all {
		if p.DeletedAt.IsZero() {
			there = append(there, p)
		} else {
			deleted = append(deleted, p)
		}
	}
	slices.SortStableFunc(deleted, func(a, b store.Page) int { return b.DeletedAt.Compare(a.DeletedAt) })
	return there, deleted, nil
}

// Page returns a page, also one that was deleted; class.ErrNone if the learner has
// none of this ID.
func (s *Service) Page(ctx context.Context, learner, id string) (store.Page, error) {
	if learner == "" {
		return store.Page{}, class.ErrNone
	}
	return s.Store.Page(ctx, learner, id)
}

// New makes a derivation. If the name is taken, a number follows it.
func (s *Service) New(ctx context.Context, learner, name, text string, numbers map[string]string) (store.Page, error) {
	there, _, err := s.List(ctx, learner)
	if err != nil {
		return store.Page{}, err
	}
	name = freeName(name, there)
	doc := Read("").WithName(name).WithDerivation(text).WithNumbers(numbers)
	if err := limits(text, numbers); err != nil {
		return store.Page{}, err
	}
	p := store.Page{ID: rand.Text(), Name: name, Kind: store.KindDerivation, Text: doc.Text(), ChangedAt: s.Now()}
	return p, s.Store.AddPage(ctx, learner, p, MostPages)
}

// freeName returns a name that none of the pages has.
func freeName(name string, there []store.Page) string {
	name = string([]rune(name)[:min(utf8.RuneCountInString(name), NameLimit-4)])
	free := name
	for n := 2; slices.ContainsFunc(there, func(p store.Page) bool { return strings.EqualFold(p.Name, free) }); n++ {
		free = fmt.Sprint(name, " ", n)
	}
	return free
}

// NameOf returns the name that a text suggests for itself, the comment in its first
// line, or another.
func NameOf(text, other string) string {
	first, _, _ := strings.Cut(text, "\n")
	comment, ok := strings.CutPrefix(strings.TrimSpace(first), "#")
	if comment = strings.Join(strings.Fields(comment), " "); ok && comment != "" {
		return comment
	}
	return other
}

func limits(text string, numbers map[string]string) error {
	size := 0
	for name, n := range numbers {
		size += len(name) + len(n) + len(" = \n")
		if len(n) > derivation.FieldLimit {
			return ErrTooLong
		}
	}
	if len(text) > TextLimit || size > numberLimit {
		return ErrTooLong
	}
	return nil
}

// Content is what a window shows of a page and may change.
type Content struct {
	Text    string            `json:"text"`
	Numbers map[string]string `json:"numbers"`
}

// ContentOf returns the content of a page.
func ContentOf(p store.Page) Content {
	d := Read(p.Text)
	return Content{d.Derivation(), d.Numbers()}
}

// A Change is what a window has to save: its content, and what it last knew the
// server to have, at revision Base.
type Change struct {
	Content
	Base   int64   `json:"base"`
	Was    Content `json:"was"`
	Writer string  `json:"writer"` // names the window; may be empty
}

// Saved is the outcome of a save.
type Saved struct {
	Content        // of the page as it now is
	Revision int64 `json:"revision"`
	// Replaced: another window had changed the same since Base. The later save has
	// won, and what it replaced is an earlier version.
	Replaced bool `json:"replaced,omitempty"`
}

// Save keeps a change. Where another window has changed the page meanwhile, the
// text and each number are taken from whichever changed them; what both have
// changed is as the later save has it, and the text before becomes a version.
func (s *Service) Save(ctx context.Context, learner, id string, c Change) (Saved, error) {
	c.Numbers, c.Was.Numbers = Sound(c.Numbers), Sound(c.Was.Numbers)
	if err := limits(c.Text, c.Numbers); err != nil {
		return Saved{}, err
	}
	var saved Saved
	err := s.change(ctx, learner, id, func(old store.Page, doc Document) (Document, store.VersionReason) {
		theirs := Content{doc.Derivation(), doc.Numbers()}
		saved.Content, saved.Replaced = c.Content, false
		if old.Revision != c.Base && (c.Writer == "" || old.Writer != c.Writer) {
			saved.Content, saved.Replaced = merged(c.Content, c.Was, theirs)
		}
		return doc.WithDerivation(saved.Text).WithNumbers(saved.Numbers), s.reason(old, saved.Replaced)
	}, func(p store.Page) { saved.Revision = p.Revision }, c.Writer)
	return saved, err
}

// merged joins what two windows made of one content. both reports whether they
// changed the same.
func merged(mine, was, theirs Content) (out Content, both bool) {
	pick := func(mine, was, theirs string) string {
		if mine == was {
			return theirs
		}
		both = both || theirs != was && theirs != mine
		return mine
	}
	out = Content{pick(mine.Text, was.Text, theirs.Text), map[string]string{}}
	names := maps.Clone(theirs.Numbers)
	maps.Copy(names, mine.Numbers)
	for name := range names {
		if n := pick(mine.Numbers[name], was.Numbers[name], theirs.Numbers[name]); n != "" {
			out.Numbers[name] = n
		}
	}
	return out, both
}

// change writes what do makes of a page, anew for as long as another window is
// quicker.
func (s *Service) change(ctx context.Context, learner, id string, do func(store.Page, Document) (Document, store.VersionReason),
	done func(store.Page), writer string) error {
	var err error
	for range tries {
		var old store.Page
		if old, err = s.Page(ctx, learner, id); err != nil {
			return err
		}
		if !old.DeletedAt.IsZero() {
			return class.ErrNone
		}
		doc, keep := do(old, Read(old.Text))
		next := old
		next.Name, next.Text, next.Writer, next.ChangedAt = doc.Name(), doc.Text(), writer, s.Now()
		if next.Kind == store.KindPage {
			next.Name = TitleOf(next.Text)
		}
		if len(next.Text) > store.MostPageText {
			return ErrTooLong
		}
		var kept store.Page
		if kept, err = s.Store.WritePage(ctx, learner, next, old.Revision, keep); err == nil {
			done(kept)
			return nil
		}
		if !errors.Is(err, store.ErrMoved) {
			return err
		}
	}
	return err
}

// Rename gives a page another name.
func (s *Service) Rename(ctx context.Context, learner, id, name string) error {
	switch {
	case name == "":
		return ErrNoName
	case utf8.RuneCountInString(name) > NameLimit:
		return ErrNameLong
	}
	there, _, err := s.List(ctx, learner)
	if err != nil {
		return err
	}
	page := slices.IndexFunc(there, func(p store.Page) bool { return p.ID == id })
	if page >= 0 && there[page].Kind == store.KindDerivation &&
		slices.ContainsFunc(there, func(p store.Page) bool { return p.ID != id && strings.EqualFold(p.Name, name) }) {
		return ErrNameTaken
	}
	return s.change(ctx, learner, id, func(_ store.Page, doc Document) (Document, store.VersionReason) {
		return doc.WithName(name), store.NotKept
	}, func(store.Page) {}, "")
}

// Delete deletes a page so that it can be brought back. It is all right if it is
// deleted already.
func (s *Service) Delete(ctx context.Context, learner, id string) error {
	p, err := s.Page(ctx, learner, id)
	if err != nil || !p.DeletedAt.IsZero() {
		return err
	}
	return s.Store.DeletePage(ctx, learner, id, s.Now())
}

// BringBack takes back a deletion. A name that was taken meanwhile gets a number.
func (s *Service) BringBack(ctx context.Context, learner, id string) error {
	p, err := s.Page(ctx, learner, id)
	if err != nil || p.DeletedAt.IsZero() {
		return err
	}
	there, _, err := s.List(ctx, learner)
	if err != nil {
		return err
	}
	if err := s.Store.BringBackPage(ctx, learner, id, MostPages); err != nil {
		return err
	}
	if free := freeName(p.Name, there); free != p.Name && p.Kind != store.KindPage {
		return s.Rename(ctx, learner, id, free)
	}
	return nil
}

// Remove deletes a page permanently.
func (s *Service) Remove(ctx context.Context, learner, id string) error {
	if _, err := s.Page(ctx, learner, id); err != nil {
		return err
	}
	return s.Store.RemovePage(ctx, learner, id)
}

// Versions returns the earlier versions of a page, the newest first.
func (s *Service) Versions(ctx context.Context, learner, id string) ([]store.PageVersion, error) {
	if _, err := s.Page(ctx, learner, id); err != nil {
		return nil, err
	}
	return s.Store.PageVersions(ctx, learner, id)
}

// BringBackVersion gives a page the content of an earlier version; what it had
// becomes a version. The name of a derivation stays.
func (s *Service) BringBackVersion(ctx context.Context, learner, id string, revision int64) error {
	versions, err := s.Versions(ctx, learner, id)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(versions, func(v store.PageVersion) bool { return v.Revision == revision })
	if i < 0 {
		return class.ErrNone
	}
	earlier := Read(versions[i].Text)
	return s.change(ctx, learner, id, func(p store.Page, doc Document) (Document, store.VersionReason) {
		if p.Kind == store.KindPage {
			return earlier, store.Earlier
		}
		return earlier.WithName(doc.Name()), store.Earlier
	}, func(store.Page) {}, "")
}
