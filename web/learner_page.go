package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// gap is the place of an exercise in a page that all learners share.
func gap(c lessons.Cell) string { return "<!--exercise " + c.ID + "-->" }

func leaveGap(w io.Writer, c lessons.Cell) error {
	_, err := io.WriteString(w, gap(c))
	return err
}

// headGap is the place of what stands above an assigned lesson.
const headGap = "<!--assigned-->"

// shown says how one exercise is shown otherwise than it stands.
type shown struct {
	place  attempt.Place
	change func(*page.Exercise) // or nil
}

// showLesson sends a lesson's page. One with exercises is made for the learner
// who asks.
func (s *Server) showLesson(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	_, assignment := class.SplitKey(p.lesson.Slug)
	if s.Desk == nil || assignment == "" && len(p.lesson.CellsOf(lessons.Exercise)) == 0 {
		body, err := p.made()
		s.send(w, r, body, err)
		return
	}
	var as shown
	query := r.URL.Query()
	if cell, ok := p.lesson.Cell(query.Get("practise")); ok && cell.Kind == lessons.Exercise {
		if series, err := strconv.Atoi(query.Get("series")); err == nil {
			as.place = attempt.Place{Cell: cell, Series: series}
		}
	}
	as.place.Learner = s.knownLearner(w, r)
	s.sendLesson(w, r, p, http.StatusOK, as)
}

// sendLesson fills the gaps of a lesson's page for one learner and sends it.
func (s *Server) sendLesson(w http.ResponseWriter, r *http.Request, p *lessonPage, status int, as shown) {
	text, err := p.text()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	at, err := s.workAt(r.Context(), p, as.place.Learner)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	if at != nil {
		head, err := page.Render("assigned-head", at.head(s.now()))
		if err != nil {
			s.fail(w, r, err)
			return
		}
		text = bytes.Replace(text, []byte(headGap), head, 1)
	}
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		body, err := s.learnersExercise(r.Context(), p, cell, as, at)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		text = bytes.Replace(text, []byte(gap(cell)), body, 1)
	}
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Add("Vary", "Cookie")
	compress.NewForOne(htmlType, text).Send(w, r, status)
}

func (s *Server) learnersExercise(ctx context.Context, p *lessonPage, cell lessons.Cell, as shown, at *work) ([]byte, error) {
	place := attempt.Place{Learner: as.place.Learner, Lesson: p.lesson, Cell: cell, Series: attempt.Newest}
	named := as.place.Cell.ID == cell.ID
	if named {
		place.Series = as.place.Series
	}
	view, err := s.exerciseView(ctx, place, at)
	if err != nil {
		return nil, err
	}
	if named && as.change != nil {
		as.change(&view)
	}
	return page.Render("exercise", view)
}
