// Package authoring is the writing of lessons on the server: drafts, each of one person
// (Service.Begin, Service.Save), what is wrong with them (Service.Check), their comparison
// with the lesson's file (Service.Compare), and what puts them into the file
// (Service.Publish). It does not use HTTP.
package authoring

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/lessons/template"
	"shaftbook/web/turns"
)

// A Service lets instructors write the lessons of a server. It is safe for concurrent
// use.
type Service struct {
	Store   contract.Writing
	Folder  *Folder // nil where the server has no folder of lessons
	Catalog *lessons.Current
	Reload  func() // reads the folder again; nil where nothing follows it
	Now     func() time.Time
}

// Errors of the service, beside class.ErrNone and those of the store and the folder.
var (
	ErrNoFolder = errors.New("the server has no folder of lessons")
	ErrName     = errors.New("this cannot be the name of a lesson")
	ErrTaken    = errors.New("the name is taken")
	ErrBuiltIn  = errors.New("the lesson is built in, and is copied to be changed")
	ErrTooLong  = errors.New("the text is too long for a lesson")
	ErrChanged  = errors.New("what would be replaced is not what was shown")
	ErrFaults   = errors.New("the lesson has faults")
)

// clean is how a text is kept: as files are, with line ends \n and one at the end.
func clean(text string) (string, error) {
	text = lessons.CleanText(text)
	if text != "" && !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	if len(text) > class.MostLessonText {
		return "", ErrTooLong
	}
	return text, nil
}

// isBuiltIn reports whether a lesson of the catalog has no file in the folder.
func (s *Service) isBuiltIn(ctx context.Context, slug string) (bool, error) {
	if l, ok := s.Catalog.In(ctx).Lesson(slug); !ok || l.Own {
		return false, nil
	}
	_, there, err := s.Folder.Read(slug)
	return err == nil && !there, err
}

// file returns the text of the folder's lesson of that name. The errors are ErrNoFolder,
// ErrBuiltIn and those of the folder.
func (s *Service) file(ctx context.Context, slug string) (text string, there bool, err error) {
	if s.Folder == nil {
		return "", false, ErrNoFolder
	}
	if !IsSlug(slug) {
		return "", false, ErrName
	}
	builtIn, err := s.isBuiltIn(ctx, slug)
	if err == nil && builtIn {
		err = ErrBuiltIn
	}
	if err != nil {
		return "", false, err
	}
	text, there, err = s.Folder.Read(slug)
	return lessons.CleanText(text), there, err
}

// Begin begins a person's draft of a lesson from its file, if the person has none.
func (s *Service) Begin(ctx context.Context, person, slug string) error {
	text, there, err := s.file(ctx, slug)
	if err == nil && !there {
		err = class.ErrNone
	}
	if err != nil {
		return err
	}
	return s.begin(ctx, class.Draft{Person: person, Lesson: slug, Text: text, Base: text, OnFile: true})
}

// BeginNew begins a draft of a lesson that is not there, under a name that is free: a
// copy of another lesson or, without one, what every new lesson begins with.
func (s *Service) BeginNew(ctx context.Context, person, slug, from string) error {
	_, there, err := s.file(ctx, slug)
	if errors.Is(err, ErrBuiltIn) || err == nil && there {
		return ErrTaken
	}
	if err != nil {
		return err
	}
	if _, err := s.Store.Draft(ctx, person, slug); err == nil {
		return ErrTaken
	} else if !errors.Is(err, class.ErrNone) {
		return err
	}
	text := template.Lesson(titleFrom(slug), 1)
	if from != "" {
		l, ok := s.Catalog.In(ctx).Lesson(from)
		if !ok {
			return class.ErrNone
		}
		text = l.Text.Content
	}
	return s.begin(ctx, class.Draft{Person: person, Lesson: slug, Text: withOrder(text, s.freeOrder(ctx))})
}

func (s *Service) begin(ctx context.Context, d class.Draft) error {
	if len(d.Text) > class.MostLessonText {
		return ErrTooLong
	}
	d.ChangedAt = s.Now()
	_, err := s.Store.WriteDraft(ctx, d, 0, false, class.MostDrafts)
	if errors.Is(err, store.ErrMoved) { // begun before
		err = nil
	}
	return err
}

// freeOrder is the place behind all lessons of the folder.
func (s *Service) freeOrder(ctx context.Context) int {
	last := 0
	own := s.isOwn(ctx)
	for _, l := range s.Catalog.In(ctx).Lessons {
		if l.Own == own {
			last = max(last, l.Order)
		}
	}
	return last + 1
}

// isOwn reports whether lessons of the folder stand beside others.
func (s *Service) isOwn(ctx context.Context) bool {
	all := s.Catalog.In(ctx).Lessons
	if slices.ContainsFunc(all, func(l *lessons.Lesson) bool { return l.Own }) {
		return true
	}
	return slices.ContainsFunc(all, func(l *lessons.Lesson) bool {
		_, there, err := s.Folder.Read(l.Slug)
		return err == nil && !there
	})
}

// withOrder puts another place on the shelf into the front matter of a text.
func withOrder(text string, order int) string {
	lines := strings.SplitAfter(text, "\n")
	if len(lines) == 0 || strings.TrimSpace(lines[0]) != "---" {
		return text
	}
	for i, line := range lines[1:] {
		if strings.TrimSpace(line) == "---" {
			break
		}
		if strings.HasPrefix(line, "order:") {
			lines[i+1] = fmt.Sprintf("order: %d\n", order)
		}
	}
	return strings.Join(lines, "")
}

// Draft returns a person's draft.
func (s *Service) Draft(ctx context.Context, person, slug string) (class.Draft, error) {
	return s.Store.Draft(ctx, person, slug)
}

// Save gives a draft another text. The later of two windows wins; replaced is whether
// another one had changed the draft since revision base, and that text is then a version.
func (s *Service) Save(ctx context.Context, person, slug, text string, base int64, writer string) (d class.Draft, replaced bool, err error) {
	if text, err = clean(text); err != nil {
		return d, false, err
	}
	next := class.Draft{Person: person, Lesson: slug, Text: text, Writer: writer, ChangedAt: s.Now()}
	if base < 1 {
		base = -1 // it does not begin a draft
	}
	for {
		d, err = s.Store.WriteDraft(ctx, next, base, replaced, class.MostDrafts)
		if !errors.Is(err, store.ErrMoved) {
			return d, replaced && err == nil, err
		}
		base, replaced = d.Revision, (writer == "" || d.Writer != writer) && d.Text != text
	}
}

// Discard deletes a person's draft.
func (s *Service) Discard(ctx context.Context, person, slug string) error {
	return s.Store.DiscardDraft(ctx, person, slug)
}

// Check returns what is wrong with a text as the lesson of a name: in the writing, among
// the other lessons and, with all, in its cells and exercises, which takes longer.
func (s *Service) Check(ctx context.Context, slug, text string, all bool) (*lessons.Lesson, source.List, error) {
	l, list := lessons.Parse(fileOf(slug), []byte(text))
	l.Own = s.isOwn(ctx)
	list = append(list, s.Catalog.In(ctx).Among(l)...)
	if all {
		err := turns.Do(ctx, turns.Prove, func(ctx context.Context) error {
			found, err := lessons.CheckInTurn(ctx, l, true)
			list = append(list, found...)
			return err
		})
		if err != nil {
			return l, nil, err
		}
	}
	return l, list, nil
}
