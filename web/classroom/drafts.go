package classroom

import (
	"cmp"
	"context"
	"errors"
	"html/template"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/app/authoring"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// writing are the handlers of lessons that instructors write on the server.
type writing struct{ *Handlers }

func (h *writing) routes() []request.Route {
	if h.Writing == nil {
		return nil
	}
	return []request.Route{
		{Pattern: "GET /drafts", Handle: h.showList},
		{Pattern: "POST /drafts", Handle: h.begin},
		{Pattern: "GET /drafts/{lesson}", Handle: h.showLesson},
		{Pattern: "POST /drafts/{lesson}", Handle: h.save},
		{Pattern: "POST /drafts/{lesson}/kept", Handle: h.saveTyped},
		{Pattern: "GET /drafts/{lesson}/faults", Handle: h.showFaults},
		{Pattern: "GET /drafts/{lesson}/compare", Handle: h.showCompare},
		{Pattern: "POST /drafts/{lesson}/publish", Handle: h.publish},
		{Pattern: "POST /drafts/{lesson}/discard", Handle: h.discard},
		{Pattern: "GET /drafts/{lesson}/versions", Handle: h.showVersions},
		{Pattern: "GET /drafts/{lesson}/versions/{number}", Handle: h.showVersion},
		{Pattern: "POST /drafts/{lesson}/version", Handle: h.bringBack},
		{Pattern: "POST /drafts/{lesson}/image", Handle: h.addImage},
		{Pattern: "GET /drafts/{lesson}/file/{file}", Handle: h.showImage},
	}
}

// DraftLimit and ImageLimit bound the bodies of a draft and of an image: a form takes up
// to three bytes for one.
const (
	DraftLimit = 3*class.MostLessonText + 16<<10
	ImageLimit = authoring.MostImage + 64<<10
)

var writeSaid = map[string]string{
	"published": "Published. Readers now get this text.",
	"discarded": "Draft discarded.",
	"saved":     "Saved.",
	"replaced":  "Saved. The draft had been changed in another window; that text is under Earlier versions.",
	"version":   "The earlier version is your draft now. Compare and publish it to put it into the file.",
}

const noFolder = "This server has no folder of lessons that could be written. The person who runs it starts it with one: shaftbook serve --class --lessons FOLDER."

var (
	errNoFolder = request.NewRefusal(http.StatusConflict, "no-folder", "There is no folder for lessons", noFolder)
	errNoDraft  = request.NewRefusal(http.StatusNotFound, "not-found", "There is no draft of yours here",
		"It was published or discarded, perhaps in another window. If this page still shows your text, copy it before you leave; then open the lesson again under Write lessons.")
	errLongLesson = request.NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "This lesson is too long",
		"A lesson can have "+strconv.Itoa(class.MostLessonText>>10)+" kB here. Nothing was changed; split it into two lessons.")
	errNotWritten = request.NewRefusal(http.StatusConflict, "not-written", "The folder of lessons could not be written",
		"Nothing was published; your draft is kept. The person who runs the server has to let it write into the folder that --lessons names, and see that there is space on the disk.")
	errSaveTooOften = request.NewRefusal(http.StatusTooManyRequests, "too-fast", "Too many changes in a minute", "Your text is still on this page. Wait a moment, then save again.")
)

// fail answers a request about a lesson that is written.
func (h *writing) fail(w http.ResponseWriter, r *http.Request, err error) {
	var told *request.Refusal
	switch {
	case errors.As(err, &told):
	case errors.Is(err, authoring.ErrNoFolder):
		err = errNoFolder
	case errors.Is(err, authoring.ErrName), errors.Is(err, authoring.ErrBuiltIn):
		err = request.ErrNotFound
	case errors.Is(err, authoring.ErrTooLong):
		err = errLongLesson
	}
	h.FailClass(w, r, err)
}

func (h *writing) frame(title string) page.Frame {
	f := h.ClassFrame(title)
	f.Styles = append(f.Styles, h.DraftStyle)
	return f
}

func visitor(r *http.Request) string { return request.VisitorFrom(r).Person.ID }

func (h *writing) showList(w http.ResponseWriter, r *http.Request) {
	from := r.URL.Query().Get("copy")
	name := ""
	if l, ok := h.Catalog.In(r.Context()).Lesson(from); ok {
		name = l.Slug + "-2"
	} else {
		from = ""
	}
	h.sendList(w, r, http.StatusOK, nameField(name), from)
}

func nameField(value string) page.ClassField {
	return page.ClassField{Name: "name", Label: "Name of the file", Type: "text", Value: value,
		Help: "Small letters, digits and hyphens, for example mill-shaft. It is also the address of the lesson."}
}

func (h *writing) sendList(w http.ResponseWriter, r *http.Request, status int, name page.ClassField, from string) {
	view := page.DraftList{Frame: h.frame("Write lessons"), Said: writeSaid[r.URL.Query().Get("said")], Name: name, From: from}
	own, builtIn, err := h.Writing.List(r.Context(), visitor(r))
	if errors.Is(err, authoring.ErrNoFolder) {
		view.None = noFolder
		h.SendPage(w, r, status, "draft-list", view)
		return
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	view.Folder = h.Writing.Folder.Path
	for _, e := range own {
		view.Own = append(view.Own, writeLine(e))
	}
	for _, e := range builtIn {
		view.BuiltIn = append(view.BuiltIn, writeLine(e))
	}
	h.SendPage(w, r, status, "draft-list", view)
}

func writeLine(e authoring.Entry) page.DraftLine {
	l := page.DraftLine{Slug: e.Slug, Heading: e.Title, OnFile: e.OnFile}
	if e.Draft != nil {
		l.Draft = page.MomentOf(e.Draft.ChangedAt)
	}
	return l
}

// begin begins a draft: of a lesson that is there, of a copy, or of a new one.
func (h *writing) begin(w http.ResponseWriter, r *http.Request) {
	if slug := request.Line(r, "edit"); slug != "" {
		if err := h.Writing.Begin(r.Context(), visitor(r), slug); err != nil {
			h.fail(w, r, err)
			return
		}
		http.Redirect(w, r, page.DraftPath(slug), http.StatusSeeOther)
		return
	}
	name, from := nameField(request.Line(r, "name")), request.Line(r, "from")
	slug := authoring.NameFrom(name.Value)
	err := authoring.ErrName
	if authoring.IsSlug(slug) {
		err = h.Writing.BeginNew(r.Context(), visitor(r), slug, from)
	}
	switch {
	case errors.Is(err, authoring.ErrName):
		name.Wrong = "Use small letters, digits and hyphens, at most 60; some names, such as readme, mean something else."
	case errors.Is(err, authoring.ErrTaken):
		name.Wrong = "There is a lesson or a draft of yours with this name. Choose another."
	case err != nil:
		h.fail(w, r, err)
		return
	default:
		http.Redirect(w, r, page.DraftPath(slug), http.StatusSeeOther)
		return
	}
	h.sendList(w, r, http.StatusUnprocessableEntity, name, from)
}

// lineOf returns the lesson of the address: its title and its file, as far as there are.
func (h *writing) lineOf(r *http.Request, title string) (page.DraftLine, error) {
	l := page.DraftLine{Slug: r.PathValue("lesson")}
	if h.Writing.Folder == nil {
		return l, authoring.ErrNoFolder
	}
	if !authoring.IsSlug(l.Slug) {
		return l, request.ErrNotFound
	}
	_, there, err := h.Writing.Folder.Read(l.Slug)
	if err != nil {
		return l, err
	}
	l.OnFile = there
	if on, ok := h.Catalog.In(r.Context()).Lesson(l.Slug); ok && title == "" {
		title = on.Title
	}
	l.Heading = cmp.Or(title, l.Slug)
	return l, nil
}

func (h *writing) showLesson(w http.ResponseWriter, r *http.Request) {
	d, err := h.Writing.Draft(r.Context(), visitor(r), r.PathValue("lesson"))
	switch {
	case errors.Is(err, class.ErrNone):
		h.sendPublished(w, r)
	case err != nil:
		h.fail(w, r, err)
	default:
		h.sendDraft(w, r, http.StatusOK, d, nil)
	}
}

// sendDraft sends the editor of a draft. change may be nil.
func (h *writing) sendDraft(w http.ResponseWriter, r *http.Request, status int, d class.Draft, change func(*page.DraftLesson)) {
	html, faults, l, err := h.preview(r.Context(), visitor(r), d)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	view := page.DraftLesson{Frame: h.frame("Write " + cmp.Or(l.Title, d.Lesson)), Said: writeSaid[r.URL.Query().Get("said")], Folder: h.folderPath()}
	view.Scripts = []string{h.DraftScript}
	if view.DraftLine, err = h.lineOf(r, l.Title); err != nil {
		h.fail(w, r, err)
		return
	}
	view.DraftLine.Draft = page.MomentOf(d.ChangedAt)
	if view.Others, view.Versions, err = h.around(r, d.Lesson); err != nil {
		h.fail(w, r, err)
		return
	}
	view.Draft = &page.DraftText{Text: d.Text, Revision: d.Revision, Faults: faults, Page: template.HTML(html), Most: class.MostLessonText, MostMB: authoring.MostImage >> 20}
	if name := r.URL.Query().Get("image"); authoring.IsImageName(name) {
		view.Draft.Image = "![…](" + name + ")"
	}
	if change != nil {
		change(&view)
	}
	h.SendPage(w, r, status, "draft-lesson", view)
}

func (h *writing) folderPath() string {
	if h.Writing.Folder == nil {
		return ""
	}
	return h.Writing.Folder.Path
}

// preview makes the page of a draft and finds what is wrong in its writing.
func (h *writing) preview(ctx context.Context, person string, d class.Draft) (html string, faults page.DraftFaults, l *lessons.Lesson, err error) {
	if h.Writing.Folder == nil {
		return "", faults, nil, authoring.ErrNoFolder
	}
	l, list, err := h.Writing.Check(ctx, d.Lesson, d.Text, false)
	if err != nil {
		return "", faults, l, err
	}
	html, err = h.Preview(ctx, person, l, page.DraftImagesPath(d.Lesson))
	return html, faultsOf(list, false), l, err
}

func faultsOf(list source.List, whole bool) page.DraftFaults {
	f := page.DraftFaults{Whole: whole}
	for _, d := range list {
		line := page.DraftFault{Message: d.Message, Repair: d.Repair}
		if d.Span.IsValid() {
			line.Line = d.Span.Position().Line
		}
		if d.Severity == source.Error {
			f.Faults = append(f.Faults, line)
		} else {
			f.Notes = append(f.Notes, line)
		}
	}
	return f
}

// around returns who else has a draft of a lesson, and whether it has versions.
func (h *writing) around(r *http.Request, slug string) (others []string, versions bool, err error) {
	drafts, err := h.Writing.Store.Drafting(r.Context(), slug)
	if err != nil {
		return nil, false, err
	}
	var people []string
	for _, d := range drafts {
		if d.Person != visitor(r) {
			people = append(people, d.Person)
		}
	}
	names, err := h.namesOf(r, people)
	if err != nil {
		return nil, false, err
	}
	for _, id := range people {
		others = append(others, names[id])
	}
	list, err := h.Writing.Versions(r.Context(), visitor(r), slug)
	return others, len(list) > 0, err
}

// sendPublished sends the page of a lesson of which the visitor has no draft.
func (h *writing) sendPublished(w http.ResponseWriter, r *http.Request) {
	line, err := h.lineOf(r, "")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	view := page.DraftLesson{Frame: h.frame(line.Heading), DraftLine: line, Said: writeSaid[r.URL.Query().Get("said")], Folder: h.folderPath()}
	if view.Others, view.Versions, err = h.around(r, line.Slug); err != nil {
		h.fail(w, r, err)
		return
	}
	if !line.OnFile && !view.Versions {
		h.fail(w, r, errNoDraft)
		return
	}
	if view.Assign, view.Behind, err = h.assigned(r, line.Slug); err != nil {
		h.fail(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "draft-lesson", view)
}

// assigned returns where the visitor can assign a lesson, and the assignments of the
// visitor's classes that have another text of it.
func (h *writing) assigned(r *http.Request, slug string) (assign, behind []page.ClassWay, err error) {
	if _, ok := h.Catalog.In(r.Context()).Lesson(slug); !ok {
		return nil, nil, nil
	}
	classes, members, err := h.Store.ClassesOf(r.Context(), visitor(r))
	if err != nil {
		return nil, nil, err
	}
	for i, c := range classes {
		if members[i].Left || members[i].Role != class.Staff {
			continue
		}
		assign = append(assign, page.ClassWay{Label: "in " + c.FullName(), Path: page.ClassPath(c.ID) + "/assign?lesson=" + slug})
		list, err := h.Store.Assignments(r.Context(), c.ID)
		if err != nil {
			return nil, nil, err
		}
		for _, a := range list {
			if a.Lesson == slug && h.Files.Changed(r.Context(), &a) {
				behind = append(behind, page.ClassWay{Label: a.Title + ", " + c.FullName(), Path: page.AssignmentPath(&a) + "/recompute"})
			}
		}
	}
	return assign, behind, nil
}

// writeVersion says when and how a version came to be kept.
func writeVersion(v *class.LessonVersion, names map[string]string) page.DraftVersion {
	what := "found in the folder, written by someone outside of this server"
	switch by := names[v.Person]; {
	case v.Reason == class.VersionDraft:
		what = "a draft of yours, replaced by another text"
	case v.Reason == class.VersionPublished && by != "":
		what = "published by " + by
	case v.Reason == class.VersionPublished:
		what = "published by a deleted account"
	}
	return page.DraftVersion{Number: v.Number, When: page.MomentOf(v.At), What: what}
}
