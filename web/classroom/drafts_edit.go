package classroom

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/authoring"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// save keeps what the form of the editor sends, for a page without scripts.
func (h *writing) save(w http.ResponseWriter, r *http.Request) {
	slug := r.PathValue("lesson")
	base, err := strconv.ParseInt(r.PostFormValue("base"), 10, 64)
	if err != nil || !r.PostForm.Has("text") {
		h.fail(w, r, request.NewRefusal(http.StatusBadRequest, "unreadable", "There is no text in this form", "Go back and send it again."))
		return
	}
	_, replaced, err := h.kept(r, r.PostForm.Get("text"), base, "")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	said := "saved"
	if replaced {
		said = "replaced"
	}
	request.SeeOther(w, r, page.DraftPath(slug), said)
}

func (h *writing) kept(r *http.Request, text string, base int64, writer string) (class.Draft, bool, error) {
	if !h.Attempts.MaySave(visitor(r)) {
		return class.Draft{}, false, errSaveTooOften
	}
	d, replaced, err := h.Writing.Save(r.Context(), visitor(r), r.PathValue("lesson"), text, base, writer)
	if errors.Is(err, class.ErrNone) {
		err = errNoDraft
	}
	return d, replaced, err
}

// writeSaved is what the script of the editor gets; lessondraft.js is the other end.
type writeSaved struct {
	Revision int64  `json:"revision"`
	Replaced bool   `json:"replaced,omitempty"` // another window had changed the draft
	Page     string `json:"page,omitempty"`     // HTML
	Faults   string `json:"faults"`             // HTML
}

// saveTyped keeps a draft while it is typed, and answers with its page.
func (h *writing) saveTyped(w http.ResponseWriter, r *http.Request) {
	var sent struct {
		Text   string `json:"text"`
		Base   int64  `json:"base"`
		Writer string `json:"writer"`
	}
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&sent); err != nil {
		h.fail(w, r, request.Unreadable(err))
		return
	}
	d, replaced, err := h.kept(r, sent.Text, sent.Base, sent.Writer)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	html, faults, _, err := h.preview(r.Context(), visitor(r), d)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.sendSaved(w, r, writeSaved{Revision: d.Revision, Replaced: replaced, Page: html}, faults)
}

func (h *writing) sendSaved(w http.ResponseWriter, r *http.Request, saved writeSaved, faults page.DraftFaults) {
	body, err := page.Render("draft-faults", faults)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	saved.Faults = string(body)
	request.SendJSON(w, saved)
}

// showFaults checks all of the visitor's draft.
func (h *writing) showFaults(w http.ResponseWriter, r *http.Request) {
	d, err := h.Writing.Draft(r.Context(), visitor(r), r.PathValue("lesson"))
	if errors.Is(err, class.ErrNone) {
		err = errNoDraft
	}
	if err == nil && h.Writing.Folder == nil {
		err = authoring.ErrNoFolder
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	_, list, err := h.Writing.Check(r.Context(), d.Lesson, d.Text, true)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.sendSaved(w, r, writeSaved{Revision: d.Revision}, faultsOf(list, true))
}

func (h *writing) discard(w http.ResponseWriter, r *http.Request) {
	err := h.Writing.Discard(r.Context(), visitor(r), r.PathValue("lesson"))
	if errors.Is(err, class.ErrNone) {
		err = errNoDraft
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	request.SeeOther(w, r, page.DraftsPath, "discarded")
}

// addImage puts an image beside the lessons. It does not change a lesson: none names it
// yet.
func (h *writing) addImage(w http.ResponseWriter, r *http.Request) {
	d, err := h.Writing.Draft(r.Context(), visitor(r), r.PathValue("lesson"))
	if errors.Is(err, class.ErrNone) {
		err = errNoDraft
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if err := r.ParseMultipartForm(request.BodyLimit); err != nil {
		h.fail(w, r, request.Unreadable(err))
		return
	}
	name, err := h.sentImage(r)
	var bad authoring.BadImage
	wrong := ""
	switch {
	case errors.As(err, &bad):
		wrong = bad.Error()
	case errors.Is(err, authoring.ErrTaken):
		wrong = "There is a file " + name + " already, which another lesson may show. Give your file another name and add it again."
	case errors.Is(err, authoring.ErrNoFolder):
		h.fail(w, r, err)
		return
	case err != nil:
		h.Log.Error("an image could not be written", "error", err)
		h.fail(w, r, errNotWritten)
		return
	default:
		http.Redirect(w, r, page.DraftPath(d.Lesson)+"?image="+name, http.StatusSeeOther)
		return
	}
	h.sendDraft(w, r, http.StatusUnprocessableEntity, d, func(v *page.DraftLesson) { v.Wrong = wrong })
}

func (h *writing) sentImage(r *http.Request) (name string, err error) {
	file, head, err := r.FormFile("image")
	if err != nil {
		return "", authoring.BadImage("Choose a file first.")
	}
	defer file.Close()
	content, err := io.ReadAll(file)
	if err != nil {
		return "", err
	}
	return h.Writing.AddImage(head.Filename, content)
}

// showImage serves an image of the folder to those who write.
func (h *writing) showImage(w http.ResponseWriter, r *http.Request) {
	if h.Writing.Folder == nil {
		h.fail(w, r, authoring.ErrNoFolder)
		return
	}
	name := r.PathValue("file")
	content, err := h.Writing.Image(r.Context(), name)
	if err != nil {
		h.fail(w, r, request.ErrNotFound)
		return
	}
	request.SecureImage(w)
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
}
