package shaft

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"shaftbook/kernel/source"
)

// sameplace is how near two positions are, relative to the length of the
// shaft, to count as one. It takes up the rounding of lengths that were added
// one by one (1.2 + 0.41 + 1.2 is not 2.81), and is far below any tolerance of
// workmanship.
const sameplace = 1e-12

// loads checks the loads, holds and limits against a shaft with the given breaks
// and moves positions that are the same place as a break onto it. The slices
// of the Spec have been copied before.
func (v *validator) loads(breaks []float64) {
	spec := v.spec
	ok := v.count(len(spec.Torques), "point torques") && v.count(len(spec.DistributedTorques), "distributed torques") && v.count(len(spec.Supports), "holds")
	if !ok {
		return
	}
	marks := slices.Clone(breaks)
	for i := range spec.Supports {
		v.hold(&spec.Supports[i], &marks)
	}
	slices.SortStableFunc(spec.Supports, func(a, b Support) int { return cmp.Compare(a.X, b.X) })
	for i := 1; i < len(spec.Supports) && !v.list.HasErrors(); i++ {
		a, b := spec.Supports[i-1], spec.Supports[i]
		if a.X == b.X {
			v.fail(b.At, CodeSupport, "leave one of them out", "the shaft is held twice at x = %s", v.show(b.X, Length))
			if a.At.IsValid() {
				d := &v.list[len(v.list)-1]
				d.Related = append(d.Related, source.Related{Span: a.At, Message: "held here already"})
			}
		}
	}
	for i := range spec.Torques {
		t := &spec.Torques[i]
		if v.finite(t.At, "this torque", t.Value) && v.finite(t.At, "the place of this torque", t.X) {
			t.X = v.snap(t.At, "this torque acts", t.X, &marks)
		}
	}
	for i := range spec.DistributedTorques {
		v.spread(&spec.DistributedTorques[i], &marks)
	}
	for _, l := range spec.Limits {
		if v.finite(l.At, "this limit", l.Value) && l.Value <= 0 {
			v.fail(l.At, CodeLimit, "give a value above zero", "a limit of %s allows nothing", v.show(l.Value, l.Of))
		}
	}
}

func (v *validator) hold(h *Support, marks *[]float64) {
	if !v.finite(h.At, "the place of this hold", h.X) {
		return
	}
	h.X = v.snap(h.At, "this hold is", h.X, marks)
	if h.Elastic && v.finite(h.At, "the stiffness of this hold", h.Stiffness) && h.Stiffness <= 0 {
		v.fail(h.At, CodeSupport, "give a stiffness above zero, or leave the hold out", "a hold of stiffness %s holds nothing", v.show(h.Stiffness, SupportStiffness))
	}
}

func (v *validator) spread(s *DistributedTorque, marks *[]float64) {
	if !v.finite(s.At, "this distributed torque", s.Start, s.End) || !v.finite(s.At, "the place of this distributed torque", s.From, s.To) {
		return
	}
	from := v.snap(s.At, "this distributed torque begins", s.From, marks)
	to := v.snap(s.At, "this distributed torque ends", s.To, marks)
	if from >= to {
		v.fail(s.At, CodeDistributedTorque, "let it begin before it ends; for a torque at one place write “torque … at …”",
			"this torque is spread from %s to %s", v.show(s.From, Length), v.show(s.To, Length))
	}
	s.From, s.To = from, to
}

// snap checks that x lies on the shaft and returns the mark at the same place,
// or x, which it adds to the marks.
func (v *validator) snap(at source.Span, what string, x float64, marks *[]float64) float64 {
	m := *marks
	length := m[len(m)-1]
	tol := float64(sameplace * length)
	if x < -tol || x > length+tol {
		v.fail(at, CodeOffEnd, fmt.Sprintf("keep between 0 and %s", v.show(length, Length)),
			"%s at x = %s, but the shaft runs from 0 to %s", what, v.show(x, Length), v.show(length, Length))
		return min(max(x, 0), length)
	}
	i, _ := slices.BinarySearch(m, x)
	best, gap := x, tol
	for _, k := range []int{i - 1, i} {
		if k < 0 || k >= len(m) {
			continue
		}
		if d := math.Abs(m[k] - x); d <= gap {
			best, gap = m[k], d
		}
	}
	if best == x && (i >= len(m) || m[i] != x) {
		*marks = slices.Insert(m, i, x)
	}
	return best
}

// balance checks that the torques on a shaft without a hold add up to nothing.
func (v *validator) balance() {
	if len(v.spec.Supports) > 0 || v.list.HasErrors() {
		return
	}
	var sum, size float64
	at := v.spec.At
	for _, t := range v.spec.Torques {
		sum += t.Value
		size += math.Abs(t.Value)
		at = later(at, t.At)
	}
	for _, s := range v.spec.DistributedTorques {
		sum += s.total()
		size += float64((math.Abs(s.Start) + math.Abs(s.End)) / 2 * (s.To - s.From))
		at = later(at, s.At)
	}
	if math.Abs(sum) <= balanced*size {
		return
	}
	v.fail(at, CodeBalance, "hold the shaft somewhere (“hold at 0 mm”), or add the torque that balances it",
		"nothing holds this shaft and its torques do not balance: %s is left over", v.show(sum, Moment))
}

// later returns the span that is further down in the same text: the last
// load is where a reader looks for what is left over.
func later(a, b source.Span) source.Span {
	if b.IsValid() && (!a.IsValid() || a.Text == b.Text && b.Start >= a.Start) {
		return b
	}
	return a
}

// balanced is the imbalance, relative to the sum of the sizes of all torques,
// that is put down to rounding.
const balanced = 1e-9
