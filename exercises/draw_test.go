package exercises

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
)

const drawn = `title: Drawn
given:
  T: {from: 240 N·m, to: 320 N·m, by: 10 N·m}
  L: {from: 0.6 m, to: 0.9 m, by: 0.1 m}
  d_0: {from: 30 mm, to: 40 mm, by: 1 mm}
  d_1: {from: 36 mm, to: 60 mm, by: 2 mm}
  G: {one of: [79 GPa, 76 GPa, 26 GPa]}
where: [d_1 > 1.02·d_0]
ask: The twist
answer: 32·T·L/(3·π·G)·(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3·d_1^3)
unit: deg
tolerance: 1 %
bounds: {low: T·L/(G·π/32·d_1^4), high: T·L/(G·π/32·d_0^4)}
slips: [mean-diameter, mean-of-moments, mean-of-twists, radius-for-diameter, bending-for-torsion, radians-for-degrees, small-end, large-end]
`

func parsedDrawn(t testing.TB) *Exercise {
	t.Helper()
	e, list := Parse("drawn", source.NewText("drawn", drawn))
	if list.HasErrors() {
		t.Fatal(list[0].Render())
	}
	return e
}

// TestDrawnSlipsKeepApart draws variants for learners of any name: slips stand
// more than twice the tolerance from the answer and from each other, and the
// condition holds.
func TestDrawnSlipsKeepApart(t *testing.T) {
	e := parsedDrawn(t)
	rapid.Check(t, func(rt *rapid.T) {
		learner := rapid.String().Draw(rt, "learner")
		series := rapid.IntRange(0, 1000).Draw(rt, "series")
		v, err := e.Variant(context.Background(), []byte("a key"), learner, series)
		if err != nil {
			rt.Fatal(err)
		}
		k := v.markers[0].Key
		if *v.Given[3].SI <= 1.02**v.Given[2].SI {
			rt.Errorf("the condition fails: %s", v.numbers())
		}
		values := []float64{k.Value}
		for _, s := range k.Slips {
			for _, x := range s.Values {
				for _, y := range values {
					if math.Abs(x-y) <= 0.02*max(math.Abs(x), math.Abs(y)) {
						rt.Errorf("%s: %g is too near to %g: %s", s.Slip.Name, x, y, v.numbers())
					}
				}
			}
			values = append(values, s.Values...)
		}
		verdict, err := v.Mark(context.Background(), "", fmt.Sprintf("%.4g deg", k.Value*180/math.Pi))
		if err != nil || verdict.Kind != marking.Right {
			rt.Errorf("%s: the answer itself gets %+v, %v", v.numbers(), verdict, err)
		}
	})
}

// TestVariantIsFixed holds the numbers of one learner: they are the same on
// every machine and in every version, or marks could not be traced.
func TestVariantIsFixed(t *testing.T) {
	v, err := parsedDrawn(t).Variant(context.Background(), HeadlessKey, "Student 01", 0)
	if err != nil {
		t.Fatal(err)
	}
	const want = "T = 310 N·m, L = 0.6 m, d_0 = 34 mm, d_1 = 50 mm, G = 76 GPa"
	if got := v.numbers(); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestNeighboursDiffer(t *testing.T) {
	if testing.Short() {
		t.Skip("draws the numbers of many learners")
	}
	e := parsedDrawn(t)
	seen := map[string]int{}
	before, same := "", 0
	for i := range 200 {
		v, err := e.Variant(context.Background(), HeadlessKey, fmt.Sprintf("Student %02d", i), 0)
		if err != nil {
			t.Fatal(err)
		}
		now := v.numbers()
		if now == before {
			same++
		}
		before = now
		seen[now]++
		again, err := e.Variant(context.Background(), HeadlessKey, fmt.Sprintf("Student %02d", i), 0)
		if err != nil || again.numbers() != now {
			t.Fatalf("drawn again: %s, %v; want %s", again.numbers(), err, now)
		}
		other, err := e.Variant(context.Background(), HeadlessKey, fmt.Sprintf("Student %02d", i), 1)
		if err != nil || other.numbers() == now {
			t.Errorf("series 1 of student %d has the numbers of series 0, or %v", i, err)
		}
	}
	if same > 0 || len(seen) < 190 {
		t.Errorf("%d neighbours share their numbers; %d different sets in 200", same, len(seen))
	}
}

// TestDrawAgainstAnotherImplementation holds the first numbers of a draw, as
// computed with the hmac module of CPython 3.11.
func TestDrawAgainstAnotherImplementation(t *testing.T) {
	d := newDrawer(HeadlessKey, "drawn", "Student 01", 0)
	for i, want := range []uint64{2402910874302821001, 14018208488847281073, 16660372405738976578} {
		if got := d.next(); got != want {
			t.Errorf("number %d is %d, want %d", i, got, want)
		}
	}
}

// TestPartsOfTheSeedAreApart: a name may not flow into the next one.
func TestPartsOfTheSeedAreApart(t *testing.T) {
	a, b := newDrawer(nil, "ab", "c", 0), newDrawer(nil, "a", "bc", 0)
	if a.next() == b.next() {
		t.Error("exercise and learner are joined without a border")
	}
}

func TestRangesAreExact(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"{from: 0.1 m, to: 0.3 m, by: 0.1 m}", []string{"0.1 m", "0.2 m", "0.3 m"}},
		{"{from: −1, to: 1, by: 0.5}", []string{"−1", "−0.5", "0", "0.5", "1"}},
		{"{from: 1e3 N, to: 1.5e3 N, by: 250 N}", []string{"1000 N", "1250 N", "1500 N"}},
	} {
		e, list := Parse("t", source.NewText("t", "title: t\ngiven:\n  a: "+c.text+"\nask: a\nanswer: a\n"))
		if list.HasErrors() {
			t.Error(list[0].Render())
			continue
		}
		if got := e.Structures[0].Given[0].values; !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.text, got, c.want)
		}
	}
}
