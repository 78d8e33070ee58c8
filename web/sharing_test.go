package web

import (
	"fmt"
	"testing"
	"time"
)

func TestBrowsersBecomeKnown(t *testing.T) {
	var b browsers
	now := time.Date(2030, 1, 7, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		after time.Duration
		want  bool
	}{
		{0, false}, {time.Minute, false}, {9 * time.Minute, true}, {23 * time.Hour, true}, {25 * time.Hour, false}, {time.Minute, false}, {10 * time.Minute, true},
	} {
		now = now.Add(c.after)
		if got := b.isKnown("A", "192.0.2.1", now); got != c.want {
			t.Errorf("%s: known %v, want %v", now, got, c.want)
		}
	}
}

// Names that are made up take no room from the browsers of others, and are not known
// however many there are.
func TestMadeUpBrowsersStayUnknown(t *testing.T) {
	var b browsers
	now := time.Date(2030, 1, 7, 8, 0, 0, 0, time.UTC)
	for i := range 3 * mostFromAddress {
		b.isKnown(fmt.Sprint(i), "192.0.2.1", now)
	}
	b.isKnown("pupil", "192.0.2.2", now)
	if len(b.seen) != mostFromAddress+1 {
		t.Errorf("%d are remembered, want %d and one", len(b.seen), mostFromAddress)
	}
	now = now.Add(knownAfter)
	if !b.isKnown("pupil", "192.0.2.2", now) || b.isKnown(fmt.Sprint(3*mostFromAddress-1), "192.0.2.1", now) {
		t.Error("the pupil is not known, or one that came beyond the limit is")
	}
	for range 100 { // each forgets some of those that have not come for a day
		now = now.Add(25 * time.Hour)
		b.isKnown("pupil", "192.0.2.2", now)
		b.isKnown("next", "192.0.2.1", now)
	}
	if len(b.seen) > mostFromAddress {
		t.Errorf("%d are remembered after months", len(b.seen))
	}
	if total := b.address["192.0.2.1"] + b.address["192.0.2.2"]; total != len(b.seen) {
		t.Errorf("%d counted by address, %d remembered", total, len(b.seen))
	}
}
