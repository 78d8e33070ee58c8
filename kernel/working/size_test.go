package working

import (
	"context"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// The counted size of a working is within a factor of what it takes on the heap,
// measured here with texts that are mostly one thing.
func TestSizeIsAboutWhatTheHeapTakes(t *testing.T) {
	heap := func() int64 {
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	for _, c := range []struct {
		name  string
		line  string
		lines int
	}{
		{"short lines", "q%d=1\n", 4000},
		{"lines of one sign", "1\n", 4000},
		{"names without a value", "a\n", 4000},
		{"expressions", "q%[1]d = √(%[1]d + 2)·sin(0.%[1]d)^3 + 1\n", 1000},
		{"long lines", "q%d = 1" + strings.Repeat("+1", 200) + "\n", 100},
		{"functions", "f%d(x) = x·3\n", 3000},
		{"tables", "table i, i+%d, i^2, √i, i/3 for i from 1 to 1000\n", 30},
		{"plots", "plot sin(x·%d) for x from 0 to 1\n", 300},
	} {
		t.Run(c.name, func(t *testing.T) {
			var text strings.Builder
			for i := range c.lines {
				if strings.Contains(c.line, "%") {
					fmt.Fprintf(&text, c.line, i)
				} else {
					text.WriteString(c.line)
				}
			}
			before := heap()
			w := New(Limits{})
			w.SetCells([]Cell{{ID: "c", Text: source.NewText("", text.String())}})
			if err := w.Evaluate(context.Background(), nil); err != nil {
				t.Fatal(err)
			}
			took := heap() - before
			if n := w.Size(); n < took/2 || n > 3*took {
				t.Errorf("the size is counted as %d bytes and takes %d", n, took)
			}
			runtime.KeepAlive(w)
		})
	}
}

// The tables of one working stay within their bytes, whatever the order in which they
// come, and those that had no room come when there is some.
func TestTablesAreBounded(t *testing.T) {
	tables := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "table i, i+%d, i^2, i^3, √i, i/3, i/5, i/7, i/11, i/13, i/17 for i from 1 to 1000\n", i)
		}
		return b.String() + "a = 2\n"
	}
	w := New(Limits{})
	w.SetCells([]Cell{{ID: "c", Text: source.NewText("", "")}, {ID: "d", Text: source.NewText("", tables(20))}})
	count := func() (right, wrong int) {
		t.Helper()
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		if n := w.Size(); n > 2*mostHeld {
			t.Errorf("the working takes %d bytes, and its tables may take %d", n, mostHeld)
		}
		for _, r := range w.Results("d") {
			if r.Failed() {
				wrong++
			} else {
				right++
			}
		}
		return right, wrong
	}
	if _, wrong := count(); wrong != 0 {
		t.Fatalf("%d of 20 tables have no room", wrong)
	}
	_ = w.Edit("c", strings.ReplaceAll(tables(35), "a = 2", "b = 2"))
	if right, wrong := count(); right < 1 || wrong < 18 {
		t.Errorf("%d statements have a result and %d have none after 35 tables came before them; want none of the tables but a few, and the value", right, wrong)
	}
	_ = w.Edit("c", "")
	if _, wrong := count(); wrong != 0 {
		t.Errorf("%d of 20 tables do not come back", wrong)
	}
}
