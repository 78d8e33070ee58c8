package reader

import (
	"bytes"
	"context"
	"html/template"
	"io"
	"sync"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/kernel/lru"
	"shaftbook/lessons"
	"shaftbook/lessons/search"
	"shaftbook/web/app/assignment"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// renderWait ends the evaluation of a lesson for its page when no reader waits
// any more; its statements are bounded by work, not by time. What is not
// reached stays empty on the page and is filled in over the live connection.
const renderWait = time.Minute

// A PageCache holds the pages of the catalog and of assigned lessons. A page is
// made when it is first asked for and kept, since a lesson of the catalog never
// changes while the server runs, and an assigned one has the text it was given
// with. It is safe for concurrent use.
type PageCache struct {
	site     *request.Site
	catalog  *lessons.Catalog
	rows     *page.Rows
	classes  Classes // nil on an open server
	printed  bool    // lessons with exercises have a problem sheet
	shelf    func() (*compress.Bytes, error)
	pages    map[string]*lessonPage
	sections []search.Section // of all lessons, in the order of the catalog
	assigned *lru.Cache[assignedKey, *lessonPage]
}

type lessonPage struct {
	lesson *lessons.Lesson
	prose  func() (template.HTML, error) // with a gap for each exercise
	text   func() ([]byte, error)        // the page around it
	made   func() (*compress.Bytes, error)
}

// newPageCache returns the cache of the pages of a server.
func newPageCache(c Config) *PageCache {
	b := &PageCache{
		site: c.Site, catalog: c.Catalog, rows: c.Rows, classes: c.Classes, printed: c.Attempts != nil,
		pages: map[string]*lessonPage{}, assigned: lru.New[assignedKey, *lessonPage](mostAssigned),
	}
	b.shelf = sync.OnceValues(b.makeShelf)
	for _, l := range c.Catalog.Lessons {
		b.add(l)
		b.sections = append(b.sections, search.SectionsOf(l)...)
	}
	return b
}

// add puts a page of the shelf into the book.
func (b *PageCache) add(l *lessons.Lesson) { b.pages[l.Slug] = b.newPage(l) }

func (b *PageCache) newPage(l *lessons.Lesson) *lessonPage {
	p := &lessonPage{lesson: l}
	p.prose = sync.OnceValues(func() (template.HTML, error) { return b.prose(p) })
	p.text = sync.OnceValues(func() ([]byte, error) { return b.render(p) })
	p.made = sync.OnceValues(func() (*compress.Bytes, error) {
		body, err := p.text()
		if err != nil {
			return nil, err
		}
		return compress.New(request.HTMLType, body), nil
	})
	return p
}

// Cells returns the cells of the working of a lesson, by its slug or its key, for
// a person who may see it.
func (b *PageCache) Cells(ctx context.Context, person, name string) ([]kernel.Cell, error) {
	p, err := b.page(ctx, person, name)
	if err != nil {
		return nil, err
	}
	return p.lesson.WorkingCells(), nil
}

// Lesson returns a lesson, by its slug or its key, for a person who may see it. The
// errors are those of assignment.Admit and of the store.
func (b *PageCache) Lesson(ctx context.Context, person, name string) (*lessons.Lesson, error) {
	p, err := b.page(ctx, person, name)
	if err != nil {
		return nil, err
	}
	return p.lesson, nil
}

// Given returns the lesson of an assignment as it was given, for anyone.
func (b *PageCache) Given(ctx context.Context, a class.Assignment) (*lessons.Lesson, error) {
	p, err := b.given(ctx, a)
	if err != nil {
		return nil, err
	}
	return p.lesson, nil
}

// page returns the lesson of a name for a person: the slug of one on the shelf,
// or the key of an assignment.
func (b *PageCache) page(ctx context.Context, person, name string) (*lessonPage, error) {
	if p, ok := b.pages[name]; ok {
		return p, nil
	}
	if b.classes == nil {
		return nil, assignment.ErrNoLesson
	}
	a, err := assignment.Admit(ctx, b.classes, person, name, b.site.Now())
	if err != nil {
		return nil, err
	}
	return b.given(ctx, a)
}

// prose writes the text and the cells of a lesson, with a gap for each exercise.
func (b *PageCache) prose(p *lessonPage) (template.HTML, error) {
	working := p.lesson.NewWorking()
	ctx, cancel := context.WithTimeout(context.Background(), renderWait)
	defer cancel()
	if err := working.Evaluate(ctx, nil); err != nil && ctx.Err() == nil {
		return "", err
	}
	var prose bytes.Buffer
	cell := func(w io.Writer, c lessons.Cell) error {
		return b.writeCell(w, p, working, c)
	}
	if err := lessons.Render(&prose, p.lesson, lessons.Hooks{
		Calc: cell, Shaft: cell,
		Exercise: leaveGap,
		Derive: func(w io.Writer, c lessons.Cell) error {
			return page.Derivation(w, c.ID, c.Text, numbersOf(p.lesson.WorkingCells(), working))
		},
	}); err != nil {
		return "", err
	}
	return template.HTML(prose.String()), nil
}

// render makes the page of a lesson around its prose.
func (b *PageCache) render(p *lessonPage) ([]byte, error) {
	prose, err := p.prose()
	if err != nil {
		return nil, err
	}
	l := p.lesson
	view := page.Lesson{
		Frame: b.site.Frame(l.Title, l.Summary),
		Slug:  l.Slug, Heading: l.Title, Aim: l.Aim, Minutes: l.Minutes,
		Body: prose,
	}
	if _, assignment := class.SplitKey(l.Slug); assignment != "" {
		view.Assigned = headGap
	}
	if b.printed && len(l.CellsOf(lessons.Exercise)) > 0 {
		view.Handout = ownHandoutPath(l.Slug)
	}
	for _, h := range l.Headings {
		if h.Level == 2 {
			view.Contents = append(view.Contents, page.Heading{ID: h.ID, Text: h.Text})
		}
	}
	before, after := b.catalog.Beside(l.Slug)
	if before != nil {
		e := entry(before)
		view.Previous = &e
	}
	if after != nil {
		e := entry(after)
		view.Next = &e
	}
	return page.Render("lesson", view)
}

func (b *PageCache) writeCell(w io.Writer, p *lessonPage, working *kernel.Working, c lessons.Cell) error {
	for _, k := range p.lesson.WorkingCells() {
		if k.ID != c.ID {
			continue
		}
		html, err := b.rows.Cell(p.lesson.Slug, k, working.Results(k.ID))
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, html)
		return err
	}
	return nil
}
