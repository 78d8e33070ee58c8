package web

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/class"
	"shaftbook/exercises/record"
	"shaftbook/lessons"
	"shaftbook/web/live"
)

// A roomFake is a classFake that also keeps what a room asks for.
type roomFake struct {
	*classFake
	mu      sync.Mutex
	present []class.Presence
	watch   []chan string
	work    record.Store
	gone    bool // whoever asks is signed out
}

func (f *roomFake) Assignment(_ context.Context, id string) (class.Assignment, error) {
	for _, a := range f.assigned {
		if a.ID == id {
			return a, nil
		}
	}
	return class.Assignment{}, class.ErrNone
}

func (f *roomFake) SessionOf(ctx context.Context, hash string, now time.Time) (class.Session, class.Person, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.gone {
		return class.Session{}, class.Person{}, class.ErrNone
	}
	return f.classFake.SessionOf(ctx, hash, now)
}

func (f *roomFake) PredictionsIn(context.Context, string) ([]record.Prediction, error) {
	return nil, nil
}
func (f *roomFake) HintsIn(context.Context, string) ([]record.Hint, error) { return nil, nil }

// AttemptsIn returns what the desk's store has of the students.
func (f *roomFake) AttemptsIn(ctx context.Context, lesson string) (all []record.Attempt, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, m := range f.members {
		if f.work == nil || err != nil {
			return nil, err
		}
		if m.Class != "MILL" {
			continue
		}
		var list []record.Attempt
		list, err = f.work.Attempts(ctx, m.Person, lesson, "exercise-twist")
		all = append(all, list...)
	}
	return all, err
}

// tell says to every watcher that something may have been missed.
func (f *roomFake) tell() {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, w := range f.watch {
		w <- ""
	}
}

func (f *roomFake) Here(_ context.Context, p class.Presence) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.present = append(f.present, p)
	for _, w := range f.watch {
		w <- p.Lesson
	}
	return nil
}

func (f *roomFake) Present(context.Context, string, time.Time) ([]class.Presence, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]class.Presence{}, f.present...), nil
}

func (f *roomFake) Watch(context.Context) (<-chan string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	w := make(chan string, 100)
	f.watch = append(f.watch, w)
	return w, nil
}

// openRoom opens a school with the assignment A1 of class MILL in its book.
func openRoom(t *testing.T) (*school, *roomFake) {
	t.Helper()
	s := openSchool(t)
	f := &roomFake{classFake: s.fake}
	s.Class = f
	if s.book.pages["wheel~A1"] == nil {
		lesson, list := lessons.Parse("wheel.md", []byte(askedText))
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		lesson.Slug = "wheel~A1"
		s.book.add(lesson)
	}
	return s, f
}

func TestRoomPage(t *testing.T) {
	s, _ := openRoom(t)
	for _, c := range []struct {
		name, person, path string
		status             int
	}{
		{"its instructor", "I1", "/class/MILL/room/A1", 200},
		{"an exercise of it", "I1", "/class/MILL/room/A1?at=exercise-twist", 200},
		{"an exercise that is not there", "I1", "/class/MILL/room/A1?at=exercise-none", 200},
		{"a student of the class", "S1", "/class/MILL/room/A1", 404},
		{"another instructor", "I2", "/class/MILL/room/A1", 404},
		{"under the address of one’s own class", "I2", "/class/WEIR/room/A1", 404},
		{"an assignment that is not there", "I1", "/class/MILL/room/A9", 404},
		{"the socket, as a page", "I1", "/class/MILL/room/A1/live", http.StatusUpgradeRequired},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.get(c.person, c.path)
			wantStatus(t, r, body, c.status)
		})
	}
}

// follow opens the socket of a room.
func (s *school) follow(person, query, origin string) (*websocket.Conn, *http.Response, error) {
	s.t.Helper()
	base := strings.TrimSuffix(s.URL(), "/")
	header := http.Header{"Cookie": {"shaftbook=" + person}}
	if origin == "own" {
		origin = base
	}
	if origin != "" {
		header.Set("Origin", origin)
	}
	dialer := websocket.Dialer{Subprotocols: []string{RoomProtocol}}
	conn, r, err := dialer.Dial("ws"+strings.TrimPrefix(base, "http")+"/class/MILL/room/A1/live"+query, header)
	if err == nil {
		s.t.Cleanup(func() { conn.Close() })
	}
	return conn, r, err
}

func nextPieces(t *testing.T, conn *websocket.Conn) roomMessage {
	t.Helper()
	_ = conn.SetReadDeadline(time.Now().Add(10 * time.Second))
	_, frame, err := conn.ReadMessage()
	if err != nil {
		t.Fatal(err)
	}
	var m roomMessage
	if err := json.Unmarshal(frame, &m); err != nil || m.Type != "pieces" {
		t.Fatalf("%v in %.200s", err, frame)
	}
	return m
}

func TestRoomSocketRefusals(t *testing.T) {
	s, _ := openRoom(t)
	for _, c := range []struct {
		name, person, origin string
		status               int
	}{
		{"no origin", "I1", "", 403},
		{"another site", "I1", "http://127.0.0.1:1", 403},
		{"a student", "S1", "own", 404},
		{"another instructor", "I2", "own", 404},
		{"nobody", "none", "own", 303},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, r, err := s.follow(c.person, "", c.origin)
			if err == nil || r == nil || r.StatusCode != c.status {
				t.Errorf("%v, %v, want status %d", r, err, c.status)
			}
		})
	}
}

func TestRoomFollows(t *testing.T) {
	s, f := openRoom(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	if m := nextPieces(t, conn); m.Version != 1 || len(m.Pieces) != 2 {
		t.Fatalf("the first message has version %d and %d pieces, want all of them", m.Version, len(m.Pieces))
	}
	_ = f.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.now()})
	m := nextPieces(t, conn)
	if m.Version != 2 || len(m.Pieces) != 1 || m.Pieces[0].ID != "room-here" || !strings.Contains(m.Pieces[0].HTML, "Student 01") {
		t.Errorf("after somebody came: %+v, want the piece that changed", m)
	}
}

// TestTwoServersOfOneStore has a student answer at one server while the room is
// followed at another. The second server hears only that it may have missed
// something, as after its line to the database was down.
func TestTwoServersOfOneStore(t *testing.T) {
	one, f := openRoom(t)
	two, _ := openRoom(t)
	f.work = one.Desk.Store()
	two.Class = f
	two.Desk = deskOn(t, f.work) // a desk of its own on the same store
	for _, c := range []struct {
		name           string
		answered, seen *school
		text, count    string
	}{
		{"there and here", one, two, "1.5196 deg", "1 student answered"},
		{"here and there", two, one, "0.7598 deg", "2 answers in all"},
	} {
		t.Run(c.name, func(t *testing.T) {
			conn, _, err := c.seen.follow("I1", "?at=exercise-twist", "own")
			if err != nil {
				t.Fatal(err)
			}
			nextPieces(t, conn)
			r, body := c.answered.post("S1", "/lesson/wheel~A1/exercise/exercise-twist", "sheet", c.answered.Desk.Sheet("S1"),
				"series", "0", "part", "twist", "submission", "0123456789abcdef-"+c.text[:1], "answer", c.text)
			wantStatus(t, r, body, http.StatusSeeOther)
			f.tell()
			if m := nextPieces(t, conn); len(m.Pieces) != 1 || !strings.Contains(m.Pieces[0].HTML, c.count) {
				t.Errorf("the room shows %.900v, want %q", m, c.count)
			}
		})
	}
}

func TestRoomSocketNamesNobody(t *testing.T) {
	s, f := openRoom(t)
	_ = f.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.now()})
	conn, _, err := s.follow("I1", "?names=hidden", "own")
	if err != nil {
		t.Fatal(err)
	}
	sent, _ := json.Marshal(nextPieces(t, conn))
	_, page := s.get("I1", "/class/MILL/room/A1?names=hidden")
	for _, text := range []string{string(sent), page} {
		if strings.Contains(text, "Student 01") || strings.Contains(text, "alert(1)") || strings.Contains(text, "s01") {
			t.Errorf("a room with hidden names names somebody:\n%s", text)
		}
	}
}

func TestRoomEscapesNames(t *testing.T) {
	s, _ := openRoom(t)
	_, body := s.get("I1", "/class/MILL/room/A1")
	if strings.Contains(body, "<script>alert") || !strings.Contains(body, "&lt;script&gt;alert(1)") {
		t.Error("a name is not escaped")
	}
}

func TestRoomClosesForWhoIsSignedOut(t *testing.T) {
	s, f := openRoom(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	nextPieces(t, conn)
	f.mu.Lock()
	f.gone = true
	f.mu.Unlock()
	_ = f.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.now()})
	_ = conn.SetReadDeadline(time.Now().Add(15 * time.Second))
	for err == nil {
		_, _, err = conn.ReadMessage()
	}
	if !websocket.IsCloseError(err, websocket.ClosePolicyViolation) {
		t.Errorf("%v, want the socket closed with 1008", err)
	}
}

func TestRoomClosesWithTheServer(t *testing.T) {
	s, _ := openRoom(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	nextPieces(t, conn)
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	if err := s.Close(ctx); err != nil {
		t.Error(err)
	}
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseGoingAway) {
		t.Errorf("%v, want 1001", err)
	}
}

func TestRoomsOfOnePersonAreLimited(t *testing.T) {
	s, _ := openRoom(t)
	for range roomsEach {
		if _, _, err := s.follow("I1", "", "own"); err != nil {
			t.Fatal(err)
		}
	}
	if _, r, err := s.follow("I1", "", "own"); err == nil || r.StatusCode != http.StatusTooManyRequests {
		t.Errorf("%v, want the ninth refused", err)
	}
}

func TestHereKeepsPlacesOfAssignmentsOnly(t *testing.T) {
	s, f := openRoom(t)
	who := live.Holder{Person: "I1"}
	for _, c := range []struct {
		name, lesson, place string
		kept                int
		err                 error
	}{
		{"a cell", "wheel~A1", "exercise-twist", 1, nil},
		{"a heading", "wheel~A1", "the-question", 1, nil},
		{"no place", "wheel~A1", "elsewhere", 0, live.ErrNowhere},
		{"a lesson that is read freely", "wheel", "calc-1", 0, nil},
		{"no lesson", "wheel~A9", "calc-1", 0, errNoLesson},
	} {
		t.Run(c.name, func(t *testing.T) {
			f.present = nil
			if err := s.keepHere(t.Context(), who, c.lesson, c.place); err != c.err || len(f.present) != c.kept {
				t.Errorf("%v and %d places kept, want %v and %d", err, len(f.present), c.err, c.kept)
			}
		})
	}
}
