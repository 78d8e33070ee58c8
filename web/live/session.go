package live

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"golang.org/x/time/rate"

	"shaftbook/kernel"
	"shaftbook/kernel/pause"
	"shaftbook/web/socket"
	"shaftbook/web/turns"
)

// A session is one page's connection. One goroutine reads; another one writes and a
// third evaluates while there is something to write or to evaluate.
type session struct {
	hub    *Hub
	conn   *socket.Conn
	holder Holder
	out    *outbox

	writing atomic.Bool // also after the last frame
	looks   *time.Timer // calls look; set before reading begins

	// of the reader
	limiter  *rate.Limiter
	breaches int
	latest   int64          // revision of the last message that was taken
	changed  map[string]int // bytes of the texts that are not the lesson's, by cell; of the reader

	mu       sync.Mutex
	ended    bool
	lesson   string        // its slug, set with cells
	cells    []kernel.Cell // as the lesson has them; nil before open, then fixed
	sum      sum           // of the lesson, set with cells
	version  string        // of the lesson, set with cells
	told     string        // the last version that the page was told of, and a space
	revision int64
	queue    []change
	running  bool
	cost     func() int64 // of the running evaluation, so far; nil while it waits for its first turn
	cancel   context.CancelCauseFunc
	lastUsed time.Time
	asked    time.Time // when the oldest change came of those that no evaluation has taken; zero if there is none

	judging // derivations, judged beside the evaluation
	whereabouts

	evaluation // of the evaluating goroutine; of no other while running is set
}

var (
	errOvertaken = errors.New("a newer change overtook this evaluation")
	errStopped   = errors.New("the reader stopped this evaluation")
	errEnded     = errors.New("the connection has ended")
)

func newSession(h *Hub, conn *socket.Conn, holder Holder) *session {
	s := &session{
		hub: h, conn: conn, holder: holder, out: newOutbox(),
		limiter: rate.NewLimiter(messageRate, messageBurst),
	}
	s.out.start = s.startWriting
	return s
}

// readLoop is the connection's one reader.
func (s *session) readLoop() {
	defer s.hub.running.Done()
	defer s.hub.forget(s)
	defer s.finish()
	s.conn.ReadAll(messageLimit, func(text bool, message []byte) bool {
		switch {
		case !text:
			s.end(socket.UnsupportedData, "this protocol uses text frames only")
			return false
		case !utf8.Valid(message):
			s.end(socket.InvalidText, "the text is not UTF-8")
			return false
		case !s.pace():
			s.end(socket.PolicyViolation, "too many messages")
			return false
		}
		if revision, err := s.handle(message); err != nil {
			s.refuseAt(revision, err)
		}
		return true
	})
}

// pace keeps the reader to its rate. Above it reading slows down, which loses
// nothing; it reports false for a page that never rests.
func (s *session) pace() bool {
	r := s.limiter.Reserve()
	if r.Delay() == 0 {
		s.breaches = 0
		return true
	}
	if s.breaches++; s.breaches > breachLimit {
		return false
	}
	if s.breaches == 1 {
		s.refuse(problem("too-fast", 429, "Too many messages", "this page sends more than the server accepts; it will read on more slowly"))
	}
	time.Sleep(r.Delay())
	return true
}

// refuse tells the page about a problem of what it has changed.
func (s *session) refuse(err error) {
	s.mu.Lock()
	revision := s.revision
	s.mu.Unlock()
	s.refuseAt(revision, err)
}

// refuseAt tells the page about a problem with a message of its.
func (s *session) refuseAt(revision int64, err error) {
	var p *Problem
	if !errors.As(err, &p) {
		id := rand.Text()[:8]
		s.hub.config.Log.Error("live session", "id", id, "error", err)
		p = problem("internal", 500, "Something went wrong in the program", "it is in the server’s log as "+id)
	}
	if meter := s.hub.config.Meter; meter != nil {
		meter.Problem(strings.TrimPrefix(p.Type, problemPrefix))
	}
	s.send("", problemMessage{"problem", revision, *p})
}

const slowReader = "results pile up unread"

// send queues a message; a page that reads too slowly is closed.
func (s *session) send(key string, message any) {
	if !s.out.put(key, message) {
		s.end(socket.TryAgainLater, slowReader)
	}
}

// handle takes in one message. It returns the message's revision, or that of the one
// before where it cannot be read.
func (s *session) handle(frame []byte) (revision int64, err error) {
	message, revision, err := s.read(frame)
	if revision == 0 {
		revision = s.latest
	}
	if err == nil {
		err = s.takeIn(message, revision)
	}
	return revision, err
}

// smallFrame is the length of a frame that is read without waiting for a turn.
const smallFrame = 4 << 10

// byteWork is what reading or writing a byte of a message costs about, in the unit of
// package pause.
const byteWork = 10

// read reads a frame, and a long one in a turn: twenty of them a second from each
// window of a person would otherwise take a processor from the others.
func (s *session) read(frame []byte) (message any, revision int64, err error) {
	if len(frame) <= smallFrame {
		return read(frame)
	}
	full := s.hub.config.Queue.Do(context.Background(), turns.Task{Who: s.holder.Turns, Class: turns.Edit}, func(ctx context.Context) error {
		message, revision, err = read(frame)
		pause.Here(ctx, byteWork*int64(len(frame)))
		return nil
	})
	if full != nil {
		return nil, 0, crowded()
	}
	return message, revision, err
}

// takeIn takes in a message that could be read.
func (s *session) takeIn(message any, revision int64) error {
	if _, written := headOf(message); written <= s.latest {
		return problem("revision", 409, "This message was not taken",
			fmt.Sprintf("its revision is %d, which is not greater than the %d before it", written, s.latest))
	}
	s.latest = revision
	if m, ok := message.(*openMessage); ok {
		return s.open(m)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lastUsed = time.Now()
	if s.cells == nil {
		return problem("order", 409, "No lesson is open", "the first message opens a lesson")
	}
	switch m := message.(type) {
	case *editMessage:
		if err := s.checkText(m.Cell, m.Text); err != nil {
			return err
		}
		if err := s.checkTexts(m.Cell, m.Text); err != nil {
			return err
		}
		s.add(revision, errOvertaken, change{kind: edited, key: m.Cell, text: m.Text})
	case *varyMessage:
		if math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
			return problem("unreadable", 400, "This message cannot be read", "the value is not a number")
		}
		s.add(revision, nil, change{kind: varied, key: m.Name, value: m.Value})
	case *judgeMessage:
		return s.judge(m)
	case *hereMessage:
		s.revision = revision
		s.isAt(m.Place)
	case *bareMessage:
		if m.Type == "stop" {
			s.revision = revision
			if s.cancel != nil {
				s.cancel(errStopped)
			}
			return nil
		}
		s.changed = nil
		s.add(revision, errOvertaken, change{kind: restored})
	}
	return nil
}

// open opens the lesson of a connection. The store is read before the lock is
// taken, so that nothing waits for it; only the reader opens, one message after
// another.
func (s *session) open(m *openMessage) error {
	s.mu.Lock()
	isOpen := s.cells != nil
	s.mu.Unlock()
	if isOpen {
		return problem("order", 409, "A lesson is open already", "a connection opens one lesson")
	}
	ctx, cancel := context.WithTimeout(context.Background(), openWait)
	defer cancel()
	lesson, err := s.hub.config.Lesson(ctx, s.holder, m.Lesson)
	if err != nil {
		return s.cannotOpen(m.Lesson, err)
	}
	cells := lesson.Cells
	if cells == nil { // a lesson may have no cells, and is open all the same
		cells = []kernel.Cell{}
	}
	sum := sumOf(m.Lesson, cells)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lastUsed = time.Now()
	s.lesson, s.cells, s.sum, s.version = m.Lesson, cells, sum, lesson.Version
	s.revision = int64(m.Revision)
	s.send("", openedMessage{"opened", s.revision, m.Lesson, lesson.Version, limitsField{textLimit}})
	if now, ok := s.hub.versionOf(m.Lesson); ok {
		s.tellVersion(now) // it was changed while the lesson was looked for
	}
	var changes []change
	for _, c := range cells { // in the lesson's order; what it does not have is no news
		text, ok := m.Edits[c.ID]
		if !ok {
			continue
		}
		refused := s.checkText(c.ID, text)
		if refused == nil {
			refused = s.checkTexts(c.ID, text)
		}
		if refused != nil {
			err = refused // the others are taken all the same
			continue
		}
		changes = append(changes, change{kind: edited, key: c.ID, text: text})
	}
	for name, value := range m.Varied {
		changes = append(changes, change{kind: varied, key: name, value: value, quiet: true})
	}
	switch {
	case m.All:
		changes = append(changes, change{kind: askedAll})
	case lesson.Lacking && len(changes) == 0:
		changes = append(changes, change{kind: askedLacking})
	}
	if len(changes) > 0 {
		s.add(s.revision, errOvertaken, changes...)
	}
	return err
}

// checkTexts refuses a text with which all that the page has changed would be too long
// to be sent in one message, as an opening has to. The caller holds mu.
func (s *session) checkTexts(cell, text string) error {
	length := len(text)
	if text == s.cells[s.number(cell)].Text.Content {
		length = 0
	}
	sum := length
	for id, n := range s.changed {
		if id != cell {
			sum += n
		}
	}
	if sum > textsLimit {
		return problem("too-long", 413, "The cells that were changed are too long", "all of them together can have at most 131 072 bytes")
	}
	if s.changed == nil {
		s.changed = map[string]int{}
	}
	s.changed[cell] = length
	return nil
}

func (s *session) checkText(cell, text string) error {
	if len(text) > textLimit {
		return problem("too-long", 413, "The text of this cell is too long", "a cell can have at most 65 536 bytes")
	}
	for _, c := range s.cells {
		if c.ID == cell {
			return nil
		}
	}
	return problem("unknown-cell", 404, "There is no such cell in this lesson", cell)
}

// add queues changes and sees that they are evaluated. A cause overtakes the
// running evaluation at once; without one only an evaluation that has run for
// a while is overtaken. The caller holds mu.
func (s *session) add(revision int64, cause error, changes ...change) {
	if s.ended {
		return
	}
	s.revision = revision
	s.queue = append(s.queue, changes...)
	if s.asked.IsZero() {
		s.asked = time.Now()
	}
	if !s.running {
		s.running = true
		s.hub.running.Add(1)
		s.hub.crew.run(s.evaluate)
		return
	}
	if s.cost == nil {
		return // it has not begun, and takes these changes too when it does
	}
	if cause == nil && s.cost() > moveGrace {
		cause = errOvertaken
	}
	if cause != nil {
		s.cancel(cause)
	}
}

// next begins to wait for a turn, or reports that there is nothing left to do.
func (s *session) next() (ctx context.Context, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.cancel != nil {
		s.cancel(nil) // of the round before
	}
	s.cost = nil
	if len(s.queue) == 0 || s.ended {
		s.running, s.cancel = false, nil
		return nil, false
	}
	ctx, s.cancel = context.WithCancelCause(context.Background())
	return ctx, true
}

// take takes what is queued. cost is what the turn that has come has cost so far, nil
// before it has come.
func (s *session) take(cost func() int64) (revision int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.pending = append(s.pending, s.queue...)
	s.queue = nil
	if s.answering.IsZero() {
		s.answering = s.asked
	}
	s.asked = time.Time{}
	s.cost = cost
	return s.revision
}

// cannotOpen words why a lesson was not opened.
func (s *session) cannotOpen(name string, err error) error {
	if errors.Is(err, turns.ErrFull) || errors.Is(err, context.DeadlineExceeded) {
		return crowded()
	}
	return problem("unknown-lesson", 404, "There is no such lesson", name)
}

// end closes the connection with a code, once.
func (s *session) end(code int, reason string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ended {
		return
	}
	s.ended = true
	if s.cancel != nil {
		s.cancel(errEnded)
	}
	s.stopJudging()
	s.stopWatching()
	s.conn.Refuse(code, reason)
	s.out.close()
}

// finish runs when reading has stopped, for whatever reason.
func (s *session) finish() {
	s.mu.Lock()
	s.ended = true
	s.looks.Stop()
	if s.cancel != nil {
		s.cancel(errEnded)
	}
	s.stopJudging()
	s.stopWatching()
	s.mu.Unlock()
	s.hub.benches.forget(s)
	s.out.close()
	s.conn.Close()
}
