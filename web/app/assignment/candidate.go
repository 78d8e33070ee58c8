package assignment

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

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
	Images    []class.Image // that it shows, by name
	Faults    source.List   // why it cannot be assigned
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
	return class.Frozen{Hash: class.HashFrozen(text, c.Images), Name: c.Lesson.Text.Name, Text: text, Images: c.Images}
}

// Candidate reads a lesson of the shelf from its file and proves its exercises.
func (f *Files) Candidate(ctx context.Context, slug string) (*Candidate, error) {
	l, list, err := f.Now(ctx, slug)
	if err != nil {
		return nil, err
	}
	c := &Candidate{Lesson: l}
	c.Images, c.Faults = f.images(ctx, l)
	for _, d := range list {
		if d.Code == lessons.CodeFile {
			c.Faults = append(c.Faults, d)
		}
	}
	return c, f.proofs.prove(ctx, c)
}

// What is frozen of one image, and of all images of a lesson, in bytes.
const (
	MostImage  = lessons.MaxImage
	MostImages = 16 << 20
)

// images reads the images that a lesson shows, and says which cannot be kept with it.
func (f *Files) images(ctx context.Context, l *lessons.Lesson) (images []class.Image, faults source.List) {
	all := 0
	for _, a := range l.Assets {
		if slices.ContainsFunc(images, func(i class.Image) bool { return i.Name == a.Path }) {
			continue
		}
		content, err := readImage(f.catalog.In(ctx).Files, a.Path)
		if err != nil {
			faults.Addf(a.At, lessons.CodeAsset, "the image %s cannot be read, so that it cannot be kept with the assignment", a.Path).
				Repair = "put it beside the lesson, or take it out of the text"
			continue
		}
		if all += len(content); len(content) > MostImage || all > MostImages {
			faults.Addf(a.At, lessons.CodeAsset, "the image %s is too large: one may have %d MB, and all of a lesson %d MB", a.Path, MostImage>>20, MostImages>>20).
				Repair = "make the picture smaller"
			return images, faults
		}
		images = append(images, class.Image{Name: a.Path, Content: content})
	}
	slices.SortFunc(images, func(a, b class.Image) int { return strings.Compare(a.Name, b.Name) })
	return images, faults
}

// readImage reads a file up to a little more than may be kept.
func readImage(files fs.FS, name string) ([]byte, error) {
	file, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, MostImage+1))
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
	return err == nil && f.differs(ctx, now, a)
}

// differs reports whether a lesson is another than an assignment has: its text, or one of
// its images. Of what was assigned before images were kept, only the text counts.
func (f *Files) differs(ctx context.Context, now *lessons.Lesson, a *class.Assignment) bool {
	if class.HashText(now.Text.Content) == a.Text {
		return false
	}
	images, _ := f.images(ctx, now)
	return class.HashFrozen(now.Text.Content, images) != a.Text
}

// FaultLines are the faults at their lines of the file.
func (c *Candidate) FaultLines() []page.AssignFault {
	out := make([]page.AssignFault, len(c.Faults))
	for i, d := range c.Faults {
		out[i] = page.AssignFault{Place: fmt.Sprintf("%s, line %d", c.Lesson.Text.Name, d.Span.Position().Line), Message: d.Message, Repair: d.Repair}
	}
	return out
}
