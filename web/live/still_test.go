package live

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// wantClosed reads until the connection is closed with a code.
func (c *client) wantClosed(code int) {
	c.t.Helper()
	for {
		_, _, err := c.conn.ReadMessage()
		var closed *websocket.CloseError
		if errors.As(err, &closed) && closed.Code == code {
			return
		}
		if err != nil {
			c.t.Fatalf("it ended with %v, want a close with %d", err, code)
		}
	}
}

func TestRecheckClosesWhoMayNoMore(t *testing.T) {
	r := newRig(t)
	var person atomic.Value
	person.Store("P")
	r.hub.config.Holder = func(*http.Request) Holder { return Holder{Person: person.Load().(string), Session: "s"} }
	r.hub.config.Still = func(_ context.Context, who Holder, lesson string) bool {
		return who.Person != "P" || lesson != "uniform"
	}
	out, elsewhere := r.open(), r.dial() // without a lesson
	elsewhere.send(`{"type":"stop","revision":1}`)
	elsewhere.want("problem") // so that it is counted
	person.Store("Q")
	other := r.open()
	r.hub.Recheck("P")
	out.wantClosed(websocket.ClosePolicyViolation)
	for _, c := range []*client{elsewhere, other} {
		c.send(`{"type":"stop","revision":9}`) // is answered or not, but taken
	}
	if n := r.hub.Len(); n < 2 {
		t.Errorf("%d connections are open, want those that may be", n)
	}
	r.hub.Recheck("nobody")
	r.hub.Recheck("")
}

// A connection that was opened with a link is asked about too, and closes when the link
// no longer works; those of people are left alone.
func TestRecheckLinksClosesThoseThatNoLongerWork(t *testing.T) {
	r := newRig(t)
	var who atomic.Value
	r.hub.config.Holder = func(*http.Request) Holder { return who.Load().(Holder) }
	r.hub.config.Still = func(_ context.Context, who Holder, lesson string) bool { return who.Link == "works" }
	who.Store(Holder{Link: "withdrawn"})
	out := r.open()
	who.Store(Holder{Link: "works"})
	stays := r.open()
	who.Store(Holder{Person: "P"})
	person := r.open()
	r.hub.RecheckLinks()
	out.wantClosed(websocket.ClosePolicyViolation)
	for _, c := range []*client{stays, person} {
		c.send(`{"type":"stop","revision":9}`)
	}
	if n := r.hub.Len(); n < 2 {
		t.Errorf("%d connections are open, want those that may be", n)
	}
}

// The person who opens window after window is told; others are not concerned.
func TestSocketsOfOnePersonAreLimited(t *testing.T) {
	r := newRig(t)
	var person atomic.Value
	person.Store("P")
	r.hub.config.Holder = func(*http.Request) Holder { return Holder{Person: person.Load().(string)} }
	var first *client
	for range socketsPerPerson {
		first = r.dial()
	}
	dialer := websocket.Dialer{Subprotocols: []string{Protocol}}
	again := func() (*http.Response, error) {
		conn, answer, err := dialer.Dial("ws"+strings.TrimPrefix(r.server.URL, "http")+"/live", http.Header{"Origin": {r.server.URL}})
		if err == nil {
			conn.Close()
		}
		return answer, err
	}
	if answer, err := again(); err == nil || answer.StatusCode != http.StatusTooManyRequests {
		t.Errorf("one too many: %v", answer)
	}
	person.Store("Q")
	if _, err := again(); err != nil {
		t.Errorf("somebody else: %v", err)
	}
	person.Store("P")
	first.conn.Close()
	for { // until the window that was closed has made room
		if _, err := again(); err == nil {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}
