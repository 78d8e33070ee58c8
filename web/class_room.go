package web

import (
	"context"
	"net/http"
	"net/url"
	"sync"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/room"
	"shaftbook/web/page"
)

// roomRoutes are the routes of the live view of a room.
func (s *Server) roomRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	ctx, end := context.WithCancel(context.Background())
	s.rooms = &rooms{
		server: s, end: end, ctx: ctx, open: map[string]int{},
		room: sync.OnceValue(func() *room.Room { return room.New(s.Class, s.Desk) }),
	}
	return []route{
		{staff, "GET /class/{class}/room/{assignment}", s.rooms.show},
		{staff, "GET /class/{class}/room/{assignment}/live", s.rooms.live},
	}
}

// rooms shows the rooms of all classes.
type rooms struct {
	server *Server
	room   func() *room.Room

	ctx     context.Context // of all sockets
	end     context.CancelFunc
	running sync.WaitGroup

	mu   sync.Mutex
	open map[string]int // sockets by person
}

const (
	namesKey    = "names" // of the address: whether names are shown
	namesHidden = "hidden"
	chosenKey   = "at" // the exercise whose answers are shown
)

// view reads from a request what is to be shown. The codes for hidden names go
// with the sign-in: they stay through a reload and on a projector that shows
// this browser, and are others the next time. before is the view of the same
// request as it was, or nil.
func (m *rooms) view(ctx context.Context, r *http.Request, before *room.View) (*room.View, error) {
	s, who := m.server, of(r)
	a, err := s.Class.Assignment(ctx, r.PathValue("assignment"))
	if err != nil {
		return nil, err
	}
	if a.Class != who.class.ID {
		return nil, class.ErrNone
	}
	p, err := s.book.page(ctx, who.person.ID, a.Key())
	if err != nil {
		return nil, err
	}
	query := r.URL.Query()
	v := &room.View{Assignment: a, Lesson: p.lesson}
	if before != nil && before.Lesson == p.lesson {
		v.Sections = before.Sections
	} else {
		v.Sections = roomSections(p.lesson)
	}
	if query.Get(namesKey) == namesHidden {
		v.HideNames = who.session + " " + a.ID
	}
	if cell, ok := p.lesson.Cell(query.Get(chosenKey)); ok {
		v.Chosen = cell.ID
	}
	v.Path = func(exercise string) string { return roomPath(&a, "", exercise, v.HideNames != "") }
	return v, nil
}

func roomSections(l *lessons.Lesson) []room.Section {
	var list []room.Section
	for i, section := range sectionsOf(l) {
		level := 1
		if i > 0 {
			level = l.Headings[i-1].Level
		}
		list = append(list, room.Section{ID: section.id, Heading: section.heading, Level: level, Line: section.line})
	}
	return list
}

// roomPath is the address of a room; end is "" for the page, "/live" for its
// socket.
func roomPath(a *class.Assignment, end, chosen string, hidden bool) string {
	query := url.Values{}
	if chosen != "" {
		query.Set(chosenKey, chosen)
	}
	if hidden {
		query.Set(namesKey, namesHidden)
	}
	path := "/class/" + a.Class + "/room/" + a.ID + end
	if len(query) == 0 {
		return path
	}
	return path + "?" + query.Encode()
}

// show sends the page of a room.
func (m *rooms) show(w http.ResponseWriter, r *http.Request) {
	s := m.server
	v, err := m.view(r.Context(), r, nil)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	pieces, err := m.room().Pieces(r.Context(), v, s.now())
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	a, hidden := &v.Assignment, v.HideNames != ""
	view := page.Room{
		ClassFrame: s.classFrame(r, "Room: "+a.Title, ""), Heading: a.Title,
		Lesson: "/lesson/" + a.Key(), Live: roomPath(a, "/live", v.Chosen, hidden), Given: assignmentPath(a), Sheets: sheetsPath(a, "sheets", ""),
		Hidden: hidden, Toggle: roomPath(a, "", v.Chosen, !hidden), Pieces: pieces,
		Choices: []page.RoomChoice{{Label: "Everybody", Path: v.Path(""), Current: v.Chosen == ""}},
	}
	view.Wide = true
	cells, titles := m.room().Exercises(v)
	for i, cell := range cells {
		view.Choices = append(view.Choices, page.RoomChoice{Label: titles[i], Path: v.Path(cell.ID), Current: v.Chosen == cell.ID})
	}
	s.sendClass(w, r, http.StatusOK, "room", view)
}
