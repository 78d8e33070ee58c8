package web

import (
	"fmt"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
)

// operated opens the address of a school's metrics.
func operated(t *testing.T) *school {
	t.Helper()
	s := openSchool(t)
	s.Metrics.Connections(s.store.Connections)
	s.must(s.OpenMetrics("127.0.0.1:0"))
	return s
}

// scrape reads the metrics as Prometheus does: by its own parser. It returns the
// series, each as its name with its labels, and the value of each that has one.
func (s *school) scrape() (families []string, series map[string]float64) {
	s.t.Helper()
	r, err := http.Get("http://" + s.metricsAddress + "/metrics")
	s.must(err)
	defer r.Body.Close()
	if kind := r.Header.Get("Content-Type"); !strings.HasPrefix(kind, "text/plain; version=0.0.4") {
		s.t.Errorf("the metrics are %q", kind)
	}
	parser := expfmt.NewTextParser(model.LegacyValidation)
	all, err := parser.TextToMetricFamilies(r.Body)
	s.must(err)
	series = map[string]float64{}
	for name, f := range all {
		families = append(families, name)
		if f.GetHelp() == "" {
			s.t.Errorf("%s has no help", name)
		}
		for _, m := range f.Metric {
			labels := ""
			for _, l := range m.Label {
				labels += fmt.Sprintf("{%s=%s}", l.GetName(), l.GetValue())
			}
			series[name+labels] = m.GetCounter().GetValue() + m.GetGauge().GetValue() + float64(m.GetHistogram().GetSampleCount())
		}
	}
	slices.Sort(families)
	return families, series
}

// What readers do is counted, and however strange the addresses are that they ask
// for, there are no more series than before.
func TestMetrics(t *testing.T) {
	s := operated(t)
	use := func(i int) {
		strange := fmt.Sprintf("/lesson/%%CE%%B8-%d-anna%%40mill.example", i)
		s.get("S1", strange)
		s.get("", strange+"/deeper?name=Anna")
		s.do("S1", fmt.Sprint("VERB", i), "/classes", "", nil)
		s.post("", "/sign-in", "name", fmt.Sprint("nobody", i), "password", "x")
		s.get("S1", fmt.Sprintf("/static/%d/none.js", i))
	}
	use(0)
	s.get("S1", "/lesson/wheel")
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.5 deg")
	conn := s.read("S1", "wheel")
	say(t, conn, map[string]any{"type": "restore", "revision": 2})
	if _, err := untilDone(conn); err != nil {
		t.Fatal(err)
	}
	say(t, conn, map[string]any{"type": "dance " + strings.Repeat("x", 30), "revision": 3})
	if _, _, err := conn.ReadMessage(); err != nil {
		t.Fatal(err)
	}
	// The answer is counted after it was sent, so the last of it may be yet to come.
	var before map[string]float64
	for want := "shaftbook_edit_duration_seconds"; before[want] == 0; {
		_, before = s.scrape()
	}
	for name, least := range map[string]float64{
		"shaftbook_attempts_total{outcome=kept}":                              1,
		"shaftbook_http_requests_total{route=GET /lesson/{slug}}{status=2xx}": 1,
		"shaftbook_http_requests_total{route=GET /lesson/{slug}}{status=4xx}": 1,
		"shaftbook_http_requests_total{route=/}{status=4xx}":                  1,
		"shaftbook_http_requests_total{route=GET /live}{status=1xx}":          1,
		"shaftbook_http_request_duration_seconds{route=GET /lesson/{slug}}":   2,
		"shaftbook_http_response_bytes_total":                                 1000,
		"shaftbook_sockets_open{kind=lesson}":                                 1,
		"shaftbook_socket_frames_total{direction=received}{kind=lesson}":      3,
		"shaftbook_socket_bytes_total{direction=sent}{kind=lesson}":           50,
		"shaftbook_socket_problems_total{problem=unknown-type}":               1,
		"shaftbook_turn_wait_seconds{class=edit}":                             1,
		"shaftbook_turn_work_total{class=edit}":                               0,
		"shaftbook_store_commit_duration_seconds":                             0,
		"shaftbook_store_connections_open":                                    1,
		"shaftbook_cache_requests_total{cache=exercises}{result=miss}":        1,
		"shaftbook_ready": 1,
		"go_goroutines":   1,
	} {
		if got, ok := before[name]; !ok || got < least {
			t.Errorf("%s is %v (there: %v), want at least %v", name, got, ok, least)
		}
	}
	for i := range 50 {
		use(i)
	}
	_, after := s.scrape()
	for name := range after {
		if _, ok := before[name]; !ok {
			t.Errorf("strange addresses made the series %s", name)
		}
		if strings.Contains(name, "anna") || strings.Contains(name, "nobody") || strings.Contains(name, "S1") {
			t.Errorf("the series %s says who did something", name)
		}
	}
	if len(after) > 2000 {
		t.Errorf("there are %d series", len(after))
	}
}

var metricRow = regexp.MustCompile("(?m)^\\| `(shaftbook_[a-z_]+)`")

// The guide for whoever runs the server lists every metric of ours, and no other.
func TestTheGuideListsEveryMetric(t *testing.T) {
	s := operated(t)
	s.get("S1", "/lesson/wheel")
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.5 deg")
	conn := s.read("S1", "wheel")
	say(t, conn, map[string]any{"type": "dance", "revision": 2})
	if _, _, err := conn.ReadMessage(); err != nil {
		t.Fatal(err)
	}
	guide, err := os.ReadFile("OPERATING.md")
	s.must(err)
	var listed []string
	for _, row := range metricRow.FindAllStringSubmatch(string(guide), -1) {
		listed = append(listed, row[1])
	}
	slices.Sort(listed)
	families, _ := s.scrape()
	ours := slices.DeleteFunc(families, func(name string) bool { return !strings.HasPrefix(name, "shaftbook_") })
	for _, name := range ours {
		if !slices.Contains(listed, name) {
			t.Errorf("web/OPERATING.md does not list %s", name)
		}
	}
	for _, name := range listed {
		if !slices.Contains(ours, name) {
			t.Errorf("web/OPERATING.md lists %s, which there is not", name)
		}
	}
}
