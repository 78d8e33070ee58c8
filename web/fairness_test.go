package web

import (
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/lessons"
	"shaftbook/web/live"
)

// worstTexts are texts of a cell that cost as much as is allowed, each in a way of
// its own.
var worstTexts = []string{
	many(10, "s# = sum of sin(i)·cos(i) for i from 1 to 45000000"),
	many(12, "s# = sum of 1/i for i from 1 to 90000000"),
	"f(x) = integral of exp(-x·t)·sin(t)/(1 + t^2) for t from 0 to 20\n" + many(90, "g# = integral of f(x)·f(x + #) for x from 0 to 5"),
	"b = between 1 and 2\n" + many(20, "c# = sum of b^2·i/(1 + b·i) for i from # to 2000000"),
	many(12, "p# = product of 1 + 1/(i·i·10^3) for i from 1 to 40000000"),
	"x0 = 1.5\n" + many(900, "x# = sin(x0) + integral of exp(-t·x0) for t from 0 to #"),
	"f(n) = sum of 1/(i^2 + n) for i from 1 to 20000\n" + many(10, "s# = sum of f(n) for n from 1 to 4000"),
	many(700, "plot x^# for x from 0 to 1"),
	many(60, "plot integral of sin(x·t^2) for t from 0 to 30 + # for x from 0 to 10"),
	many(3000, "a# = # mm + # s"),
	many(12, "q# = integral of sum of sin(i·x)/i for i from 1 to 3000 for x from 0 to 2 + 1/#"),
	many(40, "z# = smallest of sum of cos(i·x) for i from 1 to 4000 for x from 1 to 3 + 1/#"),
}

// many repeats a line with another number each time.
func many(n int, line string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.ReplaceAll(line, "#", fmt.Sprint(i+1)) + "\n")
	}
	return b.String()
}

const fairLesson = "---\ntitle: Fair shares\norder: 1\nsummary: One cell.\nminutes: 5\n---\n\n## Work\n\n```calc\na = 1\n```\n\n```calc\nb = 2\n```\n"

// fairServer serves one small lesson.
func fairServer(t testing.TB) *Server {
	t.Helper()
	lesson, list := lessons.Parse("fair.md", []byte(fairLesson))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	s := &Server{Catalog: &lessons.Catalog{Lessons: []*lessons.Lesson{lesson}}, Log: slog.New(slog.DiscardHandler)}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

// window opens the lesson as a browser of a name does.
func window(t testing.TB, address, browser string) *websocket.Conn {
	t.Helper()
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	header := http.Header{"Origin": {strings.TrimSuffix(address, "/")}, "Cookie": {"shaftbook_learner=" + strings.Repeat(browser, 26)}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(address, "http")+"live", header)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	say(t, conn, map[string]any{"type": "open", "revision": 1, "lesson": "fair"})
	if _, _, err := conn.ReadMessage(); err != nil {
		t.Fatal(err)
	}
	return conn
}

func say(t testing.TB, conn *websocket.Conn, message map[string]any) {
	t.Helper()
	if err := conn.WriteJSON(message); err != nil {
		t.Fatal(err)
	}
}

// untilDone reads until the evaluation is done and returns the types of the messages.
func untilDone(conn *websocket.Conn) (types []string, err error) {
	for {
		var messages []struct{ Type string }
		if err := conn.ReadJSON(&messages); err != nil {
			return types, err
		}
		for _, m := range messages {
			types = append(types, m.Type)
			if m.Type == "done" {
				return types, nil
			}
		}
	}
}

// learnerEdits is set, to the address of a server, in the process of the learner whom
// BenchmarkFairness measures: a page is not in the process of the server either.
const learnerEdits = "SHAFTBOOK_TEST_EDITS"

// TestLearnerEdits is that process: it prints how long each of its edits took.
func TestLearnerEdits(t *testing.T) {
	address := os.Getenv(learnerEdits)
	if address == "" {
		t.Skip("it is run by BenchmarkFairness")
	}
	learner := window(t, address, "L")
	for i := range edits {
		time.Sleep(50 * time.Millisecond) // a page sends at most 20 messages a second
		begin := time.Now()
		say(t, learner, map[string]any{"type": "edit", "revision": 2 + i, "cell": "calc-1", "text": fmt.Sprint("a = ", i, " + 1")})
		if _, err := untilDone(learner); err != nil {
			t.Fatal(err)
		}
		fmt.Println("edit took", time.Since(begin))
	}
}

const edits = 120 // of one measurement

// measureEdits runs a learner and returns the median and the 99th percentile.
func measureEdits(b *testing.B, s *Server) (median, late time.Duration) {
	b.Helper()
	learner := exec.Command(os.Args[0], "-test.run", "^TestLearnerEdits$")
	learner.Env = append(os.Environ(), learnerEdits+"="+s.URL())
	out, err := learner.Output()
	if err != nil {
		b.Fatal(err)
	}
	var all []time.Duration
	for line := range strings.Lines(string(out)) {
		if took, ok := strings.CutPrefix(strings.TrimSpace(line), "edit took "); ok {
			d, err := time.ParseDuration(took)
			if err != nil {
				b.Fatal(err)
			}
			all = append(all, d)
		}
	}
	slices.Sort(all)
	return all[len(all)/2], all[len(all)*99/100]
}

// BenchmarkFairness measures a learner's small edits beside twelve windows of another
// who runs the worst texts that are allowed, and alone, on one processor and on two.
// The bar is a median of at most that alone plus one turn (2 ms), and a 99th
// percentile of at most that alone plus three.
func BenchmarkFairness(b *testing.B) {
	for _, processors := range []int{1, 2} {
		b.Run(fmt.Sprint("processors=", processors), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
			s := fairServer(b)
			var alone, beside, aloneLate, besideLate time.Duration
			for b.Loop() {
				alone, aloneLate = measureEdits(b, s)
				var windows []*websocket.Conn
				for _, text := range worstTexts {
					w := window(b, s.URL(), "B")
					windows = append(windows, w)
					say(b, w, map[string]any{"type": "edit", "revision": 2, "cell": "calc-1", "text": text})
					go func() { _, _ = untilDone(w) }()
				}
				before, begin := s.queue.Ended(), time.Now()
				beside, besideLate = measureEdits(b, s)
				b.ReportMetric(float64(time.Since(begin).Microseconds())/1e3*float64(processors)/float64(s.queue.Ended()-before), "ms/turn")
				b.ReportMetric(float64(s.queue.Waiting()), "still-waiting")
				for _, w := range windows {
					w.Close()
				}
			}
			const turn = 2e6 // nanoseconds: what a turn may last at most, about
			b.ReportMetric(float64(beside-alone)/turn, "turns-more-p50")
			b.ReportMetric(float64(besideLate-aloneLate)/turn, "turns-more-p99")
			b.ReportMetric(float64(alone)/1e6, "ms-alone-p50")
			b.ReportMetric(float64(aloneLate)/1e6, "ms-alone-p99")
		})
	}
}
