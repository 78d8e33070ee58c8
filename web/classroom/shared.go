package classroom

import (
	"errors"
	"net/http"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/app/token"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// classSaid are the sentences that a page of a class shows after something was
// done. The address carries the key alone, so that no words can be put there from outside.
var classSaid = map[string]string{
	"made":     "Class created. Import its roster, then assign a lesson.",
	"code":     "New join code created. The old one no longer works.",
	"closed":   "Joining by code is turned off.",
	"out":      "Removed from the class.",
	"added":    "Student added.",
	"roster":   "Roster updated.",
	"kept":     "Saved.",
	"sessions": "Signed out on all devices.",
	"left":     "Removed from the class. All work is kept.",
	"back":     "Back in the class, with all work.",
	"erased":   "Deleted permanently.",
	"copied":   "This is the new class. Import its roster.",
	"by-hand":  "Points saved. The student sees them with your reason.",
	"marking":  "The marked points count again.",
}

// classFrame is the frame of a page of the class of the address.
func (h *Handlers) classFrame(r *http.Request, title, here string) page.ClassFrame {
	c := request.VisitorFrom(r).Class
	frame := h.ClassFrame(title + " · " + c.Name)
	frame.Place = c.Name
	if c.Term != "" {
		frame.Place += ", " + c.Term
	}
	return page.ClassFrame{
		Frame: frame, Class: c.Name, ClassID: c.ID, Term: c.Term, Here: here,
		Said: classSaid[r.URL.Query().Get("said")],
	}
}

// entry is a line of the log about the class of the address.
func (h *Handlers) entry(r *http.Request, action, about, detail string) class.Entry {
	v := request.VisitorFrom(r)
	return class.Entry{Class: v.Class.ID, By: v.Person.ID, At: h.Now(), Action: action, About: about, Detail: detail}
}

// roster returns the class of the address as the visitor changes it.
func (h *Handlers) roster(r *http.Request) *enrolment.Class {
	v := request.VisitorFrom(r)
	return &enrolment.Class{Store: h.Store, ID: v.Class.ID, By: v.Person.ID, Now: h.Now()}
}

// memberOf returns the person of the address, who has to be in the class of the
// address in that role.
func (h *Handlers) memberOf(r *http.Request, role class.Role) (class.Person, class.Member, error) {
	return h.roster(r).Member(r.Context(), r.PathValue("person"), role)
}

// assignmentOf returns the assignment of the address, which has to be one of the
// class of the address.
func (h *Handlers) assignmentOf(r *http.Request) (class.Assignment, error) {
	return h.editor(r).Find(r.Context(), r.PathValue("assignment"))
}

// editor returns the assignments of the class of the address as the visitor changes
// them.
func (h *Handlers) editor(r *http.Request) *assignment.Editor {
	v := request.VisitorFrom(r)
	return &assignment.Editor{Store: h.Store, Class: v.Class.ID, By: v.Person.ID, Now: h.Now()}
}

// namesOf returns the names of people by their identifiers. Who has been deleted
// has none.
func (h *Handlers) namesOf(r *http.Request, people []string) (map[string]string, error) {
	names := map[string]string{}
	for _, id := range people {
		if _, known := names[id]; known || id == "" {
			continue
		}
		p, err := h.Store.Person(r.Context(), id)
		switch {
		case errors.Is(err, class.ErrNone):
			names[id] = "deleted account"
		case err != nil:
			return nil, err
		default:
			names[id] = p.Name
		}
	}
	return names, nil
}

// newLink makes a one-time link that the class of the address hands out, and
// returns its whole address.
func (h *Handlers) newLink(r *http.Request, purpose class.Purpose, person string, valid time.Duration) (string, error) {
	v := request.VisitorFrom(r)
	path, err := token.NewLink(r.Context(), h.Store, class.Link{Purpose: purpose, Person: person, Class: v.Class.ID, MadeBy: v.Person.ID}, h.Now(), valid)
	return h.OriginFor(r) + path, err
}

// formStatus is the status of a page with a form that was not taken.
func formStatus(f *assignment.Form) int {
	if f.IsWrong() {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}
