package web

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// What came of a text is remembered for that text only, and not from a proof that
// was broken off.
func TestATextIsProvedOnce(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText)
	given := func(ctx context.Context) (*givable, error) {
		t.Helper()
		return s.givable(ctx, "wheel")
	}
	left, leave := context.WithCancel(t.Context())
	leave()
	if _, err := given(left); !errors.Is(err, context.Canceled) {
		t.Fatalf("a proof whose reader left: %v", err)
	}
	first, err := given(t.Context())
	s.must(err)
	again, err := given(left) // takes no time
	s.must(err)
	if len(first.exercises) != 2 || again.exercises[0] != first.exercises[0] || again.lesson == first.lesson {
		t.Errorf("%d exercises, or the text was proved twice, or two readers share a lesson", len(first.exercises))
	}
	s.rewrite(strings.Replace(askedText, "bounds: {low: 0.1 deg", "bounds: {low: 2.9 deg", 1))
	mended, err := given(t.Context())
	s.must(err)
	if len(mended.faults) == 0 || len(first.faults) > 0 {
		t.Errorf("faults %v, of the text before %v", mended.faults, first.faults)
	}
}
