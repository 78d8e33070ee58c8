package reader

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

func (h *Handlers) exerciseRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	const path = "/lesson/{slug}/exercise/{cell}"
	answer := h.taking(func(ctx context.Context, sub attempt.Submission, form url.Values) error {
		sub.Text, sub.Reading = form.Get("answer"), form.Get("reading")
		_, err := h.Attempts.Submit(ctx, sub)
		return err
	})
	guess := h.taking(func(ctx context.Context, sub attempt.Submission, form url.Values) error {
		sub.Text = guessOf(form)
		return h.Attempts.Predict(ctx, sub)
	})
	hint := h.taking(func(ctx context.Context, sub attempt.Submission, form url.Values) error {
		level, err := strconv.Atoi(form.Get("level"))
		if err != nil {
			return errNumber
		}
		return h.Attempts.Reveal(ctx, sub, level)
	})
	return []request.Route{
		{Pattern: "GET " + path, Handle: h.checkAnswer}, {Pattern: "POST " + path, Handle: answer},
		{Pattern: "POST " + path + "/guess", Handle: guess}, {Pattern: "POST " + path + "/hint", Handle: hint},
	}
}

// guessOf reads a guess from its form: a word, or the two ends of a bracket.
func guessOf(form url.Values) string {
	if guess := form.Get("guess"); guess != "" {
		return guess
	}
	return fmt.Sprintf("between %s and %s", strings.TrimSpace(form.Get("low")), strings.TrimSpace(form.Get("high")))
}

func exercisePath(slug, cell string) string { return lessons.Path(slug) + "/exercise/" + cell }

// seriesPath is the page of a lesson with one exercise in a certain series.
func seriesPath(slug, cell string, series int) string {
	return lessons.Path(slug) + "?" + url.Values{"practise": {cell}, "series": {strconv.Itoa(series)}}.Encode() + "#" + cell
}

// findExercise finds the exercise that a request is about.
func (h *Handlers) findExercise(r *http.Request) (*lessonPage, lessons.Cell, error) {
	p, err := h.lessonPage(r)
	if err != nil {
		return nil, lessons.Cell{}, err
	}
	cell, ok := p.lesson.Cell(r.PathValue("cell"))
	if !ok || cell.Kind != lessons.Exercise {
		return nil, lessons.Cell{}, request.ErrNotFound
	}
	return p, cell, nil
}

// taking handles a form that hands something in. A script gets the exercise as
// it is then; a plain form is sent to the page, so that loading it again
// hands in nothing.
func (h *Handlers) taking(take func(context.Context, attempt.Submission, url.Values) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		p, cell, err := h.findExercise(r)
		if err == nil {
			err = r.ParseForm()
			if err != nil {
				err = request.Unreadable(err)
			}
		}
		if err != nil {
			h.FailStore(w, r, err)
			return
		}
		form := r.PostForm
		series, err := strconv.Atoi(form.Get("series"))
		if err != nil {
			h.Fail(w, r, errNumber)
			return
		}
		place := attempt.Place{Learner: learnerFrom(r), Lesson: p.lesson, Cell: cell, Series: series}
		at, err := h.termsAt(r.Context(), p, place.Learner)
		if err != nil {
			h.FailStore(w, r, err)
			return
		}
		at.Bind(&place)
		err = take(r.Context(), attempt.Submission{Place: place, FormToken: form.Get("sheet"), ID: form.Get("submission"), Part: form.Get("part")}, form)
		switch {
		case err != nil:
			h.refuse(w, r, p, place, form, err)
		case request.WantsFragment(r):
			h.sendExercise(w, r, place, at, form.Get("part"))
		default:
			http.Redirect(w, r, backTo(place, form.Get("part")), http.StatusSeeOther)
		}
	}
}

// backTo is where a plain form is sent: the part that was answered.
func backTo(p attempt.Place, part string) string {
	to := lessons.Path(p.Lesson.Slug)
	if p.Series > 0 {
		to, _, _ = strings.Cut(seriesPath(p.Lesson.Slug, p.Cell.ID, p.Series), "#")
	}
	return to + "#" + p.Cell.ID + "-" + url.PathEscape(part)
}

// taken is what a script gets for something that was handed in.
type taken struct {
	HTML string `json:"html"` // the exercise as it is now
	Say  string `json:"say"`  // what is new, for the ear

	// Open is what a guess has uncovered, by the number of the cover.
	Open map[string]string `json:"open,omitempty"`
}

func (h *Handlers) sendExercise(w http.ResponseWriter, r *http.Request, place attempt.Place, at *assignment.Terms, part string) {
	view, err := h.exerciseView(r.Context(), place, at)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	body, err := page.Render("exercise", view)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	answer := taken{HTML: string(body)}
	for _, p := range view.Parts {
		if p.Name == part && p.Said != nil {
			answer.Say = p.Said.Word + ". " + p.Said.Message + " " + p.Tries + "."
		}
	}
	for _, g := range view.Guesses {
		if g.Name == part {
			answer.Say = strings.TrimSpace("You predicted " + g.Committed + ". " + g.Result + " " + g.Message)
		}
	}
	request.SendJSON(w, answer)
}

// exerciseView completes a view with the addresses and, in an assignment, with
// the terms. What the store could not
// tell is logged and said on the page.
func (h *Handlers) exerciseView(ctx context.Context, place attempt.Place, at *assignment.Terms) (page.Exercise, error) {
	at.Bind(&place)
	view, place, err := h.Attempts.View(ctx, place)
	if err != nil && view.Notice == "" {
		return view, err
	}
	if err != nil {
		h.Log.Error("answers cannot be read", "lesson", place.Lesson.Slug, "exercise", place.Cell.ID, "error", err)
	}
	view.Action = exercisePath(place.Lesson.Slug, place.Cell.ID)
	if next, ok := h.Attempts.Again(ctx, place); ok {
		view.Again = seriesPath(place.Lesson.Slug, place.Cell.ID, next)
	}
	for i, cell := range place.Lesson.CellsOf(lessons.Exercise) {
		if cell.ID == place.Cell.ID {
			view.Number, view.Folds = i+1, i > 0
		}
	}
	if view.Practises {
		view.Practise = practicePath(place.Lesson.Slug, place.Cell.ID)
	}
	if at != nil && place.Series == 0 {
		view.Terms = at.ExerciseWords(place.Cell.ID, h.Now())
	}
	if place.Series > 0 {
		view.Graded = seriesPath(place.Lesson.Slug, place.Cell.ID, 0)
	}
	return view, nil
}

// refuse answers something that was not taken: a script gets the reason, a
// plain form the page with what was typed and the reason beside it.
func (h *Handlers) refuse(w http.ResponseWriter, r *http.Request, p *lessonPage, place attempt.Place, form url.Values, err error) {
	told := h.RefusalOf(w, r, err)
	if told == nil || request.WantsFragment(r) {
		if told != nil {
			err = told
		}
		h.Fail(w, r, err)
		return
	}
	place.Learner = h.namedLearner(w, r)
	h.sendLesson(w, r, p, told.Status, shown{place: place, change: func(e *page.Exercise) { keepTyped(e, form, told) }})
}

// keepTyped puts what was typed back into its field, under the identifier it
// was sent with, and the reason beside it.
func keepTyped(e *page.Exercise, form url.Values, why *request.Refusal) {
	for i := range e.Parts {
		if part := &e.Parts[i]; part.Name == form.Get("part") {
			part.Answer, part.Trouble = form.Get("answer"), why.Message
			for j := range part.Options {
				part.Options[j].Picked = part.Options[j].Name == part.Answer
			}
			if id := form.Get("submission"); id != "" && why.Kind != request.KindReused {
				part.Submission = id
			}
		}
	}
	for i := range e.Guesses {
		if g := &e.Guesses[i]; g.Name == form.Get("part") {
			g.Low, g.High, g.Trouble = form.Get("low"), form.Get("high"), why.Message
			if id := form.Get("submission"); id != "" && why.Kind != request.KindReused {
				g.Submission = id
			}
		}
	}
}

// checkAnswer returns how an answer is read, before it is handed in.
func (h *Handlers) checkAnswer(w http.ResponseWriter, r *http.Request) {
	p, cell, err := h.findExercise(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	query := r.URL.Query()
	if !query.Has("part") {
		http.Redirect(w, r, lessons.Path(p.lesson.Slug)+"#"+cell.ID, http.StatusSeeOther)
		return
	}
	series, err := strconv.Atoi(query.Get("series"))
	if err != nil {
		h.Fail(w, r, errNumber)
		return
	}
	place := attempt.Place{Learner: h.namedLearner(w, r), Lesson: p.lesson, Cell: cell, Series: series}
	check, err := h.Attempts.Check(r.Context(), place, query.Get("part"), query.Get("answer"))
	var refusal *attempt.Refusal
	if errors.As(err, &refusal) && refusal.Reason == attempt.TooFast && !request.WantsFragment(r) {
		h.sendLesson(w, r, p, http.StatusTooManyRequests, shown{place: place, change: func(e *page.Exercise) {
			for i := range e.Parts {
				if part := &e.Parts[i]; part.Name == query.Get("part") {
					part.Answer, part.Trouble, part.Choices = query.Get("answer"), refusal.Words, nil
				}
			}
		}})
		return
	}
	if told := h.RefusalOf(w, r, err); told != nil {
		err = told
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	if !request.WantsFragment(r) {
		h.sendLesson(w, r, p, http.StatusOK, shown{place: place, change: func(e *page.Exercise) {
			for i := range e.Parts {
				if part := &e.Parts[i]; part.Name == query.Get("part") {
					part.Answer, part.Check, part.Choices = query.Get("answer"), &check, nil
					if id := query.Get("submission"); id != "" {
						part.Submission = id
					}
				}
			}
		}})
		return
	}
	body, err := page.Render("check", check)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	request.SendJSON(w, taken{HTML: string(body)})
}

// errNumber refuses a form whose number of a hint or of a set of numbers is not one.
var errNumber = request.NewRefusal(http.StatusBadRequest, "unreadable", "The server cannot read that", "The form was changed on its way. Open the lesson again and submit from there.")
