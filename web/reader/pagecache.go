package reader

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"io"
	"sync/atomic"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/kernel/lru"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/lessons/search"
	"shaftbook/web/app/assignment"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// A PageCache holds the pages of the catalog and of assigned lessons. A page is
// made when it is first asked for and kept: with the catalog while that is served, and
// an assigned one with the text it was given with. It is safe for concurrent use.
type PageCache struct {
	site      *request.Site
	catalog   *lessons.Current
	rows      *page.Rows
	classes   Classes                // nil on an open server
	practises bool                   // there is practice
	printed   bool                   // lessons with exercises have a problem sheet
	unlisted  map[string]*lessonPage // of lessons that are in no catalog
	shelves   *lru.Cache[*lessons.Catalog, *shelf]
	newest    atomic.Pointer[shelf] // the last one that was made
	assigned  *lru.Cache[assignedKey, *lessonPage]
	own       *lru.Cache[ownKey, *lessonPage] // pages of learners' own
}

// mostShelves bounds the catalogs whose pages are kept: that which is served, and those
// before it that a request may hold yet.
const mostShelves = 3

type lessonPage struct {
	lesson      *lessons.Lesson
	blocks      []lessons.Block // of a page of a learner's own, which is made block by block; else nil
	faults      source.List     // of its text
	covering    *memo[*lessons.Covering]
	guessFaults source.List // of the answers of its guesses; set with covering
	sections    *memo[[]search.Section]
	prose       *memo[prose]
	lined       *memo[lined]  // the same with its lines, for whoever writes the lesson
	text        *memo[[]byte] // the page around it
	parts       *memo[[]part] // the same, cut at its gaps
	made        *memo[*compress.Bytes]
}

// prose is the text and the cells of a lesson, with a gap for each exercise, for each guess
// and for each piece that a guess covers.
type prose struct {
	html    template.HTML
	blocks  []string // the same by the blocks of the page, of a learner's own page only
	covers  *covers
	lacking bool // some rows are left to the live connection
}

// newPageCache returns the cache of the pages of a server.
func newPageCache(c Config) *PageCache {
	b := &PageCache{
		site: c.Site, catalog: c.Catalog, rows: c.Rows, classes: c.Classes, printed: c.Attempts != nil, practises: c.Attempts != nil,
		unlisted: map[string]*lessonPage{}, assigned: lru.New[assignedKey, *lessonPage](mostAssigned), own: lru.New[ownKey, *lessonPage](mostOwn),
		shelves: lru.New[*lessons.Catalog, *shelf](mostShelves),
	}
	b.addFront()
	return b
}

// Assigned returns how the cache of the pages of assignments is used.
func (b *PageCache) Assigned() lru.Stats { return b.assigned.Stats() }

// add makes a lesson known that is in no catalog. It is called before the first request.
func (b *PageCache) add(l *lessons.Lesson) { b.unlisted[l.Slug] = b.newPage(l, nil, nil) }

// newPage returns the page of a lesson of a shelf, which is nil for an assigned or
// unlisted one. old is the page of the same lesson on another shelf, or nil: what is
// within the page is the same.
func (b *PageCache) newPage(l *lessons.Lesson, on *shelf, old *lessonPage) *lessonPage {
	p := &lessonPage{lesson: l}
	if old != nil {
		p.covering, p.sections, p.prose, p.lined = old.covering, old.sections, old.prose, old.lined
	} else {
		b.addProse(p)
	}
	p.text = newMemo(func(ctx context.Context) ([]byte, error) {
		around := on
		if around == nil {
			around = b.in(ctx)
		}
		return b.render(ctx, p, around)
	})
	p.parts = newMemo(func(ctx context.Context) ([]part, error) {
		text, err := p.text.get(ctx)
		if err != nil {
			return nil, err
		}
		made, err := p.prose.get(ctx)
		if err != nil {
			return nil, err
		}
		return cut(text, gapsOf(p.lesson, made.covers)), nil
	})
	p.made = newMemo(func(ctx context.Context) (*compress.Bytes, error) {
		body, err := p.text.get(ctx)
		if err != nil {
			return nil, err
		}
		made, err := p.prose.get(ctx)
		if err != nil {
			return nil, err
		}
		body = made.covers.withoutCovers(body) // where no guess is kept, nothing is covered
		return compress.New(request.HTMLType, body), nil
	})
	return p
}

// addProse adds what depends on nothing but the lesson.
func (b *PageCache) addProse(p *lessonPage) {
	p.covering = newMemo(func(ctx context.Context) (c *lessons.Covering, err error) {
		err = b.inTurn(ctx, p, func(ctx context.Context) error {
			c, p.guessFaults, err = p.lesson.Covering(ctx) // of a lesson check says them
			return err
		})
		return c, err
	})
	p.sections = newMemo(func(ctx context.Context) ([]search.Section, error) {
		covering, err := p.covering.get(ctx)
		if err != nil {
			return nil, err
		}
		return search.CoveredSectionsOf(p.lesson, covering), nil
	})
	p.prose = newMemo(func(ctx context.Context) (prose, error) { return b.prose(ctx, p, nil) })
	p.lined = newMemo(func(ctx context.Context) (made lined, err error) {
		made.prose, err = b.prose(ctx, p, made.add)
		return made, err
	})
}

// Cells returns the cells of the working of a lesson, by its slug or its key, for
// a person who may see it, and whether its page lacks rows of them.
func (b *PageCache) Cells(ctx context.Context, person, name string) (cells []kernel.Cell, lacking bool, err error) {
	p, err := b.page(ctx, person, name)
	if err != nil {
		return nil, false, err
	}
	made, err := p.prose.get(ctx)
	return p.lesson.WorkingCells(), made.lacking, err
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
	if p, ok := b.in(ctx).pages[name]; ok {
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

// prose writes the text and the cells of a lesson. The page is everybody's, so it is
// made in turns of its own. Rows that cost more than a page waits for stay empty and
// come over the live connection.
func (b *PageCache) prose(ctx context.Context, p *lessonPage, line func(io.Writer, int, string) error) (made prose, err error) {
	covering, err := p.covering.get(ctx)
	if err != nil {
		return made, err
	}
	err = b.inTurn(ctx, p, func(ctx context.Context) error {
		made, err = b.proseNow(ctx, p, covering, line)
		return err
	})
	return made, err
}

// inTurn calls f in the turns of a page.
func (b *PageCache) inTurn(ctx context.Context, p *lessonPage, f func(ctx context.Context) error) error {
	return turns.Do(turns.For(ctx, turns.Who{Share: "page " + p.lesson.Slug}), turns.Page, f)
}

func (b *PageCache) proseNow(ctx context.Context, p *lessonPage, covering *lessons.Covering, line func(io.Writer, int, string) error) (made prose, err error) {
	working := p.lesson.NewWorking()
	lacking, err := working.EvaluateWithin(ctx, page.WorkOfEach, page.WorkOfAll)
	if err != nil {
		return made, err
	}
	hidden := &covers{covering: covering}
	var html bytes.Buffer
	hinted := false
	cell := func(w io.Writer, c lessons.Cell) error {
		err := b.writeCell(ctx, w, p, working, hidden, c)
		if err == nil && !hinted && p.blocks == nil {
			hinted = true
			_, err = io.WriteString(w, page.Hint)
		}
		return err
	}
	beside := page.NewBeside(p.lesson, working, hidden.row)
	hooks := lessons.Hooks{
		Calc: cell, Shaft: cell,
		Exercise: leaveGap,
		Guess: func(w io.Writer, c lessons.Cell) error {
			_, err := io.WriteString(w, guessGap(c.ID))
			return err
		},
		Derive: func(w io.Writer, c lessons.Cell) error {
			return page.Derivation(ctx, w, c.ID, c.Text, numbersOf(p.lesson.WorkingCells(), working))
		},
		Covering: covering, Hide: hidden.number, Line: line,
		Beside: func(w io.Writer, heading string) error {
			if p.lesson.Slug == frontSlug {
				return nil // it has no margin
			}
			_, err := io.WriteString(w, beside.HTML(heading))
			return err
		},
	}
	made = prose{covers: hidden, lacking: len(lacking) > 0}
	if p.blocks != nil {
		made.blocks, err = lessons.RenderBlocks(p.lesson, hooks, p.blocks)
		return made, err
	}
	err = lessons.Render(&html, p.lesson, hooks)
	made.html = template.HTML(html.String())
	return made, err
}

// render makes the page of a lesson around its prose, with its neighbours on a shelf.
func (b *PageCache) render(ctx context.Context, p *lessonPage, around *shelf) ([]byte, error) {
	made, err := p.prose.get(ctx)
	if err != nil {
		return nil, err
	}
	return page.Render("lesson", b.view(p.lesson, made.html, around))
}

// view shows a lesson with its text, with its neighbours on a shelf.
func (b *PageCache) view(l *lessons.Lesson, text template.HTML, around *shelf) page.Lesson {
	view := page.Lesson{
		Frame: b.site.Frame(l.Title, l.Summary),
		Slug:  l.Slug, Version: l.Version(), Heading: l.Title, Aim: l.Aim, Minutes: l.Minutes,
		Body: text,
	}
	view.Place = l.Title
	if n := around.catalog.Number(l.Slug); n > 0 {
		view.Place = fmt.Sprintf("%d of %d · %s", n, len(around.catalog.Lessons), l.Title)
	}
	if _, assignment := class.SplitKey(l.Slug); assignment != "" {
		view.Assigned = headGap
	}
	view.Own = b.practises
	if b.printed && len(l.CellsOf(lessons.Exercise)) > 0 {
		view.Handout = ownHandoutPath(l.Slug)
	}
	if b.printed && len(l.Guesses) > 0 {
		view.AllResults = lessons.Path(l.Slug) + "?results=all"
	}
	for _, h := range l.Headings {
		if h.Level == 2 {
			view.Contents = append(view.Contents, page.Heading{ID: h.ID, Text: h.Text})
		}
	}
	view.Checked, view.Reference = checkedLines(l.Checked), around.has()
	before, after := around.catalog.Beside(l.Slug)
	if before != nil {
		e := entry(before)
		view.Previous = &e
	}
	if after != nil {
		e := entry(after)
		view.Next = &e
	}
	return view
}

// cellWork is what writing a cell costs about, in the unit of package pause.
const cellWork = 200_000

func (b *PageCache) writeCell(ctx context.Context, w io.Writer, p *lessonPage, working *kernel.Working, hidden *covers, c lessons.Cell) error {
	for _, k := range p.lesson.WorkingCells() {
		if k.ID != c.ID {
			continue
		}
		pause.Here(ctx, cellWork)
		html, err := b.rows.Cell(p.lesson.Slug, k, working.Results(k.ID), hidden.row)
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, html)
		return err
	}
	return nil
}
