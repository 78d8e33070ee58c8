package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/gorilla/websocket"
)

// Whatever people do and whatever fails, the log says neither who they are nor what
// they wrote.
func TestLogHoldsNothingPersonal(t *testing.T) {
	for _, format := range []string{"json", "text"} {
		t.Run(format, func(t *testing.T) {
			s := openSchool(t)
			var log bytes.Buffer
			logger, err := NewLog(&log, format)
			s.must(err)
			s.Log, s.site.Log = logger, logger
			s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.1234567 deg")
			s.password("S1", goodPassword)
			r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
			session := tokenOf(t, r)
			s.at("", "POST", "/sign-in", "name", "berit.quill@mill.example", "password", "guessed-password")
			s.post("I1", "/class/MILL/roster", "name", "Berit Quill", "signin", "berit.quill@mill.example", "email", "berit.quill@mill.example", "sourced", "4711-berit")
			conn := s.read(session, "wheel")
			say(t, conn, map[string]any{"type": "edit", "revision": 2, "cell": "calc-1", "text": "berits = 1"})
			s.must(s.store.Close()) // from now on everything that asks the store fails
			for _, path := range []string{"/lesson/wheel~A1/exercise/exercise-twist", "/account/password", "/class/MILL/roster", "/class/MILL/student/S1", "/class/MILL/assignment/A1/times", "/join", "/sign-in", "/link/SECRETTOKEN"} {
				s.at(session, "POST", path, "name", "Berit Quill", "signin", "berit.quill@mill.example", "reason", "was ill in week 3", "answer", "0.7654321 deg",
					"password", "guessed-password", "old", goodPassword, "code", "ABCD-EFGH", "who", "berit.quill@mill.example", "part", "", "submission", "S77", "sheet", "x", "series", "0")
				s.at(session, "GET", path)
			}
			s.site.Log.Error("request failed", "error", errors.New("read tcp 10.1.2.3:8930->192.0.2.77:51000: reset; [2001:db8::77]:51000 berit.quill@mill.example"))
			_, err = s.errorLog().Writer().Write([]byte("http: TLS handshake error from 192.0.2.77:51000: EOF\n"))
			s.must(err)
			conn.WriteControl(websocket.CloseMessage, nil, schoolTime)
			said := log.String()
			if strings.Count(said, "\n") < 5 || !strings.Contains(said, "the store failed") {
				t.Fatalf("so little is in the log that nothing is seen by it:\n%s", said)
			}
			for _, private := range []string{
				"Berit", "Quill", "berit", "4711", "s01", "Student 01", "Instructor", "ill in week", "0.1234567", "0.7654321",
				goodPassword, "guessed-password", session, "SECRETTOKEN", "ABCD-EFGH", "ABCDEFGH", "192.0.2.77", "2001:db8", "10.1.2.3", "127.0.0.1", "S77",
			} {
				if strings.Contains(said, private) {
					t.Errorf("the log holds %q:\n%s", private, said)
				}
			}
			if format != "json" {
				return
			}
			for line := range strings.Lines(said) {
				var entry struct{ Time, Level, Msg string }
				if err := json.Unmarshal([]byte(line), &entry); err != nil || entry.Time == "" || entry.Level == "" || entry.Msg == "" {
					t.Errorf("%q: %v", line, err)
				}
			}
		})
	}
}

func TestNewLogRefuses(t *testing.T) {
	if _, err := NewLog(&bytes.Buffer{}, "xml"); err == nil {
		t.Error("a log of another format")
	}
}
