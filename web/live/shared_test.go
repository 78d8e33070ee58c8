package live

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

var sharedCells = []kernel.Cell{
	{ID: "c1", Kind: kernel.Calc, Text: source.NewText("", "T = 420 N·m\nvary d from 20 mm to 50 mm by 1 mm\nU = T/d")},
	{ID: "c2", Kind: kernel.Calc, Text: source.NewText("", "W = 2·U\nvary n from 1 to 9\nX = n·T")},
}

// countedWorking counts the evaluations of all workings of a rig.
type countedWorking struct {
	*kernel.Working
	ran *atomic.Int64
}

func (c countedWorking) Evaluate(ctx context.Context, emit func(kernel.Result)) error {
	c.ran.Add(1)
	return c.Working.Evaluate(ctx, emit)
}

// sharedRig serves sharedCells with the real kernel, each connection to another person.
func sharedRig(t *testing.T) (*rig, *atomic.Int64) {
	r := newRig(t)
	ran, people := &atomic.Int64{}, &atomic.Int64{}
	r.hub.config.Holder = func(*http.Request) Holder {
		h := Holder{Address: "127.0.0.1"}
		h.Turns.Share = fmt.Sprint("person ", people.Add(1))
		return h
	}
	r.hub.config.Lesson = func(context.Context, Holder, string) (Lesson, error) { return Lesson{Cells: sharedCells}, nil }
	r.hub.config.NewWorking = func(func(float64, string)) Working {
		return countedWorking{kernel.NewWorking(kernel.Limits{}), ran}
	}
	r.hub.config.Row = func(_ string, q *kernel.Result) (string, error) { return q.Plain() + " → " + q.Text, nil }
	return r, ran
}

// Readers in the same state share one evaluation, also while it goes on.
func TestSameStateIsEvaluatedOnce(t *testing.T) {
	r, ran := sharedRig(t)
	r.hub.flightWait = time.Hour
	var clients []*client
	for range 30 {
		clients = append(clients, r.open())
	}
	for i, value := range []int{30, 31, 32, 30, 31} {
		for _, c := range clients {
			c.send(fmt.Sprintf(`{"type":"vary","revision":%d,"name":"d","value":%d}`, i+2, value))
		}
		for k, c := range clients {
			rows := []string{}
			for a := c.next(); a.Type != "done"; a = c.next() {
				rows = append(rows, a.HTML)
			}
			if len(rows) != 3 || !strings.HasSuffix(rows[0], fmt.Sprint(value, " mm")) {
				t.Fatalf("page %d has the rows %q after d = %d mm", k, rows, value)
			}
		}
	}
	if n := ran.Load(); n != 3 {
		t.Errorf("%d evaluations for three states, want 3", n)
	}
	for _, c := range clients[:2] { // the same text in another way
		c.rows(`{"type":"edit","revision":9,"cell":"c2","text":"W = 3·U"}`)
	}
	clients[2].rows(`{"type":"edit","revision":9,"cell":"c2","text":"W = 4·U"}`)
	clients[2].rows(`{"type":"edit","revision":10,"cell":"c2","text":"W = 3·U"}`)
	if n := ran.Load(); n != 5 {
		t.Errorf("%d evaluations after two more states, want 5", n)
	}
}

// What depends on what a working had evaluated before is not for others.
func TestLateRowsAreNotShared(t *testing.T) {
	r, _ := sharedRig(t)
	r.hub.config.NewWorking = func(func(float64, string)) Working {
		return kernel.NewWorking(kernel.Limits{Work: 2_000_000, Terms: 1e12})
	}
	text := "first = 1\n"
	for i := range 15 {
		text += fmt.Sprintf("a_%d = sum of (sum of (sin(i·j)^2 + 2)^1.5 for j from 1 to 1000) for i from 1 to 100000\n", i)
	}
	c := r.open()
	rows := c.rows(string(encode(editMessage{"edit", 2, "c2", text + "last = 1"})))
	if !slices.Contains(rows, "first = 1 → 1") || !slices.Contains(rows, "last = 1 → ") {
		t.Fatalf("rows %q, want a value of the first and none of the last", rows)
	}
	r.hub.outcomes.mu.Lock()
	defer r.hub.outcomes.mu.Unlock()
	for key := range r.hub.outcomes.young {
		if key.texts != (sum{}) {
			t.Error("an outcome with late rows is kept")
		}
	}
}

// A page that is not used gives up what its workings take, and has the same values as
// before when it goes on.
func TestIdlePagesKeepOnlyWhatWasChanged(t *testing.T) {
	r, _ := sharedRig(t)
	c := r.open()
	c.rows(`{"type":"vary","revision":2,"name":"d","value":30}`)
	c.rows(`{"type":"vary","revision":3,"name":"n","value":7}`)
	c.rows(`{"type":"edit","revision":4,"cell":"c2","text":"W = 2·U in kN\nvary n from 1 to 9\nX = n·T"}`)
	want := c.rows(`{"type":"edit","revision":5,"cell":"c1","text":"T = 400 N·m\nvary d from 20 mm to 50 mm by 1 mm\nU = T/d"}`)
	later := time.Now().Add(3 * idleWorking)
	r.hub.outcomes.age(later)
	r.hub.outcomes.age(later.Add(idleWorking))
	r.hub.benches.age(later)
	if o := &r.hub.outcomes; len(o.young)+len(o.old) > 0 || o.bytes != 0 {
		t.Errorf("%d outcomes of %d bytes are kept of idle pages", len(o.young)+len(o.old), o.bytes)
	}
	if n := len(r.hub.benches.free); n > 0 {
		t.Errorf("%d workings are kept of idle pages", n)
	}
	c.rows(`{"type":"edit","revision":6,"cell":"c1","text":"T = 1 N·m\nvary d from 20 mm to 50 mm by 1 mm\nU = T/d"}`)
	got := c.rows(`{"type":"edit","revision":7,"cell":"c1","text":"T = 400 N·m\nvary d from 20 mm to 50 mm by 1 mm\nU = T/d"}`)
	// X is left out the first time, if T was evaluated in between: what matters is what they are.
	for _, row := range want {
		if !slices.Contains(got, row) {
			t.Errorf("row %q does not come back, but %q", row, got)
		}
	}
}

// Many pages change texts and sliders at random; whichever working their states were
// evaluated in, and whatever was shared, each shows what a new working shows.
func TestPagesShowWhatANewWorkingShows(t *testing.T) {
	r, _ := sharedRig(t)
	texts := map[string][]string{
		"c1": {sharedCells[0].Text.Content, "T = 420 N·m\nvary d from 2 cm to 5 cm by 0.1 cm\nU = T/d", "\nvary d from 20 mm to 50 mm by 1 mm\nT = 400 N·m\nU = T/d", "T = 420 N·m\nd = 3\nU = T/d", "U = T/d\nvary T from 1 N·m to 9 N·m"},
		"c2": {sharedCells[1].Text.Content, "W = 2·U\nvary n from 1 to 9\nX = n·T\nprefer cm", "vary n from 1 to 9\nvary n from 2 to 4\nW = n·U", "", "X = (T\nW = X + 1", "prefer kN·m, mm\nX = 3·T"},
	}
	r.hub.flightWait = time.Microsecond // so that some evaluate the same at the same time
	random := rand.New(rand.NewPCG(1, 16))
	type page struct {
		*client
		rows map[string][]string
		w    *kernel.Working // changed in the same way, and in no other
	}
	var pages []*page
	for range 12 {
		p := &page{r.open(), map[string][]string{}, kernel.NewWorking(kernel.Limits{})}
		p.w.SetCells(sharedCells)
		if err := p.w.Evaluate(t.Context(), nil); err != nil {
			t.Fatal(err)
		}
		for _, c := range sharedCells {
			for _, q := range p.w.Results(c.ID) {
				p.rows[c.ID] = append(p.rows[c.ID], q.Plain()+" → "+q.Text)
			}
		}
		pages = append(pages, p)
	}
	for step := range 40 {
		for _, p := range pages {
			switch random.IntN(5) {
			case 0, 1:
				cell := []string{"c1", "c2"}[random.IntN(2)]
				text := texts[cell][random.IntN(len(texts[cell]))]
				p.send(string(encode(editMessage{"edit", revisionNumber(step + 2), cell, text})))
				if err := p.w.Edit(cell, text); err != nil {
					t.Fatal(err)
				}
			case 2, 3:
				name, value := []string{"d", "n", "T"}[random.IntN(3)], float64(1+random.IntN(40))
				p.send(string(encode(varyMessage{"vary", revisionNumber(step + 2), name, value})))
				if p.w.Sliders()[name].Allows(value) {
					_ = p.w.Vary(name, value) // a name that is gone
				}
			default:
				p.send(string(encode(bareMessage{"restore", revisionNumber(step + 2)})))
				p.w.Unvary()
				for _, c := range sharedCells {
					if err := p.w.Edit(c.ID, c.Text.Content); err != nil {
						t.Fatal(err)
					}
				}
			}
			if err := p.w.Evaluate(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
		}
		if step == 20 {
			later := time.Now().Add(3 * idleWorking)
			r.hub.outcomes.age(later)
			r.hub.outcomes.age(later.Add(idleWorking))
			r.hub.benches.age(later)
		}
		for i, p := range pages {
			for a := p.next(); a.Type != "done"; a = p.next() {
				switch a.Type {
				case "cell":
					p.rows[a.Cell] = append(p.rows[a.Cell], make([]string, 9)...)[:a.Rows]
				case "row":
					p.rows[a.Cell][a.Index] = a.HTML
				}
			}
			for _, c := range sharedCells {
				for k, q := range p.w.Results(c.ID) {
					if want := q.Plain() + " → " + q.Text; k >= len(p.rows[c.ID]) || p.rows[c.ID][k] != want {
						t.Fatalf("step %d, page %d: row %d of %s is not %q:\n%q", step, i, k, c.ID, want, p.rows[c.ID])
					}
				}
			}
		}
	}
}

// A slider that moves faster than it can be evaluated comes to rest at its last value.
func TestTheLastValueArrives(t *testing.T) {
	r, _ := sharedRig(t)
	var clients []*client
	for range 10 {
		clients = append(clients, r.open())
	}
	const last = messageBurst - 1
	for k, c := range clients {
		for i := range last {
			c.send(fmt.Sprintf(`{"type":"vary","revision":%d,"name":"d","value":%d}`, i+2, 21+(i*(k+3))%29))
		}
	}
	for k, c := range clients {
		var row answer
		for a := c.next(); a.Type != "done" || a.Revision != last+1; a = c.next() {
			if a.Type == "row" && a.Index == 1 {
				row = a
			}
		}
		if want := fmt.Sprint(21+((last-1)*(k+3))%29, " mm"); !strings.HasSuffix(row.HTML, " "+want) {
			t.Errorf("page %d rests at %q, want %s", k, row.HTML, want)
		}
	}
}
