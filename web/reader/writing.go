package reader

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"html/template"
	"net/http"
	"strconv"
	"time"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/proofread"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// writingRoutes are the routes of whoever writes lessons with their pages beside them.
func (h *Handlers) writingRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /write", Handle: h.writing(h.showWriting)},
		{Pattern: "GET /write/{slug}", Handle: h.writing(h.showWritten)},
		{Pattern: "GET /write/{slug}/board", Handle: h.writing(h.showWrittenBoard)},
		{Pattern: "GET /write/{slug}/found", Handle: h.writing(h.sendFound)},
		{Pattern: "GET /write/{slug}/numbers/{cell}", Handle: h.writing(h.showNumbers)},
	}
}

// writing lets through where lessons are written.
func (h *Handlers) writing(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if h.Proofs == nil {
			h.Fail(w, r, request.ErrNotFound)
			return
		}
		w.Header().Set("Cache-Control", "no-store")
		next(w, r)
	}
}

// WritingPath is the address of the lessons that are written.
const WritingPath = "/write"

func writtenPath(slug string) string { return WritingPath + "/" + slug }

// mostStudents is the last of the students whose numbers are shown.
const mostStudents = 30

// student is the name under which the numbers of a student are drawn.
func student(n int) string { return "student-" + strconv.Itoa(n) }

func (h *Handlers) showWriting(w http.ResponseWriter, r *http.Request) {
	all, files := h.Proofs.All(r.Context())
	view := page.Writing{Frame: h.writingFrame("Your lessons")}
	for _, l := range all {
		faults := l.Faults()
		view.Lessons = append(view.Lessons, page.WrittenLesson{
			Title: l.Lesson.Title, Slug: l.Lesson.Slug, File: l.Lesson.Text.Name,
			Faults: faults, Notes: len(l.List) - faults, Checking: l.Checking,
		})
	}
	for _, f := range files {
		view.Files = append(view.Files, page.WrittenFile{Name: f.Name, Findings: findingsOf(f.List, nil)})
	}
	h.SendPage(w, r, http.StatusOK, "writing", view)
}

func (h *Handlers) writingFrame(title string) page.Frame {
	f := h.Frame(title, "")
	f.Place = title
	f.Styles = append(f.Styles, h.WritingStyle)
	return f
}

// writtenPage returns the lesson of an address, if it is one of those that are written.
func (h *Handlers) writtenPage(r *http.Request) (*lessonPage, error) {
	p, ok := h.Pages.in(r.Context()).pages[r.PathValue("slug")]
	if !ok || !h.Proofs.Is(p.lesson) {
		return nil, request.ErrNotFound
	}
	return p, nil
}

// showWritten sends a lesson as it is while it is written: with what is to be mended at its
// place, and as another reader would have it.
func (h *Handlers) showWritten(w http.ResponseWriter, r *http.Request) {
	p, err := h.writtenPage(r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	query := r.URL.Query()
	head := page.WritingHead{Slug: p.lesson.Slug, Title: p.lesson.Title, File: p.lesson.Text.Name, Students: mostStudents}
	learner := ""
	switch n, err := strconv.Atoi(query.Get("student")); {
	case query.Get("as") == "phone":
		view := page.WritingPhone{Frame: h.writingFrame(p.lesson.Title), Slug: p.lesson.Slug, Heading: p.lesson.Title, Framed: writtenPath(p.lesson.Slug) + "?as=framed"}
		h.SendPage(w, r, http.StatusOK, "writing-phone", view)
		return
	case query.Get("as") == "framed":
		head.As = "framed"
	case query.Get("as") == "paper":
		head.As = "paper"
	case err == nil && n >= 1 && n <= mostStudents:
		head.As, head.Student, learner = "student", n, student(n)
	}
	if learner == "" {
		learner = h.namedLearner(w, r)
	}
	body, err := h.written(r, p, &head, learner)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	w.Header().Add("Vary", "Cookie")
	compress.Joined(request.HTMLType, body...).Send(w, r, http.StatusOK)
}

// written makes the page of a lesson that is written.
func (h *Handlers) written(r *http.Request, p *lessonPage, head *page.WritingHead, learner string) ([]*compress.Piece, error) {
	ctx := r.Context()
	made, err := p.lined.get(ctx)
	if err != nil {
		return nil, err
	}
	found, _ := h.Proofs.Of(ctx, p.lesson)
	head.Findings = findings(&found, &made)
	for _, c := range p.lesson.CellsOf(lessons.Exercise) {
		head.Exercises = append(head.Exercises, page.WritingExercise{Title: titleOf(h, c), Path: writtenPath(p.lesson.Slug) + "/numbers/" + c.ID})
	}
	notes, err := notesAt(head.Findings.List)
	if err != nil {
		return nil, err
	}
	above, err := page.Render("writing-head", head)
	if err != nil {
		return nil, err
	}
	view := h.Pages.view(p.lesson, made.withNotes(notes), h.Pages.in(ctx))
	view.Assigned = template.HTML(above)
	view.Styles = append(view.Styles, h.WritingStyle)
	if head.As == "paper" {
		view.Styles = append(view.Styles, h.PaperStyle)
	}
	view.Scripts = append(view.Scripts, h.WritingScript)
	text, err := page.Render("lesson", view)
	if err != nil {
		return nil, err
	}
	fill := map[string][]byte{}
	if err := h.fillWritten(ctx, fill, p, made.covers, head, learner, r); err != nil {
		return nil, err
	}
	return filled(cut(text, gapsOf(p.lesson, made.covers)), fill), nil
}

// fillWritten fills the gaps of a page for whoever is to see it.
func (h *Handlers) fillWritten(ctx context.Context, fill map[string][]byte, p *lessonPage, c *covers, head *page.WritingHead, learner string, r *http.Request) error {
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		var body []byte
		var err error
		place := attempt.Place{Learner: learner, Lesson: p.lesson, Cell: cell}
		if head.As == "student" {
			var asked page.Asked
			if asked, err = h.Attempts.Asked(ctx, place); err == nil {
				body, err = page.Render("asked", asked)
			}
		} else {
			body, err = h.learnersExercise(ctx, p, cell, shown{place: place}, nil)
		}
		if err != nil {
			return err
		}
		fill[gap(cell)] = body
	}
	guessed, err := h.guessesAt(ctx, p, learner, r.URL.Query())
	if err != nil {
		return err
	}
	return h.fillGuesses(fill, p, c, learner, guessed, nil)
}

func titleOf(h *Handlers, c lessons.Cell) string {
	if e, err := h.Attempts.Exercise(c); err == nil && e.Title != "" {
		return e.Title
	}
	return c.Name
}

// findings are what is said of a lesson, each at its block.
func findings(f *proofread.Findings, of *lined) page.Findings {
	return page.Findings{List: findingsOf(f.List, of), Faults: f.Faults(), Checking: f.Checking}
}

func findingsOf(list source.List, of *lined) (all []page.Finding) {
	for _, d := range list {
		f := page.Finding{Note: d.Severity != source.Error, Message: d.Message, Repair: d.Repair, At: 1}
		if d.Span.IsValid() {
			at := d.Span.Position()
			f.Line, f.Column = at.Line, at.Column
		}
		if of != nil {
			f.At = of.lineOf(f.Line)
		}
		all = append(all, f)
	}
	return all
}

// notesAt writes findings at the lines of their blocks.
func notesAt(list []page.Finding) (map[int]template.HTML, error) {
	by := map[int][]page.Finding{}
	for _, f := range list {
		by[f.At] = append(by[f.At], f)
	}
	notes := map[int]template.HTML{}
	for at, of := range by {
		body, err := page.Render("writing-notes", of)
		if err != nil {
			return nil, err
		}
		notes[at] = template.HTML(body)
	}
	return notes, nil
}

// found is what an open page asks for: what is said of its lesson by now.
type found struct {
	State   string            `json:"state"` // changes with the rest
	Version string            `json:"version"`
	List    string            `json:"list"`
	Notes   map[string]string `json:"notes"`
}

// longestAsk is how long a page waits for something else to be said before it asks again;
// it is below the time in which an answer has to be taken.
const longestAsk = 60 * time.Second

// sendFound answers what is said of a lesson as soon as it is not what the page has, or
// with nothing after a while.
func (h *Handlers) sendFound(w http.ResponseWriter, r *http.Request) {
	has := r.URL.Query().Get("state")
	late := time.NewTimer(longestAsk)
	defer late.Stop()
	for {
		f, news, err := h.foundNow(r)
		if err != nil {
			h.Fail(w, r, err)
			return
		}
		if f.State != has {
			w.Header().Set("Content-Type", "application/json")
			_ = json.NewEncoder(w).Encode(f) // a page that has gone away asks no more
			return
		}
		select {
		case <-news:
			r = r.WithContext(h.Catalog.Hold(r.Context()))
		case <-late.C:
			w.WriteHeader(http.StatusNoContent)
			return
		case <-h.Stopped:
			w.WriteHeader(http.StatusNoContent)
			return
		case <-r.Context().Done():
			return
		}
	}
}

func (h *Handlers) foundNow(r *http.Request) (f found, news <-chan struct{}, err error) {
	p, err := h.writtenPage(r)
	if err != nil {
		return f, nil, err
	}
	made, err := p.lined.get(r.Context())
	if err != nil {
		return f, nil, err
	}
	said, news := h.Proofs.Of(r.Context(), p.lesson)
	view := findings(&said, &made)
	list, err := page.Render("writing-findings", view)
	if err != nil {
		return f, nil, err
	}
	notes, err := notesAt(view.List)
	if err != nil {
		return f, nil, err
	}
	f = found{Version: p.lesson.Version(), List: string(list), Notes: map[string]string{}}
	for at, note := range notes {
		f.Notes["line-"+strconv.Itoa(at)] = string(note)
	}
	sum := sha256.Sum256(append([]byte(f.Version), list...))
	f.State = hex.EncodeToString(sum[:8])
	return f, news, nil
}

// showWrittenBoard sends the board of a lesson, which loads itself again.
func (h *Handlers) showWrittenBoard(w http.ResponseWriter, r *http.Request) {
	if _, err := h.writtenPage(r); err != nil {
		h.Fail(w, r, err)
		return
	}
	h.sendBoard(w, r, h.WritingScript)
}
