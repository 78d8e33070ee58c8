package web

import (
	"cmp"
	"context"
	"fmt"
	"io/fs"
	"net/http"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// assignRoutes are the routes of giving a class its lessons.
func (s *Server) assignRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{
		{staff, "GET /class/{class}/assign", s.showAssign},
		{staff, "POST /class/{class}/assign", s.assign},
		{staff, "GET /class/{class}/assignment/{assignment}", s.showAssignment},
		{staff, "POST /class/{class}/assignment/{assignment}", s.changeAssignment},
		{staff, "GET /class/{class}/assignment/{assignment}/recompute", s.showRemark},
		{staff, "POST /class/{class}/assignment/{assignment}/recompute", s.remark},
		{staff, "POST /class/{class}/assignment/{assignment}/withdraw", s.withdrawAssignment},
		{staff, "POST /class/{class}/assignment/{assignment}/times", s.extend},
		{staff, "POST /class/{class}/assignment/{assignment}/times/{person}/end", s.endExtension},
	}
}

// assignSaid are the sentences after something was done to an assignment.
var assignSaid = map[string]string{
	"assigned":  "Assigned.",
	"withdrawn": "Withdrawn. Students no longer find it; their work is kept.",
	"remarked":  "The class has the text of the file, and every answer was judged by it.",
	"again":     "Given again, with all the work there was.",
	"extended":  "The student has these times.",
	"ended":     "The times of the class hold for the student again.",
}

// assignFrame is the frame of a page about assignments of the class of the
// address.
func (s *Server) assignFrame(r *http.Request, title string) page.ClassFrame {
	f := s.classFrame(r, title, "Assign")
	f.Said = cmp.Or(assignSaid[r.URL.Query().Get("said")], f.Said)
	return f
}

// showAssign lists what is assigned and what can be or, asked with a lesson,
// shows the form that assigns it.
func (s *Server) showAssign(w http.ResponseWriter, r *http.Request) {
	if slug := r.URL.Query().Get("lesson"); slug != "" {
		g, err := s.givable(r.Context(), slug)
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		s.sendAssignForm(w, r, http.StatusOK, g, newTerms(g, of(r).class.Zone, s.now()))
		return
	}
	assigned, err := s.Class.Assignments(r.Context(), of(r).class.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	view := page.AssignList{ClassFrame: s.assignFrame(r, "Assign")}
	view.Wide = true
	for _, a := range assigned {
		view.Assigned = append(view.Assigned, s.assignLine(&a))
	}
	for _, l := range s.Shelf.Lessons {
		view.Shelf = append(view.Shelf, page.AssignChoice{Title: l.Title, Slug: l.Slug, Exercises: len(l.CellsOf(lessons.Exercise))})
	}
	s.sendClass(w, r, http.StatusOK, "class-assign", view)
}

func (s *Server) assignLine(a *class.Assignment) page.AssignLine {
	line := page.AssignLine{
		Title: a.Title, Path: assignmentPath(a), Lesson: a.Lesson, LessonPath: lessons.Path(a.Key()),
		Opens: zoned(a.Opens, a.Zone), Due: zoned(a.Due, a.Zone), State: assignmentState(a, s.now()),
		Room: roomPath(a, "", "", false), Marks: chosenPath("/class/"+a.Class+"/marks", a.ID), Withdrawn: a.Withdrawn, Changed: s.fileChanged(a),
	}
	if l, ok := s.Shelf.Lesson(a.Lesson); ok {
		line.Lesson = l.Title
	}
	return line
}

func assignmentPath(a *class.Assignment) string { return "/class/" + a.Class + "/assignment/" + a.ID }

// assignmentState says what students of a class without other times can do with
// an assignment now.
func assignmentState(a *class.Assignment, now time.Time) string {
	t := a.TermsFor(nil)
	days, closed := t.Late(now)
	switch {
	case a.Withdrawn:
		return "withdrawn"
	case !t.Opened(now):
		return "not open yet"
	case closed:
		return "closed"
	case days > 0:
		return "due, taken late until " + zoned(t.Closes, a.Zone)
	}
	return "open"
}

// A givable is a lesson as its file is now, with what a class could work at.
type givable struct {
	lesson    *lessons.Lesson
	exercises []*exercises.Exercise // in the order of the cells
	cells     []lessons.Cell
	faults    source.List // why it cannot be assigned
}

func (g *givable) frozen() class.Frozen {
	text := g.lesson.Text.Content
	return class.Frozen{Hash: class.HashText(text), Name: g.lesson.Text.Name, Text: text}
}

// givable reads a lesson of the shelf from its file and proves its exercises.
func (s *Server) givable(ctx context.Context, slug string) (*givable, error) {
	l, list, err := s.lessonNow(slug)
	if err != nil {
		return nil, err
	}
	g := &givable{lesson: l}
	for _, d := range list {
		if d.Code == lessons.CodeFile {
			g.faults = append(g.faults, d)
		}
	}
	return g, s.proved.prove(ctx, g)
}

func (g *givable) prove(ctx context.Context) error {
	for _, cell := range g.lesson.CellsOf(lessons.Exercise) {
		e, list := exercises.Parse(cell.Name, cell.Text)
		if !list.HasErrors() {
			proof, err := exercises.Prove(ctx, e)
			if err != nil {
				return err
			}
			list = proof.Problems
		}
		for _, d := range list {
			if d.Severity == source.Error {
				g.faults = append(g.faults, d)
			}
		}
		g.cells, g.exercises = append(g.cells, cell), append(g.exercises, e)
	}
	return nil
}

// lessonNow reads a lesson of the shelf from its file, which may have changed
// since the server began, with what was found in it.
func (s *Server) lessonNow(slug string) (*lessons.Lesson, source.List, error) {
	l, ok := s.Shelf.Lesson(slug)
	if !ok {
		return nil, nil, errNoLesson
	}
	src, err := fs.ReadFile(s.Shelf.Files, l.Text.Name)
	if err != nil {
		return nil, nil, errNoLesson
	}
	now, list := lessons.Parse(l.Text.Name, src)
	return now, list, nil
}

// fileChanged reports whether the file of an assignment's lesson has another text
// now than the class works at. Of one that was withdrawn nobody needs to know.
func (s *Server) fileChanged(a *class.Assignment) bool {
	if a.Withdrawn {
		return false
	}
	now, _, err := s.lessonNow(a.Lesson)
	return err == nil && class.HashText(now.Text.Content) != a.Text
}

// view says the faults at their lines of the file.
func (g *givable) view() []page.AssignFault {
	out := make([]page.AssignFault, len(g.faults))
	for i, d := range g.faults {
		out[i] = page.AssignFault{Place: fmt.Sprintf("%s, line %d", g.lesson.Text.Name, d.Span.Position().Line), Message: d.Message, Repair: d.Repair}
	}
	return out
}

// assign assigns a lesson.
func (s *Server) assign(w http.ResponseWriter, r *http.Request) {
	g, err := s.givable(r.Context(), line(r, "lesson"))
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	form, a := readTerms(r, g.cells, s.now())
	if len(g.faults) > 0 || !form.taken() {
		s.sendAssignForm(w, r, form.status(), g, form)
		return
	}
	text := g.frozen()
	now := s.now()
	a.ID, a.Class, a.Lesson, a.Text, a.MadeAt, a.ChangedAt = class.NewID(), of(r).class.ID, g.lesson.Slug, text.Hash, now, now
	e := s.entry(r, "assign", "", "assigned “"+a.Title+"”: the lesson "+a.Lesson+", "+termsWords(&a, titlesOf(g.cells, g.exercises)))
	e.Assignment = a.ID
	if err := s.Class.AddAssignment(r.Context(), a, text, e); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/class/"+a.Class+"/assign", "assigned")
}

func (s *Server) sendAssignForm(w http.ResponseWriter, r *http.Request, status int, g *givable, form *termsForm) {
	view := page.AssignNew{
		ClassFrame: s.assignFrame(r, "Assign "+g.lesson.Title), Heading: g.lesson.Title, Lesson: lessons.Path(g.lesson.Slug),
		Refused: g.view(), Form: form.view(g.cells, g.exercises),
	}
	view.Form.Action, view.Form.Button, view.Form.Lesson = "/class/"+of(r).class.ID+"/assign", "Assign it", g.lesson.Slug
	if len(g.faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	s.sendClass(w, r, status, "class-assign-new", view)
}
