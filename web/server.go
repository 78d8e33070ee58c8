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
	"net/url"
	"runtime/debug"
	"strconv"
	"time"

	"shaftbook/exercises/store/contract"
	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/web/account/password"
	"shaftbook/web/app/attempt"
	"shaftbook/web/live"
	"shaftbook/web/page"
	"shaftbook/web/static"
)

const (
	readHeaderWait = 5 * time.Second
	requestWait    = 2 * time.Minute // for a body to arrive, and for an answer to be taken
	idleWait       = 2 * time.Minute
	headerLimit    = 32 << 10
	bodyLimit      = 256 << 10 // bytes, but for longBodies
	figuresKept    = 16 << 20  // bytes of drawings
)

// A Server serves one shelf of lessons. Set the fields, then Open.
type Server struct {
	Shelf   *lessons.Catalog
	Proxies []netip.Prefix   // whose word is taken for the address and the encryption of a reader
	Origins []string         // whole origins of pages beside the server's own, such as "https://twist.example"
	Desk    *attempt.Service // sets and marks exercises and keeps edits; nil leaves them out
	Class   contract.School  // accounts and classes; nil makes an open server, for anybody who reaches it
	Log     *slog.Logger
	Gallery bool // also serve every kind of figure, under /figures

	// CertFile and KeyFile are a certificate and its key (PEM); with both the
	// server speaks TLS.
	CertFile, KeyFile string

	clock    func() time.Time // nil is the time of the machine
	http     *http.Server
	listener net.Listener
	served   chan error

	passwords *password.Hasher
	doors     *doors

	files  *static.Set
	assets page.Assets
	rows   *page.Rows
	book   *book
	hub    *live.Hub
	rooms  *rooms // nil on an open server
	proved proved
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
	s.passwords = password.NewHasher()
	s.doors = newDoors()
	s.files = static.New()
	s.assets = s.newAssets()
	s.rows = page.NewRows(figuresKept)
	s.book = newBook(s)
	s.hub = live.NewHub(live.Config{
		Origins:    append(ownOrigins(s.scheme(), listener.Addr()), s.Origins...),
		Holder:     s.holder,
		Lesson:     s.liveCells,
		NewWorking: s.newWorking,
		Row:        s.rows.Row,
		Spoken:     page.Spoken,
		Judge:      judge,
		Here:       s.keepHere,
		Still:      s.mayStill,
		Log:        s.Log,
	})
	s.http = &http.Server{
		Handler:           s.handler(),
		ReadHeaderTimeout: readHeaderWait,
		ReadTimeout:       requestWait,
		WriteTimeout:      requestWait,
		IdleTimeout:       idleWait,
		MaxHeaderBytes:    headerLimit,
		TLSConfig:         secure,
		ErrorLog:          slog.NewLogLogger(s.Log.Handler(), slog.LevelWarn),
	}
	s.served = make(chan error, 1)
	serve := s.http.Serve
	if secure != nil {
		serve = func(l net.Listener) error { return s.http.ServeTLS(l, "", "") }
	}
	go func() { s.served <- serve(listener) }()
	return nil
}

// plainListenError takes off the layers that repeat the address.
func plainListenError(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
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
func (s *Server) Close(ctx context.Context) error {
	// Websockets have left the http.Server's hands, so they are closed apart.
	return errors.Join(s.http.Shutdown(ctx), s.hub.Close(ctx), s.rooms.close(ctx))
}

// handler builds the routes with what stands around all of them.
func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	for _, rt := range s.routes() {
		mux.HandleFunc(rt.pattern, s.limited(rt.pattern, s.guarded(rt)))
	}
	cross := http.NewCrossOriginProtection()
	for _, o := range s.Origins {
		if err := cross.AddTrustedOrigin(o); err != nil {
			s.Log.Error("an origin is no origin", "origin", o, "error", err)
		}
	}
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { s.fail(w, r, errCrossOrigin) }))
	return s.secured(s.recovered(cross.Handler(mux)))
}

// fileRoutes are the routes of what belongs to no page, and of what is not
// there.
func (s *Server) fileRoutes() []route {
	return []route{
		{reader, "GET /live", s.hub.ServeHTTP},
		{file, "GET " + static.Prefix, func(w http.ResponseWriter, r *http.Request) {
			if !s.files.ServeFile(w, r) {
				s.fail(w, r, errNotFound)
			}
		}},
		{anybody, "/", func(w http.ResponseWriter, r *http.Request) { s.fail(w, r, errNotFound) }},
	}
}

// SetClock gives the server another clock than that of the machine, for tests of
// what takes days. It is called before Open.
func (s *Server) SetClock(now func() time.Time) { s.clock = now }

func (s *Server) now() time.Time {
	if s.clock != nil {
		return s.clock()
	}
	return time.Now()
}

// longBodies are the routes that take more than bodyLimit, in bytes.
var longBodies = map[string]int64{
	"POST /class/{class}/roster/preview": rosterLimit,
	"POST /class/{class}/roster/apply":   rosterLimit,
}

// limited bounds the bodies of a route. A body that says itself that it is too
// long is not read, so that no handler takes the beginning of it for all.
func (s *Server) limited(pattern string, next http.HandlerFunc) http.HandlerFunc {
	limit, long := longBodies[pattern]
	if !long {
		limit = bodyLimit
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > limit {
			s.fail(w, r, tooLong(limit))
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
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
			s.fail(w, r, fmt.Errorf("panic: %v\n%s", fault, debug.Stack()))
		}()
		next.ServeHTTP(w, r)
	})
}

func (s *Server) newAssets() page.Assets {
	return page.Assets{
		Sheet:   s.files.Sheet(),
		Icon:    s.files.Icon(),
		Theme:   s.files.Script("theme.js"),
		Main:    s.files.Script("main.js"),
		Words:   s.files.Add("words.json", "application/json", page.AllWords()),
		Modules: s.files.Modules(),
		Fonts:   []string{s.files.Font("text-regular"), s.files.Font("maths")},
	}
}

func (s *Server) newWorking(progress func(fraction float64, what string)) live.Working {
	w := kernel.NewWorking(kernel.Limits{})
	w.Progress = progress
	return w
}

// ownOrigins are the origins under which a page of this server can be opened
// without a proxy.
func ownOrigins(scheme string, address net.Addr) []string {
	tcp := address.(*net.TCPAddr)
	hosts := []string{tcp.IP.String()}
	if tcp.IP.IsLoopback() || tcp.IP.IsUnspecified() {
		hosts = append(hosts, "localhost", "127.0.0.1", "::1")
	}
	if tcp.IP.IsUnspecified() {
		hosts = append(hosts, interfaceHosts()...)
	}
	usual := map[string]int{"http": 80, "https": 443}[scheme]
	origins := make([]string, len(hosts))
	for i, host := range hosts {
		u := url.URL{Scheme: scheme, Host: net.JoinHostPort(host, strconv.Itoa(tcp.Port))}
		if tcp.Port == usual {
			u.Host = host
		}
		origins[i] = u.String()
	}
	return origins
}

// interfaceHosts are the addresses of this machine, for a server that a class
// reaches over the local network.
func interfaceHosts() []string {
	var hosts []string
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return nil // then --origin names them
	}
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok {
			hosts = append(hosts, n.IP.String())
		}
	}
	return hosts
}
