package assignment

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

// wheelText is a lesson with one exercise, whose answer is within its bounds:
// 32·420·1.3/(79e9·π·0.048⁴) rad = 0.7598 deg.
const wheelText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise twist" + `
title: The wheel shaft
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask: By how much does it turn?
answer: T·L/(G·π/32·d^4)
unit: deg
tolerance: 0.5 %
bounds: {low: 0.1 deg, high: 3 deg}
` + "```\n"

// What came of a text is remembered for that text only, and not from a proof that
// was broken off.
func TestATextIsProvedOnce(t *testing.T) {
	folder := fstest.MapFS{"wheel.md": {Data: []byte(wheelText)}}
	catalog, _ := lessons.Load(folder)
	files := NewFiles(lessons.NewCurrent(catalog))
	left, leave := context.WithCancel(t.Context())
	leave()
	if _, err := files.Candidate(left, "wheel"); !errors.Is(err, context.Canceled) {
		t.Fatalf("a proof whose reader left: %v", err)
	}
	prove := func(ctx context.Context) *Candidate {
		t.Helper()
		c, err := files.Candidate(ctx, "wheel")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	first := prove(t.Context())
	again := prove(left) // takes no time
	if len(first.Exercises) != 1 || again.Exercises[0] != first.Exercises[0] || again.Lesson == first.Lesson {
		t.Errorf("%d exercises, or the text was proved twice, or two readers share a lesson", len(first.Exercises))
	}
	folder["wheel.md"] = &fstest.MapFile{Data: []byte(strings.Replace(wheelText, "low: 0.1 deg", "low: 2.9 deg", 1))}
	mended := prove(t.Context())
	if len(mended.Faults) == 0 || len(first.Faults) > 0 {
		t.Errorf("faults %v, of the text before %v", mended.Faults, first.Faults)
	}
}
