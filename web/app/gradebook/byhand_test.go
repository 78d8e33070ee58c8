package gradebook

import (
	"context"
	"math"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// What an instructor types as points is refused, or is a number that the exercise
// can give.
func FuzzReadPoints(f *testing.F) {
	for _, seed := range []string{"2", "2,5", "-0", "NaN", "1e400", "0x1p1", "", "٣", "2.5.1", "+Inf"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if points, ok := ReadPoints(text, 3); ok && (!(points >= 0 && points <= 3) || math.Signbit(points)) {
			t.Errorf("%q is taken as %v", text, points)
		}
	})
}

func TestReadPoints(t *testing.T) {
	for _, c := range []struct {
		typed string
		want  float64
		ok    bool
	}{
		{"2", 2, true}, {"2.5", 2.5, true}, {"2,5", 2.5, true}, {"3", 3, true}, {"-0", 0, true},
		{"3.01", 0, false}, {"-1", 0, false}, {"NaN", 0, false}, {"", 0, false}, {"two", 0, false},
	} {
		if got, ok := ReadPoints(c.typed, 3); got != c.want || ok != c.ok {
			t.Errorf("%q: %v, taken %v, want %v, %v", c.typed, got, ok, c.want, c.ok)
		}
	}
}

type overrides struct {
	kept []class.Override
	log  []class.Entry
}

func (s *overrides) Override(_ context.Context, o class.Override, e class.Entry) error {
	s.kept, s.log = append(s.kept, o), append(s.log, e)
	return nil
}

func TestMarksByHand(t *testing.T) {
	s, now := &overrides{}, time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	hand := ByHand{Store: s, Assignment: &class.Assignment{ID: "A1", Class: "MILL"}, Person: "S1", By: "I1", Now: now}
	m := &class.Mark{Exercise: "exercise-twist", Title: "Twist", Points: 1, Marking: 1, Full: 3}
	if err := hand.Withdraw(t.Context(), m); err != nil || len(s.kept) > 0 {
		t.Errorf("a mark that was not set by hand is withdrawn: %v, %v", s.kept, err)
	}
	if err := hand.Set(t.Context(), m, 2.5, "on paper"); err != nil {
		t.Fatal(err)
	}
	m.Override = &s.kept[0]
	if err := hand.Withdraw(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	if len(s.kept) != 2 || s.kept[0].Points != 2.5 || s.kept[0].Reason != "on paper" || s.kept[0].Withdrawn || !s.kept[1].Withdrawn {
		t.Fatalf("kept %+v", s.kept)
	}
	for i, o := range s.kept {
		e := s.log[i]
		if o.Assignment != "A1" || o.Person != "S1" || o.Exercise != "exercise-twist" || o.By != "I1" || !o.At.Equal(now) {
			t.Errorf("kept %+v", o)
		}
		if e.Class != "MILL" || e.About != "S1" || e.Assignment != "A1" || e.Exercise != "exercise-twist" || e.Action != "override" || e.Detail == "" {
			t.Errorf("logged %+v", e)
		}
	}
}
