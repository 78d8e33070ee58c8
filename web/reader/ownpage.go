package reader

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"unicode"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/derivation"
	"shaftbook/web/app/ownpage"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// ownPageRoutes are the addresses of pages of the learner's own. A page is looked
// up among those of the learner who asks, so that its address opens it to nobody
// else.
func (h *Handlers) ownPageRoutes() []request.Route {
	if h.own == nil {
		return nil
	}
	return []request.Route{
		{Pattern: "GET /page/{page}", Handle: h.showOwn},
		{Pattern: "POST /page/{page}", Handle: h.postOwn},
		{Pattern: "GET /page/{page}/kept", Handle: h.showOwnKept},
		{Pattern: "POST /page/{page}/kept", Handle: h.saveOwn},
		{Pattern: "GET /page/{page}/file/{format}", Handle: h.downloadOwn},
		{Pattern: "POST /page/{page}/name", Handle: h.renameOwn},
		{Pattern: "POST /page/{page}/delete", Handle: h.changeOwn(func(ctx context.Context, learner, id string, _ *http.Request) (string, error) {
			err := h.own.Delete(ctx, learner, id)
			return h.listOf(ctx, learner, id) + "?deleted=" + id, err
		})},
		{Pattern: "POST /page/{page}/undelete", Handle: h.changeOwn(func(ctx context.Context, learner, id string, _ *http.Request) (string, error) {
			return h.listOf(ctx, learner, id), h.own.BringBack(ctx, learner, id)
		})},
		{Pattern: "POST /page/{page}/remove", Handle: h.changeOwn(func(ctx context.Context, learner, id string, _ *http.Request) (string, error) {
			list := h.listOf(ctx, learner, id)
			return list, h.own.Remove(ctx, learner, id)
		})},
		{Pattern: "POST /page/{page}/version", Handle: h.changeOwn(func(ctx context.Context, learner, id string, r *http.Request) (string, error) {
			revision, err := strconv.ParseInt(r.PostFormValue("revision"), 10, 64)
			if err != nil {
				return "", class.ErrNone
			}
			return page.OwnPagePath(id) + "?said=version", h.own.BringBackVersion(ctx, learner, id, revision)
		})},
	}
}

// listOf returns the address of the list in which a page is.
func (h *Handlers) listOf(ctx context.Context, learner, id string) string {
	if p, err := h.own.Page(ctx, learner, id); err == nil && p.Kind == store.KindPage {
		return page.PagesPath
	}
	return page.DerivationsPath
}

// changeOwn does something to a page and sends the reader on.
func (h *Handlers) changeOwn(do func(ctx context.Context, learner, id string, r *http.Request) (next string, err error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		learner := learnerFrom(r)
		if !h.Attempts.MaySave(learner) {
			h.Fail(w, r, errTooFast)
			return
		}
		next, err := do(r.Context(), learner, r.PathValue("page"), r)
		if err != nil {
			h.failOwn(w, r, err)
			return
		}
		http.Redirect(w, r, next, http.StatusSeeOther)
	}
}

var (
	errNoDerivation = request.NewRefusal(http.StatusBadRequest, "unreadable", "There is no derivation in this form", "Choose a starting point under “Check a derivation”.")
	errNoPage       = request.NewRefusal(http.StatusNotFound, "not-found", "There is no such page here", "It may have been deleted, or it belongs to another account or browser. A page that you deleted can be brought back from the list of derivations.")
	errPageTooLong  = request.NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "This page is too long to be saved",
		"A derivation can have "+strconv.Itoa(ownpage.TextLimit>>10)+" kB. Nothing was changed; shorten it, or split it into two.")
)

// failOwn answers a request about a page of one's own that could not be served.
func (h *Handlers) failOwn(w http.ResponseWriter, r *http.Request, err error) {
	h.FailStore(w, r, ownRefusal(err))
}

// ownRefusal words an error of a page of one's own.
func ownRefusal(err error) error {
	var beyond *ownpage.BeyondError
	switch {
	case errors.As(err, &beyond):
		return request.NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "This page is too long to be saved", beyondWords(beyond))
	case errors.Is(err, class.ErrNone):
		return errNoPage
	case errors.Is(err, ownpage.ErrTooLong):
		return errPageTooLong
	}
	return err
}

// ownPage returns the page of the address, if it is the learner's and not deleted.
func (h *Handlers) ownPage(r *http.Request) (store.Page, error) {
	p, err := h.own.Page(r.Context(), learnerFrom(r), r.PathValue("page"))
	if err == nil && !p.DeletedAt.IsZero() {
		err = class.ErrNone
	}
	return p, err
}

func (h *Handlers) showOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	if p.Kind == store.KindPage {
		h.showBlocks(w, r, p)
		return
	}
	h.sendOwn(w, r, http.StatusOK, p, nil)
}

// sendOwn sends a page with its derivation judged. change may be nil.
func (h *Handlers) sendOwn(w http.ResponseWriter, r *http.Request, status int, p store.Page, change func(*page.DerivationPage)) {
	versions, err := h.own.Versions(r.Context(), learnerFrom(r), p.ID)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	content := ownpage.ContentOf(p)
	var o *derivation.Outcome
	err = turns.Do(r.Context(), turns.Judge, func(ctx context.Context) (err error) {
		o, err = derivation.Judge(ctx, derivation.Input{Text: content.Text, Data: content.Numbers})
		return err
	})
	if errors.Is(err, derivation.ErrTooLong) {
		o, err = derivation.Unjudged(content.Text), nil
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	numbers, err := json.Marshal(content.Numbers)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	view := page.DerivationPage{
		Frame: h.ownFrame(p.Name, "A derivation of your own."),
		Name:  p.Name,
		Derivation: page.DerivationCell{ID: ownCell, Text: content.Text, Own: true, Action: page.OwnPagePath(p.ID),
			Base: p.Revision, Seen: page.Judge(r.Context(), ownCell, o)},
		Verdicts: page.VerdictLegend(),
		Own: &page.OwnPage{OwnLine: ownLine(p), Numbers: string(numbers), Said: page.OwnSaid(r.URL.Query().Get("said")),
			Limits: page.OwnLimits{Lines: derivation.LineLimit, Judged: derivation.TextLimit, Kept: ownpage.TextLimit}, NameLimit: ownpage.NameLimit},
	}
	for _, v := range versions {
		view.Own.Versions = append(view.Own.Versions, page.OwnVersion{
			Revision: v.Revision, When: page.MomentOf(v.At), Replaced: v.Reason == store.Replaced, Text: ownpage.Read(v.Text).Derivation()})
	}
	if h.shown != nil {
		answers, err := h.Classes.Notes(r.Context(), "", learnerFrom(r), p.ID)
		if err != nil {
			h.failOwn(w, r, err)
			return
		}
		view.Own.Answers = len(answers)
	}
	if change != nil {
		change(&view)
	}
	h.SendPage(w, r, status, "derivation", view)
}

// postOwn keeps what a form sends and shows it judged, so that everything but the
// judging while one types works without a script.
func (h *Handlers) postOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	if p.Kind == store.KindPage {
		h.postBlocks(w, r, p)
		return
	}
	sent, err := inputOf(r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	base, err := strconv.ParseInt(r.PostForm.Get("base"), 10, 64)
	if err != nil || !r.PostForm.Has("text") {
		h.Fail(w, r, errNoDerivation)
		return
	}
	// The form has fields only for the names that were given when it was made; the
	// numbers of others stay.
	was := ownpage.ContentOf(p)
	numbers := was.Numbers
	for name, text := range sent.Data {
		numbers[name] = text
	}
	// A form does not know what it had before, so that any other text counts as one
	// it has not seen.
	c := ownpage.Change{Content: ownpage.Content{Text: derivation.WithGaps(sent.Text, sent.Gaps), Numbers: numbers}, Base: base}
	saved, err := h.saved(w, r, c)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	next := page.OwnPagePath(p.ID)
	if saved.Replaced {
		next += "?said=replaced"
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

func (h *Handlers) showOwnKept(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	if p.Kind == store.KindPage {
		request.SendJSON(w, keptBlocks{rawOf(lessons.Blocks(p.Text)), p.Revision, false})
		return
	}
	request.SendJSON(w, ownpage.Saved{Content: ownpage.ContentOf(p), Revision: p.Revision})
}

// saveOwn keeps a change of a page while it is written; ownpage.js is the other end.
func (h *Handlers) saveOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	if p.Kind == store.KindPage {
		h.saveBlocks(w, r, p)
		return
	}
	var c ownpage.Change
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&c); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	if len(c.Writer) > savedNameLimit {
		h.Fail(w, r, request.TooLong(request.BodyLimit))
		return
	}
	saved, err := h.saved(w, r, c)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	request.SendJSON(w, saved)
}

func (h *Handlers) saved(w http.ResponseWriter, r *http.Request, c ownpage.Change) (ownpage.Saved, error) {
	learner := learnerFrom(r)
	if learner != "" {
		h.namedLearner(w, r) // the name lasts as long again
	}
	if !h.Attempts.MaySave(learner) {
		return ownpage.Saved{}, errTooFast
	}
	return h.own.Save(r.Context(), learner, r.PathValue("page"), c)
}

func (h *Handlers) renameOwn(w http.ResponseWriter, r *http.Request) {
	learner, id, name := learnerFrom(r), r.PathValue("page"), request.Line(r, "name")
	if !h.Attempts.MaySave(learner) {
		h.Fail(w, r, errTooFast)
		return
	}
	err := h.own.Rename(r.Context(), learner, id, name)
	wrong := ""
	switch {
	case errors.Is(err, ownpage.ErrNoName):
		wrong = "Enter a name."
	case errors.Is(err, ownpage.ErrNameLong):
		wrong = "A name can have at most " + strconv.Itoa(ownpage.NameLimit) + " characters."
	case errors.Is(err, ownpage.ErrNameTaken):
		wrong = "You already have a derivation with this name. Choose another."
	case err != nil:
		h.failOwn(w, r, err)
		return
	}
	if wrong != "" && h.listOf(r.Context(), learner, id) == page.PagesPath {
		h.Fail(w, r, request.NewRefusal(http.StatusUnprocessableEntity, "name", "The page was not renamed", wrong))
		return
	}
	if wrong != "" {
		p, err := h.ownPage(r)
		if err != nil {
			h.failOwn(w, r, err)
			return
		}
		h.sendOwn(w, r, http.StatusUnprocessableEntity, p, func(v *page.DerivationPage) { v.Own.NameTyped, v.Own.NameWrong = name, wrong })
		return
	}
	next := page.OwnPagePath(id)
	if r.PostFormValue("from") == "list" {
		next = h.listOf(r.Context(), learner, id)
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// downloadOwn sends a page as the file that opens it again, or its derivation as
// text or TeX.
func (h *Handlers) downloadOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	header := w.Header()
	var body, end string
	switch format := r.PathValue("format"); format {
	case "markdown":
		header.Set("Content-Type", "text/markdown; charset=utf-8")
		body, end = p.Text, ".md"
	case "text", "tex":
		content := ownpage.ContentOf(p)
		plain, tex, err := derivation.Written(content.Text)
		if err != nil {
			h.Fail(w, r, request.TooLong(derivation.TextLimit))
			return
		}
		header.Set("Content-Type", "text/plain; charset=utf-8")
		body, end = plain, ".txt"
		if format == "tex" {
			body, end = tex, ".tex"
		}
	default:
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	header.Set("Cache-Control", "no-store")
	header.Set("Content-Disposition", "attachment; filename="+strconv.Quote(fileName(p.Name)+end))
	_, _ = w.Write([]byte(body)) // a reader that has gone away is no fault of ours
}

// fileName makes a name for a file of letters, digits and hyphens.
func fileName(name string) string {
	var b strings.Builder
	for _, r := range name {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(unicode.ToLower(r))
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "derivation"
}

func ownLine(p store.Page) page.OwnLine {
	return page.OwnLine{ID: p.ID, Name: p.Name, Changed: page.MomentOf(p.ChangedAt), Deleted: page.MomentOf(p.DeletedAt)}
}

func ownLines(pages []store.Page) (lines []page.OwnLine) {
	for _, p := range pages {
		lines = append(lines, ownLine(p))
	}
	return lines
}
