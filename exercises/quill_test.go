package exercises

import (
	"context"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
)

// quill is the exercise most tests mark: a linear taper, 36 mm to 54 mm, whose
// twist is known in closed form. For T = 420 N·m, G = 79 GPa, L = 0.8 m it is
// 32·T·L/(3·π·G)·(d_0² + d_0·d_1 + d_1²)/(d_0³·d_1³) = 0.0121007… rad (Gere,
// Mechanics of Materials, Eq. 3-27).
const quill = `title: Twist of the quill
given:
  T: 420 N·m
  L: 0.8 m
  d_0: 36 mm
  d_1: 54 mm
  G: 79 GPa
shaft: |
  G = G
  solid d_0 to d_1 for L
  hold at 0 mm
  torque T at L
figure: draw S
ask:
  - name: twist
    text: By how much does the far end turn?
    answer: S.twist
    check: 32·T·L/(3·π·G)·(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3·d_1^3)
    unit: deg
    tolerance: 0.5 %
    bounds: {low: T·L/(G·π/32·d_1^4), high: T·L/(G·π/32·d_0^4), low is: the uniform shaft of the thick end}
    slips:
      - radius-for-diameter
      - {name: bending-for-torsion, shares: torque-twice}
      - torque-twice
      - radians-for-degrees
      - degrees-for-radians
      - millimetres
      - mean-diameter
      - mean-of-moments
      - mean-of-twists
      - small-end
      - large-end
    hints: [Cut the shaft., Treat each segment as uniform., Add the twists.]
    points: 2
  - name: formula
    kind: formula
    text: The twist of a uniform shaft of the diameter d_0
    answer: T·L/(G·π/32·d_0^4)
    unit: deg
    slips: [bending-for-torsion, radius-for-diameter]
  - name: which
    kind: pick
    text: Where is the shear stress largest?
    options:
      - {name: thin, text: At the thin end, right: yes, says: The same torque meets the least material there}
      - {name: thick, text: At the thick end, says: There is more material there to carry the same torque}
predict:
  - name: bracket
    text: Between which angles does the twist lie?
    result: S.twist
  - name: thicker
    text: With both ends a tenth thicker, is the twist more, less or the same?
    before: S.twist
    result: S.twist/1.1^4
attempts: 3
`

// set reads an exercise and draws one learner's variant.
func set(t testing.TB, block string) *Variant {
	t.Helper()
	e, list := Parse("quill", source.NewText("block", block))
	if err := list.Err(); err != nil {
		t.Fatal(list[0].Render())
	}
	v, err := e.Variant(context.Background(), HeadlessKey, "Student 01", 0)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func mark(t testing.TB, v *Variant, part, answer string) marking.Verdict {
	t.Helper()
	verdict, err := v.Mark(context.Background(), part, answer)
	if err != nil {
		t.Fatal(err)
	}
	return verdict
}
