package reader

import (
	"context"
	"net/http"

	"shaftbook/lessons"
	"shaftbook/web/app/practice"
	"shaftbook/web/page"
)

// showKnownShelf sends the shelf of an open server with what the browser's learner has
// done and what comes next.
func (h *Handlers) showKnownShelf(w http.ResponseWriter, r *http.Request) {
	view, err := h.Pages.in(r.Context()).view(r.Context(), "", nil)
	if err == nil {
		view.Front, err = h.Pages.frontShaft()
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	h.addProgress(r, &view)
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Add("Vary", "Cookie")
	h.SendPage(w, r, http.StatusOK, "shelf", view)
}

// addProgress adds to the shelf how far the learner is. Where the store cannot say, the
// shelf does without it.
func (h *Handlers) addProgress(r *http.Request, view *page.Shelf) {
	if h.practice == nil {
		return
	}
	if err := h.fillProgress(r.Context(), learnerFrom(r), view); err != nil {
		h.Log.Error("progress cannot be read", "error", err)
	}
}

func (h *Handlers) fillProgress(ctx context.Context, learner string, view *page.Shelf) error {
	st, err := h.practice.Standing(ctx, learner)
	if err != nil {
		return err
	}
	all, err := h.practice.Lessons(ctx, learner, st)
	if err != nil {
		return err
	}
	begun := false
	for i := range view.Lessons {
		p, l := all[view.Lessons[i].Slug], &view.Lessons[i]
		l.Progress, l.IsDone, l.IsBegun = p.Words(), p.Done, p.Begun
		begun = begun || p.Begun
	}
	for i := range view.Paths {
		markPath(&view.Paths[i], all)
	}
	view.Map = page.NeedsMap(view.Lessons)
	next, ok := h.practice.Suggest(st, all)
	switch {
	case !ok:
		view.Next = nil
	case next.Lesson == nil:
		view.Next = &page.SuggestedNext{Word: "Next:", Title: "Practice", Path: "/practice", Reason: next.Reason}
	default:
		word := "Begin with"
		switch {
		case all[next.Lesson.Slug].Begun:
			word = "Go on with"
		case begun:
			word = "Next:"
		}
		view.Next = &page.SuggestedNext{Word: word, Title: next.Lesson.Title, Path: lessons.Path(next.Lesson.Slug), Reason: next.Reason}
	}
	return nil
}

// markPath marks on a path what is done, what was begun and which lesson comes next.
func markPath(path *page.Path, all map[string]practice.LessonProgress) {
	next := false
	for i := range path.Steps {
		for j := range path.Steps[i].Lessons {
			l := &path.Steps[i].Lessons[j]
			p := all[l.Slug]
			l.IsDone, l.IsBegun = p.Done, p.Begun
			if p.Done {
				path.Done++
			} else if !next {
				l.IsNext, next = true, true
			}
		}
	}
}
