package live

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// kernelRig opens a lesson of two cells with the real kernel behind it.
func kernelRig(t *testing.T) *client {
	r := newRig(t)
	cells := []kernel.Cell{
		{ID: "c1", Kind: kernel.Calc, Text: source.NewText("", "T = 420 N·m\nL = 1.2 m\nU = T/L")},
		{ID: "c2", Kind: kernel.Calc, Text: source.NewText("", "W = 2·U\nvary n from 1 to 9\nX = n·T")},
	}
	r.hub.config.Lesson = func(context.Context, Holder, string) (Lesson, error) { return Lesson{Cells: cells}, nil }
	r.hub.config.NewWorking = func(func(float64, string)) Working { return kernel.NewWorking(kernel.Limits{}) }
	r.hub.config.Row = func(_ string, q *kernel.Result) (string, error) { return q.Plain() + " → " + q.Text, nil }
	return r.open()
}

// rows sends a message and returns the rows that come back, until it is done.
func (c *client) rows(message string) []string {
	c.t.Helper()
	c.send(message)
	rows := []string{}
	for {
		switch a := c.next(); a.Type {
		case "row":
			rows = append(rows, a.HTML)
		case "done":
			return rows
		case "problem":
			c.t.Fatalf("%+v", a.Problem)
		}
	}
}

func TestOnlyRowsThatSaySomethingElseAreSent(t *testing.T) {
	for _, c := range []struct {
		name  string
		steps []string // text of c1, or a whole message
		want  []string // rows after the last step
	}{
		{"a statement at the end leaves the others alone",
			[]string{"T = 420 N·m\nL = 1.2 m\nU = T/L\nV = 2 m"}, []string{"V = 2 m → 2 m"}},
		{"a value reaches what needs it, in other cells too",
			[]string{"T = 420 N·m\nL = 2 m\nU = T/L"}, []string{"L = 2 m → 2 m", "U = T/L → 210 N", "W = 2·U → 420 N"}},
		{"a result that comes out the same is left out",
			[]string{"T = 420 N·m\nL = 1200 mm\nU = T/L", "T = 420 N·m\nL = 120 cm\nU = T/L"}, []string{"L = 120 cm → 120 cm"}},
		{"a statement that moves down a line is sent, since its place has changed",
			[]string{"\nT = 420 N·m\nL = 1.2 m\nU = T/L"}, []string{"T = 420 N·m → 420 N·m", "L = 1.2 m → 1.2 m", "U = T/L → 350 N"}},
		{"the text put back gives back its row",
			[]string{"T = 420 N·m\nL = 2 m\nU = T/L", "T = 420 N·m\nL = 1.2 m\nU = T/L"}, []string{"L = 1.2 m → 1.2 m", "U = T/L → 350 N", "W = 2·U → 700 N"}},
		{"a row that went and comes back is sent again",
			[]string{"T = 420 N·m\nL = 1.2 m\nU = T/L\nV = 2 m", "T = 420 N·m\nL = 1.2 m\nU = T/L", "T = 420 N·m\nL = 1.2 m\nU = T/L\nV = 2 m"}, []string{"V = 2 m → 2 m"}},
		{"a slider is sent even where it stood",
			[]string{`{"type":"vary","revision":2,"name":"n","value":1}`}, []string{"vary n from 1 to 9 → 1"}},
		{"what is in error is sent each time, for the places of its messages",
			[]string{"T = 420 N·m\nL = 1.2 m\nU = T/L\nbad = 1 +", "T = 420 N·m\nL = 1.2 m\nU = T/L\nbad = 1 + "}, []string{"bad =  1 + → "}},
	} {
		t.Run(c.name, func(t *testing.T) {
			client := kernelRig(t)
			var got []string
			for i, step := range c.steps {
				if step[0] != '{' {
					step = string(encode(editMessage{"edit", revisionNumber(i + 2), "c1", step}))
				}
				got = client.rows(step)
			}
			if len(got) != len(c.want) {
				t.Fatalf("rows %q, want %q", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] {
					t.Errorf("row %d is %q, want %q", i, got[i], c.want[i])
				}
			}
		})
	}
}

// TestAPageKeepsUp holds the rows of a page that only ever sees what is sent
// against a new working of the same texts.
func TestAPageKeepsUp(t *testing.T) {
	texts := []string{
		"T = 420 N·m\nL = 2 m\nU = T/L", "U = T/L\nL = 2 m\nT = 420 N·m", "U = T/L\nL = 2", "U = 3", "",
		"T = 420 N·m\n\nL = 1.2 m\nU = T/L", "T = 420 N·m\nL = 1.2 m\nU = T/L",
	}
	client := kernelRig(t)
	page := map[string][]string{"c1": {"T = 420 N·m → 420 N·m", "L = 1.2 m → 1.2 m", "U = T/L → 350 N"}, "c2": {"W = 2·U → 700 N", "vary n from 1 to 9 → 1", "X = n·T → 420 N·m"}}
	for i, text := range texts {
		client.send(string(encode(editMessage{"edit", revisionNumber(i + 2), "c1", text})))
		for {
			a := client.next()
			if a.Type == "cell" {
				page[a.Cell] = append(page[a.Cell], make([]string, 9)...)[:a.Rows]
			}
			if a.Type == "row" {
				page[a.Cell][a.Index] = a.HTML
			}
			if a.Type == "done" {
				break
			}
		}
		w := kernel.NewWorking(kernel.Limits{})
		w.SetCells([]kernel.Cell{
			{ID: "c1", Kind: kernel.Calc, Text: source.NewText("", text)},
			{ID: "c2", Kind: kernel.Calc, Text: source.NewText("", "W = 2·U\nvary n from 1 to 9\nX = n·T")},
		})
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		for cell, rows := range page {
			for i, r := range w.Results(cell) {
				if want := r.Plain() + " → " + r.Text; i >= len(rows) || rows[i] != want {
					t.Errorf("after %q, row %d of %s is not %q:\n%q", text, i, cell, want, rows)
				}
			}
		}
	}
}

// TestRowsWaitNoLongerOnceMended: whatever is sent of a row last, after the line
// that it waited for is mended to what it was, does not wait.
func TestRowsWaitNoLongerOnceMended(t *testing.T) {
	r := newRig(t)
	cells := []kernel.Cell{
		{ID: "c1", Kind: kernel.Calc, Text: source.NewText("", "T = 420 N·m\nL = 1.2 m")},
		{ID: "c2", Kind: kernel.Calc, Text: source.NewText("", "W = T/L in N\nexpect W > 2 N\nV = W·(1 m)")},
	}
	r.hub.config.Lesson = func(context.Context, Holder, string) (Lesson, error) { return Lesson{Cells: cells}, nil }
	r.hub.config.NewWorking = func(func(float64, string)) Working { return kernel.NewWorking(kernel.Limits{}) }
	r.hub.config.Row = func(_ string, q *kernel.Result) (string, error) {
		if q.Cause != nil {
			return q.Plain() + " waits", nil
		}
		return q.Plain() + " → " + q.Text, nil
	}
	c := r.open()
	c.rows(`{"type":"edit","revision":2,"cell":"c1","text":"T = 420\nL = 1.2 m"}`)
	last := map[string]string{}
	for _, row := range c.rows(`{"type":"edit","revision":3,"cell":"c1","text":"T = 420 N·m\nL = 1.2 m"}`) {
		statement, _, _ := strings.Cut(row, " → ")
		last[strings.TrimSuffix(statement, " waits")] = row
	}
	if len(last) < 4 {
		t.Errorf("rows of %v came back, want those of all that waited", last)
	}
	for _, row := range last {
		if strings.HasSuffix(row, " waits") {
			t.Errorf("%q", row)
		}
	}
}
