// Package socket opens the websockets of pages, keeps them alive and ends them. It
// is what the connections of lessons (web/live) and of rooms (web/classroom) share:
// NewEndpoint accepts requests, a Conn reads and writes, and a Count bounds how many
// are open.
package socket

import (
	"errors"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/gorilla/websocket"
)

const (
	// PingPeriod is the time between two pings, and between two looks at whether a
	// connection may still be open.
	PingPeriod = 25 * time.Second

	readWait  = 60 * time.Second // must be longer than two pings
	writeWait = 10 * time.Second
	handshake = 5 * time.Second
	closeWait = 2 * time.Second // for the page to answer a close frame
)

// Codes with which connections are closed (RFC 6455, section 7.4.1).
const (
	GoingAway       = websocket.CloseGoingAway
	UnsupportedData = websocket.CloseUnsupportedData
	InvalidText     = websocket.CloseInvalidFramePayloadData
	PolicyViolation = websocket.ClosePolicyViolation
	TryAgainLater   = websocket.CloseTryAgainLater
)

// Reasons for which a request does not become a connection.
var (
	ErrNoUpgrade = errors.New("the request does not ask for a websocket")
	ErrNoOrigin  = errors.New("the request has no origin, or more than one")
	ErrOrigin    = errors.New("the origin is not allowed")
	ErrProtocol  = errors.New("the request does not ask for the protocol that is spoken here")
)

// A Meter counts connections and their data frames. It is safe for concurrent use.
type Meter interface {
	Opened()
	Closed()
	Received(bytes int)
	Sent(bytes int)
}

// An Endpoint accepts connections of one subprotocol.
type Endpoint struct {
	Meter    Meter // nil counts nothing; set before the first connection
	protocol string
	allows   func(origin string) bool
	upgrader websocket.Upgrader
}

// NewEndpoint returns an endpoint for pages of the origins that allows reports.
func NewEndpoint(protocol string, allows func(origin string) bool) *Endpoint {
	return &Endpoint{protocol: protocol, allows: allows, upgrader: websocket.Upgrader{
		HandshakeTimeout: handshake,
		// Small buffers, and write buffers only while something is written:
		// most connections are idle most of the time.
		ReadBufferSize:  1024,
		WriteBufferSize: 4096,
		WriteBufferPool: &sync.Pool{},
		Subprotocols:    []string{protocol},
		CheckOrigin:     func(*http.Request) bool { return true }, // done in Check, with a reason
	}}
}

// Check returns nil if a request may become a connection, or one of the reasons.
func (e *Endpoint) Check(r *http.Request) error {
	origins := r.Header.Values("Origin")
	switch {
	case !websocket.IsWebSocketUpgrade(r):
		return ErrNoUpgrade
	case len(origins) != 1:
		return ErrNoOrigin
	case !e.allows(origins[0]):
		return ErrOrigin
	case !slices.Contains(websocket.Subprotocols(r), e.protocol):
		return ErrProtocol
	}
	return nil
}

// Upgrade makes a connection of a request that Check allows. On an error the
// request is answered already.
func (e *Endpoint) Upgrade(w http.ResponseWriter, r *http.Request) (*Conn, error) {
	conn, err := e.upgrader.Upgrade(w, r, nil)
	if err != nil {
		return nil, err
	}
	if e.Meter != nil {
		e.Meter.Opened()
	}
	return &Conn{conn: conn, meter: e.Meter}, nil
}

// A Conn is one connection. One goroutine may read and one may write; Refuse and
// Close may be called from any.
type Conn struct {
	conn  *websocket.Conn
	meter Meter // or nil
	once  sync.Once
}

// ReadAll calls take with each message, of at most limit bytes, until take returns
// false or reading ends: by an error, a close of the page, or no sign of it for a
// minute. Close frames and breaches of the protocol are answered.
func (c *Conn) ReadAll(limit int64, take func(text bool, message []byte) bool) {
	c.conn.SetReadLimit(limit)
	renew := func() { _ = c.conn.SetReadDeadline(time.Now().Add(readWait)) }
	renew()
	c.conn.SetPongHandler(func(string) error { renew(); return nil })
	for {
		kind, message, err := c.conn.ReadMessage()
		if err != nil {
			return
		}
		renew()
		if c.meter != nil {
			c.meter.Received(len(message))
		}
		if !take(kind == websocket.TextMessage, message) {
			return
		}
	}
}

// WriteText writes a message.
func (c *Conn) WriteText(message []byte) error {
	_ = c.conn.SetWriteDeadline(time.Now().Add(writeWait))
	err := c.conn.WriteMessage(websocket.TextMessage, message)
	if err == nil && c.meter != nil {
		c.meter.Sent(len(message))
	}
	return err
}

// Ping asks the page for a sign of life, which ReadAll notices.
func (c *Conn) Ping() error {
	return c.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(writeWait))
}

// Refuse tells the page that the connection ends, and why. Reading goes on for the
// page's answer, for two seconds at most.
func (c *Conn) Refuse(code int, reason string) {
	_ = c.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, reason), time.Now().Add(time.Second))
	_ = c.conn.SetReadDeadline(time.Now().Add(closeWait))
}

// Close ends the connection at once.
func (c *Conn) Close() {
	_ = c.conn.Close()
	c.once.Do(func() {
		if c.meter != nil {
			c.meter.Closed()
		}
	})
}
