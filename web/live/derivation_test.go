package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/kernel/derive"
	"shaftbook/web/app/derivation"
	"shaftbook/web/page"
)

// slowJudge answers with the text itself. A text that begins with "slow" is
// judged until its context ends.
type slowJudge struct {
	mu      sync.Mutex
	begun   chan string
	stopped []string
}

func (s *slowJudge) judge(ctx context.Context, cell string, in derivation.Input) (*page.Judged, error) {
	select {
	case s.begun <- in.Text:
	default:
	}
	switch {
	case strings.HasPrefix(in.Text, "slow"):
		<-ctx.Done()
		s.mu.Lock()
		s.stopped = append(s.stopped, in.Text)
		s.mu.Unlock()
	case in.Text == "break":
		panic("a fault")
	case in.Text == "fail":
		return nil, errors.New("a fault")
	}
	return &page.Judged{Rows: []template.HTML{template.HTML("<p>" + in.Text + " " + strings.Join(in.Gaps, ",") + " " + in.Data["T"] + "</p>")}, Summary: "All follow"}, nil
}

func newJudgeRig(t *testing.T) (*rig, *slowJudge) {
	r := newRig(t)
	s := &slowJudge{begun: make(chan string, 100)}
	r.hub.config.Judge = s.judge
	return r, s
}

// nextJudged reads on until a judgement comes.
func (c *client) nextJudged() judgedMessage {
	c.t.Helper()
	return c.judged(1)[0]
}

// judged reads on until so many judgements have come.
func (c *client) judged(count int) []judgedMessage {
	c.t.Helper()
	var found []judgedMessage
	for len(found) < count {
		_, frame, err := c.conn.ReadMessage()
		if err != nil {
			c.t.Fatalf("reading a message: %v", err)
		}
		var messages []json.RawMessage
		if err := json.Unmarshal(frame, &messages); err != nil {
			c.t.Fatalf("%s: %v", frame, err)
		}
		for _, m := range messages {
			var judged judgedMessage
			if json.Unmarshal(m, &judged) == nil && judged.Type == "judged" {
				found = append(found, judged)
			}
		}
	}
	return found
}

func TestADerivationIsJudged(t *testing.T) {
	r, _ := newJudgeRig(t)
	c := r.open()
	c.send(`{"type":"judge","revision":2,"cell":"d1","text":"a = 1","gaps":["","x"],"data":{"T":"420 N·m"}}`)
	got := c.nextJudged()
	if got.Revision != 2 || got.Cell != "d1" || len(got.Lines) != 1 || got.Lines[0] != "<p>a = 1 ,x 420 N·m</p>" || got.Summary != "All follow" {
		t.Errorf("the answer is %+v", got)
	}
	if got.Marks == nil {
		t.Error("marks are null, want an empty list")
	}
	if r.working.ran != 0 {
		t.Error("judging a derivation evaluated the lesson")
	}
}

func TestANewerDerivationOvertakes(t *testing.T) {
	r, s := newJudgeRig(t)
	c := r.open()
	c.send(`{"type":"judge","revision":2,"cell":"d1","text":"slow 1"}`)
	if got := <-s.begun; got != "slow 1" {
		t.Fatalf("%q is judged first", got)
	}
	c.send(`{"type":"judge","revision":3,"cell":"d1","text":"slow 2"}`)
	c.send(`{"type":"judge","revision":4,"cell":"d1","text":"last"}`)
	got := c.nextJudged()
	if got.Revision != 4 || !strings.HasPrefix(got.Lines[0], "<p>last") {
		t.Errorf("the first answer is %+v, want that of revision 4", got)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.stopped) == 0 || s.stopped[0] != "slow 1" {
		t.Errorf("%q were given up, want slow 1 first", s.stopped)
	}
}

func TestDerivationsOfOtherCellsAreNotOvertaken(t *testing.T) {
	r, _ := newJudgeRig(t)
	c := r.open()
	for i, cell := range []string{"d1", "d2", "d3"} {
		message, err := json.Marshal(judgeMessage{Type: "judge", Revision: revisionNumber(i + 2), Cell: cell, Text: cell})
		if err != nil {
			t.Fatal(err)
		}
		c.send(string(message))
	}
	seen := map[string]bool{}
	for _, m := range c.judged(3) {
		seen[m.Cell] = true
	}
	if len(seen) != 3 {
		t.Errorf("judged were %v", seen)
	}
}

func TestDerivationsThatAreRefused(t *testing.T) {
	r, _ := newJudgeRig(t)
	long := strings.Repeat("a", derivation.TextLimit+1)
	for _, c := range []struct{ name, message, problem string }{
		{"before a lesson is open", `{"type":"judge","revision":1,"cell":"d1","text":"a"}`, "/problem/order"},
		{"a long text", `{"type":"judge","revision":2,"cell":"d1","text":"` + long + `"}`, "/problem/too-long"},
		{"an unknown field", `{"type":"judge","revision":2,"cell":"d1","text":"a","answer":"b"}`, "/problem/unreadable"},
		{"a fault", `{"type":"judge","revision":2,"cell":"d1","text":"fail"}`, "/problem/internal"},
		{"a panic", `{"type":"judge","revision":2,"cell":"d1","text":"break"}`, "/problem/internal"},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := r.dial()
			page.t = t
			if c.problem != "/problem/order" {
				page.send(`{"type":"open","revision":1,"lesson":"uniform"}`)
			}
			page.send(c.message)
			if got := page.want("problem").Problem.Type; got != c.problem {
				t.Errorf("the problem is %q, want %q", got, c.problem)
			}
			// The session goes on.
			if c.problem != "/problem/order" {
				page.send(`{"type":"judge","revision":9,"cell":"d1","text":"after"}`)
				if got := page.nextJudged(); got.Revision != 9 {
					t.Errorf("after it comes revision %d, want 9", got.Revision)
				}
			}
		})
	}
}

func TestALessonWithoutCellsOpens(t *testing.T) {
	r, _ := newJudgeRig(t)
	lesson := r.hub.config.Lesson
	r.hub.config.Lesson = func(ctx context.Context, who Holder, name string) (Lesson, error) {
		if name == "" {
			return Lesson{}, nil
		}
		return lesson(ctx, who, name)
	}
	c := r.dial()
	c.send(`{"type":"open","revision":1,"lesson":"","all":true}`)
	c.want("opened")
	c.send(`{"type":"judge","revision":2,"cell":"own","text":"a"}`)
	if got := c.nextJudged(); got.Cell != "own" {
		t.Errorf("the answer is %+v", got)
	}
}

func TestAClosedPageEndsItsJudgement(t *testing.T) {
	r, s := newJudgeRig(t)
	c := r.open()
	c.send(`{"type":"judge","revision":2,"cell":"d1","text":"slow"}`)
	<-s.begun
	c.conn.Close()
	for { // a judgement that goes on for good ends at the time limit of the tests
		s.mu.Lock()
		n := len(s.stopped)
		s.mu.Unlock()
		if n == 1 {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// Of 200 lines that are typed, an edit judges again what depends on it.
func TestAnEditedDerivationIsJudgedWhereItChanged(t *testing.T) {
	r := newRig(t)
	var memory *derive.Memory
	r.hub.config.Judge = func(ctx context.Context, cell string, in derivation.Input) (*page.Judged, error) {
		memory = in.Memory
		o, err := derivation.Judge(ctx, in)
		if err != nil {
			return nil, err
		}
		return page.Judge(ctx, cell, o), nil
	}
	lines := []string{"given T: torque > 0, G: stress > 0, L: length > 0, J: m^4 > 0", "θ = T·L/(G·J)"}
	for i := len(lines); i < derivation.LineLimit; i++ {
		lines = append(lines, fmt.Sprintf("  = %d·T·L/(%d·G·J)", i, i))
	}
	c := r.open()
	send := func(revision int64) judgedMessage {
		message, err := json.Marshal(judgeMessage{Type: "judge", Revision: revisionNumber(revision), Cell: "d1", Text: strings.Join(lines, "\n")})
		if err != nil {
			t.Fatal(err)
		}
		c.send(string(message))
		return c.nextJudged()
	}
	if got := send(2); len(got.Lines) != derivation.LineLimit || memory.Judged() != derivation.LineLimit-2 {
		t.Fatalf("%d lines, %d of them judged", len(got.Lines), memory.Judged())
	}
	before := memory.Judged()
	lines[100] = "  = 200·T·L/(200·G·J)"
	send(3)
	if n := memory.Judged() - before; n != 2 {
		t.Errorf("after an edit of one line %d were judged, want that line and the next", n)
	}
}
