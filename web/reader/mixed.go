package reader

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/practice"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// mixedRoutes are the routes of practice with exercises of several lessons.
func (h *Handlers) mixedRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	const path = "/practice/{slug}/{cell}"
	return []request.Route{
		{Pattern: "GET /practice", Handle: h.showMixed}, {Pattern: "GET /practice/next", Handle: h.nextMixed},
		{Pattern: "GET " + path, Handle: h.showMixedExercise}, {Pattern: "POST " + path, Handle: h.markMixed},
	}
}

// mixedPath is the address of an exercise; n counts those of a sitting, from 1, and done
// are those before it, the last one at the end.
func mixedPath(p *attempt.Practice, n int, done []practice.Done) string {
	q := url.Values{"set": {strconv.Itoa(p.Set)}, "n": {strconv.Itoa(n)}}
	addDone(q, done)
	return "/practice/" + p.Lesson.Slug + "/" + p.Cell.ID + "?" + q.Encode()
}

// nextPath is the address that leads to the exercise after those that are done.
func nextPath(n int, done []practice.Done) string {
	q := url.Values{"n": {strconv.Itoa(n)}}
	addDone(q, done)
	return "/practice/next?" + q.Encode()
}

// mostDone bounds how many exercises of a sitting an address names.
const mostDone = 20

func addDone(q url.Values, done []practice.Done) {
	for _, d := range done[max(0, len(done)-mostDone):] {
		q.Add("after", d.Lesson+"/"+d.Exercise)
	}
}

func doneFrom(r *http.Request) (done []practice.Done) {
	for _, text := range r.URL.Query()["after"] {
		if lesson, exercise, ok := strings.Cut(text, "/"); ok && len(done) < mostDone {
			done = append(done, practice.Done{Lesson: lesson, Exercise: exercise})
		}
	}
	return done
}

// mostSitting bounds the count of a sitting, which is in the address only.
const mostSitting = 1000

func sittingFrom(r *http.Request) int {
	return min(max(1, setFrom(r.URL.Query().Get("n"))), mostSitting)
}

// showMixed says what there is to practise, and by which rule it comes again.
func (h *Handlers) showMixed(w http.ResponseWriter, r *http.Request) {
	st, err := h.practice.Standing(r.Context(), learnerFrom(r))
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	list, fromFirst := h.practice.Candidates(st)
	c := practice.Count(list, h.Now())
	view := page.Mixed{
		Frame: h.Frame("Practice", "Exercises from several lessons with fresh numbers, those that went wrong sooner."),
		Due:   c.Due, New: c.New, Hold: c.Hold, FromFirst: fromFirst, Sitting: practice.Sitting, Holds: practice.Holds,
		Done: min(max(0, setFrom(r.URL.Query().Get("done"))), mostSitting), Days: practice.Days[1:],
	}
	if !c.Next.IsZero() && c.Due == 0 {
		view.Next = dayFrom(h.Now(), c.Next)
	}
	w.Header().Set("Cache-Control", "private, no-store")
	w.Header().Add("Vary", "Cookie")
	h.SendPage(w, r, http.StatusOK, "mixed", view)
}

// nextMixed sends the browser to the next exercise, or after the last one of a sitting
// to where it began.
func (h *Handlers) nextMixed(w http.ResponseWriter, r *http.Request) {
	done := doneFrom(r)
	p, err := h.practice.Next(r.Context(), h.namedLearner(w, r), done)
	if errors.Is(err, practice.ErrNone) {
		http.Redirect(w, r, "/practice", http.StatusSeeOther)
		return
	}
	if err != nil {
		h.failPractice(w, r, err)
		return
	}
	http.Redirect(w, r, mixedPath(&p, sittingFrom(r), done), http.StatusSeeOther)
}

// mixedAt reads which exercise is meant. It has answered where ok is false.
func (h *Handlers) mixedAt(w http.ResponseWriter, r *http.Request) (p attempt.Practice, ok bool) {
	learner := h.namedLearner(w, r)
	if p, ok = h.practice.Place(r.Context(), learner, r.PathValue("slug"), r.PathValue("cell")); !ok {
		h.Fail(w, r, request.ErrNotFound)
		return p, false
	}
	st, err := h.practice.Standing(r.Context(), learner)
	if err == nil && st.Barred(p.Lesson.Slug) {
		err = attempt.ErrTest
	}
	if err != nil {
		h.failPractice(w, r, err)
		return p, false
	}
	p.Set = setFrom(r.URL.Query().Get("set"))
	return p, true
}

func (h *Handlers) showMixedExercise(w http.ResponseWriter, r *http.Request) {
	if p, ok := h.mixedAt(w, r); ok {
		h.sendMixed(w, r, p)
	}
}

// markMixed says what marking says, and keeps what came of it. Sending the form again
// changes nothing: only the first outcome with a set of numbers counts.
func (h *Handlers) markMixed(w http.ResponseWriter, r *http.Request) {
	p, ok := h.mixedAt(w, r)
	if !ok {
		return
	}
	if err := r.ParseForm(); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	readPractice(&p, r.PostForm)
	h.sendMixed(w, r, p)
}

func (h *Handlers) sendMixed(w http.ResponseWriter, r *http.Request, p attempt.Practice) {
	view, err := h.Attempts.Practise(r.Context(), p)
	if err != nil {
		h.failPractice(w, r, err)
		return
	}
	n, outcome := sittingFrom(r), attempt.Undecided
	if r.Method == http.MethodPost {
		outcome = attempt.OutcomeOf(view, p.Solve)
	}
	kept, err := h.practice.Keep(r.Context(), p, outcome)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	done := doneFrom(r)
	view.Action, view.Other = mixedPath(&p, n, done), ""
	done = append(done, practice.Done{Lesson: p.Lesson.Slug, Exercise: p.Cell.ID})
	view.Back, view.Lesson = lessons.Path(p.Lesson.Slug)+"#"+p.Cell.ID, p.Lesson.Title
	view.Mixed = &page.MixedStep{Number: n, Of: practice.Sitting, Next: nextPath(n+1, done), Stop: "/practice?" + url.Values{"done": {strconv.Itoa(n)}}.Encode()}
	if n > practice.Sitting {
		view.Mixed.Of = 0
	}
	if kept.Box > 0 && kept.Set == int64(p.Set) {
		view.Mixed.Kept, view.Mixed.Last = h.keptWords(&kept), n == practice.Sitting
	}
	w.Header().Set("Cache-Control", "private, no-store")
	w.Header().Add("Vary", "Cookie")
	h.SendPage(w, r, http.StatusOK, "practice", page.PracticePage{Frame: h.Frame("Practice: "+view.Title, ""), Practice: view})
}

// keptWords says when an exercise comes again.
func (h *Handlers) keptWords(p *store.Practice) string {
	if p.Box == 1 {
		return "This one comes again soon, with other numbers."
	}
	return "This one comes again " + dayFrom(h.Now(), p.Due) + ", with other numbers."
}
