package reader

import (
	"errors"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/sharing"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// sharingRoutes are where a learner shares a page of the learner's own. Like the page it
// is looked up among those of the learner who asks.
func (h *Handlers) sharingRoutes() []request.Route {
	if h.own == nil {
		return nil
	}
	list := []request.Route{
		{Pattern: "GET /page/{page}/share", Handle: h.showSharing},
		{Pattern: "POST /page/{page}/share", Handle: h.shareOwn},
		{Pattern: "POST /page/{page}/share/{link}/withdraw", Handle: h.withdrawOwn},
	}
	if h.shown == nil {
		return list
	}
	return append(list,
		request.Route{Pattern: "POST /page/{page}/show", Handle: h.showToClass},
		request.Route{Pattern: "POST /page/{page}/hide", Handle: h.hideFromClass})
}

// sharingOf returns who else sees a page of the visitor's own, and what instructors have
// answered on it.
func (h *Handlers) sharingOf(r *http.Request, p store.Page) (view page.Sharing, answers []class.PageNote, err error) {
	ctx, learner := r.Context(), learnerFrom(r)
	view.Off, view.Account = h.links.Off, request.VisitorFrom(r).Person.Name
	links, err := h.links.Of(ctx, learner, p.ID)
	if err != nil {
		return view, nil, err
	}
	for _, l := range links {
		view.Links = append(view.Links, page.ShareLine{ID: l.ID, By: l.By, Made: page.MomentOf(l.MadeAt), Ends: page.MomentOf(l.EndsAt)})
	}
	if h.shown == nil {
		return view, nil, nil
	}
	classes, err := h.shown.Classes(ctx, learner, p.ID)
	if err != nil {
		return view, nil, err
	}
	for _, c := range classes {
		view.Classes = append(view.Classes, page.ShareClass{ID: c.ID, Name: c.FullName(), Shown: c.Shown})
	}
	answers, err = h.Classes.Notes(ctx, "", learner, p.ID)
	return view, answers, err
}

func (h *Handlers) showSharing(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	h.sendSharing(w, r, http.StatusOK, p, func(*page.OwnSharing) {})
}

// sendSharing sends the page on which a page is shared, changed by what a form has to say.
func (h *Handlers) sendSharing(w http.ResponseWriter, r *http.Request, status int, p store.Page, change func(*page.OwnSharing)) {
	who, answers, err := h.sharingOf(r, p)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	view := page.OwnSharing{
		Frame: h.ownFrame("Share “"+p.Name+"”", ""), OwnLine: ownLine(p), Sharing: who,
		Said: page.ShareSaid(r.URL.Query().Get("said")), MostOf: sharing.MostLinks, NameMost: sharing.NameLimit,
	}
	view.Styles, view.Scripts = append(view.Styles, h.BlocksStyle), []string{h.ShareScript}
	for i, l := range sharing.Lengths {
		view.Lengths = append(view.Lengths, page.ShareLength{Key: l.Key, Words: l.Words, Picked: i == 1})
	}
	if view.Answers, err = h.answersOf(r, answers, blocksOf(p), nil); err != nil {
		h.FailStore(w, r, err)
		return
	}
	change(&view)
	h.SendPage(w, r, status, "own-sharing", view)
}

// shareOwn makes a link and shows it, this once.
func (h *Handlers) shareOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	learner, name := learnerFrom(r), request.Line(r, "name")
	if account := request.VisitorFrom(r).Person.Name; account != "" {
		name = ""
		if r.PostFormValue("named") != "" {
			name = account
		}
	}
	if !h.Attempts.MaySave(learner) {
		h.Fail(w, r, errTooFast)
		return
	}
	h.namedLearner(w, r) // the name lasts as long again
	secret, made, err := h.links.Share(r.Context(), learner, p.ID, r.PostFormValue("length"), name)
	wrong := ""
	switch {
	case errors.Is(err, sharing.ErrNameLong):
		wrong = "A name can have at most " + strconv.Itoa(sharing.NameLimit) + " characters. No link was made."
	case errors.Is(err, sharing.ErrNoLength):
		wrong = "Choose how long the link works. No link was made."
	case errors.Is(err, sharing.ErrOff):
		wrong = "Sharing is switched off on this server. No link was made."
	case errors.Is(err, store.ErrSharesFull):
		wrong = store.Words(err)
	case err != nil:
		h.failOwn(w, r, err)
		return
	}
	if wrong != "" {
		h.sendSharing(w, r, http.StatusUnprocessableEntity, p, func(v *page.OwnSharing) { v.Wrong, v.Typed = wrong, name })
		return
	}
	h.sendSharing(w, r, http.StatusOK, p, func(v *page.OwnSharing) {
		v.NewLink, v.NewEnds = h.OriginFor(r)+lessons.Path(page.SharedKey(secret)), page.MomentOf(made.EndsAt)
	})
}

// withdrawOwn ends a link to a page.
func (h *Handlers) withdrawOwn(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err == nil {
		err = h.links.Withdraw(r.Context(), learnerFrom(r), r.PathValue("link"))
	}
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	if h.Withdrawn != nil {
		h.Withdrawn()
	}
	request.SeeOther(w, r, page.SharePath(p.ID), "withdrawn")
}

// showToClass shows a page to the instructors of a class that the visitor is in.
func (h *Handlers) showToClass(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err == nil {
		err = h.shown.Show(r.Context(), r.PostFormValue("class"), p, learnerFrom(r))
	}
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	request.SeeOther(w, r, page.SharePath(p.ID), "shown")
}

// hideFromClass ends it.
func (h *Handlers) hideFromClass(w http.ResponseWriter, r *http.Request) {
	p, err := h.ownPage(r)
	if err == nil {
		err = h.shown.Hide(r.Context(), r.PostFormValue("class"), p, learnerFrom(r))
	}
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	request.SeeOther(w, r, page.SharePath(p.ID), "hidden")
}

// blocksOf returns the texts of the blocks of a page.
func blocksOf(p store.Page) []string { return rawOf(lessons.Blocks(p.Text)) }

// answersOf returns answers as they are shown. remove returns the address that removes
// one, or is nil for who may not.
func (h *Handlers) answersOf(r *http.Request, notes []class.PageNote, blocks []string, remove func(class.PageNote) string) (list []page.BlockAnswer, err error) {
	names := map[string]string{}
	for _, n := range sharing.Place(notes, blocks) {
		if _, known := names[n.By]; !known {
			p, err := h.Classes.Person(r.Context(), n.By)
			if err != nil && !errors.Is(err, class.ErrNone) {
				return nil, err
			}
			names[n.By] = p.Name
		}
		a := page.BlockAnswer{By: names[n.By], When: page.MomentOf(n.At), Text: n.Text, Quote: n.Quote, Changed: n.Changed, Gone: n.Block < 0, Block: n.Block}
		if remove != nil {
			a.Remove = remove(n.PageNote)
		}
		list = append(list, a)
	}
	return list, nil
}

// beside are answers at the blocks beside which they stand.
type beside struct {
	at   map[int][]page.BlockAnswer
	lost []page.BlockAnswer // to blocks that are no longer there
}

func besideBlocks(answers []page.BlockAnswer) beside {
	b := beside{at: map[int][]page.BlockAnswer{}}
	for _, a := range answers {
		if a.Gone {
			b.lost = append(b.lost, a)
		} else {
			b.at[a.Block] = append(b.at[a.Block], a)
		}
	}
	return b
}

// put puts the answers to the blocks of a page.
func (b beside) put(blocks []page.OwnBlock) {
	for i := range blocks {
		blocks[i].Answers = b.at[i]
	}
}
