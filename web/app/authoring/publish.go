package authoring

import (
	"context"
	"errors"
	"io/fs"

	"shaftbook/exercises/class"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// around is how many lines a comparison shows beside those that differ.
const around = 3

// A Comparison is a draft beside the file that it would replace.
type Comparison struct {
	Draft  class.Draft
	File   string // its text; empty where OnFile is false
	OnFile bool
	Lines  []class.Line // from the file to the draft

	// Since is what became of the file since the draft was begun.
	Moved bool
	Since []class.Line
}

// Seen names the file of a comparison.
func (c *Comparison) Seen() string { return seen(c.File, c.OnFile) }

func seen(text string, there bool) string {
	if !there {
		return "none"
	}
	return class.HashText(text)
}

// IsSame reports whether nothing would change.
func (c *Comparison) IsSame() bool { return c.OnFile && c.File == c.Draft.Text }

// Compare compares a person's draft with the file.
func (s *Service) Compare(ctx context.Context, person, slug string) (*Comparison, error) {
	d, err := s.Store.Draft(ctx, person, slug)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Draft: d}
	if c.File, c.OnFile, err = s.file(ctx, slug); err != nil {
		return nil, err
	}
	c.Lines = class.Changes(c.File, d.Text, around)
	if c.Moved = c.OnFile != d.OnFile || c.File != d.Base; c.Moved {
		c.Since = class.Changes(d.Base, c.File, around)
	}
	return c, nil
}

// Publish puts a person's draft into the lesson's file, keeps both texts as versions and
// ends the draft. It does so only if the draft is at the revision and the file at the text
// that were shown; ErrChanged otherwise. With faults it is ErrFaults, and the list has
// them.
func (s *Service) Publish(ctx context.Context, person, slug string, revision int64, shown string) (source.List, error) {
	d, err := s.Store.Draft(ctx, person, slug)
	if err != nil {
		return nil, err
	}
	if _, _, err := s.file(ctx, slug); err != nil {
		return nil, err
	}
	if d.Revision != revision {
		return nil, ErrChanged
	}
	_, list, err := s.Check(ctx, slug, d.Text, true)
	if err != nil {
		return nil, err
	}
	if list.HasErrors() {
		return list, ErrFaults
	}
	now := s.Now()
	was, there, err := s.Folder.replace(slug, d.Text, func(was string, there bool) error {
		if seen(lessons.CleanText(was), there) != shown {
			return ErrChanged
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	// If this fails, the text is in the file, and is found there by the next one.
	var texts []class.LessonVersion
	if was = lessons.CleanText(was); there && was != d.Text {
		texts = append(texts, class.LessonVersion{Lesson: slug, Reason: class.VersionFound, Text: was, At: now})
	}
	texts = append(texts, class.LessonVersion{Lesson: slug, Person: person, Reason: class.VersionPublished, Text: d.Text, At: now})
	err = s.Store.Published(ctx, texts, person, d.Revision)
	if s.Reload != nil {
		s.Reload()
	}
	return nil, err
}

// Versions returns the earlier texts of a lesson that a person may see, the newest first
// and without the texts.
func (s *Service) Versions(ctx context.Context, person, slug string) ([]class.LessonVersion, error) {
	return s.Store.LessonVersions(ctx, slug, person)
}

// Version returns one with its text, and what has changed from it to the text that is
// there now: the person's draft, or the file.
func (s *Service) Version(ctx context.Context, person, slug string, number int64) (v class.LessonVersion, lines []class.Line, err error) {
	if v, err = s.Store.LessonVersion(ctx, slug, person, number); err != nil {
		return v, nil, err
	}
	now, _, err := s.current(ctx, person, slug)
	return v, class.Changes(now, v.Text, around), err
}

// current is the text of the person's draft or, without one, of the file.
func (s *Service) current(ctx context.Context, person, slug string) (text string, drafted bool, err error) {
	d, err := s.Store.Draft(ctx, person, slug)
	if err == nil {
		return d.Text, true, nil
	}
	if !errors.Is(err, class.ErrNone) {
		return "", false, err
	}
	text, _, err = s.file(ctx, slug)
	return text, false, err
}

// BringBack makes an earlier text the person's draft. What the draft had before stays as
// a version.
func (s *Service) BringBack(ctx context.Context, person, slug string, number int64) error {
	v, err := s.Store.LessonVersion(ctx, slug, person, number)
	if err != nil {
		return err
	}
	for {
		d, err := s.Store.Draft(ctx, person, slug)
		if errors.Is(err, class.ErrNone) {
			if err = s.Begin(ctx, person, slug); errors.Is(err, class.ErrNone) { // the file is gone
				return s.begin(ctx, class.Draft{Person: person, Lesson: slug, Text: v.Text})
			}
			if err == nil {
				continue
			}
		}
		if err != nil {
			return err
		}
		next := class.Draft{Person: person, Lesson: slug, Text: v.Text, ChangedAt: s.Now()}
		// A draft that is as its file is has nothing to be kept.
		if _, err = s.Store.WriteDraft(ctx, next, d.Revision, d.Text != d.Base, class.MostDrafts); !isMoved(err) {
			return err
		}
	}
}

// AddImage puts an image beside the lessons, under a name made from that of the file, and
// returns the name. The error is a BadImage, ErrTaken, ErrNoFolder or one of the folder.
func (s *Service) AddImage(sent string, content []byte) (name string, err error) {
	if s.Folder == nil {
		return "", ErrNoFolder
	}
	if name = ImageName(sent); name == "" {
		return "", BadImage("Choose a file whose name ends in .svg or .png.")
	}
	if err := checkImage(name, content); err != nil {
		return name, err
	}
	return name, s.Folder.AddImage(name, content)
}

// Image returns an image that a draft may show: of the folder or, for a copy of a
// built-in lesson, of that.
func (s *Service) Image(ctx context.Context, name string) ([]byte, error) {
	content, err := s.Folder.Image(name)
	if err == nil || !IsImageName(name) {
		return content, err
	}
	return fs.ReadFile(s.Catalog.In(ctx).Files, name)
}
