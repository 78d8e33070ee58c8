package main

import (
	"bufio"
	"crypto/rand"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"

	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
	"shaftbook/web/live"
)

// servedFolder is set, to a data folder, in the process of the server that
// BenchmarkSizing measures.
const servedFolder = "SHAFTBOOK_TEST_SERVED"

// TestServedProcess is that process.
func TestServedProcess(t *testing.T) {
	folder := os.Getenv(servedFolder)
	if folder == "" {
		t.Skip("it is run by BenchmarkSizing")
	}
	if err := run(t.Context(), []string{"serve", "--listen", "127.0.0.1:0", "--metrics", "127.0.0.1:18963", "--data", folder}, os.Stdout); err != nil {
		t.Fatal(err)
	}
}

const (
	sizingLearners = 300
	sizingLesson   = "sizing-a-shaft"
	sizingAnswers  = 2 // of each learner: no exercise allows fewer tries
)

// BenchmarkSizing measures what web/OPERATING.md says about the size of a machine, with
// the learners on the same processors:
//
//	go test ./cmd/shaftbook -run '^$' -bench Sizing -benchtime 1x
func BenchmarkSizing(b *testing.B) {
	folder := b.TempDir()
	server := exec.Command(os.Args[0], "-test.run=^TestServedProcess$", "-test.v")
	server.Env = append(os.Environ(), servedFolder+"="+folder)
	out, err := server.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := server.Start(); err != nil {
		b.Fatal(err)
	}
	stop := sync.OnceFunc(func() { _ = server.Process.Signal(syscall.SIGTERM); _ = server.Wait() })
	defer stop()
	address := ""
	for lines := bufio.NewScanner(out); address == "" && lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "http://") {
			address = lines.Text()
		}
	}
	go io.Copy(io.Discard, out)
	for b.Loop() {
		before := sizingMetrics(b)
		learners := make([]*sizingLearner, sizingLearners)
		for i := range learners {
			learners[i] = openSizing(b, address)
			learners[i].edit(b, "1")
		}
		opened := sizingMetrics(b)
		b.ReportMetric((opened["process_resident_memory_bytes"]-before["process_resident_memory_bytes"])/sizingLearners/1000, "kB/learner")
		b.ReportMetric(before["process_resident_memory_bytes"]/1e6, "MB-at-start")

		const lasts = 10 * time.Second
		var edits atomic.Int64
		sizingTogether(learners, func(l *sizingLearner) {
			for begin := time.Now(); time.Since(begin) < lasts; edits.Add(1) {
				l.edit(b, fmt.Sprint(edits.Load()))
			}
		})
		b.ReportMetric(float64(edits.Load())/lasts.Seconds(), "edits/s")

		for _, l := range learners {
			l.conn.Close()
		}
		sizingTogether(learners, func(l *sizingLearner) { l.readForm(b) })
		size := fileSize(folder)
		begin := time.Now()
		sizingTogether(learners, func(l *sizingLearner) {
			for range sizingAnswers {
				l.answer(b)
			}
		})
		took := time.Since(begin)
		after := sizingMetrics(b)
		kept := after["shaftbook_attempts_total"]
		b.ReportMetric(kept/took.Seconds(), "answers/s")
		b.ReportMetric((after["shaftbook_store_commit_duration_seconds sum"])/after["shaftbook_store_commit_duration_seconds"]*1e3, "ms/commit")
		stop()
		b.ReportMetric(float64(fileSize(folder)-size)/kept, "B/answer")
	}
}

func fileSize(folder string) (n int64) {
	for _, end := range []string{"", "-wal"} {
		if info, err := os.Stat(sqlite.FileIn(folder) + end); err == nil {
			n += info.Size()
		}
	}
	return n
}

func sizingTogether(all []*sizingLearner, do func(*sizingLearner)) {
	var group sync.WaitGroup
	for _, l := range all {
		group.Go(func() { do(l) })
	}
	group.Wait()
}

// sizingMetrics reads the server's metrics, summed over their labels.
func sizingMetrics(b *testing.B) map[string]float64 {
	b.Helper()
	r, err := http.Get("http://127.0.0.1:18963/metrics")
	if err != nil {
		b.Fatal(err)
	}
	defer r.Body.Close()
	parser := expfmt.NewTextParser(model.LegacyValidation)
	families, err := parser.TextToMetricFamilies(r.Body)
	if err != nil {
		b.Fatal(err)
	}
	all := map[string]float64{}
	for name, f := range families {
		for _, m := range f.Metric {
			all[name] += m.GetCounter().GetValue() + m.GetGauge().GetValue() + float64(m.GetHistogram().GetSampleCount())
			all[name+" sum"] += m.GetHistogram().GetSampleSum()
		}
	}
	return all
}

type sizingLearner struct {
	address, cookie string
	conn            *websocket.Conn
	revision        int
	form            url.Values
	client          *http.Client
	action          string
}

func openSizing(b *testing.B, address string) *sizingLearner {
	b.Helper()
	l := &sizingLearner{address: address, cookie: "shaftbook_learner=" + rand.Text(), client: &http.Client{Transport: &http.Transport{}}}
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(address, "http")+"live", http.Header{"Origin": {strings.TrimSuffix(address, "/")}, "Cookie": {l.cookie}})
	if err != nil {
		b.Fatal(err)
	}
	l.conn = conn
	l.say(b, map[string]any{"type": "open", "lesson": sizingLesson})
	if _, _, err := conn.ReadMessage(); err != nil {
		b.Fatal(err)
	}
	return l
}

func (l *sizingLearner) say(b *testing.B, m map[string]any) {
	l.revision++
	m["revision"] = l.revision
	if err := l.conn.WriteJSON(m); err != nil {
		b.Error(err)
	}
}

// sizingText is the first cell as it is written.
var sizingText = sync.OnceValue(func() string {
	shelf, _ := lessons.Load(text.Files)
	lesson, _ := shelf.Lesson(sizingLesson)
	cell, _ := lesson.Cell("calc-1")
	return cell.Text.Content
})

// edit changes a line behind those of the first cell and waits for the last result.
func (l *sizingLearner) edit(b *testing.B, number string) {
	l.say(b, map[string]any{"type": "edit", "cell": "calc-1", "text": sizingText() + "\nmine = 4" + number + " mm"})
	for {
		var messages []struct{ Type string }
		if err := l.conn.ReadJSON(&messages); err != nil {
			b.Error(err)
			return
		}
		for _, m := range messages {
			if m.Type == "done" {
				return
			}
		}
	}
}

var (
	sizingForm  = regexp.MustCompile(`(?s)<form[^>]*action="(/lesson/[^"]*/exercise/[^"/]*)"[^>]*>.*?</form>`)
	sizingField = regexp.MustCompile(`<input type="hidden" name="([a-z]+)" value="([^"]*)"`)
)

// readForm reads the form of an exercise.
func (l *sizingLearner) readForm(b *testing.B) {
	_, body := l.send(b, "GET", "lesson/"+sizingLesson, nil)
	form := sizingForm.FindStringSubmatch(body)
	if form == nil {
		b.Errorf("the lesson has no exercise:\n%.2000s", body)
		return
	}
	l.action, l.form = strings.TrimPrefix(form[1], "/"), url.Values{}
	for _, f := range sizingField.FindAllStringSubmatch(form[0], -1) {
		l.form.Set(f[1], f[2])
	}
}

// answer hands in a wrong answer.
func (l *sizingLearner) answer(b *testing.B) {
	l.form.Set("submission", rand.Text())
	l.form.Set("answer", "0.5 deg")
	if status, body := l.send(b, "POST", l.action, strings.NewReader(l.form.Encode())); status >= 400 {
		b.Errorf("%d %.500s", status, body)
	}
}

func (l *sizingLearner) send(b *testing.B, method, path string, body io.Reader) (int, string) {
	q, err := http.NewRequest(method, l.address+path, body)
	if err != nil {
		b.Fatal(err)
	}
	q.Header.Set("Cookie", l.cookie)
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r, err := l.client.Transport.RoundTrip(q) // follows nothing
	if err != nil {
		b.Error(err)
		return 0, ""
	}
	defer r.Body.Close()
	all, err := io.ReadAll(r.Body)
	if err != nil {
		b.Error(err)
	}
	return r.StatusCode, string(all)
}
