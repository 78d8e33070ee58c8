package reader

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/lessons/markdown"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// gap is the place of an exercise in a page that all learners share.
func gap(c lessons.Cell) string { return "<!--exercise " + c.ID + "-->" }

func leaveGap(w io.Writer, c lessons.Cell) error {
	_, err := io.WriteString(w, gap(c))
	return err
}

// headGap is the place of what is shown above an assigned lesson.
const headGap = "<!--assigned-->"

// shown changes how one exercise is shown.
type shown struct {
	place  attempt.Place
	change func(*page.Exercise) // or nil
	guess  func(*page.Guess)    // changes how guesses are shown; or nil
	query  url.Values           // of the address; see guessesAt
}

// showLesson sends a lesson's page. One with exercises is made for the learner
// who sent the request.
func (h *Handlers) showLesson(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	_, assignment := class.SplitKey(p.lesson.Slug)
	cells := len(p.lesson.CellsOf(lessons.Exercise)) + len(p.lesson.CellsOf(lessons.Guess))
	if h.Attempts == nil || assignment == "" && cells == 0 {
		body, err := p.made.get(r.Context())
		h.SendShared(w, r, body, err)
		return
	}
	var as shown
	query := r.URL.Query()
	if cell, ok := p.lesson.Cell(query.Get("practise")); ok && cell.Kind == lessons.Exercise {
		if series, err := strconv.Atoi(query.Get("series")); err == nil {
			as.place = attempt.Place{Cell: cell, Series: series}
		}
	}
	as.query = query
	as.place.Learner = h.namedLearner(w, r)
	h.sendLesson(w, r, p, http.StatusOK, as)
}

// sendLesson fills the gaps of a lesson's page for one learner and sends it.
func (h *Handlers) sendLesson(w http.ResponseWriter, r *http.Request, p *lessonPage, status int, as shown) {
	parts, err := p.parts.get(r.Context())
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	at, err := h.termsAt(r.Context(), p, as.place.Learner)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	fill := map[string][]byte{}
	if at != nil {
		head, err := page.Render("assigned-head", at.Head(h.Now()))
		if err != nil {
			h.Fail(w, r, err)
			return
		}
		fill[headGap] = head
	}
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		body, err := h.learnersExercise(r.Context(), p, cell, as, at)
		if err != nil {
			h.Fail(w, r, err)
			return
		}
		fill[gap(cell)] = body
	}
	made, err := p.prose.get(r.Context())
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	guessed, err := h.guessesAt(r.Context(), p, as.place.Learner, as.query)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	if err := h.fillGuesses(fill, p, made.covers, as.place.Learner, guessed, as.guess); err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Add("Vary", "Cookie")
	compress.Joined(request.HTMLType, filled(parts, fill)...).Send(w, r, status)
}

func (h *Handlers) learnersExercise(ctx context.Context, p *lessonPage, cell lessons.Cell, as shown, at *assignment.Terms) ([]byte, error) {
	place := attempt.Place{Learner: as.place.Learner, Lesson: p.lesson, Cell: cell, Series: attempt.Newest}
	named := as.place.Cell.ID == cell.ID
	if named {
		place.Series = as.place.Series
	}
	view, err := h.exerciseView(ctx, place, at)
	if err != nil {
		return nil, err
	}
	view.Unfolded = view.Unfolded || named
	if named && as.change != nil {
		as.change(&view)
	}
	return page.Render("exercise", view)
}

func (h *Handlers) lessonRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /{$}", Handle: h.showShelf},
		{Pattern: "GET /lesson/{slug}", Handle: h.showLesson},
		{Pattern: "GET /lesson/{slug}/{file}", Handle: h.asset},
	}
}

// lessonPage returns the lesson of an address for the visitor, or the page of the
// visitor's own that it names.
func (h *Handlers) lessonPage(r *http.Request) (*lessonPage, error) {
	switch {
	case r.PathValue("token") != "":
		return h.sharedLesson(r)
	case r.PathValue("page") != "" && r.PathValue("class") != "":
		return h.shownLesson(r)
	case r.PathValue("page") != "":
		return h.ownLesson(r)
	}
	return h.Pages.page(r.Context(), request.VisitorFrom(r).Person.ID, r.PathValue("slug"))
}

// asset serves an image that a lesson shows. Only files that the lesson names
// are served, whatever else is in the folder; of an assigned lesson, the images that the
// class was given.
func (h *Handlers) asset(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	name := r.PathValue("file")
	if !slices.ContainsFunc(p.lesson.Assets, func(a markdown.Asset) bool { return a.Path == name }) {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	request.SecureImage(w)
	_, id := class.SplitKey(p.lesson.Slug)
	if id == "" {
		http.ServeFileFS(w, r, h.Catalog.In(r.Context()).Files, name)
		return
	}
	a, err := h.Classes.Assignment(r.Context(), id)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	content, err := h.Classes.FrozenImage(r.Context(), a.Text, name)
	switch {
	case errors.Is(err, class.ErrNone): // assigned before images were kept
		http.ServeFileFS(w, r, h.Catalog.In(r.Context()).Files, name)
	case err != nil:
		h.FailStore(w, r, err)
	default:
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	}
}
