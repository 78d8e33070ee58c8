package web

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"shaftbook/web/metrics"
	"shaftbook/web/request"
)

// Paths of the addresses at which a machine asks how the server is.
const (
	healthPrefix = "/health/"
	livePath     = healthPrefix + "live"
	readyPath    = healthPrefix + "ready"
)

const (
	readyFor  = time.Second     // an answer about the store is good for so long
	readyWait = 2 * time.Second // for the store to answer
)

// A Readier reports whether a write would be kept now.
type Readier interface {
	Ready(ctx context.Context) error
}

// readiness knows whether the server is ready. However many ask, the store is asked
// once a second.
type readiness struct {
	stopping atomic.Bool

	mu    sync.Mutex
	store Readier // nil if nothing is kept
	asked time.Time
	err   error
}

// ofStore returns nil if the store would keep a write.
func (h *readiness) ofStore(ctx context.Context) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.store == nil || time.Since(h.asked) < readyFor {
		return h.err
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), readyWait)
	defer cancel()
	h.err, h.asked = h.store.Ready(ctx), time.Now()
	return h.err
}

// notReady returns why the server is not ready for requests, or nothing. It names
// nothing of the machine, since anybody may ask.
func (s *Server) notReady(ctx context.Context) (why string) {
	switch {
	case s.ready.stopping.Load():
		return "the server is stopping"
	case len(s.catalog.In(ctx).Lessons) == 0:
		return "there are no lessons"
	case s.ready.ofStore(ctx) != nil:
		return "the store takes no work; the server’s log has the reason"
	}
	return ""
}

// healthRoutes tell a supervisor, a proxy or a load balancer how the server is.
func (s *Server) healthRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET " + livePath, Handle: func(w http.ResponseWriter, r *http.Request) { sayHealth(w, "alive", "") }},
		{Pattern: "GET " + readyPath, Handle: func(w http.ResponseWriter, r *http.Request) { sayHealth(w, "ready", s.notReady(r.Context())) }},
	}
}

func sayHealth(w http.ResponseWriter, well, why string) {
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	if why != "" {
		w.WriteHeader(http.StatusServiceUnavailable)
		fmt.Fprintln(w, "not "+well+":", why)
		return
	}
	fmt.Fprintln(w, well)
}

// OpenMetrics serves the server's metrics, and its health, at an address of their own,
// which readers should not reach. It is called after Open, and needs s.Metrics.
func (s *Server) OpenMetrics(address string) error {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s for metrics: %w", address, plainListenError(err))
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", s.Metrics.Handler())
	for _, rt := range s.healthRoutes() {
		mux.HandleFunc(rt.Pattern, rt.Handle)
	}
	s.operations = &http.Server{Handler: mux, ReadHeaderTimeout: readHeaderWait, ReadTimeout: requestWait, WriteTimeout: requestWait,
		IdleTimeout: idleWait, MaxHeaderBytes: headerLimit, ErrorLog: s.errorLog()}
	s.metricsAddress = listener.Addr().String()
	go func() { _ = s.operations.Serve(listener) }() // it ends by Close
	return nil
}

// measure connects the metrics with what they measure. It is called once everything
// is made.
func (s *Server) measure() {
	m := s.Metrics
	s.queue.Meter = m
	m.Queue(s.queue.Waiting, s.queue.Ended)
	m.Ready(func() bool { return s.notReady(context.Background()) == "" })
	m.Cache("figures", s.rows.Figures)
	m.Cache("assigned_pages", s.reader.Pages.Assigned)
	if s.Attempts != nil {
		s.Attempts.Acknowledged = m.Attempt
		for name, stats := range s.Attempts.Caches() {
			m.Cache(name, stats)
		}
	}
}

// counted counts each request with its answer. The route is the pattern that the mux
// found, so that strange addresses count as one.
func counted(m *metrics.Metrics, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c := &counter{ResponseWriter: w}
		begin := time.Now()
		m.Begin()
		defer func() {
			if c.status == 0 {
				c.status = http.StatusOK
			}
			m.Request(r.Pattern, c.status, c.bytes, time.Since(begin))
		}()
		next.ServeHTTP(c, r)
	})
}

// A counter notes the status and the length of an answer.
type counter struct {
	http.ResponseWriter
	status, bytes int
}

// Unwrap lets http.ResponseController reach the writer of the server.
func (c *counter) Unwrap() http.ResponseWriter { return c.ResponseWriter }

// WriteHeader implements http.ResponseWriter.
func (c *counter) WriteHeader(status int) {
	if c.status == 0 && (status >= 200 || status == http.StatusSwitchingProtocols) {
		c.status = status
	}
	c.ResponseWriter.WriteHeader(status)
}

// Write implements http.ResponseWriter.
func (c *counter) Write(b []byte) (int, error) {
	if c.status == 0 {
		c.status = http.StatusOK
	}
	n, err := c.ResponseWriter.Write(b)
	c.bytes += n
	return n, err
}

// Hijack implements http.Hijacker, for websockets.
func (c *counter) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	conn, buffered, err := http.NewResponseController(c.ResponseWriter).Hijack()
	if err == nil {
		c.status = http.StatusSwitchingProtocols
	}
	return conn, buffered, err
}

// uncounted is the writer of the server itself, which http.MaxBytesReader knows.
func uncounted(w http.ResponseWriter) http.ResponseWriter {
	if c, ok := w.(*counter); ok {
		return c.ResponseWriter
	}
	return w
}
