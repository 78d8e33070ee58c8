package web

import (
	"io"
	"net/http"
	"strings"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

// A Marker reads the exercises of lessons and marks answers. It is declared
// here, where it is used, so that marking can change without the pages.
type Marker interface {
	// Exercise returns what an exercise cell asks of the reader. Action and
	// the parts' Answer and Said are left empty.
	Exercise(lesson *lessons.Lesson, cell lessons.Cell) (page.Exercise, error)
	// Mark says what is to be said of an answer to one part. The error is for
	// faults only; an answer that cannot be read is something to be said.
	Mark(lesson *lessons.Lesson, cell lessons.Cell, part, answer string) (page.Said, error)
}

const answerLimit = 2000 // characters; the field has the same

func (s *Server) exerciseRoutes(mux *http.ServeMux) {
	mux.HandleFunc("POST /lesson/{slug}/exercise/{cell}", s.mark)
}

func exercisePath(slug, cell string) string { return lessons.Path(slug) + "/exercise/" + cell }

// writeExercise writes an exercise; without a marker there is nothing to ask.
func (b *book) writeExercise(w io.Writer, p *lessonPage, c lessons.Cell, answered map[string]page.Part) error {
	if b.server.Marker == nil {
		return nil
	}
	e, err := b.server.Marker.Exercise(p.lesson, c)
	if err != nil {
		return err
	}
	e.ID, e.Action = c.ID, exercisePath(p.lesson.Slug, c.ID)
	for i := range e.Parts {
		if a, ok := answered[c.ID+" "+e.Parts[i].Name]; ok {
			e.Parts[i].Answer, e.Parts[i].Said = a.Answer, a.Said
		}
	}
	body, err := page.Render("exercise", e)
	if err != nil {
		return err
	}
	_, err = w.Write(body)
	return err
}

// mark marks one answer. A script gets what is to be said; a plain form gets
// the lesson's page with the answer and what is said of it.
func (s *Server) mark(w http.ResponseWriter, r *http.Request) {
	p, ok := s.book.pages[r.PathValue("slug")]
	if !ok || s.Marker == nil {
		s.fail(w, r, errNotFound)
		return
	}
	cell, ok := p.lesson.Cell(r.PathValue("cell"))
	if !ok || cell.Kind != lessons.Exercise {
		s.fail(w, r, errNotFound)
		return
	}
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, unreadableBody(err))
		return
	}
	part, answer := r.PostForm.Get("part"), strings.TrimSpace(r.PostForm.Get("answer"))
	if len([]rune(answer)) > answerLimit {
		s.fail(w, r, errTooLong)
		return
	}
	said, err := s.Marker.Mark(p.lesson, cell, part, answer)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", htmlType)
	var body []byte
	if strings.Contains(r.Header.Get("Accept"), "fragment=1") {
		body, err = page.Render("said-fragment", said)
	} else {
		body, err = s.book.render(p, map[string]page.Part{cell.ID + " " + part: {Answer: answer, Said: &said}})
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	_, _ = w.Write(body) // a reader that has gone away is no fault of ours
}
