package web

import (
	"bytes"
	"context"
	"html/template"
	"io"
	"net/http"
	"sync"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// renderWait ends the evaluation of a lesson for its page when no reader waits
// any more; its statements are bounded by work, not by time. What is not
// reached stays empty on the page and is filled in over the live connection.
const renderWait = time.Minute

// A book holds the pages of the shelf and of assigned lessons. A page is made
// when it is first asked for and kept, since a lesson never changes while the
// server runs.
type book struct {
	server   *Server
	shelf    func() (*compress.Bytes, error)
	pages    map[string]*lessonPage
	sections []section // of all lessons, in the order of the shelf
	given    assignedPages
}

type lessonPage struct {
	lesson *lessons.Lesson
	cells  []kernel.Cell
	prose  func() (template.HTML, error) // with a gap for each exercise
	text   func() ([]byte, error)        // the page around it
	made   func() (*compress.Bytes, error)
}

func newBook(s *Server) *book {
	b := &book{server: s, pages: map[string]*lessonPage{}}
	b.shelf = sync.OnceValues(b.makeShelf)
	for _, l := range s.Shelf.Lessons {
		b.add(l)
		b.sections = append(b.sections, sectionsOf(l)...)
	}
	return b
}

// add puts a page of the shelf into the book.
func (b *book) add(l *lessons.Lesson) { b.pages[l.Slug] = b.newPage(l) }

func (b *book) newPage(l *lessons.Lesson) *lessonPage {
	p := &lessonPage{lesson: l, cells: workingOf(l)}
	p.prose = sync.OnceValues(func() (template.HTML, error) { return b.prose(p) })
	p.text = sync.OnceValues(func() ([]byte, error) { return b.render(p) })
	p.made = sync.OnceValues(func() (*compress.Bytes, error) {
		body, err := p.text()
		if err != nil {
			return nil, err
		}
		return compress.New(htmlType, body), nil
	})
	return p
}

// workingOf returns the cells of a lesson that the kernel evaluates.
func workingOf(l *lessons.Lesson) []kernel.Cell {
	var cells []kernel.Cell
	for _, c := range l.Cells {
		switch c.Kind {
		case lessons.Calc:
			cells = append(cells, kernel.Cell{ID: c.ID, Kind: kernel.Calc, Text: c.Text})
		case lessons.Shaft:
			cells = append(cells, kernel.Cell{ID: c.ID, Kind: kernel.Shaft, Name: c.Name, Text: c.Text})
		}
	}
	return cells
}

func (s *Server) lessonRoutes() []route {
	return []route{
		{reader, "GET /{$}", s.showShelf},
		{reader, "GET /lesson/{slug}", s.showLesson},
		{reader, "GET /lesson/{slug}/{file}", s.asset},
	}
}

// lessonPage returns the lesson of an address for whoever asks.
func (s *Server) lessonPage(r *http.Request) (*lessonPage, error) {
	return s.book.page(r.Context(), of(r).person.ID, r.PathValue("slug"))
}

// page returns the lesson of a name for a person: the slug of one on the shelf,
// or the key of an assignment.
func (b *book) page(ctx context.Context, person, name string) (*lessonPage, error) {
	if p, ok := b.pages[name]; ok {
		return p, nil
	}
	return b.assignedTo(ctx, person, name)
}

var errNoLesson = &refusal{http.StatusNotFound, "not-found", "There is no such lesson", "It may have been renamed or taken away; the list shows what is there."}

// send sends a page that may be kept, but must be asked for again each time.
func (s *Server) send(w http.ResponseWriter, r *http.Request, body *compress.Bytes, err error) {
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	body.ServeHTTP(w, r)
}

// asset serves an image that a lesson shows. Only files that the lesson names
// are served, whatever else is in the folder.
func (s *Server) asset(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	for _, a := range p.lesson.Assets {
		if a.Path == r.PathValue("file") {
			w.Header().Set("Cache-Control", "no-cache")
			http.ServeFileFS(w, r, s.Shelf.Files, a.Path)
			return
		}
	}
	s.fail(w, r, errNotFound)
}

// prose writes the text and the cells of a lesson, with a gap for each exercise.
func (b *book) prose(p *lessonPage) (template.HTML, error) {
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(p.cells)
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
			return page.Derivation(w, c.ID, c.Text, numbersOf(p.cells, working))
		},
	}); err != nil {
		return "", err
	}
	return template.HTML(prose.String()), nil
}

// render makes the page of a lesson around its prose.
func (b *book) render(p *lessonPage) ([]byte, error) {
	prose, err := p.prose()
	if err != nil {
		return nil, err
	}
	l := p.lesson
	view := page.Lesson{
		Frame: b.server.frame(l.Title, l.Summary),
		Slug:  l.Slug, Heading: l.Title, Aim: l.Aim, Minutes: l.Minutes,
		Body: prose,
	}
	if _, assignment := class.SplitKey(l.Slug); assignment != "" {
		view.Assigned = headGap
	}
	if b.server.Desk != nil && len(l.CellsOf(lessons.Exercise)) > 0 {
		view.Sheet = ownSheetPath(l.Slug)
	}
	for _, h := range l.Headings {
		if h.Level == 2 {
			view.Contents = append(view.Contents, page.Heading{ID: h.ID, Text: h.Text})
		}
	}
	before, after := b.server.Shelf.Beside(l.Slug)
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

func (b *book) writeCell(w io.Writer, p *lessonPage, working *kernel.Working, c lessons.Cell) error {
	for _, k := range p.cells {
		if k.ID != c.ID {
			continue
		}
		html, err := b.server.rows.Cell(p.lesson.Slug, k, working.Results(k.ID))
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, html)
		return err
	}
	return nil
}
