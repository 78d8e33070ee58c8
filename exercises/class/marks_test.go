package class

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/store"

	"pgregory.net/rapid"
)

var marksDue = time.Date(2026, 11, 30, 22, 59, 0, 0, time.UTC)

var marksTerms = Terms{Due: marksDue, Closes: marksDue.Add(48 * time.Hour), LateOff: 15, TryOff: 10}

var marksWorth = Worth{Exercise: "exercise-twist", Parts: []PartWorth{{"", 3}}}

func tryAt(number int, at time.Time, verdict string, points float64) store.Attempt {
	return store.Attempt{
		Place: store.Place{Exercise: "exercise-twist"}, Number: number, At: at,
		Verdict: verdict, Points: points, Free: verdict == "unreadable" || verdict == "unit-missing",
	}
}

// The expected marks are worked out by hand from the rule in MarkOf.
func TestMarkOf(t *testing.T) {
	var steps strings.Builder
	early := marksDue.Add(-time.Hour)
	practice := tryAt(1, early, "right", 3)
	practice.Series = 1
	other := tryAt(1, early, "right", 3)
	other.Exercise = "exercise-quill"
	for _, c := range []struct {
		name      string
		attempts  []store.Attempt
		overrides []Override
		want      float64
	}{
		{"nothing", nil, nil, 0},
		{"right at once", []store.Attempt{tryAt(1, early, "right", 3)}, nil, 3},
		{"a wrong try before", []store.Attempt{tryAt(1, early, "slip", 0), tryAt(2, early, "right", 3)}, nil, 2.7},
		{"a free try costs nothing", []store.Attempt{tryAt(1, early, "unreadable", 0), tryAt(2, early, "right", 3)}, nil, 3},
		{"the better answer counts", []store.Attempt{tryAt(1, early, "rounded-early", 2.9), tryAt(2, early, "right", 3)}, nil, 2.9},
		{"at the due second", []store.Attempt{tryAt(1, marksDue, "right", 3)}, nil, 3},
		{"a second late", []store.Attempt{tryAt(1, marksDue.Add(time.Second), "right", 3)}, nil, 2.55},
		{"a day late to the second", []store.Attempt{tryAt(1, marksDue.Add(24*time.Hour), "right", 3)}, nil, 2.55},
		{"a day and a second late", []store.Attempt{tryAt(1, marksDue.Add(24*time.Hour+time.Second), "right", 3)}, nil, 2.1},
		{"at closing", []store.Attempt{tryAt(1, marksTerms.Closes, "right", 3)}, nil, 2.1},
		{"a second after closing", []store.Attempt{tryAt(1, marksTerms.Closes.Add(time.Second), "right", 3)}, nil, 0},
		{"second try, late", []store.Attempt{tryAt(1, early, "off", 0), tryAt(2, marksDue.Add(time.Hour), "right", 2)}, nil, 1.53},
		{"practice and other exercises", []store.Attempt{practice, other}, nil, 0},
		{"overridden", []store.Attempt{tryAt(1, early, "off", 0)}, []Override{{Exercise: "exercise-twist", Points: 1}, {Exercise: "exercise-twist", Points: 2.5}}, 2.5},
		{"override withdrawn", []store.Attempt{tryAt(1, early, "right", 3)}, []Override{{Exercise: "exercise-twist", Points: 1}, {Exercise: "exercise-twist", Withdrawn: true}}, 3},
		{"override of another exercise", []store.Attempt{tryAt(1, early, "right", 3)}, []Override{{Exercise: "exercise-quill", Points: 1}}, 3},
		{"more than the exercise gives", []store.Attempt{tryAt(1, early, "right", 9)}, nil, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := MarkOf(marksWorth, marksTerms, c.attempts, c.overrides)
			if math.Abs(m.Points-c.want) > 1e-12 {
				t.Errorf("%v points, want %v", m.Points, c.want)
			}
			fmt.Fprintf(&steps, "%s: %s\n", c.name, strings.Join(m.Parts[0].Steps(), "; "))
		})
	}
	golden(t, "steps.golden", steps.String())
}

func TestManyWrongTriesTakeAtMostAll(t *testing.T) {
	var list []store.Attempt
	for i := range 15 {
		list = append(list, tryAt(i+1, marksDue, "off", 0))
	}
	list = append(list, tryAt(16, marksDue, "right", 3))
	if m := MarkOf(marksWorth, marksTerms, list, nil); m.Points != 0 {
		t.Errorf("%v points after 15 wrong tries at 10 %% each, want 0", m.Points)
	}
}

func TestMarkProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := Terms{
			Due: marksDue, Closes: marksDue.Add(time.Duration(rapid.IntRange(0, 200).Draw(t, "open hours")) * time.Hour),
			LateOff: rapid.Float64Range(0, 100).Draw(t, "late off"), TryOff: rapid.Float64Range(0, 100).Draw(t, "try off"),
		}
		n := rapid.IntRange(0, 8).Draw(t, "answers")
		list := make([]store.Attempt, n)
		for i := range list {
			at := marksDue.Add(time.Duration(rapid.IntRange(-100, 300).Draw(t, "hours")) * time.Hour)
			list[i] = tryAt(i+1, at, rapid.SampledFrom([]string{"right", "off", "slip", "unreadable"}).Draw(t, "verdict"), rapid.Float64Range(0, 3).Draw(t, "points"))
		}
		m := MarkOf(marksWorth, terms, list, nil)
		if !(m.Points >= 0 && m.Points <= m.Full) {
			t.Fatalf("%v points of %v", m.Points, m.Full)
		}
		mixed := append([]store.Attempt(nil), list...)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		r.Shuffle(n, func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		if got := MarkOf(marksWorth, terms, mixed, nil).Points; got != m.Points {
			t.Fatalf("%v points in another order, want %v", got, m.Points)
		}
		if n > 0 {
			more := append([]store.Attempt(nil), list...)
			more[rapid.IntRange(0, n-1).Draw(t, "raised")].Points += rapid.Float64Range(0, 2).Draw(t, "by")
			if got := MarkOf(marksWorth, terms, more, nil).Points; got < m.Points {
				t.Fatalf("%v points for a better answer, %v before", got, m.Points)
			}
		}
		set := rapid.Float64Range(0, 3).Draw(t, "override")
		if got := MarkOf(marksWorth, terms, list, []Override{{Exercise: "exercise-twist", Points: set}}).Points; got != set {
			t.Fatalf("%v points against an override of %v", got, set)
		}
	})
}

func TestTotal(t *testing.T) {
	for _, c := range []struct {
		name string
		sums []Sum
		want float64
		ok   bool
	}{
		{"none", nil, 0, false},
		{"one", []Sum{{3, 4, 1, true}}, 75, true},
		{"weights", []Sum{{4, 4, 3, true}, {0, 10, 1, true}}, 75, true},
		{"not due yet", []Sum{{4, 4, 1, true}, {0, 4, 1, false}}, 100, true},
		{"gives nothing", []Sum{{0, 0, 1, true}}, 0, false},
		{"no weight", []Sum{{0, 4, 0, true}, {2, 4, 1, true}}, 50, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := Total(c.sums)
			if math.Abs(got-c.want) > 1e-12 || ok != c.ok {
				t.Errorf("%v %v, want %v %v", got, ok, c.want, c.ok)
			}
		})
	}
	a := &Assignment{Due: marksDue}
	for _, c := range []struct {
		name string
		a    Assignment
		at   time.Time
		want bool
	}{
		{"at the due second", *a, marksDue, false},
		{"a second after", *a, marksDue.Add(time.Second), true},
		{"withdrawn", Assignment{Due: marksDue, Withdrawn: true}, marksDue.Add(time.Hour), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := InTotal(&c.a, c.a.TermsFor(nil), c.at); got != c.want {
				t.Errorf("counts: %v, want %v", got, c.want)
			}
		})
	}
}
