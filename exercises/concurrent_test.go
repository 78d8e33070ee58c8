package exercises

import (
	"context"
	"fmt"
	"shaftbook/exercises/marking"
	"sync"
	"testing"
)

// TestManyLearnersAtOnce sets and marks one exercise for many at a time; it is
// of use with the race detector.
func TestManyLearnersAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("marks many learners")
	}
	e := set(t, quill).Exercise
	var group sync.WaitGroup
	for i := range 16 {
		group.Go(func() {
			v, err := e.Variant(context.Background(), HeadlessKey, fmt.Sprint(i), 0)
			if err != nil {
				t.Error(err)
				return
			}
			for _, part := range []string{"twist", "formula"} {
				if got, err := v.Mark(context.Background(), part, "T·L/(G·π/32·d_0^4)"); err != nil || got.Kind != map[string]marking.VerdictKind{"twist": marking.SlipMade, "formula": marking.Right}[part] {
					t.Errorf("learner %d: %+v, %v", i, got, err)
				}
			}
		})
	}
	group.Wait()
}
