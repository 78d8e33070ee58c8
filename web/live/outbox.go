package live

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"sync"
	"time"
)

// An outbox holds what has not left yet. It is bounded, and a newer message
// about the same thing takes the place of an older one, so that a slow reader
// gets the present state late rather than every state later.
//
// While it is held, messages gather so that they leave in one frame. They wait
// holdTime at most.
type outbox struct {
	mu      sync.Mutex
	entries []entry        // with gaps where a newer message has taken a place
	pending int            // entries that are no gaps
	at      map[string]int // key → place in entries
	bytes   int
	held    bool
	timer   *time.Timer // ends the waiting while held; nil before the first time
	ticking bool
	closed  bool
	asked   []time.Time   // when the changes came whose last results are among the entries
	ready   chan struct{} // holds one token while there is something to do
	start   func()        // if set, it is called with each token
}

type entry struct {
	key        string
	head, tail []byte // of the message, head nil once a newer message has taken its place; others may have the tail too
}

func (e entry) size() int { return len(e.head) + len(e.tail) }

func newOutbox() *outbox {
	return &outbox{ready: make(chan struct{}, 1)}
}

// put queues a message under a key and reports whether there was room. A
// message with an empty key is never replaced.
func (o *outbox) put(key string, message any) bool {
	return o.add(entry{key: key, head: encode(message)})
}

// putRow queues the message of a row.
func (o *outbox) putRow(revision int64, r *row) bool {
	head := append(make([]byte, 0, 48), `{"type":"row","revision":`...)
	head = append(strconv.AppendInt(head, revision, 10), ',')
	return o.add(entry{r.key, head, r.tail})
}

func (o *outbox) add(e entry) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return true // nobody will read it, and nobody waits
	}
	if i, ok := o.at[e.key]; ok && e.key != "" {
		o.bytes -= o.entries[i].size()
		o.entries[i].head, o.entries[i].tail = nil, nil
		o.pending--
	}
	if o.pending >= queueEntries || o.bytes+e.size() > queueBytes {
		return false
	}
	if len(o.entries) >= 2*queueEntries {
		o.closeGaps()
	}
	if o.at == nil {
		o.at = map[string]int{}
	}
	o.pending++
	o.at[e.key] = len(o.entries)
	o.entries = append(o.entries, e)
	o.bytes += e.size()
	switch {
	case !o.held:
		o.wake()
	case o.timer == nil:
		o.timer, o.ticking = time.AfterFunc(holdTime, o.tick), true
	case !o.ticking:
		o.timer.Reset(holdTime)
		o.ticking = true
	}
	return true
}

// closeGaps moves what is pending together, in its order.
func (o *outbox) closeGaps() {
	o.entries = slices.DeleteFunc(o.entries, func(e entry) bool { return e.head == nil })
	clear(o.at)
	for i, e := range o.entries {
		o.at[e.key] = i
	}
}

// encode writes a message as JSON. Markup is left as it is: a socket is no
// place where it could be taken for a page, and escaped it is twice as long.
func encode(message any) []byte {
	b := encodings.Get().(*bytes.Buffer)
	defer encodings.Put(b)
	b.Reset()
	encoder := json.NewEncoder(b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(message); err != nil {
		// All messages are plain structs of finite numbers and strings.
		panic(err)
	}
	return bytes.Clone(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
}

var encodings = sync.Pool{New: func() any { return &bytes.Buffer{} }}

// hold lets messages gather until release.
func (o *outbox) hold() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.held = true
}

// release lets go what has gathered.
func (o *outbox) release() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.held = false
	o.stopTicking()
	if len(o.entries) > 0 {
		o.wake()
	}
}

func (o *outbox) stopTicking() {
	if o.ticking {
		o.timer.Stop()
		o.ticking = false
	}
}

func (o *outbox) tick() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.ticking {
		o.ticking = false
		o.wake()
	}
}

// answer notes that the entries have the last result of a change that came then.
func (o *outbox) answer(asked time.Time) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if !o.closed && !asked.IsZero() {
		o.asked = append(o.asked, asked)
	}
}

// take empties the outbox into frames, each a JSON array of messages. answered is when
// the changes came whose last results are in them.
func (o *outbox) take() (frames [][]byte, answered []time.Time, closed bool) {
	o.mu.Lock()
	entries, closed := o.entries, o.closed
	answered, o.asked = o.asked, nil
	o.entries, o.at, o.bytes, o.pending = nil, nil, 0, 0
	o.stopTicking()
	o.mu.Unlock()
	for len(entries) > 0 {
		var frame []byte
		frame, entries = joined(entries)
		if frame != nil {
			frames = append(frames, frame)
		}
	}
	return frames, answered, closed
}

// joined makes a frame of the first entries, nil if there are only gaps.
func joined(entries []entry) (frame []byte, rest []entry) {
	size, n := 1, 0
	for _, e := range entries {
		if e.head != nil && size > 1 && size+e.size() > frameBytes {
			break
		}
		if n++; e.head != nil {
			size += 1 + e.size()
		}
	}
	if size == 1 {
		return nil, entries[n:]
	}
	frame = append(make([]byte, 0, size), '[')
	for _, e := range entries[:n] {
		if e.head == nil {
			continue
		}
		if len(frame) > 1 {
			frame = append(frame, ',')
		}
		frame = append(append(frame, e.head...), e.tail...)
	}
	return append(frame, ']'), entries[n:]
}

// close lets the writer finish what is queued and then end.
func (o *outbox) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.closed = true
	o.stopTicking()
	o.wake()
}

// wake says that there is something to do. The caller holds mu.
func (o *outbox) wake() {
	select {
	case o.ready <- struct{}{}:
		if o.start != nil {
			o.start()
		}
	default:
	}
}
