package socket

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gorilla/websocket"
)

const testProtocol, testOrigin = "shaftbook.test.1", "http://mill.example"

func newTestEndpoint() *Endpoint {
	return NewEndpoint(testProtocol, func(origin string) bool { return origin == testOrigin })
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(h http.Header)
		want   error
	}{
		{"a page of the server", func(http.Header) {}, nil},
		{"no upgrade", func(h http.Header) { h.Del("Upgrade") }, ErrNoUpgrade},
		{"no origin", func(h http.Header) { h.Del("Origin") }, ErrNoOrigin},
		{"two origins", func(h http.Header) { h.Add("Origin", testOrigin) }, ErrNoOrigin},
		{"another origin", func(h http.Header) { h.Set("Origin", testOrigin+".weir.example") }, ErrOrigin},
		{"another protocol", func(h http.Header) { h.Set("Sec-WebSocket-Protocol", "shaftbook.test.2") }, ErrProtocol},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "/live", nil)
			for name, value := range map[string]string{"Connection": "Upgrade", "Upgrade": "websocket", "Origin": testOrigin, "Sec-WebSocket-Protocol": testProtocol} {
				r.Header.Set(name, value)
			}
			c.change(r.Header)
			if err := newTestEndpoint().Check(r); err != c.want {
				t.Errorf("%v, want %v", err, c.want)
			}
		})
	}
}

// A message goes there and back; then the server ends the connection with a code
// and a reason, and its reading ends when the page answers.
func TestAConnection(t *testing.T) {
	endpoint, read := newTestEndpoint(), make(chan string, 10)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		conn, err := endpoint.Upgrade(w, r)
		if err != nil {
			t.Error(err)
			return
		}
		defer conn.Close()
		conn.ReadAll(100, func(text bool, message []byte) bool {
			read <- string(message)
			if !text || conn.Ping() != nil || conn.WriteText(message) != nil {
				t.Error("the message is not text, or cannot be answered")
			}
			conn.Refuse(PolicyViolation, "no more")
			return true
		})
		close(read)
	}))
	defer server.Close()
	dialer := websocket.Dialer{Subprotocols: []string{testProtocol}}
	page, _, err := dialer.Dial(strings.Replace(server.URL, "http", "ws", 1), http.Header{"Origin": {testOrigin}})
	if err != nil {
		t.Fatal(err)
	}
	defer page.Close()
	if err := page.WriteMessage(websocket.TextMessage, []byte("here")); err != nil {
		t.Fatal(err)
	}
	if _, got, err := page.ReadMessage(); err != nil || string(got) != "here" {
		t.Errorf("%q, %v", got, err)
	}
	var closed *websocket.CloseError
	if _, _, err := page.ReadMessage(); !errors.As(err, &closed) || closed.Code != PolicyViolation || closed.Text != "no more" {
		t.Errorf("the end is %v", err)
	}
	if got := <-read; got != "here" {
		t.Errorf("read %q", got)
	}
	if got, more := <-read; more {
		t.Errorf("%q is read after the end", got)
	}
}
