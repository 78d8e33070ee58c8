package classroom

import (
	"errors"
	"net/http"

	"shaftbook/web/app/regrade"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// regrade returns the service that regrades assignments.
func (h *assignments) regrade() *regrade.Service {
	return &regrade.Service{Store: h.Store, Judge: h.Attempts, Files: h.Files, Given: h.Given}
}

// showRegrade shows what regrading would change.
func (h *assignments) showRegrade(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	var d *regrade.Difference
	if err == nil {
		d, err = h.regrade().Compare(r.Context(), a)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendRegrade(w, r, http.StatusOK, d, false)
}

func (h *assignments) sendRegrade(w http.ResponseWriter, r *http.Request, status int, d *regrade.Difference, stale bool) {
	a, text := &d.Assignment, d.To.Frozen()
	view := page.AssignRegrade{
		ClassFrame: h.assignFrame(r, "Mark "+a.Title+" again"), Heading: a.Title, Base: page.AssignmentPath(a), File: text.Name,
		Stale: stale, Refused: d.To.FaultLines(), Same: text.Hash == a.Text, Lines: changedLines(d.Was.Text, text.Text),
		Answers: d.Answers, Changed: d.Changed(), Marks: d.Marks, Kept: d.Kept, Notes: d.Notes, Shown: d.Version(),
	}
	if len(view.Refused) > 0 {
		status = http.StatusConflict
	}
	h.SendPage(w, r, status, "class-remark", view)
}

// applyRegrade gives an assignment the text of the file and judges its answers
// again, if that changes what was shown.
func (h *assignments) applyRegrade(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	var d *regrade.Difference
	if err == nil {
		d, err = h.regrade().Apply(r.Context(), a, r.PostFormValue("shown"), request.VisitorFrom(r).Person.ID, h.Now())
	}
	switch {
	case errors.Is(err, regrade.ErrChanged):
		h.sendRegrade(w, r, http.StatusConflict, d, true)
	case err != nil:
		h.FailClass(w, r, err)
	default:
		request.SeeOther(w, r, page.AssignmentPath(&a), "remarked")
	}
}
