package classroom

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// logLines is how many lines of the log a page shows.
const logLines = 50

// showLog shows the log of a class, of everything or about one student.
func (h *classes) showLog(w http.ResponseWriter, r *http.Request) {
	c, query := request.VisitorFrom(r).Class, r.URL.Query()
	about := query.Get("about")
	before, _ := strconv.ParseInt(query.Get("before"), 10, 64) // what is no number is the latest
	people, members, err := h.Store.Members(r.Context(), c.ID)
	if err == nil && about != "" && !slices.ContainsFunc(members, func(m class.Member) bool { return m.Person == about }) {
		err = class.ErrNone
	}
	var entries []class.Entry
	if err == nil {
		entries, err = h.Store.Log(r.Context(), c.ID, about, before, logLines+1)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.Log{ClassFrame: h.classFrame(r, "Log", "Log"), About: about}
	if before > 0 {
		view.Newest = logPath(c.ID, about, 0)
	}
	if len(entries) > logLines {
		entries = entries[:logLines]
		view.Older = logPath(c.ID, about, entries[logLines-1].ID)
	}
	for i, m := range members {
		if m.Role == class.Student {
			view.Students = append(view.Students, page.LogPerson{ID: m.Person, Name: people[i].Name})
		}
	}
	if view.Lines, err = h.logLines(r, entries, members); err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "class-log", view)
}

func logPath(in, about string, before int64) string {
	query := url.Values{}
	if about != "" {
		query.Set("about", about)
	}
	if before > 0 {
		query.Set("before", strconv.FormatInt(before, 10))
	}
	path := "/class/" + in + "/log"
	if len(query) == 0 {
		return path
	}
	return path + "?" + query.Encode()
}

// logLines returns entries of the log in words, with links to what they are about.
func (h *classes) logLines(r *http.Request, entries []class.Entry, members []class.Member) ([]page.LogLine, error) {
	c := request.VisitorFrom(r).Class
	assigned, err := h.Store.Assignments(r.Context(), c.ID)
	if err != nil {
		return nil, err
	}
	var ids []string
	for _, e := range entries {
		ids = append(ids, e.By, e.About)
	}
	names, err := h.namesOf(r, ids)
	if err != nil {
		return nil, err
	}
	lines := make([]page.LogLine, len(entries))
	for i, e := range entries {
		line := &lines[i]
		*line = page.LogLine{When: page.Brief(e.At, c.Zone), By: names[e.By], What: e.Detail, About: names[e.About]}
		if line.What == "" {
			line.What = e.Action + " (the details were deleted with the account)"
		}
		if j := slices.IndexFunc(members, func(m class.Member) bool { return m.Person == e.About }); j >= 0 && members[j].Role == class.Student {
			line.AboutPath = page.StudentPath(members[j])
		}
		j := slices.IndexFunc(assigned, func(a class.Assignment) bool { return a.ID == e.Assignment })
		if j < 0 {
			continue
		}
		line.Assignment, line.WorkPath = assigned[j].Title, page.AssignmentPath(&assigned[j])
		if line.AboutPath != "" {
			line.WorkPath = page.MarkPath(&assigned[j], e.About)
			if e.Exercise != "" {
				line.WorkPath += "#" + e.Exercise
			}
		}
	}
	return lines, nil
}
