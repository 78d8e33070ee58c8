package classroom

import (
	"cmp"
	"context"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// assignments are the handlers of giving a class its lessons.
type assignments struct{ *Handlers }

func (h *assignments) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/assign", Handle: h.showAssign},
		{Pattern: "POST /class/{class}/assign", Handle: h.assign},
		{Pattern: "GET /class/{class}/assignment/{assignment}", Handle: h.showAssignment},
		{Pattern: "POST /class/{class}/assignment/{assignment}", Handle: h.changeAssignment},
		{Pattern: "GET /class/{class}/assignment/{assignment}/recompute", Handle: h.showRegrade},
		{Pattern: "POST /class/{class}/assignment/{assignment}/recompute", Handle: h.applyRegrade},
		{Pattern: "POST /class/{class}/assignment/{assignment}/withdraw", Handle: h.withdrawAssignment},
		{Pattern: "POST /class/{class}/assignment/{assignment}/times", Handle: h.extend},
		{Pattern: "POST /class/{class}/assignment/{assignment}/times/{person}/end", Handle: h.endExtension},
	}
}

// assignSaid are the sentences after something was done to an assignment.
var assignSaid = map[string]string{
	"assigned":  "Assigned.",
	"withdrawn": "Withdrawn. Students no longer see it; their work is kept.",
	"remarked":  "Re-marked. The class now has the current text of the file.",
	"again":     "Assignment restored, with all work.",
	"extended":  "Extension granted.",
	"ended":     "Extension ended. The student has the times of the class again.",
}

// assignFrame is the frame of a page about assignments of the class of the
// address.
func (h *assignments) assignFrame(r *http.Request, title string) page.ClassFrame {
	f := h.classFrame(r, title, "Assignments")
	f.Said = cmp.Or(assignSaid[r.URL.Query().Get("said")], f.Said)
	return f
}

// showAssign lists what is assigned and what can be or, asked with a lesson,
// shows the form that assigns it.
func (h *assignments) showAssign(w http.ResponseWriter, r *http.Request) {
	if slug := r.URL.Query().Get("lesson"); slug != "" {
		g, err := h.Files.Candidate(r.Context(), slug)
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		h.sendAssignForm(w, r, http.StatusOK, g, assignment.NewForm(g, request.VisitorFrom(r).Class.Zone, h.Now()))
		return
	}
	assigned, err := h.Store.Assignments(r.Context(), request.VisitorFrom(r).Class.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.AssignList{ClassFrame: h.assignFrame(r, "Assignments"), Zone: request.VisitorFrom(r).Class.Zone}
	for _, a := range assigned {
		view.Assigned = append(view.Assigned, h.assignLine(r.Context(), &a, view.Zone))
	}
	for _, l := range h.Catalog.In(r.Context()).Lessons {
		view.Shelf = append(view.Shelf, page.AssignChoice{Title: l.Title, Slug: l.Slug, Exercises: len(l.CellsOf(lessons.Exercise))})
	}
	h.SendPage(w, r, http.StatusOK, "class-assign", view)
}

func (h *assignments) assignLine(ctx context.Context, a *class.Assignment, zone string) page.AssignLine {
	line := page.AssignLine{
		Title: a.Title, Path: page.AssignmentPath(a), Lesson: a.Lesson, LessonPath: lessons.Path(a.Key()),
		Opens: page.Short(a.Opens, a.Zone, zone, h.Now()), Due: page.Short(a.Due, a.Zone, zone, h.Now()), State: assignment.ShortState(a, zone, h.Now()),
		Room: liveViewPath(a, h.Now()), Marks: page.ChosenPath("/class/"+a.Class+"/marks", a.ID), Withdrawn: a.Withdrawn, Changed: h.Files.Changed(ctx, a),
	}
	if l, ok := h.Catalog.In(ctx).Lesson(a.Lesson); ok {
		line.Lesson = l.Title
	}
	return line
}

// assign assigns a lesson.
func (h *assignments) assign(w http.ResponseWriter, r *http.Request) {
	g, err := h.Files.Candidate(r.Context(), request.Line(r, "lesson"))
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	form, a := assignment.ReadForm(request.Form(r), g.Cells, h.Now())
	if len(g.Faults) > 0 || !form.IsTaken() {
		h.sendAssignForm(w, r, formStatus(form), g, form)
		return
	}
	if err := h.editor(r).Assign(r.Context(), g, a); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.ClassPath(request.VisitorFrom(r).Class.ID)+"/assign", "assigned")
}

func (h *assignments) sendAssignForm(w http.ResponseWriter, r *http.Request, status int, g *assignment.Candidate, form *assignment.Form) {
	view := page.AssignNew{
		ClassFrame: h.assignFrame(r, "Assign "+g.Lesson.Title), Heading: g.Lesson.Title, Lesson: lessons.Path(g.Lesson.Slug),
		Refused: g.FaultLines(), Form: form.View(g.Cells, g.Exercises),
	}
	view.Form.Action, view.Form.Button, view.Form.Lesson = "/class/"+request.VisitorFrom(r).Class.ID+"/assign", "Assign lesson", g.Lesson.Slug
	if len(g.Faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	h.SendPage(w, r, status, "class-assign-new", view)
}
