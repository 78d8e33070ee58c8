//go:build linux

package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/web/live"
)

// tableLearners is set in the process of the learners of BenchmarkTableLive, which are
// not in the process of the server either: to a JSON learners.
const tableLearners = "SHAFTBOOK_TEST_LEARNERS"

// learners is what the other process does.
type learners struct {
	Address string // of the server, as a URL
	Count   int
	Lesson  string
	Cell    string // whose text each of them has changed, if Own is set
	Text    string
	Own     bool // each with a line of its own
	All     bool // a page that comes back asks for every row

	Slider string // that each of them moves, ten times a second
	Values []float64
	Moves  int // of each; with none they stay as they are until standard input ends
}

// A report is what the process of the learners prints at its end.
type report struct {
	Opened []int64 // when each had its page state, in nanoseconds since 1970
	Waits  []int64 // from each move to the first row of it or of one that came after it, in nanoseconds
	Moves  int
	Frames int // that carried rows
	Lost   int // learners whose last value never came
}

func TestTableLearners(t *testing.T) {
	var l learners
	text := os.Getenv(tableLearners)
	if text == "" {
		t.Skip("it is run by BenchmarkTableLive")
	}
	if err := json.Unmarshal([]byte(text), &l); err != nil {
		t.Fatal(err)
	}
	var all report
	var mu sync.Mutex
	var opened, finished sync.WaitGroup
	begin := make(chan struct{})
	for i := range l.Count {
		opened.Add(1)
		finished.Add(1)
		go func() {
			defer finished.Done()
			one := &learner{learners: &l, number: i}
			if err := one.open(); err != nil {
				t.Error(err)
				opened.Done()
				return
			}
			mu.Lock()
			all.Opened = append(all.Opened, time.Now().UnixNano())
			mu.Unlock()
			opened.Done()
			<-begin
			if l.Moves == 0 {
				one.stay()
				return
			}
			one.move()
			mu.Lock()
			defer mu.Unlock()
			all.Waits = append(all.Waits, one.waits...)
			all.Moves += l.Moves
			all.Frames += one.frames
			if one.lost {
				all.Lost++
			}
		}()
	}
	fmt.Println("dialling")
	opened.Wait()
	fmt.Println("opened")
	close(begin)
	if l.Moves == 0 {
		_, _ = os.Stdin.Read(make([]byte, 1)) // until the other end is closed
	} else {
		finished.Wait()
	}
	out, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("report", string(out))
	os.Exit(0) // the connections end with the process
}

// A learner is one page.
type learner struct {
	*learners
	number int
	conn   *websocket.Conn

	mu      sync.Mutex
	pending []sent
	waits   []int64
	frames  int
	lost    bool
}

type sent struct {
	revision int64
	at       time.Time
}

// open connects, again and again until a server listens, and returns when the page
// has its state.
func (l *learner) open() error {
	from := &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(1+l.number/400))} // a server takes 500 of one address
	network := &net.Dialer{LocalAddr: from}
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}, NetDialContext: network.DialContext, ReadBufferSize: 1024, WriteBufferSize: 1024, WriteBufferPool: &writeBuffers}
	header := http.Header{"Origin": {strings.TrimSuffix(l.Address, "/")}, "Cookie": {fmt.Sprintf("shaftbook_learner=%026d", l.number)}}
	for {
		conn, answer, err := dialer.Dial("ws"+strings.TrimPrefix(l.Address, "http")+"live", header)
		if err == nil {
			l.conn = conn
			break
		}
		if answer != nil {
			return fmt.Errorf("learner %d: %s", l.number, answer.Status)
		}
		time.Sleep(20 * time.Millisecond)
	}
	open := map[string]any{"type": "open", "revision": 1, "lesson": l.Lesson, "all": l.All}
	if l.Own {
		open["edits"] = map[string]string{l.Cell: l.Text + fmt.Sprintf("\nown = %d", l.number)}
	}
	if err := l.conn.WriteJSON(open); err != nil {
		return err
	}
	last := `"type":"opened"`
	if l.Own || l.All {
		last = `"type":"done"`
	}
	for {
		_, frame, err := l.conn.ReadMessage()
		if err != nil {
			return err
		}
		if bytes.Contains(frame, []byte(last)) {
			return nil
		}
	}
}

var writeBuffers sync.Pool

// stay reads until the connection ends.
func (l *learner) stay() {
	for {
		if _, _, err := l.conn.NextReader(); err != nil {
			return
		}
	}
}

// move moves the slider to and fro and notes how long each move takes to be shown.
func (l *learner) move() {
	last := int64(l.Moves + 1)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for {
			_, frame, err := l.conn.ReadMessage()
			if err != nil {
				return
			}
			if seen := rowRevision(frame); seen > 0 {
				l.see(seen)
				if seen == last {
					return
				}
			}
		}
	}()
	const period = 100 * time.Millisecond
	random := rand.New(rand.NewPCG(16, uint64(l.number)))
	time.Sleep(time.Duration(random.Int64N(int64(period))))
	place, step := random.IntN(len(l.Values)), 1
	next := time.NewTicker(period)
	defer next.Stop()
	for revision := int64(2); revision <= last; revision++ {
		if place+step < 0 || place+step >= len(l.Values) {
			step = -step
		}
		place += step
		l.mu.Lock()
		l.pending = append(l.pending, sent{revision, time.Now()})
		l.mu.Unlock()
		message := fmt.Sprintf(`{"type":"vary","revision":%d,"name":%q,"value":%v}`, revision, l.Slider, l.Values[place])
		if err := l.conn.WriteMessage(websocket.TextMessage, []byte(message)); err != nil {
			break
		}
		<-next.C
	}
	select {
	case <-ended:
	case <-time.After(time.Minute):
	}
	l.lost = len(l.pending) > 0
	l.conn.Close()
}

// see notes that a frame of a revision came: it replaces all moves up to that one.
func (l *learner) see(revision int64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	l.frames++
	l.pending = slices.DeleteFunc(l.pending, func(s sent) bool {
		if s.revision > revision {
			return false
		}
		l.waits = append(l.waits, int64(now.Sub(s.at)))
		return true
	})
}

// rowRevision returns the revision of the last row in a frame, or 0. It does not read
// the whole frame, since a page does that on the reader's computer.
func rowRevision(frame []byte) int64 {
	const head = `"type":"row","revision":`
	i := bytes.LastIndex(frame, []byte(head))
	if i < 0 {
		return 0
	}
	digits := frame[i+len(head):]
	end := bytes.IndexByte(digits, ',')
	n, _ := strconv.ParseInt(string(digits[:max(end, 0)]), 10, 64)
	return n
}
