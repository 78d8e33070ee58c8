package live

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/pause"
	"shaftbook/web/page"
	"shaftbook/web/socket"
	"shaftbook/web/turns"
)

// evaluation is what the one evaluating goroutine of a session holds between
// rounds. It is little: workings and rows are shared with other sessions.
type evaluation struct {
	pending   []change // taken from the queue, but not part of state yet
	next      *advance // what becomes of them, if that is known
	state     state
	sliders   map[string]kernel.SliderPlace // of the texts of state; nil if they are not known
	untold    []int                         // cells of which the page is to be told how many rows they have
	shown     shown                         // nil until it is known what the page shows
	evaluated int                           // how often a bench was used
	room      *berth                        // of the working that is evaluated; nil if none is

	progress struct { // as it was reported last in this round
		fraction float64
		what     string
	}

	left []leftRow // of the round that the reader stopped

	answering time.Time // when the oldest change came that has no result yet; zero if there is none
}

// evaluate works off the queue of changes and ends when it is empty.
func (s *session) evaluate() {
	defer s.hub.running.Done()
	for {
		ctx, ok := s.next()
		if !ok {
			return
		}
		s.answer(ctx)
	}
}

// answer works off what has come. What another session has in the same state is taken
// over, and waited for if that one is at it.
func (s *session) answer(ctx context.Context) {
	for patient := true; ; {
		revision := s.take(nil)
		answered, busy := s.answerNow(revision)
		if answered {
			return
		}
		if busy == nil || !patient {
			if busy = s.inTurn(ctx, patient); busy == nil {
				return
			}
		}
		patient = busy.wait(ctx, s.hub.flightWait) && patient
		if ctx.Err() != nil {
			s.report(context.Cause(ctx), revision)
			return
		}
	}
}

// answerNow answers without a turn if nothing has to be evaluated.
func (s *session) answerNow(revision int64) (answered bool, busy *flight) {
	s.out.hold()
	defer s.out.release()
	var err error
	func() {
		defer s.mend(&err)
		answered, busy, err = s.recall(nil, revision)
	}()
	if answered || err != nil {
		s.report(err, revision)
		return true, nil
	}
	return false, busy
}

// inTurn evaluates when there is room for the working and the turn comes; it returns
// early with what another session is evaluating, if that is the same.
func (s *session) inTurn(ctx context.Context, patient bool) (busy *flight) {
	for again := true; again; {
		busy, again = s.inRoom(ctx, patient)
	}
	s.hub.tend()
	return busy
}

// inRoom is inTurn with the room that the changes need that have come; if larger ones
// have come when the turn comes, it is to be called again.
func (s *session) inRoom(ctx context.Context, patient bool) (busy *flight, again bool) {
	s.progress.fraction, s.progress.what = 0, ""
	room, err := s.hub.benches.enter(ctx, s.holder.Turns.Share, s.need(), s.sayWaiting)
	if err != nil {
		s.report(err, s.take(nil))
		return nil, false
	}
	defer room.leave()
	s.room = room
	defer func() { s.room = nil }()
	var through *opening
	if s.evaluated == 0 {
		if through, err = s.hub.gate.enter(ctx, s.holder.Turns.Share); err != nil {
			s.report(err, s.take(nil))
			return nil, false
		}
		defer through.leave()
	}
	err = s.hub.config.Queue.Do(ctx, s.task(turns.Edit), func(ctx context.Context) (err error) {
		revision := s.take(func() int64 { return turns.Used(ctx) })
		if n := s.need(); n > room.bytes && n > smallBench {
			again = true
			return nil
		}
		s.out.hold()
		defer s.out.release()
		if busy, err = s.round(through.counting(ctx), revision, patient); busy == nil {
			s.report(err, revision)
		}
		return nil
	})
	if err != nil { // the turn never came
		s.report(err, s.take(nil))
	}
	return busy, again
}

// task is what the session does in turns.
func (s *session) task(class turns.Class) turns.Task {
	t := turns.Task{Who: s.holder.Turns, Class: class}
	if class == turns.Edit {
		t.Waiting = s.sayWaiting
	}
	return t
}

// sayWaiting repeats how far the evaluation is, while others have their turns.
func (s *session) sayWaiting() {
	done, what := s.progress.fraction, s.progress.what
	if what == "" {
		what = "waiting for other calculations"
	}
	s.sendProgress(done, what)
}

// sendProgress sends how far the evaluation is; a share that is not known is 0.
func (s *session) sendProgress(fraction float64, what string) {
	s.mu.Lock()
	now := s.revision
	s.mu.Unlock()
	s.send("progress", progressMessage{"progress", now, max(0, fraction), what})
}

// report sends how a round ended; an overtaken one is followed by the next.
func (s *session) report(err error, revision int64) {
	switch {
	case err == nil:
		s.send("done", doneMessage{"done", revision, false, nil})
		s.out.answer(s.answering)
		s.answering = time.Time{}
	case errors.Is(err, errStopped):
		s.send("done", doneMessage{"done", revision, true, s.left})
	case errors.Is(err, errOvertaken), errors.Is(err, errEnded):
	case errors.Is(err, turns.ErrFull):
		s.refuse(crowded())
		s.send("done", doneMessage{"done", revision, true, nil})
	default:
		s.refuse(err)
		s.send("done", doneMessage{"done", revision, true, nil})
	}
}

// round evaluates what the changes reach. When ctx ends first, what was not reached is
// left for the next round.
func (s *session) round(ctx context.Context, revision int64, patient bool) (busy *flight, err error) {
	e := &s.evaluation
	e.progress.fraction, e.progress.what = 0, ""
	e.left = nil
	var b *bench
	defer func() {
		if b != nil {
			s.hub.benches.give(b, s, s.holder.Turns.Share, s.hub.now())
		}
	}()
	defer s.mend(&err, &b)
	if e.needsBase() {
		if busy, err = s.base(ctx, patient); busy != nil || err != nil {
			return busy, err
		}
	}
	done, busy, err := s.recall(nil, revision)
	if !done && err == nil && busy == nil && e.next == nil { // a text has to be read
		b = s.bench(ctx)
		done, busy, err = s.recall(b, revision)
	}
	if done || err != nil || busy != nil && patient {
		return busy, err
	}
	if b == nil {
		b = s.bench(ctx)
	}
	a, _, err := s.advance(b)
	if err != nil {
		return nil, err
	}
	s.commit(a)
	e.evaluated++
	f, mine := s.hub.outcomes.begin(e.state.key(s.sum))
	var shared *outcome
	if mine {
		defer func() { s.hub.outcomes.end(f, shared) }()
	} else if patient {
		return f, nil
	}
	if err := b.bring(e.state); err != nil {
		return nil, err
	}
	s.tell(revision, func(cell int) int { return b.working.Rows(s.cells[cell].ID) })
	if err := b.working.Evaluate(ctx, func(r kernel.Result) { s.emit(ctx, b, &r, revision) }); err != nil {
		err = cause(ctx, err)
		if errors.Is(err, errStopped) {
			s.leave(b.working.Unreached())
		}
		return nil, err
	}
	o, whole, err := b.outcome(ctx, s, nil)
	if err != nil {
		return nil, err
	}
	s.accept(o, revision)
	if whole {
		shared = o
		s.hub.outcomes.add(e.state.key(s.sum), o) // also under what has become of the moves
	}
	return nil, nil
}

// leave notes the rows that an evaluation which was stopped did not come to. The page
// says so in their place, so that they are sent even if they come out as before.
func (s *session) leave(places []kernel.RowPlace) {
	for _, p := range places {
		cell := s.number(p.Cell)
		s.left = append(s.left, leftRow{p.Cell, p.Index})
		if p.Index < len(s.shown[cell]) {
			s.shown[cell][p.Index].print = 0
		}
	}
}

// cause prefers the reason for which a context ended over the bare error.
func cause(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	return err
}

// needsBase reports whether it has to be found out what the page shows by itself.
func (e *evaluation) needsBase() bool {
	return e.shown == nil && !slices.ContainsFunc(e.pending, func(c change) bool { return c.kind == askedAll })
}

// base evaluates what a page of the lesson comes with. That takes a working of its own:
// what such a page lacks must not hang on what was evaluated before.
func (s *session) base(ctx context.Context, patient bool) (busy *flight, err error) {
	if s.recallBase() {
		return nil, nil
	}
	f, mine := s.hub.outcomes.begin(s.baseKey())
	var o *outcome
	if mine {
		defer func() { s.hub.outcomes.end(f, o) }()
	} else if patient {
		return f, nil
	}
	b := s.newBench(ctx)
	lacking, err := b.working.EvaluateWithin(ctx, page.WorkOfEach, page.WorkOfAll)
	if err != nil {
		return nil, cause(ctx, err)
	}
	made, _, err := b.outcome(ctx, s, lacking)
	if err != nil {
		return nil, err
	}
	o = made
	s.begin(o)
	s.hub.benches.give(b, nil, s.holder.Turns.Share, s.hub.now())
	return nil, nil
}

func (s *session) baseKey() stateKey { return stateKey{lesson: s.sum, first: true} }

// recallBase reports whether what a page of the lesson comes with is known already.
func (s *session) recallBase() bool {
	o := s.hub.outcomes.get(s.baseKey())
	if o == nil {
		return false
	}
	s.begin(o)
	return true
}

// begin notes what the page shows by itself.
func (s *session) begin(o *outcome) {
	s.shown = showing(o)
	if len(s.state.texts) == 0 {
		s.sliders = o.sliders
	}
}

// recall works off the changes if another session has had their outcome evaluated, or
// returns the evaluation of it that is going on. For some changes it needs a bench.
func (s *session) recall(b *bench, revision int64) (done bool, busy *flight, err error) {
	e := &s.evaluation
	if e.needsBase() && !s.recallBase() {
		return false, s.hub.outcomes.flying(s.baseKey()), nil
	}
	a, ok, err := s.advance(b)
	if !ok || err != nil {
		return false, nil, err
	}
	o, busy := s.hub.outcomes.look(a.state.key(s.sum))
	if o == nil {
		return false, busy, nil
	}
	s.commit(a)
	s.tell(revision, func(cell int) int { return len(o.cells[cell]) })
	s.accept(o, revision)
	return true, nil, nil
}

// accept sends the rows of an outcome that the page does not show.
func (s *session) accept(o *outcome, revision int64) {
	s.state.moved, s.sliders = o.moved, o.sliders
	for i, cell := range o.cells {
		for k, r := range cell {
			s.sendRow(i, k, r, revision)
		}
	}
}

// longRow is the length of a row that was not expected by the length of its text.
const longRow = 8 << 10

// emit makes the row of a result and sends it.
func (s *session) emit(ctx context.Context, b *bench, r *kernel.Result, revision int64) {
	made, err := b.put(s, r)
	if err != nil {
		s.refuse(err)
		return
	}
	if n := len(made.tail); n > longRow {
		s.room.grow(int64(2 * n)) // the row, and the numbers in it
	}
	s.sendRow(s.number(r.Cell), r.Index, made, revision)
	pause.Here(ctx, byteWork*int64(len(made.tail)))
}

// sendRow sends a row, unless the page shows it already.
func (s *session) sendRow(cell, index int, r *row, revision int64) {
	if s.shown.has(cell, index, r) {
		return
	}
	s.shown.note(cell, index, r)
	if !s.out.putRow(revision, r) {
		s.end(socket.TryAgainLater, slowReader)
	}
}

// tell says how many rows those cells have of which the page is to be told.
func (s *session) tell(revision int64, count func(cell int) int) {
	for _, i := range s.untold {
		rows, id := count(i), s.cells[i].ID
		s.shown.trim(i, rows)
		s.send("cell "+id, cellMessage{"cell", revision, id, rows})
	}
	s.untold = nil
}

// mend turns a panic into an error. It is a fault of the program, and must not take
// other readers' sessions with it; the working in which it came is not used again, and
// the changes stand.
func (s *session) mend(err *error, used ...**bench) {
	fault := recover()
	if fault == nil {
		return
	}
	for _, b := range used {
		*b = nil
	}
	e := &s.evaluation
	for _, c := range e.pending {
		switch c.kind {
		case edited:
			i := s.number(c.key)
			e.state = e.state.withText(c.key, c.text, s.cells[i].Text.Content)
			e.state.moved = slices.DeleteFunc(slices.Clone(e.state.moved), func(m kernel.Moved) bool { return m.Cell == c.key })
		case restored:
			e.state = state{}
		}
	}
	e.pending, e.next, e.sliders = nil, nil, nil
	*err = fmt.Errorf("panic in an evaluation: %v\n%s", fault, debug.Stack())
}
