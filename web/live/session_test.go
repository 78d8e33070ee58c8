package live

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

func TestEditAnswersWithItsRow(t *testing.T) {
	c := newRig(t).open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"T = 500 N·m"}`)
	if a := c.want("cell"); a.Cell != "c1" || a.Rows != 1 {
		t.Errorf("cell message %+v, want one row in c1", a)
	}
	a := c.want("row")
	if a.Revision != 2 || a.HTML != "<p>T = 500 N·m n=0</p>" {
		t.Errorf("row message %+v, want the new text at revision 2", a)
	}
	if a := c.want("done"); a.Revision != 2 || a.Stopped {
		t.Errorf("done message %+v, want revision 2 and not stopped", a)
	}
}

func TestOpeningReplaysWhatTheReaderChanged(t *testing.T) {
	c := newRig(t).dial()
	c.send(`{"type":"open","revision":1,"lesson":"uniform","edits":{"c2":"L = 2 m","gone":"x"},"varied":{"n":8,"vanished":1}}`)
	c.want("opened")
	seen := map[string]bool{}
	for {
		a := c.next()
		if a.Type == "problem" {
			t.Fatalf("a name or cell that is gone must be no problem when a page comes back: %+v", a.Problem)
		}
		if a.Type == "done" {
			break
		}
		seen[a.HTML] = true
	}
	if !seen["<p>L = 2 m n=8</p>"] {
		t.Errorf("the replayed edit did not come back as a row: %v", seen)
	}
}

func TestAllSendsEveryRow(t *testing.T) {
	c := newRig(t).dial()
	c.send(`{"type":"open","revision":1,"lesson":"uniform","all":true}`)
	rows := map[string]bool{}
	for {
		a := c.next()
		if a.Type == "done" {
			break
		}
		if a.Type == "row" {
			rows[a.Cell] = true
		}
	}
	if !rows["c1"] || !rows["c2"] {
		t.Errorf("rows of %v came, want both cells", rows)
	}
}

func TestEditOvertakesARunningEvaluation(t *testing.T) {
	r := newRig(t)
	c := r.open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"slow 1h"}`)
	c.want("cell")
	c.send(`{"type":"edit","revision":3,"cell":"c1","text":"T = 1 N·m"}`)
	a := c.want("done")
	if a.Revision != 3 || a.Stopped {
		t.Errorf("done %+v, want revision 3", a)
	}
	r.working.mu.Lock()
	defer r.working.mu.Unlock()
	if r.working.stopped != 1 {
		t.Errorf("%d evaluations were overtaken, want 1", r.working.stopped)
	}
}

func TestMoveLetsAYoungEvaluationFinish(t *testing.T) {
	r := newRig(t)
	c := r.open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"slow 30ms"}`)
	c.want("cell")
	c.send(`{"type":"vary","revision":3,"name":"n","value":4}`)
	if a := c.want("row"); a.HTML != "<p>slow 30ms n=0</p>" {
		t.Errorf("first row %q, want the evaluation that was running", a.HTML)
	}
	c.want("done")
	if a := c.want("row"); a.HTML != "<p>slow 30ms n=4</p>" {
		t.Errorf("second row %q, want the move", a.HTML)
	}
}

func TestStop(t *testing.T) {
	c := newRig(t).open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"slow 1h"}`)
	c.want("cell")
	c.send(`{"type":"stop","revision":3}`)
	if a := c.want("done"); !a.Stopped || !slices.Equal(a.Left, []leftRow{{"c1", 0}}) {
		t.Errorf("done %+v, want it stopped with the row that was left", a)
	}
	c.send(`{"type":"edit","revision":4,"cell":"c1","text":"T = 2 N·m"}`)
	if a := c.want("done"); a.Stopped || a.Revision != 4 {
		t.Errorf("after a stop: done %+v, want revision 4", a)
	}
}

func TestRestoreBringsTheLessonBack(t *testing.T) {
	c := newRig(t).open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"T = 7 N·m"}`)
	c.want("done")
	c.send(`{"type":"restore","revision":3}`)
	rows := map[string]string{}
	for {
		a := c.next()
		if a.Type == "done" {
			break
		}
		rows[a.Cell] = a.HTML
	}
	if got := rows["c1"]; got != "<p>T = 420 N·m n=0</p>" {
		t.Errorf("after restoring, c1 is %q", got)
	}
}

func TestPanicIsOneProblemAndTheSessionGoesOn(t *testing.T) {
	c := newRig(t).open()
	c.send(`{"type":"edit","revision":2,"cell":"c1","text":"break"}`)
	if a := c.want("problem"); a.Problem.Type != "/problem/internal" || strings.Contains(a.Problem.Detail, "fault") {
		t.Errorf("problem %+v, want an internal one that does not tell the reader about the fault", a.Problem)
	}
	c.send(`{"type":"edit","revision":3,"cell":"c1","text":"T = 3 N·m"}`)
	if a := c.want("row"); a.HTML != "<p>T = 3 N·m n=0</p>" {
		t.Errorf("after a fault: row %q", a.HTML)
	}
}

func TestRefusals(t *testing.T) {
	long := strings.Repeat("x", textLimit+1)
	for _, c := range []struct {
		name, message, kind string
	}{
		{"not JSON", `hello`, "unreadable"},
		{"not an object", `[1,2]`, "unreadable"},
		{"a field that is not known", `{"type":"vary","revision":2,"name":"n","value":1,"unit":"mm"}`, "unreadable"},
		{"a field of the wrong kind", `{"type":"vary","revision":2,"name":"n","value":"1"}`, "unreadable"},
		{"a second type", `{"type":"stop","revision":2,"type":"dance"}`, "unknown-type"},
		{"two messages in one frame", `{"type":"stop","revision":2}{"type":"stop","revision":3}`, "unreadable"},
		{"a number that is no number", `{"type":"vary","revision":2,"name":"n","value":1e999}`, "unreadable"},
		{"a type that is not known", `{"type":"dance","revision":2}`, "unknown-type"},
		{"no type", `{"revision":2}`, "unknown-type"},
		{"a second opening", `{"type":"open","revision":2,"lesson":"uniform"}`, "order"},
		{"a revision that does not grow", `{"type":"edit","revision":1,"cell":"c1","text":"T = 5 N·m"}`, "revision"},
		{"a revision that goes back", `{"type":"vary","revision":0,"name":"n","value":1}`, "revision"},
		{"no revision", `{"type":"stop"}`, "revision"},
		{"a revision that is not whole", `{"type":"stop","revision":2.5}`, "unreadable"},
		{"a revision that a page cannot count", `{"type":"restore","revision":9223372036854775807}`, "unreadable"},
		{"a revision of text", `{"type":"restore","revision":"2"}`, "unreadable"},
		{"a cell that is not there", `{"type":"edit","revision":2,"cell":"c9","text":""}`, "unknown-cell"},
		{"a name that is not there", `{"type":"vary","revision":2,"name":"q","value":1}`, "unknown-name"},
		{"a text that is too long", `{"type":"edit","revision":2,"cell":"c1","text":"` + long + `"}`, "too-long"},
	} {
		t.Run(c.name, func(t *testing.T) {
			client := newRig(t).open()
			client.send(c.message)
			a := client.want("problem")
			if a.Problem.Type != "/problem/"+c.kind || a.Problem.Title == "" || a.Problem.Detail == "" || a.Problem.Status < 400 {
				t.Errorf("problem %+v, want a whole one of type %s", a.Problem, c.kind)
			}
			client.send(`{"type":"edit","revision":9,"cell":"c1","text":"T = 9 N·m"}`)
			if a := client.want("row"); a.HTML != "<p>T = 9 N·m n=0</p>" {
				t.Errorf("after a refusal the session must go on; got %q", a.HTML)
			}
		})
	}
}

// A problem carries the revision of the message that it is about.
func TestRefusalsCarryTheRevisionOfTheMessage(t *testing.T) {
	client := newRig(t).dial()
	for _, c := range []struct {
		message string
		want    int64
	}{
		{`{"type":"edit","revision":3,"cell":"c1","text":""}`, 3},
		{`{"type":"open","revision":4,"lesson":"gone"}`, 4},
		{`{"type":"dance","revision":5}`, 5},
		{`{"type":"stop","revision":6,"now":true}`, 6},
		{`nothing`, 4},
		{`{"type":"stop","revision":2}`, 2},
		{`{"type":"open","revision":7,"lesson":"uniform"}`, 7},
		{`{"type":"stop","revision":1e3,"now":true}`, 1000},
		{`{"type":"edit","revision":8,"cell":"c9","text":""}`, 8},
		{`{"type":"edit","revision":9.0e0,"cell":"c9","text":""}`, 9},
	} {
		client.send(c.message)
		for a := client.next(); ; a = client.next() {
			if a.Type == "opened" && a.Revision == c.want {
				break
			}
			if a.Type != "problem" {
				continue
			}
			if a.Revision != c.want {
				t.Errorf("%s: the problem %s has revision %d, want %d", c.message, a.Problem.Type, a.Revision, c.want)
			}
			break
		}
	}
	client.send(`{"type":"edit","revision":9007199254740991,"cell":"c1","text":"T = 9 N·m"}`)
	if a := client.want("row"); a.Revision != 1<<53-1 {
		t.Errorf("the greatest revision is answered with %d", a.Revision)
	}
}

// All that a page has changed can be sent in one opening message.
func TestChangedTextsAreBoundedTogether(t *testing.T) {
	half := strings.Repeat("x", textLimit)
	client := newRig(t).dial()
	client.send(`{"type":"open","revision":1,"lesson":"uniform","edits":{"c1":"` + half + `x","c2":"L = 2 m"}}`)
	if a := client.want("row"); a.HTML != "<p>L = 2 m n=0</p>" {
		t.Errorf("beside a text that is too long, the other one gives %q", a.HTML)
	}
	s := session{cells: []kernel.Cell{
		{ID: "a", Text: source.NewText("", "A")}, {ID: "b", Text: source.NewText("", "B")}, {ID: "c", Text: source.NewText("", "C")},
	}}
	for _, c := range []struct {
		name, cell, text string
		refused          bool
	}{
		{"the first", "a", half, false},
		{"the second", "b", half, false},
		{"the same again", "b", half, false},
		{"one byte more", "c", "x", true},
		{"the lesson's", "c", "C", false},
		{"one shorter", "b", half[1:], false},
		{"the byte", "c", "x", false},
		{"the longer one again", "b", half, true},
	} {
		if err := s.checkTexts(c.cell, c.text); (err != nil) != c.refused {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestRefusalsBeforeALessonIsOpen(t *testing.T) {
	for _, c := range []struct{ name, message, kind string }{
		{"an edit", `{"type":"edit","revision":1,"cell":"c1","text":""}`, "order"},
		{"a lesson that is not there", `{"type":"open","revision":1,"lesson":"../etc"}`, "unknown-lesson"},
	} {
		t.Run(c.name, func(t *testing.T) {
			client := newRig(t).dial()
			client.send(c.message)
			if a := client.want("problem"); a.Problem.Type != "/problem/"+c.kind {
				t.Errorf("problem %+v, want %s", a.Problem, c.kind)
			}
		})
	}
}

func TestTooFastSlowsDownAndLosesNothing(t *testing.T) {
	c := newRig(t).open()
	const sent = messageBurst + 10
	for i := range sent {
		c.send(fmt.Sprintf(`{"type":"vary","revision":%d,"name":"n","value":%d}`, i+2, i))
	}
	slowed := 0
	for {
		a := c.next()
		if a.Type == "problem" && a.Problem.Type == "/problem/too-fast" {
			slowed++
		}
		if a.Type == "row" && a.HTML == fmt.Sprintf("<p>T = 420 N·m n=%d</p>", sent-1) {
			break
		}
	}
	// Once for each time it runs out of its burst: on a busy machine the burst
	// may fill up a little in between, but a page is not told at every message.
	if slowed < 1 || slowed >= sent-messageBurst {
		t.Errorf("the page was told %d times that it is too fast, want once or little more", slowed)
	}
}

func TestShutdownClosesEverySession(t *testing.T) {
	r := newRig(t)
	idle, busy := r.open(), r.open()
	busy.send(`{"type":"edit","revision":2,"cell":"c1","text":"slow 1h"}`)
	busy.want("cell")
	ended := make(chan error, 1)
	go func() {
		ended <- r.hub.Close(context.Background())
	}()
	idle.wantClose(websocket.CloseGoingAway)
	busy.wantClose(websocket.CloseGoingAway)
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if n := r.hub.Len(); n != 0 {
		t.Errorf("%d sessions are left after the shutdown", n)
	}
}

func TestSessionIsForgottenWhenItsPageGoes(t *testing.T) {
	r := newRig(t)
	c := r.open()
	c.conn.Close()
	for r.hub.Len() > 0 {
		time.Sleep(5 * time.Millisecond)
	}
}
