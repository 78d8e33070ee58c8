package classroom

import (
	"context"
	"net/http"
	"sync"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/lessons/search"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/room"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/socket"
)

// rooms shows the live rooms of all classes.
type rooms struct {
	*Handlers
	room func() *room.Room

	ctx     context.Context // of all sockets
	end     context.CancelFunc
	running socket.Running

	endpoint *socket.Endpoint
	open     socket.Count // by person
	mu       sync.Mutex   // no socket is counted in while they are ended
}

func newRooms(h *Handlers) *rooms {
	ctx, end := context.WithCancel(context.Background())
	endpoint := socket.NewEndpoint(RoomProtocol, h.Allows)
	endpoint.Meter = h.Sockets
	return &rooms{
		Handlers: h, end: end, ctx: ctx, endpoint: endpoint,
		room: sync.OnceValue(func() *room.Room { return room.New(h.Store, h.Attempts) }),
	}
}

func (m *rooms) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/room/{assignment}", Handle: m.show},
		{Pattern: "GET /class/{class}/room/{assignment}/live", Handle: m.live},
	}
}

// view reads from a request what is to be shown. The codes for hidden names go
// with the sign-in: they stay through a reload and on a projector that shows
// this browser, and are others the next time. before is the view of the same
// request as it was, or nil.
func (m *rooms) view(ctx context.Context, r *http.Request, before *room.View) (*room.View, error) {
	who := request.VisitorFrom(r)
	a, err := m.editor(r).Find(ctx, r.PathValue("assignment"))
	if err != nil {
		return nil, err
	}
	p, err := m.Lesson(ctx, who.Person.ID, a.Key())
	if err != nil {
		return nil, err
	}
	query := r.URL.Query()
	v := &room.View{Assignment: a, Lesson: p}
	if before != nil && before.Lesson == p {
		v.Sections = before.Sections
	} else {
		v.Sections = roomSections(p)
	}
	if query.Get(page.NamesKey) == page.NamesHidden {
		v.HideNames = who.Session + " " + a.ID
	}
	if cell, ok := p.Cell(query.Get(page.ExerciseKey)); ok {
		v.Chosen = cell.ID
	}
	v.Path = func(exercise string) string { return page.RoomPath(&a, "", exercise, v.HideNames != "") }
	return v, nil
}

// liveViewPath returns the address of the live view while a class can work on an
// assignment, and otherwise nothing.
func liveViewPath(a *class.Assignment, now time.Time) string {
	if !assignment.IsOpen(a, now) {
		return ""
	}
	return page.RoomPath(a, "", "", false)
}

func roomSections(l *lessons.Lesson) []room.Section {
	var list []room.Section
	for _, s := range search.SectionsOf(l) {
		list = append(list, room.Section{ID: s.ID, Heading: s.Heading, Level: s.Level, Line: s.Line})
	}
	return list
}

// show sends the page of a room.
func (m *rooms) show(w http.ResponseWriter, r *http.Request) {
	v, err := m.view(r.Context(), r, nil)
	if err != nil {
		m.FailClass(w, r, err)
		return
	}
	pieces, err := m.room().Pieces(r.Context(), v, m.Now())
	if err != nil {
		m.FailClass(w, r, err)
		return
	}
	a, hidden := &v.Assignment, v.HideNames != ""
	view := page.Room{
		ClassFrame: m.classFrame(r, "Live view: "+a.Title, "Assignments"), Heading: a.Title,
		Lesson: "/lesson/" + a.Key(), Live: page.RoomPath(a, "/live", v.Chosen, hidden), Given: page.AssignmentPath(a), Sheets: page.HandoutsPath(a, "sheets", ""),
		Hidden: hidden, Toggle: page.RoomPath(a, "", v.Chosen, !hidden), Pieces: pieces,
		Choices: []page.RoomChoice{{Label: "Whole class", Path: v.Path(""), Current: v.Chosen == ""}},
	}
	cells, titles := m.room().Exercises(v)
	for i, cell := range cells {
		view.Choices = append(view.Choices, page.RoomChoice{Label: titles[i], Path: v.Path(cell.ID), Current: v.Chosen == cell.ID})
	}
	m.SendPage(w, r, http.StatusOK, "room", view)
}
