package live

import (
	"strconv"
	"testing"
)

func TestOutboxKeepsTheNewestOfEachKey(t *testing.T) {
	o := newOutbox()
	o.put("row a", 1)
	o.put("row b", 2)
	o.put("row a", 3)
	o.put("done", 4)
	entries, closed := o.take()
	got := ""
	for _, e := range entries {
		if e.frame != nil {
			got += string(e.frame) + " "
		}
	}
	if got != "2 3 4 " || closed {
		t.Errorf("took %q (closed: %v), want 2 3 4", got, closed)
	}
}

func TestOutboxIsBounded(t *testing.T) {
	o := newOutbox()
	for i := range queueEntries {
		if !o.put(strconv.Itoa(i), i) {
			t.Fatalf("no room for entry %d", i)
		}
	}
	if o.put("one more", 0) {
		t.Error("there is room above the bound")
	}
}
