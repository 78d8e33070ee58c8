package authoring

import (
	"context"
	"errors"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
)

func isMoved(err error) bool { return errors.Is(err, store.ErrMoved) }

// An Entry is one lesson that can be written, or copied.
type Entry struct {
	Slug, Title string
	Order       int
	OnFile      bool         // it is in the folder
	Draft       *class.Draft // of the person, without its text; nil where there is none
}

// List returns the lessons of the folder and the person's drafts of others, and the
// lessons that are built in.
func (s *Service) List(ctx context.Context, person string) (own, builtIn []Entry, err error) {
	if s.Folder == nil {
		return nil, nil, ErrNoFolder
	}
	slugs, err := s.Folder.Slugs()
	if err != nil {
		return nil, nil, err
	}
	drafts, err := s.Store.Drafts(ctx, person)
	if err != nil {
		return nil, nil, err
	}
	catalog := s.Catalog.In(ctx)
	for _, slug := range slugs {
		e := Entry{Slug: slug, Title: slug, OnFile: true}
		if l, ok := catalog.Lesson(slug); ok {
			e.Title, e.Order = titleOf(l), l.Order
		}
		own = append(own, e)
	}
	for i := range drafts {
		d := &drafts[i]
		at := slices.IndexFunc(own, func(e Entry) bool { return e.Slug == d.Lesson })
		if at < 0 {
			own = append(own, Entry{Slug: d.Lesson, Title: d.Lesson})
			at = len(own) - 1
		}
		own[at].Draft = d
	}
	slices.SortStableFunc(own, func(a, b Entry) int {
		if (a.Order == 0) != (b.Order == 0) { // what is not on the shelf comes last
			return b.Order - a.Order
		}
		if a.Order != b.Order {
			return a.Order - b.Order
		}
		return strings.Compare(a.Slug, b.Slug)
	})
	for _, l := range catalog.Lessons {
		if !slices.Contains(slugs, l.Slug) {
			builtIn = append(builtIn, Entry{Slug: l.Slug, Title: titleOf(l), Order: l.Order})
		}
	}
	return own, builtIn, nil
}

func titleOf(l *lessons.Lesson) string {
	if l.Title == "" {
		return l.Slug
	}
	return l.Title
}

// Title returns the title that a text gives itself; it may be empty.
func Title(text string) string {
	l, _ := lessons.Parse("draft.md", []byte(text))
	return l.Title
}
