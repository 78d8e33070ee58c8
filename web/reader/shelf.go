package reader

import (
	"context"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"shaftbook/lessons"
	"shaftbook/lessons/search"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showShelf sends the list of lessons or, asked with q, the places in them
// where those words stand.
func (h *Handlers) showShelf(w http.ResponseWriter, r *http.Request) {
	query := strings.TrimSpace(r.URL.Query().Get("q"))
	if query == "" && request.VisitorFrom(r).Person.ID != "" {
		h.showOwnShelf(w, r)
		return
	}
	if query == "" && h.practice != nil && learnerFrom(r) != "" {
		h.showKnownShelf(w, r)
		return
	}
	if query == "" {
		w.Header().Add("Vary", "Cookie")
		body, err := h.Pages.in(r.Context()).front()
		h.SendShared(w, r, body, err)
		return
	}
	if long := []rune(query); len(long) > search.QueryLimit {
		query = string(long[:search.QueryLimit])
	}
	learner := ""
	if h.Attempts != nil {
		learner = learnerFrom(r)
	}
	view, err := h.Pages.in(r.Context()).view(r.Context(), query, h.openedFor(learner))
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Add("Vary", "Cookie")
	if learner != "" {
		w.Header().Set("Cache-Control", "private, no-cache")
		h.SendPage(w, r, http.StatusOK, "shelf", view)
		return
	}
	body, err := renderShelf(view)
	h.SendShared(w, r, body, err)
}

// An opening returns the sections of a lesson as they are for one learner, or nil where
// nothing has been opened.
type opening func(ctx context.Context, p *lessonPage) ([]search.Section, error)

// openedFor returns what a learner’s guesses have opened.
func (h *Handlers) openedFor(learner string) opening {
	if learner == "" {
		return nil
	}
	return func(ctx context.Context, p *lessonPage) ([]search.Section, error) {
		at, err := h.guessesAt(ctx, p, learner, nil)
		if err != nil {
			return nil, err
		}
		c, err := p.covering.get(ctx)
		if err != nil {
			return nil, err
		}
		left := c.Opened(at.isMade)
		if len(left.Numbers) == len(c.Numbers) {
			return nil, nil
		}
		return search.CoveredSectionsOf(p.lesson, left), nil
	}
}

// found returns what is found of a query. What its reader has opened by a guess is not
// covered in the excerpts.
func (s *shelf) found(ctx context.Context, q search.Query, open opening) ([]search.Match, error) {
	sections, err := s.sections.get(ctx)
	if err != nil {
		return nil, err
	}
	matches := search.Find(sections, q)
	opened := map[string][]search.Section{}
	for i, m := range matches {
		p := s.pages[m.Lesson.Slug]
		if open == nil || p == nil || !m.HasCovered() {
			continue
		}
		of, known := opened[m.Lesson.Slug]
		if !known {
			if of, err = open(ctx, p); err != nil {
				return nil, err
			}
			opened[m.Lesson.Slug] = of
		}
		matches[i] = m.Again(of, q)
	}
	return matches, nil
}

func (s *shelf) makeFront() (*compress.Bytes, error) {
	view, err := s.view(context.Background(), "", nil)
	if err != nil {
		return nil, err
	}
	if view.Front, err = s.cache.frontShaft(); err != nil {
		return nil, err
	}
	return renderShelf(view)
}

// view is the front page without the shaft that stands on it or, with a query, what is found.
func (s *shelf) view(ctx context.Context, query string, open opening) (page.Shelf, error) {
	view := page.Shelf{Frame: s.cache.site.Frame(request.Name, "Lessons on how far shafts twist, with formulas, figures and exercises you can work in.")}
	if query == "" {
		for _, l := range s.catalog.Lessons {
			e := entry(l)
			e.Number, e.Group = s.catalog.Number(l.Slug), groupOf(l)
			for _, need := range l.Needs {
				if other, ok := s.catalog.Lesson(need); ok {
					n := entry(other)
					n.Number = s.catalog.Number(need)
					e.Needs = append(e.Needs, n)
				}
			}
			view.Lessons = append(view.Lessons, e)
		}
		view.Paths, view.Pages = s.paths(), s.has()
		view.Map, view.Practice = page.NeedsMap(view.Lessons), s.cache.practises
		if list := view.Lessons; len(list) > 0 {
			view.Next = &page.SuggestedNext{Word: "Begin with", Title: list[0].Title, Path: lessons.Path(list[0].Slug)}
		}
	} else {
		view.Frame = s.cache.site.Frame("Search results for “"+query+"”", "")
		view.Query = query
		q := search.Read(query)
		view.Also = q.Also
		found, err := s.found(ctx, q, open)
		if err != nil {
			return view, err
		}
		if view.Terms, err = s.foundTerms(q); err != nil {
			return view, err
		}
		for _, m := range found {
			view.Found = foundIn(view.Found, &m)
		}
	}
	view.Styles = append(view.Styles, s.cache.site.Assets.ShelfStyle)
	return view, nil
}

func renderShelf(view page.Shelf) (*compress.Bytes, error) {
	body, err := page.Render("shelf", view)
	if err != nil {
		return nil, err
	}
	return compress.New(request.HTMLType, body), nil
}

func entry(l *lessons.Lesson) page.Entry {
	return page.Entry{Slug: l.Slug, Title: l.Title, Summary: l.Summary, Minutes: l.Minutes}
}

// groupOf returns the heading under which a lesson stands.
func groupOf(l *lessons.Lesson) string {
	switch {
	case l.Group != "":
		return l.Group
	case l.Own:
		return page.OwnGroup
	}
	return page.MainGroup
}

// foundTerms returns the terms of the glossary that are looked for.
func (s *shelf) foundTerms(q search.Query) (terms []page.FoundTerm, err error) {
	for _, t := range search.FindTerms(s.catalog.Reference.Terms, q) {
		means, err := lessons.Inline(t.Means.Markdown)
		if err != nil {
			return nil, err
		}
		terms = append(terms, page.FoundTerm{Word: t.Word, Path: "/glossary#" + t.ID(), Means: template.HTML(means)})
	}
	return terms, nil
}

// foundIn adds a section to those of its lesson, which stand where the first of them
// was found.
func foundIn(list []page.FoundLesson, m *search.Match) []page.FoundLesson {
	at := slices.IndexFunc(list, func(l page.FoundLesson) bool { return l.Path == lessons.Path(m.Lesson.Slug) })
	if at < 0 {
		at = len(list)
		list = append(list, page.FoundLesson{Title: m.Lesson.Title, Path: lessons.Path(m.Lesson.Slug)})
	}
	section := page.Found{Path: m.Path()}
	if m.ID != "" {
		section.Heading = m.Heading
	}
	for _, p := range m.Excerpt {
		section.Excerpt = append(section.Excerpt, page.FoundPiece{Text: p.Text, Formula: template.HTML(p.Markup), Found: p.Found})
	}
	list[at].Sections = append(list[at].Sections, section)
	return list
}
