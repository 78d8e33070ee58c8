package web

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

func openWritten(t *testing.T, change func(*Server)) *Server {
	t.Helper()
	files := fstest.MapFS{"wheel.md": {Data: []byte(lessonText)}}
	catalog, _ := lessons.Load(files)
	s := &Server{Catalog: catalog, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Writes: func(*lessons.Lesson) bool { return true }}
	if change != nil {
		change(s)
	}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

// TestWhoWrites: on an open server the pages of whoever writes are for this machine, by an
// address of this machine, without a proxy and not for pages from elsewhere.
func TestWhoWrites(t *testing.T) {
	for _, c := range []struct {
		name   string
		server func(*Server)
		host   string // empty is the server's own
		header [2]string
		status int
	}{
		{"a browser here", nil, "", [2]string{"Sec-Fetch-Site", "none"}, 200},
		{"a page of ours", nil, "", [2]string{"Sec-Fetch-Site", "same-origin"}, 200},
		{"no browser", nil, "", [2]string{}, 200},
		{"another page", nil, "", [2]string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"another port of this machine", nil, "", [2]string{"Sec-Fetch-Site", "same-site"}, 403},
		{"a name that leads here", nil, "mill.example", [2]string{}, 403},
		{"a name that begins like ours", nil, "localhost.mill.example", [2]string{}, 403},
		{"another port in the name", nil, "127.0.0.1:1", [2]string{}, 403},
		{"through a proxy", nil, "", [2]string{"X-Forwarded-For", "192.0.2.7"}, 403},
		{"through another proxy", nil, "", [2]string{"Forwarded", "for=192.0.2.7"}, 403},
		{"a server behind an origin", func(s *Server) { s.Origins = []string{"https://twist.example"} }, "", [2]string{}, 403},
		{"a server where nothing is written", func(s *Server) { s.Writes = nil }, "", [2]string{}, 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openWritten(t, c.server)
			for _, path := range []string{"write", "write/wheel", "write/wheel/board", "write/wheel/found", "write/wheel/numbers/exercise-twist"} {
				q, err := http.NewRequest("GET", s.URL()+path, nil)
				if err != nil {
					t.Fatal(err)
				}
				if c.host != "" {
					q.Host = c.host
				}
				if c.header[0] != "" {
					q.Header.Set(c.header[0], c.header[1])
				}
				r, err := http.DefaultClient.Do(q)
				if err != nil {
					t.Fatal(err)
				}
				r.Body.Close()
				if r.StatusCode != c.status {
					t.Errorf("%s: %d, want %d", path, r.StatusCode, c.status)
				}
			}
		})
	}
}

// TestOnlyWrittenPagesAreFramed: what a page of this server may frame is a lesson that is
// written, and nothing else.
func TestOnlyWrittenPagesAreFramed(t *testing.T) {
	s := openWritten(t, nil)
	for path, want := range map[string]string{"write/wheel": "frame-ancestors 'self'", "lesson/wheel": "frame-ancestors 'none'", "": "frame-ancestors 'none'"} {
		r, _ := get(t, s.URL()+path)
		if got := r.Header.Get("Content-Security-Policy"); !strings.Contains(got, want) || strings.Contains(got, "unsafe") {
			t.Errorf("%s: %s", path, got)
		}
	}
}

// TestWhatIsFound: a page that has what is said of its lesson waits, and gets what is said
// after the file has changed.
func TestWhatIsFound(t *testing.T) {
	s := openWritten(t, nil)
	ask := func(state string) (f struct {
		State, Version, List string
		Notes                map[string]string
	}) {
		t.Helper()
		r, body := get(t, s.URL()+"write/wheel/found?state="+state)
		if r.StatusCode != http.StatusOK {
			t.Fatalf("%d %s", r.StatusCode, body)
		}
		if err := json.Unmarshal([]byte(body), &f); err != nil {
			t.Fatal(err)
		}
		return f
	}
	f := ask("")
	for strings.Contains(f.List, "being checked") {
		f = ask(f.State)
	}
	if !strings.Contains(f.List, "there is nothing") && !strings.Contains(f.List, "fault") {
		t.Errorf("the exercise of the lesson asks for nothing, and the list is %s", f.List)
	}
	next, _ := lessons.LoadAgain(s.Catalog, fstest.MapFS{"wheel.md": {Data: []byte(strings.Replace(lessonText, "T = 420 N·m", "T = 420 N·m + 1 m", 1) + "\nSee [it](none.md).\n")}})
	done := make(chan struct{})
	go func() { defer close(done); s.Replace(next) }()
	before := f
	for f = ask(before.State); !strings.Contains(f.List, "none.md") || !strings.Contains(f.List, "cannot add"); f = ask(f.State) {
	}
	<-done
	if f.Version == before.Version || len(f.Notes) < 2 {
		t.Errorf("%+v", f)
	}
	if r, _ := get(t, s.URL()+"write/wheel"); r.StatusCode != http.StatusOK {
		t.Error(r.Status)
	}
	s.Replace(&lessons.Catalog{Files: fstest.MapFS{}})
	if r, _ := get(t, s.URL()+"write/wheel/found?state="+f.State); r.StatusCode != http.StatusNotFound {
		t.Errorf("of a lesson that is gone: %s", r.Status)
	}
}

// TestInstructorsWrite: on a server with classes the pages are for instructors, with the
// numbers of their own classes only.
func TestInstructorsWrite(t *testing.T) {
	s := openSchoolWriting(t)
	for _, c := range []struct {
		who, path string
		status    int
		words     string
	}{
		{"I1", "/write", 200, "The wheel shaft"},
		{"I1", "/write/wheel?student=3", 200, "as student 3"},
		{"I1", "/write/wheel/numbers/exercise-drawn", 200, "Student 30"},
		{"I1", "/write/wheel/numbers/exercise-drawn?class=MILL", 200, "The students of"},
		{"I1", "/write/wheel/numbers/exercise-drawn?class=WEIR", 404, ""},
		{"I1", "/write/wheel/numbers/none", 404, ""},
		{"I1", "/write/none", 404, ""},
		{"S1", "/write", 403, ""},
		{"S1", "/write/wheel", 403, ""},
		{"S1", "/write/wheel/numbers/exercise-drawn?class=MILL", 403, ""},
	} {
		r, body := s.get(c.who, c.path)
		if r.StatusCode != c.status || !strings.Contains(body, c.words) {
			t.Errorf("%s, %s: %d, want %d with %q", c.who, c.path, r.StatusCode, c.status, c.words)
		}
	}
}

// openSchoolWriting is openSchool with a lesson that is written there.
func openSchoolWriting(t *testing.T) *school {
	t.Helper()
	s := openSchool(t)
	catalog, _ := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(askedText)}})
	other := &Server{Catalog: catalog, Attempts: s.Attempts, Classes: s.Classes, Log: s.Log, clock: s.clock, Writes: func(*lessons.Lesson) bool { return true }}
	if err := other.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = other.Close(t.Context()) })
	return &school{Server: other, store: s.store, t: t}
}
