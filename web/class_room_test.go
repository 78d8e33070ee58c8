package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/classroom"
	"shaftbook/web/live"
)

func TestRoomPage(t *testing.T) {
	s := openSchool(t)
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
	dialer := websocket.Dialer{Subprotocols: []string{classroom.RoomProtocol}}
	conn, r, err := dialer.Dial("ws"+strings.TrimPrefix(base, "http")+"/class/MILL/room/A1/live"+query, header)
	if err == nil {
		s.t.Cleanup(func() { conn.Close() })
	}
	return conn, r, err
}

// pieces is a message of a room's socket, as web/PROTOCOL.md has it.
type pieces struct {
	Type    string
	Version int
	Pieces  []struct{ ID, HTML string }
}

func nextPieces(t *testing.T, conn *websocket.Conn) pieces {
	t.Helper()
	_, frame, err := conn.ReadMessage()
	if err != nil {
		t.Fatal(err)
	}
	var m pieces
	if err := json.Unmarshal(frame, &m); err != nil || m.Type != "pieces" {
		t.Fatalf("%v in %.200s", err, frame)
	}
	return m
}

func TestRoomSocketRefusals(t *testing.T) {
	s := openSchool(t)
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
	s := openSchool(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	if m := nextPieces(t, conn); m.Version != 1 || len(m.Pieces) != 2 {
		t.Fatalf("the first message has version %d and %d pieces, want all of them", m.Version, len(m.Pieces))
	}
	s.must(s.store.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.site.Now()}))
	m := nextPieces(t, conn)
	if m.Version != 2 || len(m.Pieces) != 1 || m.Pieces[0].ID != "room-here" || !strings.Contains(m.Pieces[0].HTML, "Student 01") {
		t.Errorf("after somebody came: %+v, want the piece that changed", m)
	}
}

// Two servers of one store have a student answer at one while the room is followed at
// the other. On SQLite they share the open store; TestSeveralServers has them on
// PostgreSQL.
func TestTwoServersOfOneStore(t *testing.T) {
	one := openSchool(t)
	followAcross(t, one, openSchoolOn(t, one.store))
}

func followAcross(t *testing.T, one, two *school) {
	for _, c := range []struct {
		name           string
		answered, seen *school
		text, count    string
	}{
		{"there and here", one, two, "1.5196 deg", "1 of 2 students"},
		{"here and there", two, one, "0.7598 deg", "2 answers"},
	} {
		t.Run(c.name, func(t *testing.T) {
			conn, _, err := c.seen.follow("I1", "?at=exercise-twist", "own")
			if err != nil {
				t.Fatal(err)
			}
			nextPieces(t, conn)
			c.answered.hand("S1", "wheel~A1", "exercise-twist", "twist", c.text)
			if m := nextPieces(t, conn); len(m.Pieces) != 1 || !strings.Contains(m.Pieces[0].HTML, c.count) {
				t.Errorf("the room shows %.900v, want %q", m, c.count)
			}
		})
	}
}

func TestRoomSocketNamesNobody(t *testing.T) {
	s := openSchool(t)
	s.must(s.store.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.site.Now()}))
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
	s := openSchool(t)
	_, body := s.get("I1", "/class/MILL/room/A1")
	if strings.Contains(body, "<script>alert") || !strings.Contains(body, "&lt;script&gt;alert(1)") {
		t.Error("a name is not escaped")
	}
}

func TestRoomClosesForWhoIsSignedOut(t *testing.T) {
	s := openSchool(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	nextPieces(t, conn)
	s.must(s.store.EndSessions(t.Context(), "I1"))
	s.must(s.store.Here(t.Context(), class.Presence{Person: "S1", Lesson: "wheel~A1", Place: "exercise-twist", At: s.site.Now()}))
	for err == nil {
		_, _, err = conn.ReadMessage()
	}
	if !websocket.IsCloseError(err, websocket.ClosePolicyViolation) {
		t.Errorf("%v, want the socket closed with 1008", err)
	}
}

func TestRoomClosesWithTheServer(t *testing.T) {
	s := openSchool(t)
	conn, _, err := s.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	nextPieces(t, conn)
	if err := s.Close(t.Context()); err != nil {
		t.Error(err)
	}
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseGoingAway) {
		t.Errorf("%v, want 1001", err)
	}
}

func TestRoomsOfOnePersonAreLimited(t *testing.T) {
	s := openSchool(t)
	for range 8 {
		if _, _, err := s.follow("I1", "", "own"); err != nil {
			t.Fatal(err)
		}
	}
	if _, r, err := s.follow("I1", "", "own"); err == nil || r.StatusCode != http.StatusTooManyRequests {
		t.Errorf("%v, want the ninth refused", err)
	}
}

func TestHereKeepsPlacesOfAssignmentsOnly(t *testing.T) {
	s := openSchool(t)
	who := live.Holder{Person: "I1"}
	for _, c := range []struct {
		name, lesson, place string
		kept                bool
		err                 error
	}{
		{"a cell", "wheel~A1", "exercise-twist", true, nil},
		{"a heading", "wheel~A1", "the-question", true, nil},
		{"no place", "wheel~A1", "elsewhere", false, live.ErrNowhere},
		{"a lesson that is read freely", "wheel", "calc-1", false, nil},
		{"no lesson", "wheel~A9", "calc-1", false, assignment.ErrNoLesson},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, err := s.store.Present(t.Context(), c.lesson, time.Time{})
			s.must(err)
			if err := s.keepHere(t.Context(), who, c.lesson, c.place); err != c.err {
				t.Errorf("%v, want %v", err, c.err)
			}
			after, err := s.store.Present(t.Context(), c.lesson, time.Time{})
			s.must(err)
			if kept := !slices.Equal(before, after); kept != c.kept || kept && after[0].Place != c.place {
				t.Errorf("%+v after %+v, want the place kept: %v", after, before, c.kept)
			}
		})
	}
}
