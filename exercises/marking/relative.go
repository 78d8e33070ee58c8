package marking

import (
	"context"
	"strings"
)

// Relative returns the value of an answer to a number part, and the bounds of
// the part, as multiples of the right value; both bounds are 0 where there are
// none. ok is false for an answer that is not a value of the dimension that is
// asked, and for a part that does not ask for a number. The error is ctx's.
func (m *Marker) Relative(ctx context.Context, answer string) (value, low, high float64, ok bool, err error) {
	if m.Scheme.Kind != Number {
		return 0, 0, 0, false, nil
	}
	x, refused := ReadFormula(m.Numbers, strings.TrimSpace(answer))
	if refused != nil {
		return 0, 0, 0, false, nil
	}
	k := m.Key
	got, refused := evaluate(ctx, m.Numbers, x)
	if refused != nil || got.Value.Dim != k.Dim {
		return 0, 0, 0, false, ctx.Err()
	}
	if k.Bounded {
		low, high = k.Low/k.Value, k.High/k.Value
	}
	return got.Value.Number / k.Value, low, high, true, ctx.Err()
}
