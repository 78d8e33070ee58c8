package exercises

import (
	"context"
	"fmt"
	"strings"
)

// Outcome returns the result that is shown beside a prediction, in SI base
// units. The error is for a prediction that does not exist, a result that has no
// value, and ctx.
func (v *Variant) Outcome(ctx context.Context, prediction string) (float64, error) {
	for _, q := range v.Structure.Predicts {
		if q.Name != prediction {
			continue
		}
		result, list := v.desk.value(ctx, q.result)
		if list.HasErrors() {
			return 0, list.Err()
		}
		return result.Value.Number, ctx.Err()
	}
	return 0, fmt.Errorf("the exercise %s has no prediction %q", v.Exercise.ID, prediction)
}

// Relative returns the value of an answer to a number part, and the bounds of
// the part, as multiples of the right value; both bounds are 0 where there are
// none. ok is false for an answer that is no value of the dimension that is
// asked, and for a part that does not exist or asks for no number. The error is
// ctx's.
func (v *Variant) Relative(ctx context.Context, part, answer string) (value, low, high float64, ok bool, err error) {
	i, err := v.askIndex(part)
	if err != nil || v.Structure.Asks[i].Kind != Number {
		return 0, 0, 0, false, nil
	}
	x, refused := v.read(strings.TrimSpace(answer))
	if refused != nil {
		return 0, 0, 0, false, nil
	}
	k := v.keys[i]
	got, refused := v.evaluate(ctx, x)
	if refused != nil || got.Value.Dim != k.dim {
		return 0, 0, 0, false, ctx.Err()
	}
	if k.bounded {
		low, high = k.low/k.value, k.high/k.value
	}
	return got.Value.Number / k.value, low, high, true, ctx.Err()
}
