package reader

import (
	"bytes"
	"errors"
	"html/template"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

func (h *Handlers) boardRoutes() []request.Route {
	return []request.Route{{Pattern: "GET /lesson/{slug}/board", Handle: h.showBoard}}
}

// boardKeys are the keys of the board view; static/js/board.js acts on them.
// PageDown and PageUp are what a remote control for talks sends (common
// practice, no source).
var boardKeys = []page.Key{
	{Names: []string{"Space", "→", "PageDown"}, Does: "next step"},
	{Names: []string{"←", "PageUp"}, Does: "previous step"},
	{Names: []string{"Home", "End"}, Does: "first step, last step"},
	{Names: []string{"a"}, Does: "show all steps, and back again"},
	{Names: []string{"p"}, Does: "a pointer that follows the mouse; Shift and an arrow move it too"},
	{Names: []string{"Escape"}, Does: "leave a slider, so that the arrow keys change steps again"},
}

// showBoard sends a lesson for a room. Its exercises have the reader's graded
// numbers and show what is asked, never an answer, however far the reader is.
func (h *Handlers) showBoard(w http.ResponseWriter, r *http.Request) { h.sendBoard(w, r) }

// sendBoard is showBoard with further scripts.
func (h *Handlers) sendBoard(w http.ResponseWriter, r *http.Request, scripts ...string) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	made, err := p.prose.get(r.Context())
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	text, err := h.guessesOnBoard(p, made)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		if h.Attempts == nil {
			break
		}
		asked, err := h.Attempts.Asked(r.Context(), attempt.Place{Learner: h.namedLearner(w, r), Lesson: p.lesson, Cell: cell})
		if err != nil {
			h.Fail(w, r, err)
			return
		}
		body, err := page.Render("asked", asked)
		if err != nil {
			h.Fail(w, r, err)
			return
		}
		text = bytes.Replace(text, []byte(gap(cell)), body, 1)
	}
	room, err := h.roomOf(r, p.lesson)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	view := page.Board{
		Frame: h.Frame(p.lesson.Title, p.lesson.Summary),
		Slug:  p.lesson.Slug, Version: p.lesson.Version(), Heading: p.lesson.Title, Aim: p.lesson.Aim,
		Body: template.HTML(text), Room: room,
	}
	view.Styles, view.Scripts, view.Keys = []string{h.BoardStyle}, append([]string{h.BoardScript}, scripts...), boardKeys
	body, err := page.Render("board", view)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Add("Vary", "Cookie")
	compress.NewForOne(request.HTMLType, body).Send(w, r, http.StatusOK)
}

// roomOf returns where the class is seen at work in an assigned lesson. It is
// empty for a lesson that is read freely, and for a visitor who is not on the staff.
func (h *Handlers) roomOf(r *http.Request, l *lessons.Lesson) (string, error) {
	_, id := class.SplitKey(l.Slug)
	if id == "" || h.Classes == nil || h.Attempts == nil {
		return "", nil
	}
	a, err := h.Classes.Assignment(r.Context(), id)
	if err != nil {
		return "", err
	}
	m, err := h.Classes.Member(r.Context(), a.Class, request.VisitorFrom(r).Person.ID)
	if errors.Is(err, class.ErrNone) || err == nil && (m.Left || m.Role != class.Staff) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	return page.RoomPath(&a, "", "", false), nil
}
