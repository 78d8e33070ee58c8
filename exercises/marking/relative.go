package marking

import (
	"context"
)

// Relative returns the value of an answer to a number part, and the bounds of
// the part, as multiples of the right value; both bounds are 0 where there are
// none. ok is false for an answer that is not a value of the dimension that is
// asked, and for a part that does not ask for a number. The error is ctx's.
func (m *Marker) Relative(ctx context.Context, answer string) (value, low, high float64, ok bool, err error) {
	if m.Scheme.Kind != Number {
		return 0, 0, 0, false, nil
	}
	readings, refused := m.understand(ctx, answer)
	if refused != nil || len(readings) != 1 || readings[0].got.Value.Dim != m.Key.Dim {
		return 0, 0, 0, false, ctx.Err()
	}
	k, got := m.Key, readings[0].got
	if k.Bounded {
		low, high = k.Low/k.Value, k.High/k.Value
	}
	return got.Value.Number / k.Value, low, high, true, ctx.Err()
}
