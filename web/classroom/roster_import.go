package classroom

import (
	"errors"
	"io"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

const (
	// RosterLimit bounds a list with all around it, and what the page of a plan
	// sends back of it.
	RosterLimit = 2 * roster.MaxBytes

	// carriedLimit bounds what the page of a plan carries, so that the form which
	// sends it back stays under the limit of a body.
	carriedLimit = RosterLimit - 4<<10
)

// previewRoster shows what taking in a list would change.
func (h *rosters) previewRoster(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseMultipartForm(request.BodyLimit); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	again := page.ClassImport{Text: r.PostFormValue("text"), Only: request.Line(r, "only"), Whole: r.PostFormValue("whole") != ""}
	files, err := sentFiles(r)
	if err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
	}
	list, err := roster.Read(files, again.Only)
	if err == nil {
		var carried string
		if carried, err = list.Carry(); err == nil && len(carried) > carriedLimit {
			err = &roster.Unreadable{Why: "The list is too long to preview. Remove people from other classes, or import it in parts."}
		}
	}
	if told, ok := roster.IsUnreadable(err); ok {
		again.Wrong = told.Error()
		h.sendRosterPage(w, r, http.StatusUnprocessableEntity, studentForm(class.Person{}, class.Member{}), again)
		return
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	plan, err := h.roster(r).Plan(r.Context(), list, again.Whole)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendPlan(w, r, http.StatusOK, list, plan, again.Whole, false)
}

// sentFiles are the files of a form, and the text that was pasted, if any.
func sentFiles(r *http.Request) ([]roster.File, error) {
	var files []roster.File
	for _, h := range r.MultipartForm.File["files"] {
		if h.Size == 0 {
			continue // no file was chosen
		}
		f, err := h.Open()
		if err != nil {
			return nil, err
		}
		data, err := io.ReadAll(f)
		f.Close()
		if err != nil {
			return nil, err
		}
		files = append(files, roster.File{Name: h.Filename, Data: data})
	}
	if text := r.PostFormValue("text"); text != "" {
		files = append(files, roster.File{Data: []byte(text)})
	}
	return files, nil
}

// applyRoster does what the page of a plan showed. If the class has changed
// since, so that something else would be done, it shows that instead.
func (h *rosters) applyRoster(w http.ResponseWriter, r *http.Request) {
	list, err := roster.Carried(r.PostFormValue("carried"))
	if err != nil {
		h.Fail(w, r, request.NewRefusal(http.StatusBadRequest, "unreadable", "The list did not arrive complete", "Nothing was changed. Import the list again."))
		return
	}
	whole := r.PostFormValue("whole") != ""
	c := h.roster(r)
	plan, err := c.Apply(r.Context(), list, whole, r.PostFormValue("shown"))
	switch {
	case errors.Is(err, enrolment.ErrChanged):
		h.sendPlan(w, r, http.StatusConflict, list, plan, whole, true)
		return
	case err != nil:
		h.FailClass(w, r, err)
		return
	}
	_, _, members := plan.Enrolment()
	for _, m := range members {
		if m.Left {
			h.Recheck(m.Person)
		}
	}
	request.SeeOther(w, r, page.ClassPath(c.ID)+"/roster", "roster")
}

func (h *rosters) sendPlan(w http.ResponseWriter, r *http.Request, status int, list *roster.Roster, plan *roster.Plan, whole, stale bool) {
	carried, err := list.Carry()
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	view := page.ClassPreview{
		ClassFrame: h.classFrame(r, "Import preview", "Roster"),
		Same:       plan.Same, Held: plan.Held, Notes: list.Notes, Carried: carried, Fingerprint: plan.Fingerprint(), Whole: whole, Stale: stale,
	}
	view.Leaving = len(plan.Of(roster.Leaves))
	for _, p := range plan.Elsewhere {
		view.Elsewhere = append(view.Elsewhere, p.Name)
	}
	if list.Partial {
		view.Notes = append([]string{"The file says that it contains changes only, so no student is removed for being missing from it."}, view.Notes...)
	}
	for _, b := range plan.Bad {
		view.Bad = append(view.Bad, page.ClassBad{File: b.File, Number: b.Number, Text: b.Text, Why: b.Why})
	}
	for _, k := range []struct {
		kind    roster.Kind
		heading string
	}{
		{roster.Adds, "New"},
		{roster.Joins, "Existing accounts, new to this class"},
		{roster.Returns, "Coming back"},
		{roster.Changes, "Changed"},
		{roster.Leaves, "To be removed"},
	} {
		if g := planGroup(plan.Of(k.kind), k.heading); len(g.People) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	h.SendPage(w, r, status, "class-preview", view)
}

func planGroup(steps []roster.Step, heading string) page.ClassGroup {
	g := page.ClassGroup{Heading: heading + " (" + strconv.Itoa(len(steps)) + ")"}
	for _, s := range steps {
		p := page.ClassChanged{Name: s.Person.Name, SignIn: s.Person.SignIn, Section: s.Member.Section}
		for _, c := range s.Changes {
			p.Changes = append(p.Changes, page.ClassChange(c))
		}
		g.People = append(g.People, p)
	}
	return g
}
