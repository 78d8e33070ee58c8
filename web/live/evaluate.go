package live

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"strconv"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// evaluation is what the one evaluating goroutine of a session holds between
// rounds.
type evaluation struct {
	working  Working
	needBase bool     // the lesson as it stands has not been evaluated yet
	needAll  bool     // the page asked for every row
	pending  []change // taken from the queue, but not applied
	behind   bool     // the last round ended early, so the page lacks results
	shown    shown    // nil until the lesson as it stands has been evaluated
	progress struct { // as it was reported last in this round
		fraction float64
		what     string
	}
	texts  map[string]string
	varied map[string]float64
}

// evaluate works off the queue of changes and ends when it is empty.
func (s *session) evaluate() {
	defer s.hub.running.Done()
	for {
		ctx, ok := s.next()
		if !ok {
			return
		}
		err := s.hub.config.Queue.Do(ctx, s.task(turns.Edit), func(ctx context.Context) error {
			changes, revision := s.take(ctx)
			s.out.hold()
			err := s.round(ctx, changes, revision)
			s.behind = err != nil
			s.report(err, revision)
			s.out.release()
			return nil
		})
		if err != nil { // the turn never came
			changes, revision := s.take(ctx)
			s.pending = append(s.pending, changes...)
			s.behind = true
			s.report(err, revision)
		}
	}
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
		s.send("done", doneMessage{"done", revision, false})
	case errors.Is(err, errStopped):
		s.send("done", doneMessage{"done", revision, true})
	case errors.Is(err, errOvertaken), errors.Is(err, errEnded):
	case errors.Is(err, turns.ErrFull):
		s.refuse(crowded())
		s.send("done", doneMessage{"done", revision, true})
	default:
		s.refuse(err)
		s.send("done", doneMessage{"done", revision, true})
	}
}

// round applies changes and evaluates what they reach. When ctx ends first,
// what was not reached is left for the next round.
func (s *session) round(ctx context.Context, changes []change, revision int64) (err error) {
	e := &s.evaluation
	e.pending = append(e.pending, changes...)
	e.progress.fraction, e.progress.what = 0, ""
	defer func() {
		// A panic is a fault of the program. It must not take the other
		// readers' sessions with it; this one builds its working again.
		if fault := recover(); fault != nil {
			e.keep(e.pending)
			e.working, e.needBase, e.pending = nil, false, nil
			err = fmt.Errorf("panic in an evaluation: %v\n%s", fault, debug.Stack())
		}
	}()
	if e.working == nil {
		s.build(ctx)
	}
	e.working.GiveWay(ctx)
	if e.needBase {
		// The page shows the lesson as it stood, so these results are not sent; after
		// this only what a change reaches is evaluated, and what the page lacks.
		lacking, err := e.working.EvaluateWithin(ctx, page.WorkOfEach, page.WorkOfAll)
		if err != nil {
			return cause(ctx, err)
		}
		e.needBase = false
		e.noteAll(s.cells, lacking)
	}
	s.apply(revision)
	if err := e.working.Evaluate(ctx, func(r kernel.Result) { s.sendRow(&r, revision) }); err != nil {
		return cause(ctx, err)
	}
	if e.needAll {
		e.shown = shown{}
		s.sendAll(revision)
		e.needAll = false
	}
	return nil
}

// noteAll keeps what the page shows by itself.
func (e *evaluation) noteAll(cells []kernel.Cell, lacking []kernel.RowPlace) {
	e.shown = shown{}
	for _, c := range cells {
		for _, r := range e.working.Results(c.ID) {
			if !slices.Contains(lacking, kernel.RowPlace{Cell: r.Cell, Index: r.Index}) {
				e.shown.note(&r)
			}
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

// build makes the working of the lesson with the changes kept so far.
func (s *session) build(ctx context.Context) {
	e := &s.evaluation
	cells := make([]kernel.Cell, len(s.cells))
	for i, c := range s.cells {
		if text, ok := e.texts[c.ID]; ok {
			c.Text = &source.Text{Name: c.Text.Name, Content: text, FirstLine: c.Text.FirstLine}
		}
		cells[i] = c
	}
	e.working = s.hub.config.NewWorking(func(fraction float64, what string) {
		e.progress.fraction, e.progress.what = fraction, what
		s.sendProgress(fraction, what)
	})
	e.working.GiveWay(ctx)
	e.working.SetCells(cells)
	if e.shown == nil {
		e.shown = shown{}
	}
	for name, value := range e.varied {
		_ = e.working.Vary(name, value) // a name that an edit has taken away is no news
	}
}

// keep notes changes in the texts and values from which a working is built.
func (e *evaluation) keep(changes []change) {
	if e.texts == nil {
		e.texts, e.varied = map[string]string{}, map[string]float64{}
	}
	for _, c := range changes {
		switch c.kind {
		case edited:
			e.texts[c.key] = c.text
		case varied:
			e.varied[c.key] = c.value
		case restored:
			clear(e.texts)
			clear(e.varied)
		}
	}
}

// apply carries the pending changes into the working.
func (s *session) apply(revision int64) {
	e := &s.evaluation
	changes := e.pending
	e.keep(changes)
	e.pending = nil
	for _, c := range changes {
		switch c.kind {
		case edited:
			s.edit(c.key, c.text, revision)
		case varied:
			if err := e.working.Vary(c.key, c.value); err != nil && !c.quiet {
				s.refuse(problem("unknown-name", 404, "There is no slider of that name", c.key))
			}
		case restored:
			e.working.Unvary()
			for _, cell := range s.cells {
				s.edit(cell.ID, cell.Text.Content, revision)
			}
		case askedAll:
			e.needAll = true
		}
	}
}

func (s *session) edit(cell, text string, revision int64) {
	if err := s.working.Edit(cell, text); err != nil {
		s.refuse(err) // handle has checked the id
		return
	}
	s.sendCell(cell, revision)
}

func (s *session) sendCell(cell string, revision int64) {
	rows := len(s.working.Results(cell))
	s.shown.trim(cell, rows)
	s.send("cell "+cell, cellMessage{"cell", revision, cell, rows})
}

func (s *session) sendAll(revision int64) {
	for _, c := range s.cells {
		s.sendCell(c.ID, revision)
		for _, r := range s.working.Results(c.ID) {
			s.sendRow(&r, revision)
		}
	}
}

// sendRow sends a result, unless the page shows it already.
func (s *session) sendRow(r *kernel.Result, revision int64) {
	if s.shown.isOld(r) {
		return
	}
	html, err := s.hub.config.Row(s.lesson, r)
	if err != nil {
		s.refuse(err)
		return
	}
	if !s.shown.isNew(r, html) {
		return
	}
	marks := []mark{}
	for _, d := range r.Diagnostics {
		if !d.Span.IsValid() || r.Span.IsValid() && d.Span.Text != r.Span.Text || r.Cause != nil && d.Severity == source.Error {
			continue // the message is elsewhere, and so is what it marks
		}
		kind := "error"
		if d.Severity == source.Note {
			kind = "note"
		}
		from, to := page.Units(d.Span)
		marks = append(marks, mark{from, to, kind})
	}
	s.send("row "+r.Cell+" "+strconv.Itoa(r.Index), rowMessage{
		Type: "row", Revision: revision, Cell: r.Cell, Index: r.Index,
		HTML: html, Spoken: s.hub.config.Spoken(r), Failed: r.Failed(), Marks: marks,
	})
}
