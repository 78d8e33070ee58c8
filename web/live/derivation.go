package live

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"

	"shaftbook/kernel/derive"
	"shaftbook/web/app/derivation"
	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// A judgeMessage of the page asks what is to be said of a derivation.
type judgeMessage struct {
	Type     string            `json:"type"`
	Revision revisionNumber    `json:"revision"`
	Cell     string            `json:"cell"`
	Text     string            `json:"text"`
	Gaps     []string          `json:"gaps"`
	Data     map[string]string `json:"data"`
}

// A judgedMessage of the server answers it.
type judgedMessage struct {
	Type     string      `json:"type"`
	Revision int64       `json:"revision"`
	Cell     string      `json:"cell"`
	Lines    []string    `json:"lines"`
	Summary  string      `json:"summary"`
	Fields   string      `json:"fields"`
	Run      string      `json:"run"`
	Plain    string      `json:"plain"`
	TeX      string      `json:"tex"`
	Spoken   string      `json:"spoken"`
	Marks    []page.Mark `json:"marks"`
}

// judging is what a session has to judge. Its mutex is the session's.
type judging struct {
	sheets  []*judgeMessage // that wait, at most one for each cell
	present *judgeMessage   // nil while nothing is judged
	giveUp  context.CancelCauseFunc
	memory  *derive.Memory // of this page, so that an edit judges what depends on it; nil before the first judgement
}

// memorySteps bounds the steps that are remembered for one page: its derivation of
// most lines, a few times over.
const memorySteps = 5 * derivation.LineLimit

// judge queues a derivation. A newer one of the same cell overtakes the older.
// The caller holds mu.
func (s *session) judge(m *judgeMessage) error {
	if err := (derivation.Input{Text: m.Text, Gaps: m.Gaps, Data: m.Data}).Check(); err != nil {
		return problem("too-long", 413, "This derivation is too long", err.Error())
	}
	if s.ended {
		return nil
	}
	s.revision = int64(m.Revision)
	j := &s.judging
	j.sheets = slices.DeleteFunc(j.sheets, func(w *judgeMessage) bool { return w.Cell == m.Cell })
	if len(j.sheets) >= derivation.LineLimit {
		return problem("too-fast", 429, "Too many derivations are waiting", "a page can have 200 of them checked at a time")
	}
	j.sheets = append(j.sheets, m)
	if j.memory == nil {
		j.memory = derive.NewMemory(memorySteps)
	}
	if j.present == nil {
		j.present = m
		s.hub.running.Add(1)
		go s.judgeAll()
	} else if j.present.Cell == m.Cell && j.giveUp != nil {
		j.giveUp(errOvertaken)
	}
	return nil
}

// judgeAll judges what waits and ends when nothing does.
func (s *session) judgeAll() {
	defer s.hub.running.Done()
	for {
		ctx, m := s.nextJudgement()
		if m == nil {
			return
		}
		if err := s.judgeOne(ctx, m); err != nil {
			s.refuseAt(int64(m.Revision), err)
		}
	}
}

func (s *session) nextJudgement() (context.Context, *judgeMessage) {
	s.mu.Lock()
	defer s.mu.Unlock()
	j := &s.judging
	if j.giveUp != nil {
		j.giveUp(nil) // of the one before
	}
	j.present, j.giveUp = nil, nil
	if len(j.sheets) == 0 || s.ended {
		return nil, nil
	}
	j.present, j.sheets = j.sheets[0], j.sheets[1:]
	ctx, cancel := context.WithCancelCause(context.Background())
	j.giveUp = cancel
	return ctx, j.present
}

// judgeOne sends what is to be said of one derivation, unless a newer text of
// it has come meanwhile.
func (s *session) judgeOne(ctx context.Context, m *judgeMessage) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("panic in a judgement: %v\n%s", fault, debug.Stack())
		}
	}()
	var seen *page.Judged
	err = s.hub.config.Queue.Do(ctx, s.task(turns.Judge), func(ctx context.Context) (err error) {
		seen, err = s.hub.config.Judge(ctx, m.Cell, derivation.Input{Text: m.Text, Gaps: m.Gaps, Data: m.Data, Memory: s.memory})
		return err
	})
	switch {
	case ctx.Err() != nil:
		return nil // overtaken, or the connection has ended
	case errors.Is(err, derivation.ErrTooLong):
		return problem("too-long", 413, "This derivation is too long", err.Error())
	case errors.Is(err, turns.ErrFull):
		return crowded()
	}
	if err != nil {
		return err
	}
	out := judgedMessage{
		Type: "judged", Revision: int64(m.Revision), Cell: m.Cell,
		Lines: make([]string, len(seen.Rows)), Marks: seen.Marks,
		Summary: string(seen.Summary), Fields: string(seen.Fields), Run: string(seen.Run),
		Plain: seen.Plain, TeX: seen.TeX, Spoken: seen.Spoken,
	}
	for i, row := range seen.Rows {
		out.Lines[i] = string(row)
	}
	if out.Marks == nil {
		out.Marks = []page.Mark{}
	}
	s.send("judged "+m.Cell, out)
	return nil
}

// stopJudging gives up what is being judged. The caller holds mu.
func (s *session) stopJudging() {
	if s.giveUp != nil {
		s.giveUp(errEnded)
	}
}
