package class

import (
	"fmt"
	"math"
	"testing"

	"shaftbook/exercises/store"

	"pgregory.net/rapid"
)

// R. G. Newcombe, Two-sided confidence intervals for the single proportion:
// comparison of seven methods, Statistics in Medicine 17 (1998) 857–872, table
// I, method 3. From memory.
func TestWilsonAgainstNewcombe(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{
		{81, 263, 0.2553, 0.3662},
		{15, 148, 0.0624, 0.1605},
		{0, 20, 0, 0.1611},
		{1, 29, 0.0061, 0.1718},
	} {
		t.Run(fmt.Sprintf("%d of %d", c.k, c.n), func(t *testing.T) {
			low, high := Wilson(c.k, c.n)
			if math.Abs(low-c.low) > 5e-5 || math.Abs(high-c.high) > 5e-5 {
				t.Errorf("%.5f to %.5f, want %.4f to %.4f", low, high, c.low, c.high)
			}
		})
	}
	if low, high := Wilson(0, 0); low != 0 || high != 1 {
		t.Errorf("of nobody: %v to %v", low, high)
	}
}

// The point-biserial coefficient, (M₁ − M₀)/s·√(n₁·n₀/n²) with s over n, is
// Pearson's correlation with a variable of 0 and 1: an identity.
func TestDiscriminationIsPointBiserial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(10, 60).Draw(t, "students")
		item, rest := make([]float64, n), make([]float64, n)
		var count, sum [2]float64
		for i := range n {
			bit := rapid.IntRange(0, 1).Draw(t, "right")
			item[i], rest[i] = float64(bit), float64(rapid.IntRange(0, 40).Draw(t, "rest"))
			count[bit]++
			sum[bit] += rest[i]
		}
		mean, square := (sum[0]+sum[1])/float64(n), 0.0
		for _, v := range rest {
			square += (v - mean) * (v - mean)
		}
		got, ok := Discrimination(item, rest)
		if want := count[0] > 0 && count[1] > 0 && square > 0; ok != want {
			t.Fatalf("said: %v, want %v", ok, want)
		}
		if !ok {
			return
		}
		want := (sum[1]/count[1] - sum[0]/count[0]) / math.Sqrt(square/float64(n)) * math.Sqrt(count[1]*count[0]) / float64(n)
		if math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v, want %v", got, want)
		}
	})
}

func TestDiscriminationOfTooFew(t *testing.T) {
	nine := []float64{0, 1, 0, 1, 0, 1, 0, 1, 0}
	if _, ok := Discrimination(nine, nine); ok {
		t.Error("said of nine students")
	}
	same := make([]float64, 12)
	if _, ok := Discrimination(same, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}); ok {
		t.Error("said of an item at which all have the same")
	}
}

// Counted by hand: three students, of whom the second needs two tries and a
// hint; a free answer, a practice answer and a stranger's do not count.
func TestItemsOf(t *testing.T) {
	set := map[string][]Worth{}
	for _, p := range []string{"S1", "S2", "S3"} {
		set[p] = []Worth{{Exercise: "E", Parts: []PartWorth{{"a", 2}, {"b", 2}}}}
	}
	at := func(p, part string, number int, verdict, slip string, points float64) store.Attempt {
		return store.Attempt{Place: store.Place{Learner: p, Exercise: "E", Part: part}, Number: number, Verdict: verdict, Slip: slip, Points: points}
	}
	free := at("S3", "a", 1, "unreadable", "", 0)
	free.Free = true
	practice := at("S3", "a", 2, "right", "", 2)
	practice.Series = 1
	items := ItemsOf(set, []store.Attempt{
		at("S2", "a", 2, "right", "", 2), at("S2", "a", 1, "slip", "radius-for-diameter", 0),
		at("S1", "a", 1, "right", "", 2), at("S1", "b", 1, "off", "", 1), at("stranger", "a", 1, "right", "", 2), free, practice,
	}, []store.Hint{{Place: store.Place{Learner: "S2", Exercise: "E", Part: "a"}, Level: 1}, {Place: store.Place{Learner: "S2", Exercise: "E", Part: "a"}, Level: 2}})
	if len(items) != 2 {
		t.Fatalf("%d items, want 2", len(items))
	}
	a, b := items[0], items[1]
	if a.Part != "a" || a.Answered != 2 || a.FirstRight != 1 || a.Share != 1 || a.Tries != 1.5 || a.Hinted != 1 || a.Discriminates ||
		len(a.Slips) != 1 || a.Slips[0] != (Count{"radius-for-diameter", 1}) || a.Last[0] != (Count{"right", 2}) {
		t.Errorf("item a: %+v", a)
	}
	if b.Part != "b" || b.Answered != 1 || b.FirstRight != 0 || b.Share != 0.5 || b.Tries != 1 {
		t.Errorf("item b: %+v", b)
	}
}
