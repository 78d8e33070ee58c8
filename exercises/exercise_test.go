package exercises

import "testing"

// TestWordsOfNoPart: an answer may be kept for a part that the lesson no longer
// has.
func TestWordsOfNoPart(t *testing.T) {
	var none *Part
	if got := none.SlipWords("small-end"); got != "small end" {
		t.Errorf("slips: %q", got)
	}
	if got := none.Said("0.97 deg"); got != "0.97 deg" {
		t.Errorf("answer: %q", got)
	}
}
