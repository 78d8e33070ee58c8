package reader

import (
	"context"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/lessons/markdown"
	"shaftbook/web/app/attempt"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// mostOwn bounds the pages of learners' own that are kept made.
const mostOwn = 64

// ownKey names a page of a learner's own as it is read under an address.
type ownKey struct {
	key, id  string
	revision int64
}

// OwnKey is the name of a learner's own page among lessons: its address without the
// first slash.
func OwnKey(id string) string { return "page/" + id }

// readBlocks returns a page of blocks as a lesson under a key, which is its address
// without the first slash. The page is made when it is first asked for.
func (b *PageCache) readBlocks(key string, p store.Page) *lessonPage {
	k := ownKey{key, p.ID, p.Revision}
	if made, ok := b.own.Get(k); ok {
		return made
	}
	l, faults := lessons.Parse("page.md", []byte(p.Text))
	made := b.newPage(l.WithKey(key), nil, nil)
	made.faults = faults
	made.blocks = lessons.Blocks(l.Text.Content)
	if made.blocks == nil {
		made.blocks = []lessons.Block{}
	}
	return b.own.Add(k, made) // or the first of two that were made at the same time
}

// ownLesson returns the page of blocks of the address, if it is the learner's.
func (h *Handlers) ownLesson(r *http.Request) (*lessonPage, error) {
	if h.own == nil {
		return nil, request.ErrNotFound
	}
	p, err := h.ownPage(r)
	if err == nil && p.Kind != store.KindPage {
		err = class.ErrNone
	}
	if err != nil {
		return nil, ownRefusal(err)
	}
	return h.Pages.readBlocks(OwnKey(p.ID), p), nil
}

// OwnCells returns the cells of a learner's own page, and whether the page lacks rows of
// them; class.ErrNone if the learner has none of this ID.
func (h *Handlers) OwnCells(ctx context.Context, learner, id string) (cells []kernel.Cell, lacking bool, err error) {
	if h.own == nil {
		return nil, false, class.ErrNone
	}
	p, err := h.own.Page(ctx, learner, id)
	if err == nil && (p.Kind != store.KindPage || !p.DeletedAt.IsZero()) {
		err = class.ErrNone
	}
	if err != nil {
		return nil, false, err
	}
	return h.Pages.readBlocks(OwnKey(id), p).cells(ctx)
}

// cells returns the cells of the working of a page, and whether it lacks rows of them.
func (p *lessonPage) cells(ctx context.Context) ([]kernel.Cell, bool, error) {
	made, err := p.prose.get(ctx)
	return p.lesson.WorkingCells(), made.lacking, err
}

// blocksShown is how a page of blocks is shown.
type blocksShown struct {
	page    *lessonPage
	learner string     // who sees it
	query   url.Values // of the address; see guessesAt
	view    page.OwnBlocks
	guess   func(*page.Guess)     // changes how guesses are shown; or nil
	blocks  func([]page.OwnBlock) // adds to the blocks; or nil
}

// sendBlocks sends a page of blocks, with its guesses as far as the one who sees it is
// with them. Its exercises are there to practise. view.Blocks is filled in here.
func (h *Handlers) sendBlocks(w http.ResponseWriter, r *http.Request, status int, s blocksShown) {
	ctx := r.Context()
	made, err := s.page.prose.get(ctx)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	fill := map[string][]byte{}
	for _, cell := range s.page.lesson.CellsOf(lessons.Exercise) {
		if fill[gap(cell)], err = h.ownExercise(ctx, s, cell); err != nil {
			h.Fail(w, r, err)
			return
		}
	}
	at, err := h.guessesAt(ctx, s.page, s.learner, s.query)
	if err == nil {
		err = h.fillGuesses(fill, s.page, made.covers, s.learner, at, s.guess)
	}
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	s.view.Blocks = ownBlocks(s.page, made)
	if s.blocks != nil {
		s.blocks(s.view.Blocks)
	}
	text, err := page.Render("own-blocks", s.view)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	compress.Joined(request.HTMLType, filled(cut(text, gapsOf(s.page.lesson, made.covers)), fill)...).Send(w, r, status)
}

// ownBlocks returns the blocks of a page as they are shown, each with what is wrong in it.
func ownBlocks(p *lessonPage, made prose) []page.OwnBlock {
	list := make([]page.OwnBlock, 0, len(p.blocks))
	first := make([]int, 0, len(p.blocks)) // line of each block
	line := 1
	for i, b := range p.blocks {
		list = append(list, page.NewOwnBlock(i, b, template.HTML(made.blocks[i])))
		first = append(first, line)
		line += strings.Count(b.Raw, "\n")
	}
	for _, d := range slices.Concat(p.faults, p.guessFaults) {
		at := d.Span.Position().Line
		i, found := slices.BinarySearch(first, at)
		if !found {
			i--
		}
		if i >= 0 && isOwnFault(&d) {
			list[i].Faults = append(list[i].Faults, page.OwnFault{Line: at - first[i] + 1, Message: d.Message, Repair: d.Repair})
		}
	}
	return list
}

// isOwnFault tells what is wrong with a page from what only a lesson of the shelf needs.
func isOwnFault(d *source.Diagnostic) bool {
	switch d.Code {
	case lessons.CodeFile, lessons.CodeKey, lessons.CodeOrder, markdown.CodeFrontMatter, markdown.CodeHeading:
		return false
	}
	return true
}

// ownExercise shows what an exercise of a page of blocks asks, with the way to practise it.
func (h *Handlers) ownExercise(ctx context.Context, s blocksShown, cell lessons.Cell) ([]byte, error) {
	asked, err := h.Attempts.Asked(ctx, attempt.Place{Learner: s.learner, Lesson: s.page.lesson, Cell: cell})
	if err != nil {
		return nil, err
	}
	view := page.OwnExercise{Asked: asked}
	if s.view.Editable {
		view.Practise = practicePath(s.page.lesson.Slug, cell.ID)
	}
	return page.Render("own-exercise", view)
}
