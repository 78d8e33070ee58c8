package live

import (
	"bytes"
	"testing"
	"time"
)

func bigRow(key string, size int) *row {
	return &row{key: key, tail: bytes.Repeat([]byte("x"), size), print: 1}
}

func keyOf(n byte) stateKey { return stateKey{lesson: sum{n}} }

// A row that several outcomes have is counted once, and all of them together stay
// within their bytes; those that are used stay.
func TestOutcomesAreBounded(t *testing.T) {
	var c outcomes
	common := bigRow("row a", 1<<20)
	for n := range byte(200) {
		c.add(keyOf(n), &outcome{cells: [][]*row{{common, bigRow("row b", 300<<10)}}})
		if c.bytes > outcomeBytes {
			t.Fatalf("after %d outcomes %d bytes are kept", n+1, c.bytes)
		}
		if c.get(keyOf(0)) == nil {
			t.Fatalf("the outcome that is used all the time is let go after %d", n+1)
		}
	}
	if n := len(c.young) + len(c.old); n < 20 {
		t.Errorf("%d outcomes are kept, want those that there is room for", n)
	}
	c.add(keyOf(255), &outcome{cells: [][]*row{{bigRow("row b", outcomeBytes+1)}}})
	if c.bytes > outcomeBytes {
		t.Errorf("one that is too large is kept, %d bytes", c.bytes)
	}
	now := time.Now().Add(time.Hour)
	c.age(now)
	c.age(now.Add(time.Hour))
	if c.bytes != 0 || common.kept != 0 || c.get(keyOf(0)) != nil {
		t.Errorf("%d bytes are kept of what nobody used for an hour; the common row is in %d", c.bytes, common.kept)
	}
}

func TestFlights(t *testing.T) {
	var c outcomes
	f, mine := c.begin(keyOf(1))
	other, also := c.begin(keyOf(1))
	if !mine || also || f != other || c.flying(keyOf(1)) != f {
		t.Fatal("the second to begin does not get the first one's flight")
	}
	c.end(f, nil) // nothing came of it
	if !other.wait(t.Context(), time.Hour) || c.flying(keyOf(1)) != nil || c.get(keyOf(1)) != nil {
		t.Error("a flight without an outcome is kept")
	}
	f, _ = c.begin(keyOf(1))
	if f.wait(t.Context(), time.Microsecond) {
		t.Error("a flight that goes on is waited for without end")
	}
	o := &outcome{}
	c.end(f, o)
	if got, busy := c.look(keyOf(1)); got != o || busy != nil {
		t.Error("the outcome of a flight is not kept")
	}
}
