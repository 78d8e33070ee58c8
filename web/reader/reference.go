package reader

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"unicode"

	"shaftbook/exercises/class"
	"shaftbook/kernel/typeset"
	"shaftbook/lessons"
	"shaftbook/lessons/reference"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// referenceRoutes are the routes of the glossary and of the symbols.
func (h *Handlers) referenceRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /glossary", Handle: h.showGlossary},
		{Pattern: "GET /symbols", Handle: h.showSymbols},
	}
}

var (
	noGlossary = request.NewRefusal(http.StatusNotFound, "not-found", "There is no glossary", "The folder of lessons that this server was started with has no file "+reference.GlossaryFile+".")
	noSymbols  = request.NewRefusal(http.StatusNotFound, "not-found", "There is no page of symbols", "The folder of lessons that this server was started with has no file "+reference.SymbolsFile+".")
)

func (h *Handlers) showGlossary(w http.ResponseWriter, r *http.Request) {
	s := h.Pages.in(r.Context())
	if !s.has().Glossary {
		h.Fail(w, r, noGlossary)
		return
	}
	h.sendReference(w, r, s, s.glossary, s.makeGlossary)
}

func (h *Handlers) showSymbols(w http.ResponseWriter, r *http.Request) {
	s := h.Pages.in(r.Context())
	if !s.has().Symbols {
		h.Fail(w, r, noSymbols)
		return
	}
	h.sendReference(w, r, s, s.symbols, s.makeSymbols)
}

// sendReference sends a page that stands beside the lessons: the one for everybody, or one
// with the way back to the lesson from which the reader came.
func (h *Handlers) sendReference(w http.ResponseWriter, r *http.Request, s *shelf, shared func() (*compress.Bytes, error), anew func(*page.BackTo) (*compress.Bytes, error)) {
	back := s.backTo(r.URL.Query().Get("from"))
	if back == nil {
		body, err := shared()
		h.SendShared(w, r, body, err)
		return
	}
	body, err := anew(back)
	h.SendShared(w, r, body, err)
}

// backTo returns the lesson of a slug or key; nil for what is none.
func (s *shelf) backTo(key string) *page.BackTo {
	slug, _ := class.SplitKey(key)
	l, ok := s.catalog.Lesson(slug)
	if !ok {
		return nil
	}
	return &page.BackTo{Title: l.Title, Key: key}
}

// has returns which pages of reference there are.
func (s *shelf) has() page.ReferencePages {
	return page.ReferencePages{Glossary: len(s.catalog.Reference.Terms) > 0, Symbols: len(s.catalog.Reference.Groups) > 0}
}

func (s *shelf) makeGlossary(back *page.BackTo) (*compress.Bytes, error) {
	view := page.Glossary{Frame: s.referenceFrame("Glossary", "The words of the lessons, each with where it is explained."), Symbols: s.has().Symbols, Back: back}
	for _, t := range s.catalog.Reference.Terms {
		means, err := lessons.Inline(t.Means.Markdown)
		if err != nil {
			return nil, err
		}
		letter := firstLetter(t.Word)
		if n := len(view.Letters); n == 0 || view.Letters[n-1].Letter != letter {
			view.Letters = append(view.Letters, page.GlossaryLetter{Letter: letter})
		}
		last := &view.Letters[len(view.Letters)-1]
		last.Terms = append(last.Terms, page.GlossaryTerm{ID: t.ID(), Word: t.Word, Also: t.Also, Means: template.HTML(means), See: s.linksTo(t.See)})
	}
	return renderReference("glossary", view)
}

func firstLetter(word string) string {
	for _, r := range word {
		return string(unicode.ToUpper(r))
	}
	return ""
}

func (s *shelf) makeSymbols(back *page.BackTo) (*compress.Bytes, error) {
	ref := &s.catalog.Reference
	view := page.Symbols{Frame: s.referenceFrame("Symbols", "What the letters of the lessons stand for, and the shear moduli of materials."), Glossary: s.has().Glossary, Back: back}
	for _, g := range ref.Groups {
		group := page.SymbolGroup{Title: g.Title}
		for _, symbol := range g.Symbols {
			means, err := lessons.Inline(symbol.Means.Markdown)
			if err != nil {
				return nil, err
			}
			group.Symbols = append(group.Symbols, page.Symbol{
				Letter: template.HTML(typeset.MathML(symbol.Expr, typeset.Options{})), Means: template.HTML(means), Units: symbol.Units, See: s.linksTo(symbol.See),
			})
		}
		view.Groups = append(view.Groups, group)
	}
	for _, m := range ref.Materials {
		view.Materials = append(view.Materials, page.Material{Name: m.Name, Range: m.Range(), Note: m.Note})
	}
	view.Sources = checkedLines(ref.Sources)
	return renderReference("symbols", view)
}

func (s *shelf) referenceFrame(title, description string) page.Frame {
	f := s.cache.site.Frame(title, description)
	f.Place = title
	f.Styles = append(f.Styles, s.cache.site.Assets.ShelfStyle)
	return f
}

func renderReference(name string, view any) (*compress.Bytes, error) {
	body, err := page.Render(name, view)
	if err != nil {
		return nil, err
	}
	return compress.New(request.HTMLType, body), nil
}

// linksTo returns links to places of lessons, with the title of the lesson. A place that
// is not there, which check reports, has no link.
func (s *shelf) linksTo(places []reference.Place) (links []page.Linked) {
	for _, p := range places {
		l, ok := s.catalog.Lesson(p.Slug)
		if !ok {
			continue
		}
		path := lessons.Path(p.Slug)
		if p.Anchor != "" && l.HasAnchor(p.Anchor) {
			path += "#" + p.Anchor
		}
		links = append(links, page.Linked{Title: l.Title, Path: path})
	}
	return links
}

// checkedLines are sources as a page shows them.
func checkedLines(sources []reference.Source) (lines []page.Checked) {
	for _, s := range sources {
		line := page.Checked{Source: s.Source, What: s.What}
		if s.Memory {
			line.Note = reference.FromMemory
		}
		lines = append(lines, line)
	}
	return lines
}

// paths returns the paths of the catalog for the shelf, with the entries of the shelf.
func (s *shelf) paths() (paths []page.Path) {
	for _, p := range s.catalog.Reference.Paths {
		path, all := page.Path{Title: p.Title, For: p.For}, 0
		for _, st := range p.Steps {
			step, minutes := page.PathStep{Title: st.Title, Note: st.Note}, 0
			for _, at := range st.Lessons {
				if l, ok := s.catalog.Lesson(at.Slug); ok {
					step.Lessons = append(step.Lessons, page.PathLesson{Entry: entry(l)})
					minutes += l.Minutes
				}
			}
			step.Minutes = inHours(minutes)
			path.Steps = append(path.Steps, step)
			path.Lessons += len(step.Lessons)
			all += minutes
		}
		path.Minutes = inHours(all)
		paths = append(paths, path)
	}
	return paths
}

// inHours writes a time: 40 minutes, 1 hour 20 minutes.
func inHours(minutes int) string {
	var said []string
	if h := minutes / 60; h == 1 {
		said = append(said, "1 hour")
	} else if h > 1 {
		said = append(said, fmt.Sprintf("%d hours", h))
	}
	if m := minutes % 60; m > 0 || minutes == 0 {
		said = append(said, fmt.Sprintf("%d minutes", m))
	}
	return strings.Join(said, " ")
}
