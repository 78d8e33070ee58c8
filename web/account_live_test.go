package web

import (
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/app/token"
	"shaftbook/web/live"
)

// read opens a lesson over a socket with the session of a token.
func (s *school) read(token, lesson string) *websocket.Conn {
	s.t.Helper()
	base := strings.TrimSuffix(s.URL(), "/")
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, answer, err := dialer.Dial(strings.Replace(base, "http", "ws", 1)+"/live", http.Header{"Origin": {base}, "Cookie": {"shaftbook=" + token}})
	if err != nil {
		s.t.Fatal(err, answer)
	}
	s.t.Cleanup(func() { conn.Close() })
	s.must(conn.WriteMessage(websocket.TextMessage, []byte(`{"type":"open","revision":1,"lesson":"`+lesson+`"}`)))
	_, frame, err := conn.ReadMessage()
	if err != nil || !strings.Contains(string(frame), `"opened"`) {
		s.t.Fatalf("%s %v", frame, err)
	}
	return conn
}

// isClosed reports whether a socket is closed because its reader may no more see
// what it shows.
func isClosed(conn *websocket.Conn) bool {
	for {
		_, _, err := conn.ReadMessage()
		var closed *websocket.CloseError
		if errors.As(err, &closed) {
			return closed.Code == websocket.ClosePolicyViolation
		}
		if err != nil {
			return false
		}
	}
}

// Whatever ends a session or takes someone out of a class closes the lessons
// that are open in it, at once. Other people’s stay open.
func TestLessonsCloseForWhoIsSignedOut(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(s *school)
		free bool // a lesson of the shelf stays open
	}{
		{"sign out", func(s *school) { s.post("S1", "/sign-out") }, false},
		{"sign out everywhere", func(s *school) { s.post("S1", "/account/sessions") }, false},
		{"another sign-in in the same browser", func(s *school) { s.post("S1", "/sign-in", "name", "teach1", "password", goodPassword) }, false},
		{"a reset", func(s *school) {
			s.putLink("token", class.Link{Purpose: class.ForEntry, Person: "S1"})
			s.at("", "POST", "/link/token", "password", goodPassword)
		}, false},
		{"signed out by the instructor", func(s *school) { s.post("I1", "/class/MILL/student/S1/sessions") }, false},
		{"taken out of the class", func(s *school) { s.post("I1", "/class/MILL/student/S1/leave") }, true},
		{"deleted for good", func(s *school) {
			s.enrol(class.Member{Class: "WEIR", Person: "I1", Role: class.Staff})
			s.post("I1", "/class/MILL/student/S1/erase", "name", "Student 01")
		}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openSchool(t)
			encoded, err := password.NewHasher().Hash(t.Context(), goodPassword)
			s.must(err)
			s.must(s.store.SetPassword(t.Context(), "I1", encoded))
			s.must(s.store.OpenSession(t.Context(), sessionOf("I1")))
			given, free, other := s.read("S1", "wheel~A1"), s.read("S1", "wheel"), s.read("S2", "wheel~A1")
			c.do(s)
			if !isClosed(given) {
				t.Error("the assigned lesson is still open")
			}
			if c.free {
				for s.hub.Len() > 2 {
					time.Sleep(10 * time.Millisecond) // until the server has put the closed one away
				}
				if s.hub.Len() != 2 {
					t.Errorf("%d lessons are open, want the one of the shelf and the other student’s", s.hub.Len())
				}
				return
			}
			if !isClosed(free) {
				t.Error("the lesson of the shelf is still open")
			}
			s.must(other.WriteMessage(websocket.TextMessage, []byte(`{"type":"restore","revision":2}`)))
			if _, _, err := other.ReadMessage(); err != nil {
				t.Errorf("the other student’s lesson is closed: %v", err)
			}
		})
	}
}

// What another server on the same database ended is found when the connection is
// asked about again, as it is with each ping.
func TestMayStillAsksTheStore(t *testing.T) {
	s := openSchool(t)
	who := func(id string) live.Holder { return live.Holder{Person: id, Session: token.Hash(id)} }
	if !s.mayStay(t.Context(), who("S1"), "wheel~A1") || !s.mayStay(t.Context(), who("S1"), "wheel") || !s.mayStay(t.Context(), who("S1"), "") {
		t.Fatal("what may be seen is not")
	}
	m := s.member("MILL", "S1")
	m.Left = true
	s.enrol(m)
	if s.mayStay(t.Context(), who("S1"), "wheel~A1") || !s.mayStay(t.Context(), who("S1"), "wheel") {
		t.Error("out of the class, the assigned lesson is closed and the others are not")
	}
	s.must(s.store.EndSessions(t.Context(), "S1"))
	if s.mayStay(t.Context(), who("S1"), "wheel") {
		t.Error("signed out, the lesson stays open")
	}
	s.must(s.store.Close())
	if !s.mayStay(t.Context(), who("S2"), "wheel~A1") {
		t.Error("a fault of the store closes what is open")
	}
}
