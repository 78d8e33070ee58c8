package sharing

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// What can be shown and answered.
const (
	MostShown = 20   // pages that a student shows to one class
	MostNotes = 100  // answers on one page
	NoteLimit = 2000 // characters of an answer
)

// quoteBytes is how much of a block's text is kept with an answer.
const quoteBytes = 1 << 10

// The reasons for which an answer is not taken.
var (
	ErrEmpty   = errors.New("an answer has no text")
	ErrLong    = errors.New("an answer is too long")
	ErrNoBlock = errors.New("the page has no such block any more")
)

// A ShownStore keeps what is shown to classes; contract.School has it.
type ShownStore interface {
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
	Member(ctx context.Context, class, person string) (class.Member, error)
	ShowPage(ctx context.Context, p class.ShownPage, most int, e class.Entry) error
	HidePage(ctx context.Context, class, person, page string, e class.Entry) error
	ShownIn(ctx context.Context, class, person string) ([]class.ShownPage, error)
	ShownTo(ctx context.Context, person, page string) ([]class.ShownPage, error)
	ShownPage(ctx context.Context, class, person, page string) (store.Page, error)
	AddNote(ctx context.Context, n class.PageNote, most int, e class.Entry) error
	Notes(ctx context.Context, in, person, page string) ([]class.PageNote, error)
	RemoveNote(ctx context.Context, class, person, id string, e class.Entry) error
}

// Shown keeps which pages students show to the instructors of their classes.
type Shown struct {
	Store ShownStore
	Now   func() time.Time
}

// A ClassOf is a class of a student with whether a page is shown there.
type ClassOf struct {
	class.Class
	Shown bool
}

// Classes returns the classes to whose instructors a person can show a page.
func (s *Shown) Classes(ctx context.Context, person, page string) ([]ClassOf, error) {
	all, members, err := s.Store.ClassesOf(ctx, person)
	if err != nil {
		return nil, err
	}
	shown, err := s.Store.ShownTo(ctx, person, page)
	if err != nil {
		return nil, err
	}
	var list []ClassOf
	for i, c := range all {
		if members[i].Left || members[i].Role != class.Student {
			continue
		}
		of := ClassOf{Class: c}
		for _, p := range shown {
			of.Shown = of.Shown || p.Class == c.ID
		}
		list = append(list, of)
	}
	return list, nil
}

// Show shows a page of a person's own to the instructors of a class; Hide ends it. Both
// are in the log of the class.
func (s *Shown) Show(ctx context.Context, in string, p store.Page, person string) error {
	e := class.Entry{Class: in, By: person, At: s.Now(), Action: "shown page", About: person, Detail: "showed the page “" + p.Name + "”"}
	return s.Store.ShowPage(ctx, class.ShownPage{Class: in, Person: person, Page: p.ID, At: s.Now()}, MostShown, e)
}

// Hide ends what Show began.
func (s *Shown) Hide(ctx context.Context, in string, p store.Page, person string) error {
	return s.Store.HidePage(ctx, in, person, p.ID, class.Entry{
		Class: in, By: person, At: s.Now(), Action: "shown page", About: person, Detail: "no longer shows the page “" + p.Name + "”"})
}

// MayLook reports whether a person is an instructor of a class.
func (s *Shown) MayLook(ctx context.Context, in, person string) (bool, error) {
	m, err := s.Store.Member(ctx, in, person)
	if errors.Is(err, class.ErrNone) {
		return false, nil
	}
	return err == nil && m.Role == class.Staff && !m.Left, err
}

// Answer keeps what an instructor writes beside a block of a page that is shown to a
// class. id is that of the form, so that one that is sent twice is one answer; block is
// [BlockHash] of the block, which has to be as the instructor saw it.
func (s *Shown) Answer(ctx context.Context, n class.PageNote, p store.Page, blocks []string) error {
	n.Text = strings.TrimSpace(strings.ReplaceAll(n.Text, "\r\n", "\n"))
	switch {
	case n.Text == "":
		return ErrEmpty
	case utf8.RuneCountInString(n.Text) > NoteLimit:
		return ErrLong
	}
	for i, raw := range blocks {
		if BlockHash(raw) != n.Block {
			continue
		}
		n.Quote, n.Page, n.At = cut(raw, quoteBytes), p.ID, s.Now()
		return s.Store.AddNote(ctx, n, MostNotes, class.Entry{
			Class: n.Class, By: n.By, At: n.At, Action: "answer", About: n.Person,
			Detail: fmt.Sprintf("answered on the page “%s”, at part %d", p.Name, i+1)})
	}
	return ErrNoBlock
}

// Remove deletes an answer of a class.
func (s *Shown) Remove(ctx context.Context, in, person, by string, p store.Page, id string) error {
	return s.Store.RemoveNote(ctx, in, person, id, class.Entry{
		Class: in, By: by, At: s.Now(), Action: "answer", About: person, Detail: "removed an answer on the page “" + p.Name + "”"})
}

// cut returns the beginning of a text, in whole characters.
func cut(s string, most int) string {
	if len(s) <= most {
		return s
	}
	for most > 0 && !utf8.RuneStart(s[most]) {
		most--
	}
	return s[:most]
}
