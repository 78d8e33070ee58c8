package web

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/roster"
	"shaftbook/web/classroom"
	"shaftbook/web/request"
)

// Each route takes what it is allowed, and says how much that is.
func TestBodiesAreLimited(t *testing.T) {
	s := openSchool(t)
	for _, c := range []struct {
		name, path string
		long       int
		most       string // that the answer says, or empty if it is taken
	}{
		{"a form", "/classes", request.BodyLimit - 1000, ""},
		{"a form that is too long", "/classes", request.BodyLimit + 1000, "at most 256 kB"},
		{"a list that was carried", "/class/MILL/roster/apply", classroom.RosterLimit - 1000, ""},
		{"a list that is too long", "/class/MILL/roster/apply", classroom.RosterLimit + 1000, "at most 4 MB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.post("I1", c.path, "name", strings.Repeat("x", c.long))
			if got := r.StatusCode == http.StatusRequestEntityTooLarge; got != (c.most != "") {
				t.Errorf("status %d", r.StatusCode)
			}
			wantWords(t, body, c.most)
		})
	}
	for pattern := range longBodies {
		found := false
		for _, rt := range s.routes() {
			found = found || rt.Pattern == pattern
		}
		if !found {
			t.Errorf("there is no route %s", pattern)
		}
	}
}

// The longest list that is read gets to its reader.
func TestLongListArrives(t *testing.T) {
	s := openSchool(t)
	var list strings.Builder
	list.WriteString("name,username,section\n")
	long := strings.Repeat("a long name of a section ", 7)
	for i := range roster.MaxLines {
		fmt.Fprintf(&list, "Student %d,long%d,%s%d\n", i, i, long, i)
	}
	if list.Len() < request.BodyLimit || list.Len() > roster.MaxBytes {
		t.Fatalf("the list has %d bytes", list.Len())
	}
	r, body := s.preview(list.String())
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, "Student 4999")
}

// A request whose body never arrives keeps the server from stopping no longer than it
// was given, and its end is a good one.
func TestStoppingWhileABodyDawdles(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	conn, err := net.Dial("tcp", s.listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := io.WriteString(conn, "POST "+twistPath+" HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 100\r\nExpect: 100-continue\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	// The server answers so when the body is being read.
	if _, err := io.ReadFull(conn, make([]byte, len("HTTP/1.1 100 Continue"))); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	if err := s.Close(ctx); err != nil {
		t.Errorf("the end: %v", err)
	}
}
