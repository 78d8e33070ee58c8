// Package metrics counts and measures what a server does, and answers with it in the
// text format of Prometheus (prometheus.io/docs/instrumenting/exposition_formats) and in
// OpenMetrics 1.0.
//
// Start with New, hand its methods to what they measure, and serve Handler. No metric
// has a label whose values come from people: routes are the patterns of the server's
// table and everything else is a constant of the program. So nothing in the answer says
// who did what, and the answer does not grow with the number of readers or of strange
// addresses. The guide for whoever runs a server, web/OPERATING.md, lists every metric;
// a test compares the two.
package metrics

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

const namespace = "shaftbook"

// Buckets of the histograms, in seconds. Edits and turns are judged by milliseconds,
// requests and commits by more.
var (
	quick = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 10}
	slow  = []float64{.005, .025, .1, .5, 2.5, 10}
)

// A Metrics holds the metrics of one server. It is safe for concurrent use.
type Metrics struct {
	registry *prometheus.Registry

	running     prometheus.Gauge
	requests    *prometheus.CounterVec
	durations   *prometheus.HistogramVec
	sent        prometheus.Counter
	refusals    *prometheus.CounterVec
	sockets     *prometheus.GaugeVec
	frames      *prometheus.CounterVec
	frameBytes  *prometheus.CounterVec
	edits       prometheus.Histogram
	problems    *prometheus.CounterVec
	turnWaits   *prometheus.HistogramVec
	turnWork    *prometheus.CounterVec
	commits     prometheus.Histogram
	commitSizes prometheus.Histogram
	failures    prometheus.Counter
	failing     prometheus.Gauge
	attempts    *prometheus.CounterVec
}

// New returns the metrics of a server of a version.
func New(version, goVersion string) *Metrics {
	m := &Metrics{registry: prometheus.NewRegistry()}
	m.registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	build := m.gauges("build_info", "The build that runs; always 1.", "version", "goversion")
	build.WithLabelValues(version, goVersion).Set(1)

	m.running = m.gauge("http_requests_running", "Requests that are being answered, without open websockets.")
	m.requests = m.counters("http_requests_total", "Requests answered, by the pattern of their route and the class of the status.", "route", "status")
	m.durations = m.histograms("http_request_duration_seconds", "Time from the head of a request to the end of its answer. Websockets count until they are open.", slow, "route")
	m.sent = m.counter("http_response_bytes_total", "Bytes of answers, without their heads and what goes over websockets.")
	m.refusals = m.counters("http_refusals_total", "Requests refused because of a limit (429) or because the server could not do it then (503).", "status")

	m.sockets = m.gauges("sockets_open", "Websockets that are open: of lessons and of rooms.", "kind")
	m.frames = m.counters("socket_frames_total", "Data frames of websockets, received and sent.", "kind", "direction")
	m.frameBytes = m.counters("socket_bytes_total", "Bytes in data frames of websockets, received and sent.", "kind", "direction")
	m.edits = m.histogram("edit_duration_seconds", "Time from receiving an edit or a move of a slider to the frame with its last result being sent. One that was overtaken counts until the frame that replaces it.", quick)
	m.problems = m.counters("socket_problems_total", "Messages of pages that were refused, and faults, by the kind of problem.", "problem")

	m.turnWaits = m.histograms("turn_wait_seconds", "Time that a calculation waited for its first turn on a processor.", quick, "class")
	m.turnWork = m.counters("turn_work_total", "Counted work of calculations; a million is about a millisecond on a computer of 2020.", "class")

	m.commits = m.histogram("store_commit_duration_seconds", "Time that a transaction took, with the wait for the disk.", quick)
	m.commitSizes = m.histogram("store_commit_writes", "Writes that shared a transaction.", []float64{1, 2, 4, 8, 16, 32, 64})
	m.failures = m.counter("store_failures_total", "How often a store that was well began to fail.")
	m.failing = m.gauge("store_failing", "1 while the store fails, 0 while it is well.")
	m.attempts = m.counters("attempts_total", "Answers acknowledged: kept, or repeated because they had been kept before.", "outcome")
	for _, outcome := range []string{"kept", "repeated"} {
		m.attempts.WithLabelValues(outcome)
	}
	m.problems.WithLabelValues("internal") // an alert needs a value to start from
	for _, status := range []string{"429", "503"} {
		m.refusals.WithLabelValues(status)
	}
	return m
}

// Handler answers with all metrics.
func (m *Metrics) Handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{EnableOpenMetrics: true, MaxRequestsInFlight: 4})
}

// Begin counts a request that has come; Request ends it.
func (m *Metrics) Begin() { m.running.Inc() }

// Request counts an answer to a request that Begin counted. The route is a pattern, and empty where none
// was reached.
func (m *Metrics) Request(route string, status, bytes int, took time.Duration) {
	m.running.Dec()
	if route == "" {
		route = "none"
	}
	m.requests.WithLabelValues(route, strconv.Itoa(status/100)+"xx").Inc()
	m.durations.WithLabelValues(route).Observe(took.Seconds())
	m.sent.Add(float64(bytes))
	if status == http.StatusTooManyRequests || status == http.StatusServiceUnavailable {
		m.refusals.WithLabelValues(strconv.Itoa(status)).Inc()
	}
}

// Edit counts an edit that was answered.
func (m *Metrics) Edit(took time.Duration) { m.edits.Observe(took.Seconds()) }

// Problem counts a problem that a page was told of, by its kind.
func (m *Metrics) Problem(kind string) { m.problems.WithLabelValues(kind).Inc() }

// Waited counts the first turn of a calculation of a class.
func (m *Metrics) Waited(class string, wait time.Duration) {
	m.turnWaits.WithLabelValues(class).Observe(wait.Seconds())
}

// Worked counts the work of a turn.
func (m *Metrics) Worked(class string, work int64) {
	m.turnWork.WithLabelValues(class).Add(float64(max(0, work)))
}

// Committed counts a transaction of the store, Failed and Recovered its faults.
func (m *Metrics) Committed(took time.Duration, writes int) {
	m.commits.Observe(took.Seconds())
	m.commitSizes.Observe(float64(writes))
}

func (m *Metrics) Failed() {
	m.failures.Inc()
	m.failing.Set(1)
}

func (m *Metrics) Recovered() { m.failing.Set(0) }

// Attempt counts an answer that was acknowledged.
func (m *Metrics) Attempt(repeated bool) {
	outcome := "kept"
	if repeated {
		outcome = "repeated"
	}
	m.attempts.WithLabelValues(outcome).Inc()
}
