package classroom

import (
	"net/http"
	"slices"

	"shaftbook/exercises/class"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// overrideForm are the fields that set the points of an exercise by hand. Their
// names hold that of the exercise, since a page has one such form for each.
func overrideForm(exercise string, m *class.Mark, points, reason string) []page.ClassField {
	return []page.ClassField{
		{Name: "points-" + exercise, Label: "Points out of " + class.Shown(m.Full), Type: "text", Value: points},
		{Name: "reason-" + exercise, Label: "Reason", Type: "text", Value: reason, Help: "The student can read this."},
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
	hand := gradebook.ByHand{Store: h.Store, Assignment: &m.a, Person: m.person.ID, By: request.VisitorFrom(r).Person.ID, Now: h.Now()}
	said := "by-hand"
	if r.PostFormValue("do") == "withdraw" {
		said, err = "marking", hand.Withdraw(r.Context(), mark)
	} else {
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
		err = hand.Set(r.Context(), mark, points, form[1].Value)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, path, said)
}

var errNoExercise = request.NewRefusal(http.StatusNotFound, "not-found", "There is no such exercise", "It does not count in this assignment. Open the student’s marks again.")

// readOverride reads the points of the form, or says at its fields what is
// wrong.
func readOverride(form []page.ClassField, full float64) (points float64, ok bool) {
	at, reason := &form[0], &form[1]
	points, ok = gradebook.ReadPoints(at.Value, full)
	if !ok {
		at.Wrong = "Enter a number from 0 to " + class.Shown(full) + "."
	}
	if reason.Value == "" {
		reason.Wrong = "Enter a reason. The student can read it."
	}
	page.RefuseLong(form)
	return points, at.Wrong == "" && reason.Wrong == ""
}
