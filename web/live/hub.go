// Package live carries a reader's edits and slider moves to the kernel over a
// websocket, and the results back, statement by statement. The messages are
// written down in web/PROTOCOL.md.
package live

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"sync"
	"time"

	"shaftbook/kernel"
	"shaftbook/web/app/derivation"
	"shaftbook/web/page"
	"shaftbook/web/socket"
	"shaftbook/web/turns"
)

// Protocol is the subprotocol that a page must ask for.
const Protocol = "shaftbook.working.4"

const (
	textLimit    = 64 << 10  // bytes of one cell's text
	textsLimit   = 128 << 10 // of all texts that a page has changed
	messageLimit = 256 << 10 // bytes of one message: an opening one holds all edited cells
	queueEntries = 2048      // messages that wait for a slow reader
	queueBytes   = 4 << 20
	frameBytes   = 64 << 10 // messages are joined up to this size

	holdTime = 4 * time.Millisecond // messages of one evaluation wait for each other so long

	openWait = time.Minute // for finding a lesson, when no page waits any more

	messageRate  = 85 // a second: one in each frame of a screen of 60 Hz, with room for jitter
	messageBurst = 40
	breachLimit  = 100 // messages in a row above the rate

	socketsInAll      = 2000
	socketsPerAddress = 500 // a class sits behind one address
	socketsPerPerson  = 40  // windows of one person, on all devices

	moveGrace   = 100 * turns.Work // a slider move lets evaluations finish that have cost less
	idleWorking = 2 * time.Minute  // after this an unused working is let go
)

// A Working is what a session needs of the kernel; *kernel.Working has it.
type Working interface {
	GiveWay(context.Context)
	SetCells([]kernel.Cell)
	Edit(cell, text string) error
	Moved() []kernel.Moved
	SetMoved([]kernel.Moved)
	Sliders() map[string]kernel.SliderPlace
	Evaluate(ctx context.Context, emit func(kernel.Result)) error
	EvaluateWithin(ctx context.Context, each, whole int64) (left []kernel.RowPlace, err error)
	Unreached() []kernel.RowPlace
	Rows(cell string) int
	Results(cell string) []kernel.Result
	Size() int64
}

// A Config is what a hub serves. All fields must be set.
type Config struct {
	Origins    []string                                                                         // the whole origins that pages may have
	Holder     func(*http.Request) Holder                                                       // whose connection a request opens
	Queue      *turns.Queue                                                                     // in which evaluations and judgements wait for their turns
	Lesson     func(ctx context.Context, who Holder, name string) (Lesson, error)               // a lesson as written, for one who may see it
	NewWorking func(progress func(fraction float64, what string)) Working                       // an empty working; progress may be called from Evaluate
	Row        func(lesson string, r *kernel.Result) (string, error)                            // the HTML of one statement's result
	Spoken     func(r *kernel.Result) string                                                    // the same as a sentence
	Judge      func(ctx context.Context, cell string, s derivation.Input) (*page.Judged, error) // what is to be said of a derivation
	Here       func(ctx context.Context, who Holder, lesson, place string) error                // keeps where a person is; ErrNowhere for a place that the lesson does not have
	Still      func(ctx context.Context, who Holder, lesson string) bool                        // whether one who is signed in, or has a link, still is or has and may see the lesson; empty if none is open
	Log        *slog.Logger
	Meter      Meter        // nil measures nothing
	Sockets    socket.Meter // nil counts nothing
}

// A Meter measures the connections of lessons. It is safe for concurrent use.
type Meter interface {
	Edit(took time.Duration) // from receiving a change to the frame with its last result being sent
	Problem(kind string)     // that a page was told of
}

// A Lesson is what a session works on.
type Lesson struct {
	Cells   []kernel.Cell
	Lacking bool   // a page of it comes without some rows: those that cost more than a page waits for
	Version string // of its text; empty for what has none
}

// A Holder is the person to whom a connection belongs.
type Holder struct {
	Person  string    // who is signed in; empty on an open server
	Learner string    // the name under which the reader's work is kept; empty where nothing is
	Link    string    // the secret of the link to a page with which the connection was opened; empty for another
	Session string    // the hash of the token with which the person is signed in
	Address string    // of the reader, beyond any proxy
	Turns   turns.Who // for whom the connection's work is done
}

// A Hub holds all open sessions.
type Hub struct {
	config   Config
	endpoint *socket.Endpoint
	open     socket.Count
	outcomes outcomes
	benches  *benches
	keeper   keeper // lets go of outcomes and benches
	gate     *gate
	crew     *crew // evaluates

	mu       sync.Mutex
	sessions map[*session]struct{}
	seen     map[string]sight  // by person
	versions map[string]string // of lessons that have changed, by name; see Changed

	herePeriod time.Duration // see the constant; tests give turns themselves
	flightWait time.Duration // see the constant
	now        func() time.Time
	closing    bool
	running    socket.Running
}

// NewHub returns a hub without sessions.
func NewHub(config Config) *Hub {
	h := &Hub{
		config:   config,
		sessions: map[*session]struct{}{},
		seen:     map[string]sight{},
		versions: map[string]string{},
		gate:     newGate(),
		crew:     newCrew(),
		benches:  newBenches(benchBytes),
		now:      time.Now,

		herePeriod: herePeriod,
		flightWait: flightWait,
	}
	h.endpoint = socket.NewEndpoint(Protocol, h.Allows)
	h.endpoint.Meter = config.Sockets
	h.keeper.after = func(d time.Duration, f func()) stopper { return time.AfterFunc(d, f) }
	return h
}

// ServeHTTP opens a session, or says why not. It returns as soon as the
// session runs, which frees the buffers of the HTTP connection.
func (h *Hub) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if p := h.check(r); p != nil {
		refuse(w, p)
		return
	}
	holder := h.config.Holder(r)
	if p := h.reserve(holder); p != nil {
		w.Header().Set("Retry-After", "30")
		refuse(w, p)
		return
	}
	conn, err := h.endpoint.Upgrade(w, r)
	if err != nil {
		h.release(holder)
		return // Upgrade has answered
	}
	s := newSession(h, conn, holder)
	if !h.register(s) {
		conn.Refuse(socket.GoingAway, "the server shuts down")
		conn.Close()
		h.release(holder)
		return
	}
	s.mu.Lock()
	s.looks = time.AfterFunc(socket.PingPeriod, s.look)
	s.mu.Unlock()
	go s.readLoop()
}

func (h *Hub) check(r *http.Request) *Problem {
	switch h.endpoint.Check(r) {
	case nil:
		return nil
	case socket.ErrNoUpgrade:
		return problem("upgrade", http.StatusUpgradeRequired, "This address is for websockets", "open it from a lesson's page")
	case socket.ErrNoOrigin:
		return problem("origin", http.StatusForbidden, "The origin is missing", "a page sends exactly one Origin header")
	case socket.ErrOrigin:
		return problem("origin", http.StatusForbidden, "The origin is not allowed",
			fmt.Sprintf("%.100q is not an origin of this server; start it with --origin to allow another", r.Header.Get("Origin")))
	}
	return problem("version", http.StatusBadRequest, "Unknown protocol version", "this server speaks "+Protocol)
}

// limits are the keys under which a connection counts. Those of the hub and of the
// address bounds everyone, and that of the person all of the person's devices.
func (who Holder) limits() []socket.Limit {
	list := []socket.Limit{{Key: "all", Most: socketsInAll}, {Key: "address " + who.Address, Most: socketsPerAddress}}
	if who.Person != "" {
		list = append(list, socket.Limit{Key: "person " + who.Person, Most: socketsPerPerson})
	}
	return list
}

func (h *Hub) reserve(who Holder) *Problem {
	h.mu.Lock()
	closing := h.closing
	h.mu.Unlock()
	full, ok := "all", false
	if !closing {
		full, ok = h.open.Enter(who.limits()...)
	}
	switch {
	case ok:
		return nil
	case full == "all":
		return problem("full", http.StatusServiceUnavailable, "The server is full", "too many connections are open; try again in a minute")
	}
	return problem("full", http.StatusTooManyRequests, "Too many connections", "close some pages and try again")
}

func (h *Hub) release(who Holder) { h.open.Leave(who.limits()...) }

func (h *Hub) register(s *session) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closing {
		return false
	}
	h.sessions[s] = struct{}{}
	h.running.Add(1) // the reader
	return true
}

func (h *Hub) forget(s *session) {
	h.mu.Lock()
	delete(h.sessions, s)
	h.mu.Unlock()
	h.release(s.holder)
}

// Allows reports whether pages of an origin may connect: it is compared whole.
func (h *Hub) Allows(origin string) bool { return slices.Contains(h.config.Origins, origin) }

// Len returns the number of open sessions.
func (h *Hub) Len() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.sessions)
}

// Close tells every page that the server goes away (1001) and waits until all
// sessions have ended or ctx ends.
func (h *Hub) Close(ctx context.Context) error {
	h.mu.Lock()
	if !h.closing {
		h.crew.end()
		h.keeper.end()
	}
	h.closing = true
	open := make([]*session, 0, len(h.sessions))
	for s := range h.sessions {
		open = append(open, s)
	}
	h.mu.Unlock()
	for _, s := range open {
		s.end(socket.GoingAway, "the server shuts down")
	}
	err := h.running.Wait(ctx)
	if err == nil {
		return nil
	}
	for _, s := range open {
		s.conn.Close()
	}
	return errors.Join(errors.New("some connections did not close in time"), err)
}
