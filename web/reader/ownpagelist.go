package reader

import (
	"context"
	"errors"
	"io"
	"net/http"
	"strings"
	"unicode/utf8"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/ownpage"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// FileLimit bounds the body with which a file is opened as a page.
const FileLimit = 1 << 20

func (h *Handlers) ownListRoutes() []request.Route {
	if h.own == nil {
		return nil
	}
	return []request.Route{{Pattern: "GET /pages", Handle: h.showPages}, {Pattern: "POST /pages", Handle: h.newPage}}
}

// showPages sends the list of the learner's pages, with what a page can begin from.
func (h *Handlers) showPages(w http.ResponseWriter, r *http.Request) {
	h.sendPages(w, r, http.StatusOK, "")
}

// sendPages sends the list; wrong is why a page could not be begun, or empty.
func (h *Handlers) sendPages(w http.ResponseWriter, r *http.Request, status int, wrong string) {
	there, deleted, err := h.own.List(r.Context(), learnerFrom(r))
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	view := page.OwnPages{
		Frame: h.ownFrame("My pages", "Pages of your own, with text, calculations, shafts and derivations."),
		Pages: ownLines(ofKind(there, store.KindPage)), Deleted: ownLines(ofKind(deleted, store.KindPage)),
		All: len(there), Most: ownpage.MostPages, Wrong: wrong,
		Limits: page.OwnBlockLimits{Bytes: ownpage.PageLimit, Blocks: ownpage.MostBlocks, Cells: ownpage.MostCells},
	}
	view.Styles = append(view.Styles, h.BlocksStyle)
	for _, s := range ownpage.PageStarts {
		view.Starts = append(view.Starts, page.DerivationStart{Key: s.Key, Name: s.Name, About: s.About})
	}
	for i := range view.Deleted {
		if view.Deleted[i].ID == r.URL.Query().Get("deleted") {
			view.Gone = &view.Deleted[i]
		}
	}
	h.SendPage(w, r, status, "own-pages", view)
}

func ofKind(pages []store.Page, kind string) (out []store.Page) {
	for _, p := range pages {
		if p.Kind == kind {
			out = append(out, p)
		}
	}
	return out
}

// newPage makes a page from what a form names: a starting page, a lesson or a section of
// it, a page or derivation of the learner's, or a file.
func (h *Handlers) newPage(w http.ResponseWriter, r *http.Request) {
	text, err := h.beginning(r)
	var wrong *cannotOpen
	switch {
	case errors.As(err, &wrong):
		h.sendPages(w, r, wrong.status, wrong.words)
		return
	case err != nil:
		h.failOwn(w, r, err)
		return
	}
	learner := h.namedLearner(w, r)
	if !h.Attempts.MaySave(learner) {
		h.Fail(w, r, errTooFast)
		return
	}
	p, err := h.own.NewPage(r.Context(), learner, text)
	var beyond *ownpage.BeyondError
	if errors.As(err, &beyond) {
		h.sendPages(w, r, http.StatusRequestEntityTooLarge, beyondWords(beyond))
		return
	}
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	http.Redirect(w, r, page.OwnPagePath(p.ID), http.StatusSeeOther)
}

// cannotOpen says why a page cannot begin from what was sent.
type cannotOpen struct {
	status int
	words  string
}

func (c *cannotOpen) Error() string { return c.words }

// beginning returns the text of a page that is begun.
func (h *Handlers) beginning(r *http.Request) (string, error) {
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") {
		return fileOf(r)
	}
	if err := r.ParseForm(); err != nil {
		return "", request.Unreadable(err)
	}
	form := r.PostForm
	switch {
	case form.Get("start") != "":
		if s, ok := ownpage.PageStartOf(form.Get("start")); ok {
			return s.Text, nil
		}
	case form.Get("lesson") != "":
		return h.lessonAsPage(r, form.Get("lesson"), form.Get("section"))
	case form.Get("from") != "":
		p, err := h.own.Page(r.Context(), learnerFrom(r), form.Get("from"))
		if err == nil && !p.DeletedAt.IsZero() {
			err = class.ErrNone
		}
		return p.Text, err
	case form.Has("text"):
		return form.Get("text"), nil
	}
	return "", request.ErrNotFound
}

// lessonAsPage returns the text of a lesson, or of one section with what it needs, for a
// page. Where exercises are marked they stay in the lesson, since their text has the
// answers.
func (h *Handlers) lessonAsPage(r *http.Request, name, section string) (text string, err error) {
	l, err := h.Pages.Lesson(r.Context(), request.VisitorFrom(r).Person.ID, name)
	if err != nil {
		return "", err
	}
	if section != "" && !l.HasAnchor(section) {
		return "", request.ErrNotFound
	}
	err = turns.Do(r.Context(), turns.Page, func(ctx context.Context) (err error) {
		text, err = ownpage.OfLesson(ctx, l, section, h.Classes != nil)
		return err
	})
	return text, err
}

// fileOf returns the text of the file that a form brings.
func fileOf(r *http.Request) (string, error) {
	if err := r.ParseMultipartForm(FileLimit); err != nil {
		return "", request.Unreadable(err)
	}
	defer func() { _ = r.MultipartForm.RemoveAll() }() // nothing is left of it on the disk
	file, head, err := r.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || err == nil && head.Filename == "" {
		return "", &cannotOpen{http.StatusUnprocessableEntity, "Choose a file first."}
	}
	if err != nil {
		return "", request.Unreadable(err)
	}
	defer file.Close()
	body, err := io.ReadAll(io.LimitReader(file, FileLimit))
	if err != nil {
		return "", request.Unreadable(err)
	}
	text := string(body)
	if !utf8.ValidString(text) || strings.ContainsRune(text, 0) {
		return "", &cannotOpen{http.StatusUnprocessableEntity, "This file is not text, so it cannot be a page. A page is a Markdown file (.md), saved as UTF-8."}
	}
	return lessons.CleanText(text), nil
}
