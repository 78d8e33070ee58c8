package assignment

import (
	"context"
	"fmt"
	"io/fs"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// A Candidate is a lesson as its file is now, with its exercises proved.
type Candidate struct {
	Lesson    *lessons.Lesson
	Exercises []*exercises.Exercise // in the order of the cells
	Cells     []lessons.Cell
	Faults    source.List // why it cannot be assigned
}

// Files are the lessons of the catalog as their files are now. They are safe for
// concurrent use.
type Files struct {
	catalog *lessons.Current
	proofs  proofs
}

// NewFiles returns the files of the catalog.
func NewFiles(catalog *lessons.Current) *Files { return &Files{catalog, newProofs()} }

// Frozen returns the text as it is kept beside an assignment.
func (c *Candidate) Frozen() class.Frozen {
	text := c.Lesson.Text.Content
	return class.Frozen{Hash: class.HashText(text), Name: c.Lesson.Text.Name, Text: text}
}

// Candidate reads a lesson of the shelf from its file and proves its exercises.
func (f *Files) Candidate(ctx context.Context, slug string) (*Candidate, error) {
	l, list, err := f.Now(ctx, slug)
	if err != nil {
		return nil, err
	}
	c := &Candidate{Lesson: l}
	for _, d := range list {
		if d.Code == lessons.CodeFile {
			c.Faults = append(c.Faults, d)
		}
	}
	return c, f.proofs.prove(ctx, c)
}

// Now reads a lesson of the shelf from its file, which may have changed
// since the catalog was read, with what was found in it.
func (f *Files) Now(ctx context.Context, slug string) (*lessons.Lesson, source.List, error) {
	catalog := f.catalog.In(ctx)
	l, ok := catalog.Lesson(slug)
	if !ok {
		return nil, nil, ErrNoLesson
	}
	src, err := fs.ReadFile(catalog.Files, l.Text.Name)
	if err != nil {
		return nil, nil, ErrNoLesson
	}
	now, list := lessons.Parse(l.Text.Name, src)
	return now, list, nil
}

// Changed reports whether the file of an assignment's lesson has another text
// now than the class works at. It is false for one that was withdrawn.
func (f *Files) Changed(ctx context.Context, a *class.Assignment) bool {
	if a.Withdrawn {
		return false
	}
	now, _, err := f.Now(ctx, a.Lesson)
	return err == nil && class.HashText(now.Text.Content) != a.Text
}

// FaultLines are the faults at their lines of the file.
func (c *Candidate) FaultLines() []page.AssignFault {
	out := make([]page.AssignFault, len(c.Faults))
	for i, d := range c.Faults {
		out[i] = page.AssignFault{Place: fmt.Sprintf("%s, line %d", c.Lesson.Text.Name, d.Span.Position().Line), Message: d.Message, Repair: d.Repair}
	}
	return out
}
