package web

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/lessons"
)

// fakeStore is ready, or not, and counts how often it was asked.
type fakeStore struct {
	err   error
	asked atomic.Int64
}

func (f *fakeStore) Ready(context.Context) error {
	f.asked.Add(1)
	return f.err
}

func TestHealth(t *testing.T) {
	lesson := []*lessons.Lesson{{Slug: "wheel"}}
	for _, c := range []struct {
		name    string
		store   *fakeStore
		lessons []*lessons.Lesson
		status  int
		words   string
	}{
		{"all is well", &fakeStore{}, lesson, http.StatusOK, "ready\n"},
		{"the store fails", &fakeStore{err: errors.New("/var/lib: no room")}, lesson, http.StatusServiceUnavailable, "not ready: the store takes no work; the server’s log has the reason\n"},
		{"no lessons", &fakeStore{}, nil, http.StatusServiceUnavailable, "not ready: there are no lessons\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Server{Catalog: &lessons.Catalog{Lessons: c.lessons}, Store: c.store, Log: slog.New(slog.DiscardHandler)}
			s.ready.store, s.catalog = c.store, lessons.NewCurrent(s.Catalog)
			ask := func(path string) (int, string) {
				w := httptest.NewRecorder()
				for _, rt := range s.healthRoutes() {
					if rt.Pattern == "GET "+path {
						rt.Handle(w, httptest.NewRequest("GET", path, nil))
					}
				}
				return w.Code, w.Body.String()
			}
			if status, words := ask(livePath); status != http.StatusOK || words != "alive\n" {
				t.Errorf("live: %d %q", status, words)
			}
			for range 100 {
				if status, words := ask(readyPath); status != c.status || words != c.words {
					t.Fatalf("ready: %d %q, want %d %q", status, words, c.status, c.words)
				}
			}
			s.ready.stopping.Store(true)
			if status, words := ask(readyPath); status != http.StatusServiceUnavailable || words != "not ready: the server is stopping\n" {
				t.Errorf("stopping: %d %q", status, words)
			}
		})
	}
}

// However many ask within a second, the store is asked once.
func TestHealthIsCheap(t *testing.T) {
	store := &fakeStore{}
	h := &readiness{store: store}
	h.asked = time.Now().Add(time.Hour) // a second that does not end
	for range 1000 {
		if err := h.ofStore(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if n := store.asked.Load(); n != 0 {
		t.Errorf("asked %d times", n)
	}
}

// While a request is waited for, the server says at the address of its metrics that it
// is not ready, and to the end that it is alive.
func TestNotReadyWhileStopping(t *testing.T) {
	s := operated(t)
	ask := func(path string) (int, string) {
		r, err := http.Get("http://" + s.metricsAddress + path)
		s.must(err)
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		s.must(err)
		return r.StatusCode, string(body)
	}
	if status, words := ask(readyPath); status != http.StatusOK {
		t.Fatalf("before: %d %q", status, words)
	}
	// A request whose body does not come keeps the server from ending.
	conn, err := net.Dial("tcp", s.listener.Addr().String())
	s.must(err)
	defer conn.Close()
	_, err = io.WriteString(conn, "POST /sign-in HTTP/1.1\r\nHost: "+s.listener.Addr().String()+"\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 100\r\n\r\nname=")
	s.must(err)
	for running := 0.0; running == 0; { // until it has arrived
		_, series := s.scrape()
		running = series["shaftbook_http_requests_running"]
	}
	ctx, cut := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- s.Close(ctx) }()
	for status := 0; status != http.StatusServiceUnavailable; {
		status, _ = ask(readyPath)
	}
	if _, words := ask(readyPath); words != "not ready: the server is stopping\n" {
		t.Errorf("stopping: %q", words)
	}
	if status, words := ask(livePath); status != http.StatusOK {
		t.Errorf("alive: %d %q", status, words)
	}
	cut()
	<-ended
}

// A supervisor on this machine need not know the name of the server.
func TestHealthOfAnyHostFromThisMachine(t *testing.T) {
	s := openSchool(t)
	s.Origins, s.site.Origins = []string{"https://twist.example"}, []string{"https://twist.example"}
	for path, want := range map[string]int{livePath: http.StatusOK, readyPath: http.StatusOK, "/sign-in": http.StatusMisdirectedRequest} {
		q, err := http.NewRequest("GET", strings.TrimSuffix(s.URL(), "/")+path, nil)
		s.must(err)
		q.Host = "probe.example"
		r, body := s.answer(q)
		wantStatus(t, r, body, want)
	}
	away := httptest.NewRequest("GET", livePath, nil)
	away.Host, away.RemoteAddr = "probe.example", "203.0.113.7:999"
	w := httptest.NewRecorder()
	s.http.Handler.ServeHTTP(w, away)
	if w.Code != http.StatusMisdirectedRequest {
		t.Errorf("from elsewhere: %d", w.Code)
	}
}
