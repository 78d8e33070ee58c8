package reader

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/ownpage"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showBlocks sends a page of blocks to its owner.
func (h *Handlers) showBlocks(w http.ResponseWriter, r *http.Request, p store.Page) {
	versions, err := h.own.Versions(r.Context(), learnerFrom(r), p.ID)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	query := r.URL.Query()
	made := h.Pages.readBlocks(OwnKey(p.ID), p)
	view := h.blocksView(p, made)
	view.Editable, view.Adds, view.Open = true, addsOf(), -1
	view.Said = page.OwnPageSaid(query.Get("said"))
	view.Limits = page.OwnBlockLimits{Bytes: ownpage.PageLimit, Blocks: ownpage.MostBlocks, Cells: ownpage.MostCells}
	if n, err := strconv.Atoi(query.Get("edit")); err == nil {
		view.Open = n
	}
	for _, v := range versions {
		view.Versions = append(view.Versions, page.OwnVersion{
			Revision: v.Revision, When: page.MomentOf(v.At), Replaced: v.Reason == store.Replaced, Text: v.Text})
	}
	sharing, answers, err := h.sharingOf(r, p)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	view.Sharing = &sharing
	shown, err := h.answersOf(r, answers, rawOf(made.blocks), nil)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	placed := besideBlocks(shown)
	view.Lost = placed.lost
	h.sendBlocks(w, r, http.StatusOK, blocksShown{page: made, learner: learnerFrom(r), query: query, view: view, blocks: placed.put})
}

// blocksView returns the view of a page of blocks, which is only shown.
func (h *Handlers) blocksView(p store.Page, made *lessonPage) page.OwnBlocks {
	frame := h.ownFrame(p.Name, "")
	frame.Styles = append(frame.Styles, h.BlocksStyle)
	return page.OwnBlocks{
		Frame: frame, OwnLine: ownLine(p), Key: made.lesson.Slug, Revision: p.Revision, Open: -1,
		Titled: strings.Contains(p.Text, "# ") && made.lesson.Title == "" && titleHeading(made.lesson),
	}
}

// titleHeading reports whether the first heading of a page is its title.
func titleHeading(l *lessons.Lesson) bool {
	return len(l.Headings) > 0 && l.Headings[0].Level == 1
}

func addsOf() (list []page.OwnAdd) {
	for _, b := range ownpage.Beginnings {
		list = append(list, page.OwnAdd{Kind: b.Kind, Word: b.Word, Name: b.Name, Text: b.Text})
	}
	return list
}

// saveBlocks keeps a change of a page of blocks while it is written; page-blocks.js is
// the other end.
func (h *Handlers) saveBlocks(w http.ResponseWriter, r *http.Request, p store.Page) {
	var c ownpage.PageChange
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&c); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	if len(c.Writer) > savedNameLimit {
		h.Fail(w, r, request.TooLong(BlocksLimit))
		return
	}
	saved, err := h.savedBlocks(w, r, p.ID, c)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	request.SendJSON(w, keptBlocks{rawOf(saved.Blocks), saved.Revision, saved.Replaced})
}

// keptBlocks is a page of blocks as a script gets it.
type keptBlocks struct {
	Blocks   []string `json:"blocks"`
	Revision int64    `json:"revision"`
	Replaced bool     `json:"replaced,omitempty"`
}

func rawOf(blocks []lessons.Block) []string {
	out := make([]string, 0, len(blocks))
	for _, b := range blocks {
		out = append(out, b.Raw)
	}
	return out
}

func (h *Handlers) savedBlocks(w http.ResponseWriter, r *http.Request, id string, c ownpage.PageChange) (ownpage.SavedPage, error) {
	learner := learnerFrom(r)
	if learner != "" {
		h.namedLearner(w, r) // the name lasts as long again
	}
	if !h.Attempts.MaySave(learner) {
		return ownpage.SavedPage{}, errTooFast
	}
	return h.own.SavePage(r.Context(), learner, id, c)
}

// BlocksLimit bounds the body with which a page of blocks is saved: its text and that of
// what it was before, as JSON.
const BlocksLimit = 8 * ownpage.PageLimit

// postBlocks does what the form of a block asks for, so that a page can be written
// without scripts.
func (h *Handlers) postBlocks(w http.ResponseWriter, r *http.Request, p store.Page) {
	if err := r.ParseForm(); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	form := r.PostForm
	base, err := strconv.ParseInt(form.Get("base"), 10, 64)
	at, errAt := strconv.Atoi(form.Get("at"))
	if err != nil || errAt != nil {
		h.Fail(w, r, errNoBlock)
		return
	}
	step := ownpage.Step{Base: base, At: at, Do: form.Get("do"), Add: form.Get("add"), Text: form.Get("text")}
	c, next, ok := step.Change(p)
	if !ok {
		h.Fail(w, r, errNoBlock)
		return
	}
	saved, err := h.savedBlocks(w, r, p.ID, c)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	query := ""
	switch {
	case saved.Replaced:
		query = "?said=replaced"
	case step.Add != "":
		query = "?edit=" + strconv.Itoa(next)
	}
	to := page.OwnPagePath(p.ID) + query
	if len(saved.Blocks) > 0 {
		to += "#block-" + strconv.Itoa(max(0, min(next, len(saved.Blocks)-1))+1)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

var errNoBlock = request.NewRefusal(http.StatusBadRequest, "unreadable", "The server cannot read that", "The form was changed on its way, or the page has changed since. Nothing was changed; go back, reload the page and try again.")

// ownBlockRoutes are what a page of blocks has of a lesson.
func (h *Handlers) ownBlockRoutes() []request.Route {
	if h.own == nil {
		return nil
	}
	figures, working, exercise := "/page/{page}/figure/{cell}/{index}/{format}", "/page/{page}/working/{format}", "/page/{page}/exercise/{cell}/practise"
	return []request.Route{
		{Pattern: "GET " + figures, Handle: h.figure}, {Pattern: "POST " + figures, Handle: h.figure},
		{Pattern: "GET " + working, Handle: h.download}, {Pattern: "POST " + working, Handle: h.download},
		{Pattern: "POST /page/{page}/guess/{cell}", Handle: h.takeGuess},
		{Pattern: "GET " + exercise, Handle: h.showPractice}, {Pattern: "POST " + exercise, Handle: h.markPractice},
	}
}
