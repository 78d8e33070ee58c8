// Package web serves the lessons: the shelf, a page for each lesson, the live
// connection under /live and the static files. Its Server wraps net/http, so
// that a command needs to know nothing of it.
package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"strconv"
	"syscall"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/lessons"
	"shaftbook/web/account"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/authoring"
	"shaftbook/web/app/throttle"
	"shaftbook/web/classroom"
	"shaftbook/web/live"
	"shaftbook/web/metrics"
	"shaftbook/web/page"
	"shaftbook/web/reader"
	"shaftbook/web/request"
	"shaftbook/web/socket"
	"shaftbook/web/static"
	"shaftbook/web/turns"
)

const (
	readHeaderWait = 5 * time.Second
	requestWait    = 2 * time.Minute // for a body to arrive, and for an answer to be taken
	idleWait       = 2 * time.Minute
	headerLimit    = 32 << 10
	figuresKept    = 16 << 20 // bytes of drawings
)

// A Server serves a catalog of lessons. Set the fields, then Open.
type Server struct {
	Catalog  *lessons.Catalog // as the server begins; see Replace
	Proxies  []netip.Prefix   // trusted for the address and the encryption of a reader
	Origins  []string         // whole origins of pages beside the server's own, such as "https://twist.example"
	Attempts *attempt.Service // sets and marks exercises and keeps edits; nil leaves them out
	Classes  Classes          // accounts and classes; nil makes an open server, for anybody who reaches it
	Tries    throttle.Keeper  // counts tries to sign in together with other servers, as the store does; nil counts this server's
	Log      *slog.Logger
	// NoSharing: no page of a learner's is shared with a link, and no link from before works.
	NoSharing bool
	Gallery   bool // also serve every kind of figure, under /figures

	// Writes reports which lessons are written here: their authors see them with what is to
	// be mended, under /write. Nil is none.
	Writes func(*lessons.Lesson) bool

	// CertFile and KeyFile are a certificate and its key (PEM); with both the
	// server speaks TLS.
	CertFile, KeyFile string

	Folder *authoring.Folder // where instructors write lessons; nil where there is none
	Reload func()            // reads the folder of lessons again, and calls Replace; may be nil

	Metrics *metrics.Metrics // what the server does is counted there; nil counts nothing
	Store   Readier          // asked whether work would be kept, for /health/ready; nil is not asked

	catalog  *lessons.Current
	clock    func() time.Time // nil is the time of the machine
	http     *http.Server
	listener net.Listener
	served   chan error

	ready          readiness
	operations     *http.Server // of metrics; nil unless OpenMetrics was called
	metricsAddress string

	stopFollowing context.CancelFunc // nil on an open server
	stopChecking  context.CancelFunc // of the lessons that are written; nil if none are

	queue     *turns.Queue
	browsers  browsers
	site      *request.Site
	files     *static.Set
	rows      *page.Rows
	hub       *live.Hub
	reader    *reader.Handlers
	account   *account.Handlers   // nil on an open server
	classroom *classroom.Handlers // nil on an open server
}

// Classes keeps accounts and classes; contract.School has it.
type Classes interface {
	account.Store
	classroom.Store
	reader.Classes
	contract.Writing
	Here(ctx context.Context, p class.Presence) error
	Tell(ctx context.Context, name string) error
}

// Prepare begins what every server needs before its first page and what depends on
// nothing: the templates, and the hashes of the static files. It returns at once; whoever
// needs them waits for them.
func Prepare() {
	go page.Prepare()
	go static.Prepare()
}

// Open listens on an address and begins to serve. A port that is taken is an
// error at once. Port 0 takes a free one; URL tells which.
func (s *Server) Open(address string) error {
	secure, err := s.tlsConfig()
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", address, plainListenError(err))
	}
	s.listener = listener
	s.prepare()
	s.http = &http.Server{
		Handler:           s.handler(),
		ReadHeaderTimeout: readHeaderWait,
		ReadTimeout:       requestWait,
		WriteTimeout:      requestWait,
		IdleTimeout:       idleWait,
		MaxHeaderBytes:    headerLimit,
		TLSConfig:         secure,
		ErrorLog:          s.errorLog(),
	}
	if s.Classes != nil {
		s.followOthers()
	}
	s.served = make(chan error, 1)
	serve := s.http.Serve
	if secure != nil {
		serve = func(l net.Listener) error { return s.http.ServeTLS(l, "", "") }
	}
	go func() { s.served <- serve(listener) }()
	return nil
}

// prepare makes all that answers requests.
func (s *Server) prepare() {
	s.ready.store = s.Store
	s.catalog = lessons.NewCurrent(s.Catalog)
	s.queue = turns.NewQueue()
	s.files = static.New()
	s.rows = page.NewRows(figuresKept)
	s.site = &request.Site{
		Log: s.Log, Assets: s.newAssets(), Accounts: s.Classes != nil, Proxies: s.Proxies, Origins: s.Origins, Clock: s.clock,
	}
	readers := reader.Config{
		Site: s.site, Catalog: s.catalog, Rows: s.rows, Attempts: s.Attempts, Gallery: s.Gallery,
		Tries: s.Tries, NoSharing: s.NoSharing, Withdrawn: func() { s.hub.RecheckLinks() },
		BoardStyle: s.files.Stylesheet("board.css"), OwnStyle: s.files.Stylesheet("own.css"), BlocksStyle: s.files.Stylesheet("blocks.css"), WritingStyle: s.files.Stylesheet("writing.css"), PaperStyle: s.files.Stylesheet("paper.css"), WritingScript: s.files.Script("writing.js"), BoardScript: s.files.Script("board.js"), StatesScript: s.files.Script("states.js"), ShareScript: s.files.Script("share.js"),
	}
	if s.Classes != nil {
		readers.Classes = s.Classes
	}
	if s.Writes != nil {
		readers.Proofs, readers.Stopped = s.startChecking()
	}
	s.reader = reader.New(readers)
	s.hub = s.newHub()
	var roomSockets socket.Meter
	if s.Metrics != nil {
		s.measure()
		roomSockets = s.Metrics.Sockets("room")
	}
	if s.Classes == nil {
		return
	}
	s.account = account.New(s.site, s.Classes, s.Tries, s.recheck)
	s.classroom = classroom.New(classroom.Config{
		Writing:    &authoring.Service{Store: s.Classes, Folder: s.Folder, Catalog: s.catalog, Reload: s.Reload, Now: s.site.Now},
		DraftStyle: s.files.Stylesheet("lessondraft.css"), DraftScript: s.files.Script("lessondraft.js"), Preview: s.reader.Preview,
		Sockets: roomSockets,
		Site:    s.site, Store: s.Classes, Catalog: s.catalog, Attempts: s.Attempts,
		Given: s.reader.Pages.Given, Lesson: s.reader.Pages.Lesson,
		Allows: s.hub.Allows, SessionOpen: s.account.Sessions.Refresh, Recheck: s.recheck,
	})
}

// closeRooms ends the sockets of rooms, if there are any.
func (s *Server) closeRooms(ctx context.Context) error {
	if s.classroom == nil {
		return nil
	}
	return s.classroom.Close(ctx)
}

// plainListenError takes off the layers that repeat the address.
func plainListenError(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		err = op.Err
	}
	if errors.Is(err, syscall.EADDRINUSE) {
		return fmt.Errorf("%w: another program listens there, perhaps another shaftbook; stop it, or choose another port", err)
	}
	return err
}

// URL returns the address of the shelf.
func (s *Server) URL() string {
	address := s.listener.Addr().(*net.TCPAddr)
	host := address.IP.String()
	if address.IP.IsUnspecified() {
		host = "localhost"
	}
	return s.scheme() + "://" + net.JoinHostPort(host, strconv.Itoa(address.Port)) + "/"
}

// scheme is what the server itself speaks.
func (s *Server) scheme() string {
	if s.CertFile != "" {
		return "https"
	}
	return "http"
}

// Failed delivers the error with which serving ended by itself.
func (s *Server) Failed() <-chan error { return s.served }

// Close stops listening, tells every open page that the server goes away, and
// waits for what is running until ctx ends.
// What has not ended by then, as a request whose body does not arrive, is cut off,
// which is no error: nothing of it was acknowledged.
func (s *Server) Close(ctx context.Context) error {
	// Websockets have left the http.Server's hands, so they are closed apart, and at
	// once: a page waits for no request of another.
	if s.stopFollowing != nil {
		s.stopFollowing()
	}
	if s.stopChecking != nil {
		s.stopChecking()
	}
	s.ready.stopping.Store(true)
	sockets := make(chan error, 1)
	go func() { sockets <- errors.Join(s.hub.Close(ctx), s.closeRooms(ctx)) }()
	err := s.http.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		s.Log.Warn("requests that did not end were cut off")
		err = s.http.Close()
	}
	err = errors.Join(err, <-sockets)
	if s.operations != nil { // to the end it tells that the server stops
		err = errors.Join(err, s.operations.Close())
	}
	return err
}

// handler builds the routes with what is around all of them.
func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	for _, rt := range s.routes() {
		mux.HandleFunc(rt.Pattern, s.limited(rt.Pattern, s.holding(s.guarded(rt))))
	}
	cross := http.NewCrossOriginProtection()
	for _, o := range s.Origins {
		if err := cross.AddTrustedOrigin(o); err != nil {
			s.Log.Error("an origin is no origin", "origin", o, "error", err)
		}
	}
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.site.Fail(w, r, request.ErrCrossOrigin) }))
	all := s.secured(s.recovered(s.addressed(cross.Handler(mux))))
	if s.Metrics != nil {
		all = counted(s.Metrics, all)
	}
	return all
}

// fileRoutes are the routes of what belongs to no page, and of what is not
// there.
func (s *Server) fileRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /live", Handle: s.hub.ServeHTTP},
		{Pattern: "GET /shared/{token}/live", Handle: s.sharedLive},
		{Pattern: "GET " + static.Prefix, Handle: func(w http.ResponseWriter, r *http.Request) {
			if !s.files.ServeFile(w, r) {
				s.site.Fail(w, r, request.ErrNotFound)
			}
		}},
		{Pattern: "/", Handle: func(w http.ResponseWriter, r *http.Request) { s.site.Fail(w, r, request.ErrNotFound) }},
	}
}

// SetClock gives the server another clock than that of the machine, for tests of
// what takes days. It is called before Open.
func (s *Server) SetClock(now func() time.Time) { s.clock = now }

// longBodies are the routes that take more than bodyLimit, in bytes.
var longBodies = map[string]int64{
	"POST /class/{class}/roster/preview": classroom.RosterLimit,
	"POST /class/{class}/roster/apply":   classroom.RosterLimit,
	"POST /drafts/{lesson}":              classroom.DraftLimit,
	"POST /drafts/{lesson}/kept":         classroom.DraftLimit,
	"POST /drafts/{lesson}/image":        classroom.ImageLimit,
	"POST /page/{page}":                  reader.BlocksLimit,
	"POST /pages":                        reader.FileLimit,
	"POST /page/{page}/kept":             reader.BlocksLimit,
}

// limited bounds the bodies of a route. A body that says itself that it is too
// long is not read, so that no handler takes the beginning of it for all.
func (s *Server) limited(pattern string, next http.HandlerFunc) http.HandlerFunc {
	limit, long := longBodies[pattern]
	if !long {
		limit = request.BodyLimit
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > limit {
			s.site.Fail(w, r, request.TooLong(limit))
			return
		}
		r.Body = http.MaxBytesReader(uncounted(w), r.Body, limit)
		next(w, r)
	}
}

// recovered turns a panic, which is a fault of the program, into a page and a
// line in the log.
func (s *Server) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			fault := recover()
			if fault == nil {
				return
			}
			if fault == http.ErrAbortHandler {
				panic(fault)
			}
			s.site.Fail(w, r, fmt.Errorf("panic: %v\n%s", fault, debug.Stack()))
		}()
		next.ServeHTTP(w, r)
	})
}

func (s *Server) newAssets() *page.Assets {
	return &page.Assets{
		Stylesheet: s.files.Stylesheet("book.css"), ClassStyle: s.files.Stylesheet("class.css"), ShelfStyle: s.files.Stylesheet("shelf.css"),
		Icon:    s.files.Icon(),
		Theme:   s.files.Script("theme.js"),
		Main:    s.files.Script("main.js"),
		Words:   s.files.Add("words.json", "application/json", page.AllWords()),
		Modules: s.files.Modules(),
		Fonts:   []string{s.files.Font("text-regular"), s.files.Font("maths")},
	}
}
