package web

import (
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

const weekLimit = 520 // ten years

// showCopy shows the form that copies a class.
func (s *Server) showCopy(w http.ResponseWriter, r *http.Request) {
	view := page.ClassCopy{ClassFrame: s.classFrame(r, "Copy", ""), Form: copyForm(of(r).class.Name, "", "52", ""), Staff: true}
	s.sendClass(w, r, http.StatusOK, "class-copy", view)
}

func copyForm(name, term, weeks, first string) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: name},
		{Name: "term", Label: "Term", Type: "text", Value: term},
		{Name: "weeks", Label: "Move dates by weeks", Type: "number", Value: weeks, Optional: true},
		{Name: "first", Label: "or the day on which the first is due", Type: "date", Value: first, Optional: true, Help: "If it is given, the weeks are not looked at."},
	}
}

// copyClass shows the dates that a copy would have or, asked to, makes it.
func (s *Server) copyClass(w http.ResponseWriter, r *http.Request) {
	v := of(r)
	assigned, err := s.Class.Assignments(r.Context(), v.class.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	kept := notWithdrawn(assigned)
	view := page.ClassCopy{
		ClassFrame: s.classFrame(r, "Copy", ""),
		Form:       copyForm(line(r, "name"), line(r, "term"), line(r, "weeks"), line(r, "first")),
		Staff:      r.PostFormValue("staff") != "",
	}
	days, ok := readShift(view.Form, kept)
	if !ok {
		s.sendClass(w, r, http.StatusUnprocessableEntity, "class-copy", view)
		return
	}
	made := class.Class{ID: class.NewID(), Name: view.Form[0].Value, Term: view.Form[1].Value, Zone: v.class.Zone, JoinCode: newJoinCode(), MadeAt: s.now()}
	copied := make([]class.Assignment, len(kept))
	for i, a := range kept {
		if copied[i], err = a.MovedTo(made.ID, days, class.NewID(), s.now()); err != nil {
			s.fail(w, r, err)
			return
		}
		view.Dates = append(view.Dates, page.ClassMoved{
			Title: a.Title, OldDue: zoned(a.Due, a.Zone),
			Opens: zoned(copied[i].Opens, a.Zone), Due: zoned(copied[i].Due, a.Zone), Closes: zoned(copied[i].Closes, a.Zone),
		})
	}
	// Nothing is made of dates that were not shown.
	if r.PostFormValue("do") != "make" || r.PostFormValue("shown") != strconv.Itoa(days) {
		view.Ready, view.Days, view.Wide = true, days, true
		s.sendClass(w, r, http.StatusOK, "class-copy", view)
		return
	}
	staff := []string{v.person.ID}
	if view.Staff {
		if staff, err = s.staffOf(r); err != nil {
			s.failClass(w, r, err)
			return
		}
	}
	e := class.Entry{Class: made.ID, By: v.person.ID, At: s.now(), Action: "class", Detail: "copied from the class " + v.class.Name + ", " + v.class.Term + ", dates moved by " + howMany(days, "day", "days")}
	if err := s.Class.AddClass(r.Context(), made, staff, copied, e); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/class/"+made.ID, "copied")
}

// readShift returns by how many days the times move, or says at the fields why
// that is not known.
func readShift(form []page.ClassField, assigned []class.Assignment) (days int, ok bool) {
	name, term, weeks, first := &form[0], &form[1], &form[2], &form[3]
	if name.Value == "" {
		name.Wrong = "A class needs a name."
	}
	if term.Value == "" {
		term.Wrong = "Say the term, so that the two classes can be told apart."
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
			first.Wrong = "This is no date; write it as 2027-01-31."
			break
		}
		days = class.DaysBetween(assigned[0].Due, day, zone)
	case weeks.Value != "":
		n, err := strconv.Atoi(weeks.Value)
		if err != nil {
			weeks.Wrong = "This is no whole number of weeks."
			break
		}
		days = 7 * n
	}
	if days > 7*weekLimit || days < -7*weekLimit {
		first.Wrong = "That is more than ten years away."
	}
	return days, name.Wrong == "" && term.Wrong == "" && weeks.Wrong == "" && first.Wrong == ""
}

// staffOf are the instructors of the class of the address.
func (s *Server) staffOf(r *http.Request) ([]string, error) {
	_, members, err := s.Class.Members(r.Context(), of(r).class.ID)
	var staff []string
	for _, m := range members {
		if m.Role == class.Staff && !m.Left {
			staff = append(staff, m.Person)
		}
	}
	return staff, err
}
