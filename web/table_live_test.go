//go:build linux

package web

import (
	"bufio"
	"encoding/json"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

// BenchmarkTableLive prints what a class notices of the live connections. The learners
// are in another process on the same processors. The bars: sliders a 99th percentile of
// 50 ms and none lost; restart 1.5 s; memory 64 kB at 2,000, and 16 kB after two idle
// minutes. Run it with -benchtime 1x on a quiet machine; all of it takes five minutes.
func BenchmarkTableLive(b *testing.B) {
	b.Run("sliders/same-text", func(b *testing.B) { benchSliders(b, false) })
	b.Run("sliders/own-text", func(b *testing.B) { benchSliders(b, true) })
	b.Run("restart", benchRestart)
	b.Run("memory", benchMemory)
}

// tableLesson is the lesson of the class, with its slider in steps of a millimetre.
func tableLesson() learners {
	l := learners{Lesson: "sum-to-integral", Slider: "d_1"}
	for mm := 36; mm <= 72; mm++ {
		l.Values = append(l.Values, float64(mm))
	}
	return l
}

// seconds is for how long the sliders are moved; fewer for a first look.
func seconds() int {
	if os.Getenv("SHAFTBOOK_TEST_SHORT") != "" {
		return 5
	}
	return 30
}

func benchSliders(b *testing.B, own bool) {
	for b.Loop() {
		s := tableServer(b, "127.0.0.1:0")
		l := tableLesson()
		l.Count, l.Moves = 300, 10*seconds()
		l.withText(b, s, own)
		before := processor()
		p := l.start(b, s.URL())
		r := p.report(b)
		spent := processor() - before
		slices.Sort(r.Waits)
		b.ReportMetric(float64(spent.Microseconds())/float64(r.Moves), "cpu-µs/move")
		b.ReportMetric(float64(spent.Microseconds())/float64(r.Frames), "cpu-µs/frame")
		b.ReportMetric(milliseconds(r.Waits[len(r.Waits)/2]), "ms-p50")
		b.ReportMetric(milliseconds(r.Waits[len(r.Waits)*99/100]), "ms-p99")
		b.ReportMetric(100*float64(r.Frames)/float64(r.Moves), "%drawn")
		b.ReportMetric(float64(r.Lost), "lost")
		_ = s.Close(b.Context())
	}
}

// processor returns the time that processors have spent on this process, which depends
// less than the waits on what else the computer does.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// benchRestart measures a server that comes back to 300 learners, each with an edit,
// who all connect as soon as it listens.
func benchRestart(b *testing.B) {
	for b.Loop() {
		shelf, _ := lessons.Load(text.Files)
		s := tableServer(b, "127.0.0.1:0")
		l := tableLesson()
		l.Count, l.All = 300, true
		l.withText(b, s, true)
		address := s.listener.Addr().String()
		_ = s.Close(b.Context())
		p := l.start(b, "http://"+address+"/")
		p.waitFor(b, "dialling")
		time.Sleep(100 * time.Millisecond) // all of them try
		back := time.Now().UnixNano()
		s = nil
		for range 100 { // a learner that dials may hold the port for a moment
			again := &Server{Catalog: shelf, Log: slog.New(slog.DiscardHandler)}
			if err := again.Open(address); err == nil {
				s = again
				break
			}
			time.Sleep(10 * time.Millisecond)
			back = time.Now().UnixNano()
		}
		if s == nil {
			b.Fatal("the address does not become free")
		}
		p.waitFor(b, "opened")
		p.in.Close()
		r := p.report(b)
		slices.Sort(r.Opened)
		b.ReportMetric(milliseconds(r.Opened[len(r.Opened)/2]-back), "ms-p50")
		b.ReportMetric(milliseconds(r.Opened[len(r.Opened)*99/100]-back), "ms-p99")
		b.ReportMetric(milliseconds(r.Opened[len(r.Opened)-1]-back), "ms-last")
		_ = s.Close(b.Context())
	}
}

// benchMemory measures the heap and the stacks of the server with 2,000 learners, and
// again when they have been idle for two minutes.
func benchMemory(b *testing.B) {
	for b.Loop() {
		s := tableServer(b, "127.0.0.1:0")
		l := tableLesson()
		l.Count = 2000
		l.withText(b, s, true)
		before := heap()
		p := l.start(b, s.URL())
		p.waitFor(b, "opened")
		time.Sleep(time.Second) // what was only for opening is let go
		b.ReportMetric((float64(heap())-float64(before))/float64(l.Count)/1e3, "kB/learner")
		if os.Getenv("SHAFTBOOK_TEST_SHORT") == "" {
			time.Sleep(2*time.Minute + 40*time.Second) // two idle minutes, and a look after them
			b.ReportMetric((float64(heap())-float64(before))/float64(l.Count)/1e3, "kB/learner-idle")
		}
		p.in.Close()
		p.report(b)
		_ = s.Close(b.Context())
	}
}

// tableServer serves the built-in lessons.
func tableServer(b *testing.B, address string) *Server {
	b.Helper()
	shelf, _ := lessons.Load(text.Files)
	s := &Server{Catalog: shelf, Log: slog.New(slog.DiscardHandler)}
	if err := s.Open(address); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close(b.Context()) })
	return s
}

// withText gives the learners the cell to edit, and has the page of the lesson made.
func (l *learners) withText(b *testing.B, s *Server, own bool) {
	b.Helper()
	cells, _, err := s.reader.Pages.Cells(b.Context(), "", l.Lesson)
	if err != nil {
		b.Fatal(err)
	}
	i := slices.IndexFunc(cells, func(c kernel.Cell) bool { return strings.Contains(c.Text.Content, "vary "+l.Slider+" ") })
	l.Cell, l.Text, l.Own = cells[i].ID, cells[i].Text.Content, own
}

// A learnersProcess is the process of the learners.
type learnersProcess struct {
	in    io.WriteCloser
	lines *bufio.Scanner
}

func (l learners) start(b *testing.B, address string) *learnersProcess {
	b.Helper()
	l.Address = address
	text, err := json.Marshal(l)
	if err != nil {
		b.Fatal(err)
	}
	command := exec.Command(os.Args[0], "-test.run", "^TestTableLearners$")
	command.Env = append(os.Environ(), tableLearners+"="+string(text))
	in, err := command.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	out, err := command.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := command.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
	})
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 64<<20)
	return &learnersProcess{in, lines}
}

// waitFor reads up to a line that begins so and returns the rest of it.
func (p *learnersProcess) waitFor(b *testing.B, word string) string {
	b.Helper()
	var said []string
	for p.lines.Scan() {
		if rest, ok := strings.CutPrefix(p.lines.Text(), word); ok {
			return rest
		}
		said = append(said, p.lines.Text())
	}
	b.Fatalf("the learners did not say %q but:\n%s", word, strings.Join(said, "\n"))
	return ""
}

func (p *learnersProcess) report(b *testing.B) (r report) {
	b.Helper()
	if err := json.Unmarshal([]byte(p.waitFor(b, "report ")), &r); err != nil {
		b.Fatal(err)
	}
	return r
}

func milliseconds(nanoseconds int64) float64 { return float64(nanoseconds) / 1e6 }
