package metrics

import (
	"github.com/prometheus/client_golang/prometheus"

	"shaftbook/kernel/lru"
)

// Sockets counts the websockets of one kind, such as "lesson".
func (m *Metrics) Sockets(kind string) *Sockets {
	s := &Sockets{open: m.sockets.WithLabelValues(kind)}
	for i, direction := range []string{"received", "sent"} {
		s.frames[i] = m.frames.WithLabelValues(kind, direction)
		s.bytes[i] = m.frameBytes.WithLabelValues(kind, direction)
	}
	return s
}

// Sockets are the metrics of the websockets of one kind.
type Sockets struct {
	open          prometheus.Gauge
	frames, bytes [2]prometheus.Counter // received, sent
}

// Opened and Closed count an open socket, Received and Sent a frame of some bytes.
func (s *Sockets) Opened()            { s.open.Inc() }
func (s *Sockets) Closed()            { s.open.Dec() }
func (s *Sockets) Received(bytes int) { s.count(0, bytes) }
func (s *Sockets) Sent(bytes int)     { s.count(1, bytes) }

func (s *Sockets) count(direction, bytes int) {
	s.frames[direction].Inc()
	s.bytes[direction].Add(float64(bytes))
}

// Queue tells how many calculations wait for a turn, and how many turns have ended, of
// a queue that is asked when the metrics are.
func (m *Metrics) Queue(waiting func() int, ended func() int64) {
	m.gaugeOf("turns_waiting", "Calculations that wait for a turn on a processor.", func() float64 { return float64(waiting()) })
	m.counterOf("turns_total", "Turns that have ended.", func() float64 { return float64(ended()) })
}

// Connections tells how many connections to the database are open and in use.
func (m *Metrics) Connections(count func() (open, used int)) {
	m.gaugeOf("store_connections_open", "Connections to the database that are open.", func() float64 { open, _ := count(); return float64(open) })
	m.gaugeOf("store_connections_used", "Connections to the database that are in use.", func() float64 { _, used := count(); return float64(used) })
}

// Ready tells whether the server is ready, as /health/ready does.
func (m *Metrics) Ready(ready func() bool) {
	m.gaugeOf("ready", "1 while the server is ready for requests, else 0.", func() float64 {
		if ready() {
			return 1
		}
		return 0
	})
}

// Cache tells how a cache is used, by a name such as "figures".
func (m *Metrics) Cache(name string, stats func() lru.Stats) {
	of := prometheus.Labels{"cache": name}
	number := func(kind prometheus.ValueType, metric, help string, labels prometheus.Labels, value func() float64) {
		if kind == prometheus.CounterValue {
			m.registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{Namespace: namespace, Name: metric, Help: help, ConstLabels: labels}, value))
			return
		}
		m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Namespace: namespace, Name: metric, Help: help, ConstLabels: labels}, value))
	}
	const asked = "Times that a cache was asked, by whether it had the value."
	number(prometheus.CounterValue, "cache_requests_total", asked, prometheus.Labels{"cache": name, "result": "hit"}, func() float64 { return float64(stats().Hits) })
	number(prometheus.CounterValue, "cache_requests_total", asked, prometheus.Labels{"cache": name, "result": "miss"}, func() float64 { return float64(stats().Misses) })
	number(prometheus.GaugeValue, "cache_values", "Values that a cache keeps.", of, func() float64 { return float64(stats().Values) })
}

// What follows makes and registers metrics.

func (m *Metrics) counter(name, help string) prometheus.Counter {
	c := prometheus.NewCounter(prometheus.CounterOpts{Namespace: namespace, Name: name, Help: help})
	m.registry.MustRegister(c)
	return c
}

func (m *Metrics) counters(name, help string, labels ...string) *prometheus.CounterVec {
	c := prometheus.NewCounterVec(prometheus.CounterOpts{Namespace: namespace, Name: name, Help: help}, labels)
	m.registry.MustRegister(c)
	return c
}

func (m *Metrics) gauge(name, help string) prometheus.Gauge {
	g := prometheus.NewGauge(prometheus.GaugeOpts{Namespace: namespace, Name: name, Help: help})
	m.registry.MustRegister(g)
	return g
}

func (m *Metrics) gauges(name, help string, labels ...string) *prometheus.GaugeVec {
	g := prometheus.NewGaugeVec(prometheus.GaugeOpts{Namespace: namespace, Name: name, Help: help}, labels)
	m.registry.MustRegister(g)
	return g
}

func (m *Metrics) gaugeOf(name, help string, value func() float64) {
	m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Namespace: namespace, Name: name, Help: help}, value))
}

func (m *Metrics) counterOf(name, help string, value func() float64) {
	m.registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{Namespace: namespace, Name: name, Help: help}, value))
}

func (m *Metrics) histogram(name, help string, buckets []float64) prometheus.Histogram {
	h := prometheus.NewHistogram(prometheus.HistogramOpts{Namespace: namespace, Name: name, Help: help, Buckets: buckets})
	m.registry.MustRegister(h)
	return h
}

func (m *Metrics) histograms(name, help string, buckets []float64, labels ...string) *prometheus.HistogramVec {
	h := prometheus.NewHistogramVec(prometheus.HistogramOpts{Namespace: namespace, Name: name, Help: help, Buckets: buckets}, labels)
	m.registry.MustRegister(h)
	return h
}
