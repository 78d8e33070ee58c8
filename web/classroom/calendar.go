package classroom

import (
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/compress"
	"shaftbook/web/request"
)

// showCalendar sends what is due for the person of the address, with the
// person's own times. Who has left a class does not hear of it.
func (h *ownWork) showCalendar(w http.ResponseWriter, r *http.Request) {
	person, err := h.Store.PersonByFeed(r.Context(), r.PathValue("feed"))
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	assigned, err := assignment.AssignedTo(r.Context(), h.Store, person.ID, func(class.Member) bool { return true })
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	var list []class.Deadline
	for _, t := range assigned {
		list = append(list, class.Deadline{
			Assignment: t.Assignment, Class: t.Class.FullName(), Extension: t.Extension, Address: h.OriginFor(r) + lessons.Path(t.Assignment.Key()),
		})
	}
	// No cache between may keep it.
	w.Header().Set("Cache-Control", "private, no-cache")
	compress.NewForOne("text/calendar; charset=utf-8", class.Calendar(request.Name, list)).ServeHTTP(w, r)
}
