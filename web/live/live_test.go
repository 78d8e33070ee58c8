package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/web/turns"
)

// fakeWorking takes the place of the kernel: it counts, and can be made slow.
type fakeWorking struct {
	mu      sync.Mutex
	cells   map[string]string
	moved   []kernel.Moved
	touched []string
	slow    time.Duration // of the next evaluations
	broken  bool          // the next evaluation panics
	ran     int
	stopped int
}

func (f *fakeWorking) GiveWay(context.Context) {}

func (f *fakeWorking) SetCells(cells []kernel.Cell) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.cells, f.moved = map[string]string{}, nil
	for _, c := range cells {
		f.cells[c.ID] = c.Text.Content
	}
}

func (f *fakeWorking) Edit(cell, text string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.cells[cell] = text
	f.touched = append(f.touched, cell)
	f.broken = text == "break"
	if d, ok := strings.CutPrefix(text, "slow "); ok {
		f.slow, _ = time.ParseDuration(d)
	} else {
		f.slow = 0
	}
	return nil
}

var slider = kernel.RowPlace{Cell: "c1"}

func (f *fakeWorking) Sliders() map[string]kernel.SliderPlace {
	return map[string]kernel.SliderPlace{"n": {RowPlace: slider}}
}

func (f *fakeWorking) Moved() []kernel.Moved {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.Clone(f.moved)
}

func (f *fakeWorking) SetMoved(list []kernel.Moved) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if slices.Equal(list, f.moved) {
		return
	}
	f.moved = slices.Clone(list)
	f.touched = append(f.touched, "c1", "c2")
}

func (f *fakeWorking) Unreached() []kernel.RowPlace { return []kernel.RowPlace{{Cell: "c1"}} }

func (f *fakeWorking) Rows(string) int { return 1 }

func (f *fakeWorking) Size() int64 { return 1000 }

func (f *fakeWorking) Results(cell string) []kernel.Result {
	f.mu.Lock()
	defer f.mu.Unlock()
	text, n := source.NewText(cell, f.cells[cell]), 0.0
	for _, m := range f.moved {
		n = m.Value
	}
	return []kernel.Result{{Cell: cell, Kind: kernel.KindValue, Name: "n",
		Text: fmt.Sprint(text.Content, " n=", n), Span: source.Span{Text: text}}}
}

func (f *fakeWorking) Evaluate(ctx context.Context, emit func(kernel.Result)) error {
	f.mu.Lock()
	slow, broken, touched := f.slow, f.broken, f.touched
	f.ran++
	f.mu.Unlock()
	if broken {
		f.mu.Lock()
		f.broken = false
		f.mu.Unlock()
		panic("a fault")
	}
	select {
	case <-time.After(slow):
	case <-ctx.Done():
		f.mu.Lock()
		f.stopped++
		f.mu.Unlock()
		return ctx.Err()
	}
	f.mu.Lock()
	f.touched = nil
	f.mu.Unlock()
	if emit == nil {
		return nil
	}
	for _, cell := range touched {
		for _, r := range f.Results(cell) {
			emit(r)
		}
	}
	return nil
}

func (f *fakeWorking) EvaluateWithin(ctx context.Context, _, _ int64) ([]kernel.RowPlace, error) {
	return nil, f.Evaluate(ctx, nil)
}

// rig is a hub behind a real HTTP server on a loopback port.
type rig struct {
	t       *testing.T
	hub     *Hub
	server  *httptest.Server
	working *fakeWorking
	kept    chan string // places that were kept
}

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{t: t, working: &fakeWorking{}, kept: make(chan string, 100)}
	r.server = httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) { r.hub.ServeHTTP(w, q) }))
	origin := "http://" + r.server.Listener.Addr().String()
	cells := []kernel.Cell{
		{ID: "c1", Text: source.NewText("", "T = 420 N·m")},
		{ID: "c2", Text: source.NewText("", "L = 1.3 m")},
	}
	r.hub = NewHub(Config{
		Queue:   turns.NewQueue(),
		Origins: []string{origin},
		Holder:  func(*http.Request) Holder { return Holder{Address: "127.0.0.1"} },
		Lesson: func(_ context.Context, _ Holder, name string) (Lesson, error) {
			if name != "uniform" {
				return Lesson{}, errors.New("no such lesson")
			}
			return Lesson{Cells: cells}, nil
		},
		NewWorking: func(func(float64, string)) Working { return r.working },
		Row:        func(_ string, q *kernel.Result) (string, error) { return "<p>" + q.Text + "</p>", nil },
		Spoken:     func(q *kernel.Result) string { return q.Text },
		Here: func(_ context.Context, who Holder, lesson, place string) error {
			if place == "nowhere" {
				return ErrNowhere
			}
			r.kept <- who.Person + " " + lesson + " " + place
			return nil
		},
		Still: func(context.Context, Holder, string) bool { return true },
		Log:   slog.New(slog.NewTextHandler(io.Discard, nil)),
	})
	r.server.Start()
	t.Cleanup(func() {
		_ = r.hub.Close(context.Background())
		r.server.Close()
	})
	return r
}

// dial opens a connection as a page does.
func (r *rig) dial() *client {
	r.t.Helper()
	dialer := websocket.Dialer{Subprotocols: []string{Protocol}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(r.server.URL, "http")+"/live", http.Header{"Origin": {r.server.URL}})
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() { conn.Close() })
	return &client{t: r.t, conn: conn}
}

// open dials and opens the lesson.
func (r *rig) open() *client {
	r.t.Helper()
	c := r.dial()
	c.send(`{"type":"open","revision":1,"lesson":"uniform"}`)
	c.want("opened")
	return c
}

type client struct {
	t      *testing.T
	conn   *websocket.Conn
	unread []answer // of the frame read last
}

// answer holds the fields of all messages of the server.
type answer struct {
	Type     string
	Revision int64
	Cell     string
	Index    int
	HTML     string
	Rows     int
	Stopped  bool
	Left     []leftRow
	Problem  Problem
}

func (c *client) send(message string) {
	c.t.Helper()
	if err := c.conn.WriteMessage(websocket.TextMessage, []byte(message)); err != nil {
		c.t.Fatal(err)
	}
}

func (c *client) next() answer {
	c.t.Helper()
	for len(c.unread) == 0 {
		_, frame, err := c.conn.ReadMessage()
		if err != nil {
			c.t.Fatalf("reading a message: %v", err)
		}
		if err := json.Unmarshal(frame, &c.unread); err != nil {
			c.t.Fatalf("%s: %v", frame, err)
		}
	}
	a := c.unread[0]
	c.unread = c.unread[1:]
	return a
}

// want reads on until a message of a type comes.
func (c *client) want(kind string) answer {
	c.t.Helper()
	for range 1000 {
		if a := c.next(); a.Type == kind {
			return a
		}
	}
	c.t.Fatalf("no message of type %q came", kind)
	return answer{}
}

// wantClose reads on until the connection is closed, and checks the code.
func (c *client) wantClose(code int) {
	c.t.Helper()
	for {
		_, _, err := c.conn.ReadMessage()
		if err == nil {
			continue
		}
		if !websocket.IsCloseError(err, code) {
			c.t.Errorf("closed with %v, want code %d", err, code)
		}
		return
	}
}
