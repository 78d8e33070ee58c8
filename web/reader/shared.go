package reader

import (
	"context"
	"errors"
	"html/template"
	"math"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/kernel"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/sharing"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// sharedRoutes are the addresses of a page that is seen with a link, and of what the page
// has beside itself. They are for anybody: what lets a visitor in is the secret in the
// address. Nothing that a visitor does there is kept.
func (h *Handlers) sharedRoutes() []request.Route {
	if h.own == nil {
		return nil
	}
	figures, working := "/shared/{token}/figure/{cell}/{index}/{format}", "/shared/{token}/working/{format}"
	return []request.Route{
		{Pattern: "GET /shared/{token}", Handle: h.showShared},
		{Pattern: "GET " + figures, Handle: hidden(h.figure)}, {Pattern: "POST " + figures, Handle: hidden(h.figure)},
		{Pattern: "GET " + working, Handle: hidden(h.download)}, {Pattern: "POST " + working, Handle: hidden(h.download)},
	}
}

// errNotShared is said of every address at which no page is shared, whatever the reason.
var errNotShared = request.NewRefusal(http.StatusNotFound, "not-found", "There is no shared page here",
	"The link may have been withdrawn or have ended, or its address is not complete. Ask the person who sent it for a new one.")

// hide keeps an address with a secret out of searches and of what other pages are told.
func hide(w http.ResponseWriter) {
	w.Header().Set("X-Robots-Tag", "noindex, nofollow, noarchive")
	w.Header().Set("Referrer-Policy", "no-referrer")
}

func hidden(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) { hide(w); next(w, r) }
}

// OpenShared returns the page of the link of an address, for anybody. Who tries links
// that do not exist has to wait.
func (h *Handlers) OpenShared(w http.ResponseWriter, r *http.Request) (store.Share, store.Page, error) {
	if h.links == nil {
		return store.Share{}, store.Page{}, errNotShared
	}
	s, p, err := h.links.Open(r.Context(), r.PathValue("token"), h.ClientOf(r))
	var soon *sharing.TooSoonError
	switch {
	case errors.As(err, &soon):
		seconds := int(math.Ceil(soon.Wait.Seconds()))
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		err = request.NewRefusal(http.StatusTooManyRequests, "too-fast", "This cannot be opened right now",
			"Too many links that do not exist were tried from your network. Wait "+words.Count(seconds, "second")+", then reload the page.")
	case errors.Is(err, class.ErrNone):
		err = errNotShared
	}
	return s, p, err
}

// SharedCells returns the cells of the page of a secret, and whether the page lacks rows
// of them; class.ErrNone if the link does not work. Its tries were counted before.
func (h *Handlers) SharedCells(ctx context.Context, secret string) (cells []kernel.Cell, lacking bool, err error) {
	if h.links == nil {
		return nil, false, class.ErrNone
	}
	_, p, err := h.links.Find(ctx, secret)
	if err != nil {
		return nil, false, err
	}
	return h.Pages.readBlocks(page.SharedKey(secret), p).cells(ctx)
}

// IsShared reports whether the link of a secret works. A fault of the store does not end
// it.
func (h *Handlers) IsShared(ctx context.Context, secret string) bool {
	_, _, err := h.links.Find(ctx, secret)
	return !errors.Is(err, class.ErrNone)
}

// sharedLesson returns the page of the link of the address.
func (h *Handlers) sharedLesson(r *http.Request) (*lessonPage, error) {
	_, p, err := h.OpenShared(discarded{}, r)
	if err != nil {
		return nil, err
	}
	return h.Pages.readBlocks(page.SharedKey(r.PathValue("token")), p), nil
}

// discarded takes the headers of an answer that says no more than its status.
type discarded struct{ http.ResponseWriter }

func (discarded) Header() http.Header { return http.Header{} }

// showShared sends a page to somebody who has a link to it.
func (h *Handlers) showShared(w http.ResponseWriter, r *http.Request) {
	hide(w)
	s, p, err := h.OpenShared(w, r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	made := h.Pages.readBlocks(page.SharedKey(r.PathValue("token")), p)
	view := h.blocksView(p, made)
	view.Accounts = false // it is for people without one
	head := page.SharedHead{By: s.By, Ends: page.MomentOf(s.EndsAt), Results: resultsPath(made, r)}
	if view.Above, err = rendered("shared-head", head); err != nil {
		h.Fail(w, r, err)
		return
	}
	h.sendBlocks(w, r, http.StatusOK, blocksShown{page: made, query: r.URL.Query(), view: view, guess: unkeptGuess})
}

// resultsPath is the address of a page with nothing covered, if anything is.
func resultsPath(p *lessonPage, r *http.Request) string {
	if len(p.lesson.Guesses) == 0 || r.URL.Query().Get("results") == "all" {
		return ""
	}
	return lessons.Path(p.lesson.Slug) + "?results=all"
}

// unkeptGuess shows a guess without the form with which it would be kept.
func unkeptGuess(g *page.Guess) { g.Action, g.Again = "", "" }

func rendered(name string, view any) (template.HTML, error) {
	body, err := page.Render(name, view)
	return template.HTML(strings.TrimSuffix(string(body), "\n")), err
}
