package live

import (
	"strings"
	"sync"
	"testing"
	"time"
)

// workMeter counts the work of all turns.
type workMeter struct {
	mu   sync.Mutex
	work int64
}

func (m *workMeter) Waited(string, time.Duration) {}

func (m *workMeter) Worked(_ string, work int64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.work += work
}

func (m *workMeter) total() int64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.work
}

// Reading long messages and writing long rows is work of the person whose they are,
// also where nothing is evaluated.
func TestLongMessagesAreWork(t *testing.T) {
	long := strings.Repeat("x", 60<<10)
	for _, c := range []struct {
		name, message, answer string
		least, most           int64
	}{
		{"a long message that is refused", `{"type":"edit","revision":2,"cell":"c9","text":"` + long + `"}`, "problem", byteWork * 60 << 10, byteWork * 64 << 10},
		{"a short one", `{"type":"edit","revision":2,"cell":"c9","text":""}`, "problem", 0, 0},
		{"a long row", `{"type":"edit","revision":2,"cell":"c1","text":"` + long + `"}`, "done", byteWork * 3 * 60 << 10, byteWork * 4 * 60 << 10}, // the message; the row in html and spoken
	} {
		t.Run(c.name, func(t *testing.T) {
			r, m := newRig(t), &workMeter{}
			r.hub.config.Queue.Meter = m
			page := r.open()
			page.send(c.message)
			page.want(c.answer)
			for m.total() < c.least {
				time.Sleep(time.Millisecond) // the turn may end after the answer
			}
			if n := m.total(); n > c.most {
				t.Errorf("it counts as %d, want %d at most", n, c.most)
			}
		})
	}
}
