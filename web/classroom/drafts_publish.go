package classroom

import (
	"errors"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/kernel/source"
	"shaftbook/web/app/authoring"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showCompare compares the visitor's draft with the file, with all its faults.
func (h *writing) showCompare(w http.ResponseWriter, r *http.Request) {
	c, err := h.comparison(r)
	var list source.List
	if err == nil {
		_, list, err = h.Writing.Check(r.Context(), c.Draft.Lesson, c.Draft.Text, true)
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.sendCompare(w, r, http.StatusOK, c, list, false)
}

func (h *writing) comparison(r *http.Request) (*authoring.Comparison, error) {
	c, err := h.Writing.Compare(r.Context(), visitor(r), r.PathValue("lesson"))
	if errors.Is(err, class.ErrNone) {
		err = errNoDraft
	}
	return c, err
}

func (h *writing) sendCompare(w http.ResponseWriter, r *http.Request, status int, c *authoring.Comparison, list source.List, stale bool) {
	line, err := h.lineOf(r, authoring.Title(c.Draft.Text))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	view := page.DraftCompare{
		Frame: h.frame("Compare " + line.Heading), DraftLine: line, Stale: stale, Same: c.IsSame(), Lines: changeLines(c.Lines),
		Moved: c.Moved, Since: changeLines(c.Since), Faults: faultsOf(list, true), Seen: c.Seen(), Revision: c.Draft.Revision, Folder: h.folderPath(),
	}
	if !c.OnFile {
		view.Lines = nil // every line is new
	}
	if c.Moved {
		if view.MovedBy, err = h.lastWriter(r, c); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	h.SendPage(w, r, status, "draft-compare", view)
}

// lastWriter says who put the text into the file that it has now, as far as it is known.
func (h *writing) lastWriter(r *http.Request, c *authoring.Comparison) (string, error) {
	list, err := h.Writing.Versions(r.Context(), visitor(r), c.Draft.Lesson)
	if err != nil {
		return "", err
	}
	for _, v := range list {
		if v.Reason == class.VersionDraft {
			continue
		}
		whole, err := h.Writing.Store.LessonVersion(r.Context(), v.Lesson, visitor(r), v.Number)
		if err != nil || whole.Text != c.File || v.Person == "" {
			return "", err
		}
		names, err := h.namesOf(r, []string{v.Person})
		return "published by " + names[v.Person], err
	}
	return "", nil
}

// publish puts the draft into the file, if it is what was shown.
func (h *writing) publish(w http.ResponseWriter, r *http.Request) {
	slug := r.PathValue("lesson")
	revision, _ := strconv.ParseInt(r.PostFormValue("revision"), 10, 64) // 0 is of no draft
	list, err := h.Writing.Publish(r.Context(), visitor(r), slug, revision, r.PostFormValue("seen"))
	var refused store.Refusal
	var fault store.Fault
	switch {
	case err == nil:
		request.SeeOther(w, r, page.DraftPath(slug), "published")
	case errors.Is(err, authoring.ErrFaults), errors.Is(err, authoring.ErrChanged):
		h.refusePublish(w, r, list, errors.Is(err, authoring.ErrChanged))
	case errors.Is(err, class.ErrNone):
		h.fail(w, r, errNoDraft)
	case errors.As(err, &refused), errors.As(err, &fault), errors.Is(err, authoring.ErrNoFolder), errors.Is(err, authoring.ErrBuiltIn), errors.Is(err, authoring.ErrName), r.Context().Err() != nil:
		h.fail(w, r, err)
	default:
		h.Log.Error("a lesson could not be written", "lesson", slug, "error", err)
		h.fail(w, r, errNotWritten)
	}
}

func (h *writing) refusePublish(w http.ResponseWriter, r *http.Request, list source.List, stale bool) {
	c, err := h.comparison(r)
	if err == nil && stale {
		_, list, err = h.Writing.Check(r.Context(), c.Draft.Lesson, c.Draft.Text, true)
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	status := http.StatusUnprocessableEntity
	if stale {
		status = http.StatusConflict
	}
	h.sendCompare(w, r, status, c, list, stale)
}

func (h *writing) showVersions(w http.ResponseWriter, r *http.Request) {
	line, err := h.lineOf(r, "")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	list, err := h.Writing.Versions(r.Context(), visitor(r), line.Slug)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	view := page.DraftVersions{Frame: h.frame("Earlier versions of " + line.Heading), DraftLine: line, Most: class.MostPublished}
	var people []string
	for _, v := range list {
		people = append(people, v.Person)
	}
	names, err := h.namesOf(r, people)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	for _, v := range list {
		view.Versions = append(view.Versions, writeVersion(&v, names))
	}
	h.SendPage(w, r, http.StatusOK, "draft-versions", view)
}

func (h *writing) showVersion(w http.ResponseWriter, r *http.Request) {
	line, err := h.lineOf(r, "")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	number, err := strconv.ParseInt(r.PathValue("number"), 10, 64)
	if err != nil {
		h.fail(w, r, request.ErrNotFound)
		return
	}
	v, lines, err := h.Writing.Version(r.Context(), visitor(r), line.Slug, number)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	names, err := h.namesOf(r, []string{v.Person})
	if err != nil {
		h.fail(w, r, err)
		return
	}
	_, err = h.Writing.Draft(r.Context(), visitor(r), line.Slug)
	than := "your draft"
	switch {
	case errors.Is(err, class.ErrNone):
		than = "the file as it is now"
	case err != nil:
		h.fail(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "draft-version", page.DraftOneVersion{
		Frame: h.frame(line.Heading), DraftLine: line, Version: writeVersion(&v, names), Than: than, Lines: changeLines(lines)})
}

// bringBack makes an earlier text the visitor's draft.
func (h *writing) bringBack(w http.ResponseWriter, r *http.Request) {
	slug := r.PathValue("lesson")
	number, err := strconv.ParseInt(r.PostFormValue("number"), 10, 64)
	if err != nil {
		h.fail(w, r, request.ErrNotFound)
		return
	}
	if err := h.Writing.BringBack(r.Context(), visitor(r), slug, number); err != nil {
		h.fail(w, r, err)
		return
	}
	request.SeeOther(w, r, page.DraftPath(slug), "version")
}
