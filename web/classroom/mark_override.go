package classroom

import (
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// overrideForm are the fields that set the points of an exercise by hand. Their
// names hold that of the exercise, since a page has one such form for each.
func overrideForm(exercise string, m *class.Mark, points, reason string) []page.ClassField {
	return []page.ClassField{
		{Name: "points-" + exercise, Label: "Points, out of " + class.Shown(m.Full), Type: "text", Value: points},
		{Name: "reason-" + exercise, Label: "Reason", Type: "text", Value: reason, Help: "The student reads it."},
	}
}

// setMark sets the points of an exercise by hand, or lets the marking stand
// again.
func (h *marks) setMark(w http.ResponseWriter, r *http.Request) {
	m, err := h.marked(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	exercise := r.PostFormValue("exercise")
	i := slices.IndexFunc(m.Marks, func(mark class.Mark) bool { return mark.Exercise == exercise })
	if i < 0 {
		h.Fail(w, r, errNoExercise)
		return
	}
	mark, path := &m.Marks[i], page.MarkPath(&m.a, m.person.ID)
	o := class.Override{Assignment: m.a.ID, Person: m.person.ID, Exercise: exercise, By: request.VisitorFrom(r).Person.ID, At: h.Now()}
	e := h.entry(r, "override", m.person.ID, "")
	e.Assignment, e.Exercise = m.a.ID, exercise
	was := class.Shown(mark.Points)
	if r.PostFormValue("do") == "withdraw" {
		if mark.Override == nil {
			request.SeeOther(w, r, path, "marking")
			return
		}
		o.Withdrawn = true
		e.Detail = "let the marking of “" + mark.Title + "” stand again: " + was + " to " + class.Shown(mark.Marking) + " points"
		h.override(w, r, o, e, path, "marking")
		return
	}
	form := overrideForm(exercise, mark, request.Line(r, "points-"+exercise), request.Line(r, "reason-"+exercise))
	points, ok := readOverride(form, mark.Full)
	if !ok {
		h.sendMark(w, r, http.StatusUnprocessableEntity, m, func(x *page.MarkExercise) {
			if x.ID == exercise {
				x.Form, x.Open = form, true
			}
		})
		return
	}
	o.Points, o.Reason = points, form[1].Value
	e.Detail = "set “" + mark.Title + "” by hand: " + was + " to " + class.Shown(points) + " of " + class.Shown(mark.Full) + " points: " + o.Reason
	h.override(w, r, o, e, path, "by-hand")
}

var errNoExercise = request.NewRefusal(http.StatusNotFound, "not-found", "There is no such exercise", "It does not count in this assignment. Open the marks of the student again.")

func (h *marks) override(w http.ResponseWriter, r *http.Request, o class.Override, e class.Entry, path, said string) {
	if err := h.Store.Override(r.Context(), o, e); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, path, said)
}

// readOverride reads the points of the form, or says at its fields what is
// wrong. A comma stands for a decimal point, and −0 is 0.
func readOverride(form []page.ClassField, full float64) (points float64, ok bool) {
	at, reason := &form[0], &form[1]
	points, err := strconv.ParseFloat(strings.Replace(at.Value, ",", ".", 1), 64)
	if err != nil || math.IsNaN(points) || points < 0 || points > full {
		at.Wrong = "This is no number from 0 to " + class.Shown(full) + "."
	}
	if reason.Value == "" {
		reason.Wrong = "A mark by hand needs a reason, which the student reads."
	}
	return math.Abs(points), at.Wrong == "" && reason.Wrong == ""
}
