package classroom

import (
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

const weekLimit = 520 // ten years

// showCopy shows the form that copies a class.
func (h *classes) showCopy(w http.ResponseWriter, r *http.Request) {
	view := page.ClassCopy{ClassFrame: h.classFrame(r, "Copy", "Overview"), Form: copyForm(request.VisitorFrom(r).Class.Name, "", "52", ""), Staff: true}
	h.SendPage(w, r, http.StatusOK, "class-copy", view)
}

func copyForm(name, term, weeks, first string) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: name},
		{Name: "term", Label: "Term", Type: "text", Value: term},
		{Name: "weeks", Label: "Move dates by weeks", Type: "number", Value: weeks, Optional: true},
		{Name: "first", Label: "or the first due date", Type: "date", Value: first, Optional: true, Help: "If you enter a date, the number of weeks is ignored."},
	}
}

// copyClass shows the dates that a copy would have or, asked to, makes it.
func (h *classes) copyClass(w http.ResponseWriter, r *http.Request) {
	v := request.VisitorFrom(r)
	assigned, err := h.Store.Assignments(r.Context(), v.Class.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	kept := notWithdrawn(assigned)
	view := page.ClassCopy{
		ClassFrame: h.classFrame(r, "Copy", "Overview"),
		Form:       copyForm(request.Line(r, "name"), request.Line(r, "term"), request.Line(r, "weeks"), request.Line(r, "first")),
		Staff:      r.PostFormValue("staff") != "",
	}
	days, ok := readShift(view.Form, kept)
	if !ok {
		h.SendPage(w, r, http.StatusUnprocessableEntity, "class-copy", view)
		return
	}
	made := class.Class{ID: class.NewID(), Name: view.Form[0].Value, Term: view.Form[1].Value, Zone: v.Class.Zone, JoinCode: enrolment.NewJoinCode(), MadeAt: h.Now()}
	copied, err := assignment.Copies(kept, made.ID, days, h.Now())
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	for i, a := range kept {
		view.Dates = append(view.Dates, page.ClassMoved{
			Title: a.Title, OldDue: page.Zoned(a.Due, a.Zone),
			Opens: page.Zoned(copied[i].Opens, a.Zone), Due: page.Zoned(copied[i].Due, a.Zone), Closes: page.Zoned(copied[i].Closes, a.Zone),
		})
	}
	// Nothing is made of dates that were not shown.
	if r.PostFormValue("do") != "make" || r.PostFormValue("shown") != strconv.Itoa(days) {
		view.Ready, view.Days = true, days
		h.SendPage(w, r, http.StatusOK, "class-copy", view)
		return
	}
	staff := []string{v.Person.ID}
	if view.Staff {
		if staff, err = h.staffOf(r); err != nil {
			h.FailClass(w, r, err)
			return
		}
	}
	e := class.Entry{Class: made.ID, By: v.Person.ID, At: h.Now(), Action: "class", Detail: "copied from the class " + v.Class.Name + ", " + v.Class.Term + ", with dates moved by " + words.CountOf(days, "day", "days")}
	if err := h.Store.AddClass(r.Context(), made, staff, copied, e); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/class/"+made.ID, "copied")
}

// readShift returns by how many days the times move, or says at the fields why
// that is not known.
func readShift(form []page.ClassField, assigned []class.Assignment) (days int, ok bool) {
	name, term, weeks, first := &form[0], &form[1], &form[2], &form[3]
	if name.Value == "" {
		name.Wrong = "Enter a name for the class."
	}
	if term.Value == "" {
		term.Wrong = "Enter a term, to tell the two classes apart."
	}
	switch {
	case first.Value != "" && len(assigned) > 0:
		// The assignments stand in the order in which they are due.
		zone, err := time.LoadLocation(assigned[0].Zone)
		if err != nil {
			zone = time.UTC
		}
		day, err := time.ParseInLocation("2006-01-02", first.Value, zone)
		if err != nil {
			first.Wrong = "Enter a date like 2027-01-31."
			break
		}
		days = class.DaysBetween(assigned[0].Due, day, zone)
	case weeks.Value != "":
		n, err := strconv.Atoi(weeks.Value)
		if err != nil {
			weeks.Wrong = "Enter a whole number of weeks."
			break
		}
		days = 7 * n
	}
	if days > 7*weekLimit || days < -7*weekLimit {
		first.Wrong = "This is more than ten years away."
	}
	return days, !page.RefuseLong(form) && name.Wrong == "" && term.Wrong == "" && weeks.Wrong == "" && first.Wrong == ""
}

// staffOf are the instructors of the class of the address.
func (h *classes) staffOf(r *http.Request) ([]string, error) {
	_, members, err := h.Store.Members(r.Context(), request.VisitorFrom(r).Class.ID)
	var staff []string
	for _, m := range members {
		if m.Role == class.Staff && !m.Left {
			staff = append(staff, m.Person)
		}
	}
	return staff, err
}
