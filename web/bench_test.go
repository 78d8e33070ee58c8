package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
	"shaftbook/web/live"
)

// benchServer serves the built-in lessons and returns the largest of them.
func benchServer(b *testing.B) (*Server, *lessons.Lesson) {
	b.Helper()
	shelf, _ := lessons.Load(fs.FS(text.Files))
	s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close(b.Context()) })
	largest := shelf.Lessons[0]
	for _, l := range shelf.Lessons {
		if len(l.Text.Content) > len(largest.Text.Content) {
			largest = l
		}
	}
	return s, largest
}

func dialLesson(b *testing.B, s *Server, slug string) *websocket.Conn {
	b.Helper()
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(s.URL(), "http")+"live", http.Header{"Origin": {strings.TrimSuffix(s.URL(), "/")}})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { conn.Close() })
	if err := conn.WriteJSON(map[string]any{"type": "open", "revision": 1, "lesson": slug}); err != nil {
		b.Fatal(err)
	}
	if _, _, err := conn.ReadMessage(); err != nil {
		b.Fatal(err)
	}
	return conn
}

// BenchmarkEdit measures from an edit leaving the page to its last result
// arriving, for the first cell of the largest lesson; beside it the bare echo
// of a JSON message of that size, and the same edit in the kernel alone. An echo
// is read and written by one goroutine; an edit is read by one, evaluated by
// another, so that a newer one can overtake it, and written by a third, so that a
// slow reader holds up no turn. These two changes, and the rows, which are longer
// than the text, are what it takes beyond the kernel: a fifth of the evaluating
// goroutine's time makes the rows, an eighth looks for what others have. The
// rate limit of a session is 20 a second, so each edit comes on a connection's
// own burst.
func BenchmarkEdit(b *testing.B) {
	s, lesson := benchServer(b)
	cells, _, _ := s.reader.Pages.Cells(b.Context(), "", lesson.Slug)
	cell := cells[0]
	const burst = 30
	var conn *websocket.Conn
	var spent, echo, kernels time.Duration
	bare := echoServer(b)
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(cells)
	for i := 0; b.Loop(); i++ {
		if i%burst == 0 {
			b.StopTimer()
			if conn != nil {
				conn.Close()
			}
			conn = dialLesson(b, s, lesson.Slug)
			edit(b, conn, cell.ID, cell.Text.Content+"\n# warm") // builds the working
			b.StartTimer()
		}
		message := cell.Text.Content + fmt.Sprintf("\nbench = %d", i)
		start := time.Now()
		edit(b, conn, cell.ID, message)
		spent += time.Since(start)
		b.StopTimer()
		start = time.Now()
		roundTrip(b, bare, message)
		echo += time.Since(start)
		start = time.Now()
		if err := errors.Join(working.Edit(cell.ID, message), working.Evaluate(b.Context(), nil)); err != nil {
			b.Fatal(err)
		}
		if i > 0 { // the first evaluates the whole lesson
			kernels += time.Since(start)
		}
		b.StartTimer()
	}
	b.ReportMetric(float64(spent)/float64(b.N)/1e3, "µs/edit")
	b.ReportMetric(float64(kernels)/float64(b.N)/1e3, "µs/kernel")
	b.ReportMetric(float64(spent)/float64(echo), "times-echo")
	b.ReportMetric(float64(spent-kernels)/float64(echo), "times-echo-without-kernel")
}

// revisions counts edits of all connections: that of each grows.
var revisions atomic.Int64

func edit(b *testing.B, conn *websocket.Conn, cell, text string) {
	b.Helper()
	message := struct { // with the type in front, as pages send it
		Type     string `json:"type"`
		Revision int64  `json:"revision"`
		Cell     string `json:"cell"`
		Text     string `json:"text"`
	}{"edit", 1 + revisions.Add(1), cell, text}
	if err := conn.WriteJSON(message); err != nil {
		b.Fatal(err)
	}
	for {
		var messages []struct{ Type string }
		if err := conn.ReadJSON(&messages); err != nil {
			b.Fatal(err)
		}
		if messages[len(messages)-1].Type == "done" {
			return
		}
	}
}

// echoServer returns a connection to a bare echo of JSON messages.
func echoServer(b *testing.B) *websocket.Conn {
	b.Helper()
	if echoURL == "" {
		startEcho()
	}
	conn, _, err := websocket.DefaultDialer.Dial(echoURL, nil)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { conn.Close() })
	return conn
}

var echoURL string // one server for all benchmarks

func startEcho() {
	up := websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		conn, err := up.Upgrade(w, r, nil)
		if err != nil {
			return
		}
		defer conn.Close()
		for {
			var m map[string]string
			if conn.ReadJSON(&m) != nil || conn.WriteJSON(m) != nil {
				return
			}
		}
	}))
	echoURL = "ws" + strings.TrimPrefix(server.URL, "http")
}

func roundTrip(b *testing.B, conn *websocket.Conn, text string) {
	b.Helper()
	if err := conn.WriteJSON(map[string]string{"text": text}); err != nil {
		b.Fatal(err)
	}
	var back json.RawMessage
	if err := conn.ReadJSON(&back); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkIdleConnection measures the memory of a connection with an open
// lesson on which nothing happens. Both ends stand in this process, so the
// same is done beside it with a bare echo of the library's default buffers,
// which costs 17 kB at the server's end.
func BenchmarkIdleConnection(b *testing.B) {
	s, lesson := benchServer(b)
	const n = 100
	measure := func(dial func() *websocket.Conn) float64 {
		conns := make([]*websocket.Conn, n)
		before := heap()
		for i := range conns {
			conns[i] = dial()
		}
		time.Sleep(50 * time.Millisecond) // the handlers return
		after := heap()
		for _, c := range conns {
			c.Close()
		}
		return (float64(after) - float64(before)) / n / 1e3
	}
	var ours, bare float64
	for b.Loop() {
		ours = measure(func() *websocket.Conn { return dialLesson(b, s, lesson.Slug) })
		bare = measure(func() *websocket.Conn { return echoServer(b) })
		for s.hub.Len() > 0 {
			time.Sleep(time.Millisecond)
		}
	}
	b.ReportMetric(ours, "kB/session+client")
	b.ReportMetric(bare, "kB/echo+client")
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc + m.StackInuse
}
