package live

import (
	"bytes"
	"encoding/json"
	"slices"
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
	timer   *time.Timer // ends the waiting while held
	closed  bool
	ready   chan struct{} // holds one token while there is something to do
}

type entry struct {
	key     string
	message []byte // nil once a newer message has taken its place
}

func newOutbox() *outbox {
	return &outbox{ready: make(chan struct{}, 1)}
}

// put queues a message under a key and reports whether there was room. A
// message with an empty key is never replaced.
func (o *outbox) put(key string, message any) bool {
	encoded := encode(message)
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return true // nobody will read it, and nobody waits
	}
	if i, ok := o.at[key]; ok && key != "" {
		o.bytes -= len(o.entries[i].message)
		o.entries[i].message = nil
		o.pending--
	}
	if o.pending >= queueEntries || o.bytes+len(encoded) > queueBytes {
		return false
	}
	if len(o.entries) >= 2*queueEntries {
		o.closeGaps()
	}
	if o.at == nil {
		o.at = map[string]int{}
	}
	o.pending++
	o.at[key] = len(o.entries)
	o.entries = append(o.entries, entry{key, encoded})
	o.bytes += len(encoded)
	switch {
	case !o.held:
		o.wake()
	case o.timer == nil:
		o.timer = time.AfterFunc(holdTime, o.wake)
	}
	return true
}

// closeGaps moves what is pending together, in its order.
func (o *outbox) closeGaps() {
	o.entries = slices.DeleteFunc(o.entries, func(e entry) bool { return e.message == nil })
	clear(o.at)
	for i, e := range o.entries {
		o.at[e.key] = i
	}
}

// encode writes a message as JSON. Markup is left as it is: a socket is no
// place where it could be taken for a page, and escaped it is twice as long.
func encode(message any) []byte {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(message); err != nil {
		// All messages are plain structs of finite numbers and strings.
		panic(err)
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

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
	if o.timer != nil {
		o.timer.Stop()
		o.timer = nil
	}
	if len(o.entries) > 0 {
		o.wake()
	}
}

// take empties the outbox into frames, each a JSON array of messages.
func (o *outbox) take() (frames [][]byte, closed bool) {
	o.mu.Lock()
	entries, closed := o.entries, o.closed
	o.entries, o.at, o.bytes, o.pending = nil, nil, 0, 0
	if o.timer != nil {
		o.timer.Stop()
		o.timer = nil
	}
	o.mu.Unlock()
	var frame []byte
	for _, e := range entries {
		if e.message == nil {
			continue
		}
		if len(frame) > 0 && len(frame)+len(e.message) > frameBytes {
			frames, frame = append(frames, append(frame, ']')), nil
		}
		separator := byte(',')
		if len(frame) == 0 {
			separator = '['
		}
		frame = append(append(frame, separator), e.message...)
	}
	if len(frame) > 0 {
		frames = append(frames, append(frame, ']'))
	}
	return frames, closed
}

// close lets the writer finish what is queued and then end.
func (o *outbox) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.closed = true
	o.wake()
}

func (o *outbox) wake() {
	select {
	case o.ready <- struct{}{}:
	default:
	}
}
