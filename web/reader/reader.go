// Package reader answers the requests of readers: the shelf and its search,
// lessons with their figures and exercises, saved edits, the board view,
// derivations of the reader's own, downloads and the reader's own problem sheet. It begins at New;
// Handlers.Routes are its addresses.
package reader

import (
	"context"
	"slices"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/ownpage"
	"shaftbook/web/app/practice"
	"shaftbook/web/app/proofread"
	"shaftbook/web/app/sharing"
	"shaftbook/web/app/throttle"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// Classes is what readers see of classes; contract.School has it.
type Classes interface {
	assignment.AdmitStore
	assignment.TermsStore
	assignment.FrozenStore
	assignment.AssignedStore
	FrozenImage(ctx context.Context, hash, name string) ([]byte, error)
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Person(ctx context.Context, id string) (class.Person, error)
	sharing.ShownStore
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
}

// A Config holds what the handlers depend on.
type Config struct {
	Site      *request.Site
	Catalog   *lessons.Current
	Rows      *page.Rows
	Attempts  *attempt.Service // nil leaves out exercises and saved edits
	Classes   Classes          // nil on an open server
	Tries     throttle.Keeper  // counts what is tried in vain; nil counts this server's
	NoSharing bool             // no page is shared with a link
	Withdrawn func()           // closes the live connections of links that no longer work; nil does nothing
	Gallery   bool             // also serve every kind of figure, under /figures

	Proofs  *proofread.Service // of the lessons that are written here; nil where none are
	Stopped <-chan struct{}    // closed when the server ends

	BoardStyle, OwnStyle, BlocksStyle, WritingStyle, PaperStyle, BoardScript, StatesScript, ShareScript, WritingScript string // addresses of static files
}

// Handlers answer the requests of readers.
type Handlers struct {
	Config
	*request.Site
	Pages    *PageCache
	own      *ownpage.Service  // nil where nothing is kept
	practice *practice.Service // as own
	links    *sharing.Links    // as own
	shown    *sharing.Shown    // nil without classes
}

// New returns the handlers.
func New(c Config) *Handlers {
	h := &Handlers{Config: c, Site: c.Site, Pages: newPageCache(c)}
	if c.Attempts != nil {
		h.own = &ownpage.Service{Store: c.Attempts.Store(), Now: c.Site.Now}
		h.practice = &practice.Service{Catalog: c.Catalog, Attempts: c.Attempts, Now: c.Site.Now}
		h.links = sharing.NewLinks(c.Attempts.Store(), c.Site.Now, c.NoSharing, c.Tries)
		if c.Classes != nil {
			h.shown = &sharing.Shown{Store: c.Classes, Now: c.Site.Now}
			h.practice.Classes = c.Classes
		}
	}
	return h
}

// Routes are the addresses of the handlers.
func (h *Handlers) Routes() []request.Route {
	return slices.Concat(
		h.lessonRoutes(), h.figureRoutes(), h.galleryRoutes(), h.exerciseRoutes(), h.practiceRoutes(), h.mixedRoutes(), h.guessRoutes(), h.savedEditsRoutes(), h.ownPageRoutes(), h.ownBlockRoutes(), h.ownListRoutes(), h.sharingRoutes(), h.sharedRoutes(), h.shownRoutes(),
		h.downloadRoutes(), h.derivationRoutes(), h.handoutRoutes(), h.boardRoutes(), h.referenceRoutes(), h.writingRoutes(),
	)
}

// termsAt returns the terms of a lesson for a person, or nil for a lesson that is
// read freely.
func (h *Handlers) termsAt(ctx context.Context, p *lessonPage, person string) (*assignment.Terms, error) {
	_, id := class.SplitKey(p.lesson.Slug)
	if id == "" || h.Classes == nil {
		return nil, nil
	}
	a, err := h.Classes.Assignment(ctx, id)
	if err != nil {
		return nil, err
	}
	return assignment.TermsFor(ctx, h.Classes, a, person)
}
