package reader

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/lessons/guess"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

func (h *Handlers) guessRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	return []request.Route{{Pattern: "POST /lesson/{slug}/guess/{cell}", Handle: h.takeGuess}}
}

// guesses are how far a learner is with the guesses of a lesson.
type guesses struct {
	made  map[string][]store.Prediction // by ID
	again string                        // the guess that is to be made once more, or empty
	all   bool                          // every result is to be shown
}

// isMade reports whether what a guess covers is open.
func (g guesses) isMade(id string) bool {
	return g.all || id != g.again && len(g.made[id]) > 0
}

// guessesAt reads how far a learner is; the address may ask for one guess again, or for
// every result.
func (h *Handlers) guessesAt(ctx context.Context, p *lessonPage, learner string, query url.Values) (guesses, error) {
	made, err := h.Attempts.Guesses(ctx, attempt.Place{Learner: learner, Lesson: p.lesson})
	return guesses{made: made, again: query.Get("again"), all: query.Get("results") == "all"}, err
}

func againPath(slug, id string) string {
	return lessons.Path(slug) + "?" + url.Values{"again": {id}}.Encode() + "#" + id
}

// guessView shows a guess to a learner.
func (h *Handlers) guessView(p *lessonPage, g *guess.Guess, truth guess.Truth, learner string, at guesses) (page.Guess, error) {
	made := at.made[g.ID]
	cell, _ := p.lesson.Cell(g.ID)
	place := attempt.Place{Learner: learner, Lesson: p.lesson, Cell: cell, Series: len(made)}
	view := page.NewGuess(g, truth)
	view.Action = lessons.Path(p.lesson.Slug) + "/guess/" + g.ID
	view.FormToken, view.Submission, view.Series = h.Attempts.FormToken(learner), h.Attempts.GuessID(place), len(made)
	if !at.isMade(g.ID) {
		return view, nil
	}
	var texts []string
	for _, m := range made {
		if m.Kind != store.Seen {
			texts = append(texts, m.Text)
			view.Add(g.Compare(truth, m.Text, m.Low))
		}
	}
	view.Show(g, truth)
	if len(made) > 0 {
		view.Again = againPath(p.lesson.Slug, g.ID)
	}
	return view, view.Draw(h.Rows, g, truth, texts)
}

// fillGuesses puts the guesses of a learner, and what they cover, into the gaps of a page.
// change changes one guess before it is shown, or is nil.
func (h *Handlers) fillGuesses(gaps map[string][]byte, p *lessonPage, c *covers, learner string, at guesses, change func(*page.Guess)) error {
	for _, cell := range p.lesson.CellsOf(lessons.Guess) {
		g := p.lesson.Guess(cell.ID)
		truth, ok := c.truth(cell.ID)
		if g == nil || !ok {
			gaps[guessGap(cell.ID)] = []byte(unshownGuess)
			continue
		}
		view, err := h.guessView(p, g, truth, learner, at)
		if err != nil {
			return err
		}
		if change != nil {
			change(&view)
		}
		body, err := page.Render("ask-guess", view)
		if err != nil {
			return err
		}
		gaps[guessGap(cell.ID)] = body
	}
	c.fill(gaps, at.isMade)
	return nil
}

const unshownGuess = "<p class=\"trouble\">This guess cannot be shown. The command shaftbook check says why.</p>\n"

// truth returns what is right; ok is false for a guess that cannot be shown.
func (c *covers) truth(id string) (guess.Truth, bool) {
	t, ok := c.covering.Truths[id]
	return t, ok
}

// takeGuess takes a guess, or the wish to see its result. A script gets the guess as it is
// then, and what it has uncovered; a plain form is sent to the page. A guess that is not
// understood comes back with what was typed.
func (h *Handlers) takeGuess(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err == nil && r.ParseForm() != nil {
		err = request.Unreadable(r.ParseForm())
	}
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	made, err := p.prose.get(r.Context())
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	id, form := r.PathValue("cell"), r.PostForm
	cell, _ := p.lesson.Cell(id)
	g := p.lesson.Guess(id)
	truth, ok := made.covers.truth(id)
	if g == nil || !ok {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	series, err := strconv.Atoi(form.Get("series"))
	if err != nil {
		h.Fail(w, r, errNumber)
		return
	}
	place := attempt.Place{Learner: learnerFrom(r), Lesson: p.lesson, Cell: cell, Series: series}
	doubt, err := h.Attempts.Guess(r.Context(), attempt.GuessForm{
		Submission: attempt.Submission{
			Place: place, FormToken: form.Get("sheet"), ID: form.Get("submission"),
			Text: guessText(g, form), Reading: form.Get("reading"),
		},
		Guess: g, Truth: truth, Show: form.Get("show") != "",
	})
	stands := errors.Is(err, attempt.ErrGuessStands)
	if stands {
		err = nil
	}
	if told := h.RefusalOf(w, r, err); told != nil && !request.WantsFragment(r) {
		place.Learner = h.namedLearner(w, r)
		doubt, err = &guess.Doubt{Message: told.Message}, nil
	} else if told != nil {
		err = told
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	h.answerGuess(w, r, p, made.covers, place, g, truth, doubt, stands)
}

// standsWords tells a second window that its guess is dropped.
const standsWords = "You had guessed already, in another window, so what you entered here was not taken."

// answerGuess shows what became of a guess. stands says that an earlier one stands, and that
// this one is dropped.
func (h *Handlers) answerGuess(w http.ResponseWriter, r *http.Request, p *lessonPage, c *covers, place attempt.Place, g *guess.Guess, truth guess.Truth, doubt *guess.Doubt, stands bool) {
	form := r.PostForm
	change := func(view *page.Guess) {
		if doubt != nil && view.ID == g.ID {
			keepGuess(view, form, doubt)
		}
		if stands && view.ID == g.ID {
			view.Notice = standsWords
		}
	}
	again := url.Values{}
	if doubt != nil && place.Series > 0 {
		again.Set("again", g.ID)
	}
	if !request.WantsFragment(r) {
		if doubt != nil || stands {
			h.sendLesson(w, r, p, http.StatusOK, shown{place: place, guess: change, query: again})
			return
		}
		http.Redirect(w, r, lessons.Path(p.lesson.Slug)+"#"+g.ID, http.StatusSeeOther)
		return
	}
	at, err := h.guessesAt(r.Context(), p, place.Learner, again)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	view, err := h.guessView(p, g, truth, place.Learner, at)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	change(&view)
	body, err := page.Render("ask-guess", view)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	answer := taken{HTML: string(body), Say: view.Trouble}
	if doubt == nil {
		answer.Say, answer.Open = strings.TrimSpace(view.Notice+" "+view.Said(g, truth)), c.opened(g.ID, at.isMade)
	}
	request.SendJSON(w, answer)
}

// guessText reads a guess from its form: what was typed or chosen, or for an order the
// letters by the places that they were given, for a sketch
// the values of its points. Two in one place are left out, so that the
// order is asked about.
func guessText(g *guess.Guess, form url.Values) string {
	switch g.Kind {
	case guess.Order:
	case guess.Sketch:
		var values []string
		for form.Has(pointName(len(values))) && len(values) < mostFields {
			values = append(values, form.Get(pointName(len(values))))
		}
		return strings.Join(values, "\n")
	default:
		return form.Get("guess")
	}
	letters := make([]string, len(g.Items))
	for i := range g.Items {
		letter := guess.Letter(i)
		place, err := strconv.Atoi(strings.TrimSpace(form.Get("place-" + letter)))
		if err == nil && place >= 1 && place <= len(letters) {
			letters[place-1] = letter
		}
	}
	return strings.Join(slices.DeleteFunc(letters, func(s string) bool { return s == "" }), " ")
}

// mostFields is more than any sketch has.
const mostFields = 100

func pointName(i int) string { return "y-" + strconv.Itoa(i) }

// keepGuess puts what was typed back into the form, and the reason beside it.
func keepGuess(view *page.Guess, form url.Values, doubt *guess.Doubt) {
	view.Open, view.Typed, view.Trouble = true, form.Get("guess"), doubt.Message
	if series, err := strconv.Atoi(form.Get("series")); err == nil && series < view.Series {
		// Another window has guessed meanwhile; that guess stands.
		view.Series, view.Submission = series, form.Get("submission")
	}
	for _, c := range doubt.Choices {
		view.Choices = append(view.Choices, page.Choice{Text: c.Text, Reason: c.Reason})
	}
	for i := range view.Options {
		view.Options[i].Picked = view.Options[i].Letter == view.Typed
	}
	if view.Sketch != nil {
		for i := range view.Sketch.Points {
			view.Sketch.Points[i].Typed = form.Get(pointName(i))
		}
	}
	for i := range view.Items {
		view.Items[i].Place = form.Get("place-" + view.Items[i].Letter)
	}
}

// guessesOnBoard returns the text of a lesson for a room: its guesses with what is right as
// a step of its own, and what they cover.
func (h *Handlers) guessesOnBoard(p *lessonPage, made prose) ([]byte, error) {
	text := []byte(made.html)
	for _, cell := range p.lesson.CellsOf(lessons.Guess) {
		body := []byte(unshownGuess)
		g := p.lesson.Guess(cell.ID)
		if truth, ok := made.covers.truth(cell.ID); ok && g != nil {
			view := page.NewGuess(g, truth)
			view.Show(g, truth)
			err := view.Draw(h.Rows, g, truth, nil)
			if err != nil {
				return nil, err
			}
			if body, err = page.Render("guess-on-board", view); err != nil {
				return nil, err
			}
		}
		text = bytes.Replace(text, []byte(guessGap(cell.ID)), body, 1)
	}
	return made.covers.onBoard(text), nil
}
