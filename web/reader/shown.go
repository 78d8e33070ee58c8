package reader

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/kernel"
	"shaftbook/kernel/words"
	"shaftbook/web/app/sharing"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// shownRoutes are the addresses of a page that a student shows to the instructors of a
// class, for those.
func (h *Handlers) shownRoutes() []request.Route {
	if h.own == nil || h.shown == nil {
		return nil
	}
	const path = "/class/{class}/student/{person}/page/{page}"
	figures, working := path+"/figure/{cell}/{index}/{format}", path+"/working/{format}"
	return []request.Route{
		{Pattern: "GET " + path, Handle: h.showShown},
		{Pattern: "POST " + path + "/answer", Handle: h.answerShown},
		{Pattern: "POST " + path + "/answer/{answer}/remove", Handle: h.removeAnswer},
		{Pattern: "GET " + figures, Handle: h.figure}, {Pattern: "POST " + figures, Handle: h.figure},
		{Pattern: "GET " + working, Handle: h.download}, {Pattern: "POST " + working, Handle: h.download},
	}
}

// shownPage returns the page of the address, if it is shown to the class of the address.
func (h *Handlers) shownPage(r *http.Request) (store.Page, error) {
	p, err := h.Classes.ShownPage(r.Context(), request.VisitorFrom(r).Class.ID, r.PathValue("person"), r.PathValue("page"))
	if errors.Is(err, class.ErrNone) {
		err = errNotShown
	}
	return p, err
}

var errNotShown = request.NewRefusal(http.StatusNotFound, "not-found", "This page is not shown to the class",
	"The student may have withdrawn or deleted it. The pages that a student shows are listed on the page of the student.")

func shownKeyOf(r *http.Request) string {
	return page.ShownKey(request.VisitorFrom(r).Class.ID, r.PathValue("person"), r.PathValue("page"))
}

// shownLesson is shownPage as it is read.
func (h *Handlers) shownLesson(r *http.Request) (*lessonPage, error) {
	p, err := h.shownPage(r)
	if err != nil {
		return nil, err
	}
	return h.Pages.readBlocks(shownKeyOf(r), p), nil
}

// ShownCells returns the cells of a page that is shown to a class, by its key, for an
// instructor of the class, and whether the page lacks rows of them; class.ErrNone for
// everybody else.
func (h *Handlers) ShownCells(ctx context.Context, person, key string) (cells []kernel.Cell, lacking bool, err error) {
	of := strings.Split(key, "/")
	if h.shown == nil || len(of) != 6 || key != page.ShownKey(of[1], of[3], of[5]) {
		return nil, false, class.ErrNone
	}
	may, err := h.shown.MayLook(ctx, of[1], person)
	if err == nil && !may {
		err = class.ErrNone
	}
	if err != nil {
		return nil, false, err
	}
	p, err := h.Classes.ShownPage(ctx, of[1], of[3], of[5])
	if err != nil {
		return nil, false, err
	}
	return h.Pages.readBlocks(key, p).cells(ctx)
}

func (h *Handlers) showShown(w http.ResponseWriter, r *http.Request) {
	p, err := h.shownPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	h.sendShown(w, r, http.StatusOK, p, page.AnswerForm{}, "")
}

// sendShown sends a page to an instructor. typed is an answer that was not kept, and
// wrong why; or both are empty.
func (h *Handlers) sendShown(w http.ResponseWriter, r *http.Request, status int, p store.Page, typed page.AnswerForm, wrong string) {
	ctx, c, person := r.Context(), request.VisitorFrom(r).Class, r.PathValue("person")
	student, err := h.Classes.Person(ctx, person)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	notes, err := h.Classes.Notes(ctx, c.ID, person, p.ID)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	made := h.Pages.readBlocks(shownKeyOf(r), p)
	path := "/" + shownKeyOf(r)
	answers, err := h.answersOf(r, notes, rawOf(made.blocks), func(n class.PageNote) string { return path + "/answer/" + n.ID + "/remove" })
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	placed := besideBlocks(answers)
	view := h.blocksView(p, made)
	view.Place, view.Lost = c.FullName(), placed.lost
	view.Above, err = rendered("shown-head", page.ShownHead{
		Name: student.Name, Back: page.StudentPath(class.Member{Class: c.ID, Person: person}), Class: c.FullName(),
		Results: resultsPath(made, r), Said: page.ShareSaid(r.URL.Query().Get("said")), Wrong: wrong,
	})
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	h.sendBlocks(w, r, status, blocksShown{page: made, query: r.URL.Query(), view: view, guess: unkeptGuess, blocks: func(blocks []page.OwnBlock) {
		placed.put(blocks)
		for i := range blocks {
			f := page.AnswerForm{Action: path + "/answer", Block: sharing.BlockHash(blocks[i].Raw), ID: rand.Text(), Most: sharing.NoteLimit}
			if f.Block == typed.Block {
				f.ID, f.Typed, f.Open = typed.ID, typed.Typed, true
			}
			blocks[i].Answer = &f
		}
	}})
}

// answerShown keeps an answer beside a block.
func (h *Handlers) answerShown(w http.ResponseWriter, r *http.Request) {
	p, err := h.shownPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	v := request.VisitorFrom(r)
	if !h.Attempts.MaySave(v.Person.ID) {
		h.Fail(w, r, errTooFast)
		return
	}
	form := page.AnswerForm{Block: r.PostFormValue("block"), ID: r.PostFormValue("id"), Typed: r.PostFormValue("text")}
	if len(form.ID) != len(rand.Text()) {
		h.Fail(w, r, errNoBlock)
		return
	}
	err = h.shown.Answer(r.Context(), class.PageNote{
		ID: form.ID, Class: v.Class.ID, Person: r.PathValue("person"), Block: form.Block, Text: form.Typed, By: v.Person.ID,
	}, p, blocksOf(p))
	wrong := ""
	switch {
	case errors.Is(err, sharing.ErrEmpty):
		wrong = "Write something first. Nothing was saved."
	case errors.Is(err, sharing.ErrLong):
		wrong = "An answer can have at most " + words.Count(sharing.NoteLimit, "character") + ". Nothing was saved."
	case errors.Is(err, sharing.ErrNoBlock):
		wrong = "The student has changed this part while you wrote, so nothing was saved. What you wrote: " + strconv.Quote(form.Typed)
	case errors.Is(err, store.ErrShownFull):
		wrong = "There are already " + words.Count(sharing.MostNotes, "answer") + " on this page. Remove one that is no longer needed, then try again."
	case errors.Is(err, class.ErrNone):
		err = errNotShown
		fallthrough
	case err != nil:
		h.FailStore(w, r, err)
		return
	}
	if wrong != "" {
		h.sendShown(w, r, http.StatusUnprocessableEntity, p, form, wrong)
		return
	}
	request.SeeOther(w, r, "/"+shownKeyOf(r), "answered")
}

// removeAnswer deletes an answer.
func (h *Handlers) removeAnswer(w http.ResponseWriter, r *http.Request) {
	p, err := h.shownPage(r)
	if err == nil {
		v := request.VisitorFrom(r)
		err = h.shown.Remove(r.Context(), v.Class.ID, r.PathValue("person"), v.Person.ID, p, r.PathValue("answer"))
	}
	if errors.Is(err, class.ErrNone) {
		err = request.ErrNotFound
	}
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	request.SeeOther(w, r, "/"+shownKeyOf(r), "removed")
}
