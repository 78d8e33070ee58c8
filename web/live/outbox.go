package live

import (
	"encoding/json"
	"sync"
)

// An outbox holds what has not left yet. It is bounded, and a newer message
// about the same thing takes the place of an older one, so that a slow reader
// gets the present state late rather than every state later.
type outbox struct {
	mu      sync.Mutex
	entries []entry
	at      map[string]int // key → place in entries
	bytes   int
	closed  bool
	ready   chan struct{} // holds one token while there is something to do
}

type entry struct {
	key   string
	frame []byte // nil once a newer message has taken its place
}

func newOutbox() *outbox {
	return &outbox{ready: make(chan struct{}, 1)}
}

// put queues a message under a key and reports whether there was room. A
// message with an empty key is never replaced.
func (o *outbox) put(key string, message any) bool {
	frame, err := json.Marshal(message)
	if err != nil {
		// All messages are plain structs of finite numbers and strings.
		panic(err)
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return true // nobody will read it, and nobody waits
	}
	if i, ok := o.at[key]; ok && key != "" {
		o.bytes -= len(o.entries[i].frame)
		o.entries[i].frame = nil
	}
	if len(o.entries) >= queueEntries || o.bytes+len(frame) > queueBytes {
		return false
	}
	if o.at == nil {
		o.at = map[string]int{}
	}
	o.at[key] = len(o.entries)
	o.entries = append(o.entries, entry{key, frame})
	o.bytes += len(frame)
	o.wake()
	return true
}

// take empties the outbox.
func (o *outbox) take() (entries []entry, closed bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	entries, o.entries, o.at, o.bytes = o.entries, nil, nil, 0
	return entries, o.closed
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
