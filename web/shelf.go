package web

import (
	"net/http"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// showShelf sends the list of lessons or, asked with q, the places in them
// where those words stand.
func (s *Server) showShelf(w http.ResponseWriter, r *http.Request) {
	query := strings.TrimSpace(r.URL.Query().Get("q"))
	if query == "" && of(r).person.ID != "" {
		s.showOwnShelf(w, r)
		return
	}
	if query == "" {
		body, err := s.book.shelf()
		s.send(w, r, body, err)
		return
	}
	if long := []rune(query); len(long) > queryLimit {
		query = string(long[:queryLimit])
	}
	body, err := s.book.renderShelf(query)
	s.send(w, r, body, err)
}

func (b *book) makeShelf() (*compress.Bytes, error) { return b.renderShelf("") }

func (b *book) shelfView(query string) page.Shelf {
	view := page.Shelf{Frame: b.server.frame(siteTitle, "Lessons on the twist of shafts, in which every number is alive.")}
	if query == "" {
		for _, l := range b.server.Shelf.Lessons {
			view.Lessons = append(view.Lessons, entry(l))
		}
	} else {
		view.Frame = b.server.frame("Found for “"+query+"”", "")
		view.Query, view.Found = query, b.find(query)
	}
	return view
}

func (b *book) renderShelf(query string) (*compress.Bytes, error) {
	body, err := page.Render("shelf", b.shelfView(query))
	if err != nil {
		return nil, err
	}
	return compress.New(htmlType, body), nil
}

func entry(l *lessons.Lesson) page.Entry {
	return page.Entry{Slug: l.Slug, Title: l.Title, Summary: l.Summary, Minutes: l.Minutes}
}
