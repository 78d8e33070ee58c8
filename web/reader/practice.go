package reader

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// practiceRoutes are the routes of numbers to practise with before the marked ones.
func (h *Handlers) practiceRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	const path = "/lesson/{slug}/exercise/{cell}/practise"
	return []request.Route{{Pattern: "GET " + path, Handle: h.showPractice}, {Pattern: "POST " + path, Handle: h.markPractice}}
}

func practicePath(slug, cell string) string { return exercisePath(slug, cell) + "/practise" }

func practiceSetPath(slug, cell string, set int) string {
	return practicePath(slug, cell) + "?" + url.Values{"set": {strconv.Itoa(set)}}.Encode()
}

// showPractice shows a set of numbers; without one in the address it sends the browser
// to a fresh one, after the set of which the address tells.
func (h *Handlers) showPractice(w http.ResponseWriter, r *http.Request) {
	p, ok := h.practiceAt(w, r)
	if !ok {
		return
	}
	if query := r.URL.Query(); query.Has("set") {
		p.Set = setFrom(query.Get("set"))
		h.sendPractice(w, r, p)
		return
	}
	p.Set = setFrom(r.URL.Query().Get("after"))
	next, err := h.Attempts.NextPractice(r.Context(), p)
	if err != nil && next == 0 {
		h.failPractice(w, r, err)
		return
	}
	http.Redirect(w, r, practiceSetPath(p.Lesson.Slug, p.Cell.ID, max(1, next)), http.StatusSeeOther)
}

// markPractice says what marking says of the answers on a page. Nothing is kept, so
// that sending the form again does no harm.
func (h *Handlers) markPractice(w http.ResponseWriter, r *http.Request) {
	p, ok := h.practiceAt(w, r)
	if !ok {
		return
	}
	if err := r.ParseForm(); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	p.Set = setFrom(r.URL.Query().Get("set"))
	readPractice(&p, r.PostForm)
	h.sendPractice(w, r, p)
}

// readPractice reads the form of a practice.
func readPractice(p *attempt.Practice, form url.Values) {
	p.FormToken, p.Solve = form.Get("sheet"), form.Get("solution") != ""
	p.Answers, p.Readings = map[string]string{}, map[string]string{}
	for name := range form {
		if part, ok := strings.CutPrefix(name, "answer-"); ok {
			p.Answers[part] = form.Get(name)
		}
		if part, ok := strings.CutPrefix(name, "reading-"); ok {
			p.Readings[part] = form.Get(name)
		}
	}
}

func setFrom(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return n
}

// practiceAt reads which exercise is meant. It has answered where ok is false.
func (h *Handlers) practiceAt(w http.ResponseWriter, r *http.Request) (p attempt.Practice, ok bool) {
	found, cell, err := h.findExercise(r)
	if err != nil {
		h.FailStore(w, r, err)
		return p, false
	}
	p.Place = attempt.Place{Learner: h.namedLearner(w, r), Lesson: found.lesson, Cell: cell}
	at, err := h.termsAt(r.Context(), found, p.Learner)
	if err != nil {
		h.FailStore(w, r, err)
		return p, false
	}
	at.Bind(&p.Place)
	st, err := h.practice.Standing(r.Context(), p.Learner)
	if err == nil && st.Tested(p.Lesson.Slug, p.Cell.ID) {
		err = attempt.ErrTested // also on the shelf, and in another assignment
	}
	if err != nil {
		h.failPractice(w, r, err)
		return p, false
	}
	return p, true
}

func (h *Handlers) sendPractice(w http.ResponseWriter, r *http.Request, p attempt.Practice) {
	view, err := h.Attempts.Practise(r.Context(), p)
	if err != nil {
		h.failPractice(w, r, err)
		return
	}
	slug := p.Lesson.Slug
	view.Action = practiceSetPath(slug, p.Cell.ID, p.Set)
	view.Other = practicePath(slug, p.Cell.ID) + "?" + url.Values{"after": {strconv.Itoa(p.Set)}}.Encode()
	view.Back, view.Lesson = lessons.Path(slug)+"#"+p.Cell.ID, p.Lesson.Title
	w.Header().Set("Cache-Control", "private, no-store")
	w.Header().Add("Vary", "Cookie")
	h.SendPage(w, r, http.StatusOK, "practice", page.PracticePage{Frame: h.Frame("Practice: "+view.Title+" · "+p.Lesson.Title, ""), Practice: view})
}

func (h *Handlers) failPractice(w http.ResponseWriter, r *http.Request, err error) {
	if told := h.RefusalOf(w, r, err); told != nil {
		err = told
	}
	h.Fail(w, r, err)
}
