package class

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/words"
)

// A Worth holds the points that one exercise gives one student: the parts of the structure
// that the student was set, with their points.
type Worth struct {
	Exercise string // its name in the store
	Title    string
	Parts    []PartWorth
}

// A PartWorth holds the points that one part of an exercise gives.
type PartWorth struct {
	Part   string
	Points float64
}

// Full is the sum of what the parts give.
func (w Worth) Full() float64 {
	sum := 0.0
	for _, p := range w.Parts {
		sum += p.Points
	}
	return sum
}

// A Mark holds one student's points for one exercise. Points are kept in
// float64 and rounded only for display.
type Mark struct {
	Exercise string
	Title    string
	Full     float64
	Points   float64 // from 0 to Full
	Marking  float64 // Points without the override
	Parts    []PartMark
	Override *Override // that holds, or nil
	Answered bool      // there is an answer (IsAnswer) with the graded numbers
}

// A PartMark holds the points that marking gives for one part, and why.
type PartMark struct {
	Part     string
	Full     float64
	Points   float64
	Best     *store.Attempt // the answer that counts; nil if none gives anything
	Wrong    int            // wrong tries before Best
	LateDays int            // of Best
	TryOff   float64        // percent that came off Best for Wrong
	LateOff  float64        // percent that came off the rest for LateDays
	TooLate  int            // answers after closing, which count nothing
}

// MarkOf works out a mark. attempts are the student's at the assignment's lesson,
// in any order: those at other exercises, and of practice numbers, are passed
// over. overrides are the student's, the oldest first.
//
// For each part the answer counts that gives most:
//
//	points × (1 − TryOff/100 × wrong tries before) × (1 − LateOff/100 × days late)
//
// Neither factor falls below 0. A try is wrong if it was not judged right and was
// not free; an answer after closing counts nothing, also not as a wrong try. The
// latest override replaces the sum of the parts, unless it was withdrawn. Of two
// answers that give the same the earlier one counts.
func MarkOf(w Worth, t Terms, attempts []store.Attempt, overrides []Override) Mark {
	m := Mark{Exercise: w.Exercise, Title: w.Title, Full: w.Full()}
	byPart := map[string][]store.Attempt{}
	for _, a := range attempts {
		if a.Exercise == w.Exercise && a.Series == 0 {
			byPart[a.Part] = append(byPart[a.Part], a)
			m.Answered = m.Answered || IsAnswer(a)
		}
	}
	for _, p := range w.Parts {
		part := markPart(p, t, byPart[p.Part])
		m.Parts = append(m.Parts, part)
		m.Marking += part.Points
	}
	m.Marking = min(m.Marking, m.Full)
	m.Points = m.Marking
	for i := range overrides {
		if overrides[i].Exercise == w.Exercise {
			m.Override = &overrides[i]
		}
	}
	if m.Override != nil && m.Override.Withdrawn {
		m.Override = nil
	}
	if m.Override != nil {
		m.Points = within(m.Override.Points, m.Full)
	}
	return m
}

func markPart(p PartWorth, t Terms, attempts []store.Attempt) PartMark {
	slices.SortFunc(attempts, func(a, b store.Attempt) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), a.At.Compare(b.At))
	})
	m := PartMark{Part: p.Part, Full: p.Points}
	wrong := 0
	for i := range attempts {
		a := &attempts[i]
		days, closed := t.Late(a.At)
		if closed {
			m.TooLate++
			continue
		}
		tryOff, lateOff := off(t.TryOff, wrong), off(t.LateOff, days)
		points := within(a.Points, p.Points) * (1 - tryOff/100) * (1 - lateOff/100)
		if points > m.Points {
			m.Points, m.Best, m.Wrong, m.LateDays, m.TryOff, m.LateOff = points, a, wrong, days, tryOff, lateOff
		}
		if !a.Free && a.Verdict != string(marking.Right) {
			wrong++
		}
	}
	return m
}

// off is a percentage for each of some times, at most all.
func off(percent float64, times int) float64 { return within(percent*float64(times), 100) }

// within brings a number between 0 and a greatest value. NaN becomes 0.
func within(v, most float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return max(0, min(v, most))
}

// Late reports whether something that counts came after the due time.
func (m Mark) Late() bool {
	return slices.ContainsFunc(m.Parts, func(p PartMark) bool { return p.LateDays > 0 || p.TooLate > 0 })
}

// Steps returns how the points of a part were worked out, each step a sentence without its full stop.
func (p PartMark) Steps() []string {
	var steps []string
	if p.Best == nil {
		steps = append(steps, "No points yet")
	} else {
		unit := "points"
		if p.Full == 1 {
			unit = "point"
		}
		steps = append(steps, fmt.Sprintf("Answer %d: %s of %s %s", p.Best.Number, Shown(within(p.Best.Points, p.Full)), Shown(p.Full), unit))
	}
	var less []string
	if p.TryOff > 0 {
		less = append(less, fmt.Sprintf("%s (−%s %%)", words.CountOf(p.Wrong, "wrong try", "wrong tries"), Shown(p.TryOff)))
	}
	if p.LateOff > 0 {
		of := ""
		if p.TryOff > 0 {
			of = " of the rest"
		}
		less = append(less, fmt.Sprintf("%s late (−%s %%%s)", words.CountOf(p.LateDays, "day", "days"), Shown(p.LateOff), of))
	}
	if less != nil {
		steps = append(steps, strings.Join(less, ", then ")+": "+Shown(p.Points))
	}
	if p.TooLate > 0 {
		steps = append(steps, "Not counted: "+words.CountOf(p.TooLate, "answer", "answers")+" after closing")
	}
	return steps
}

// Shown writes points for display: to 2 places, without zeros at the end.
func Shown(points float64) string {
	return strconv.FormatFloat(math.Round(points*100)/100, 'f', -1, 64)
}

// A Sum holds a student's points in one assignment.
type Sum struct {
	Points, Full float64
	Weight       float64
	Counts       bool // in the total of the class: see InTotal
}

// SumOf adds the marks of an assignment up.
func SumOf(marks []Mark, weight float64, counts bool) Sum {
	s := Sum{Weight: weight, Counts: counts}
	for _, m := range marks {
		s.Points += m.Points
		s.Full += m.Full
	}
	return s
}

// InTotal reports whether an assignment counts in a student's total: once the
// student's own due time has passed, and never while it is withdrawn. So no one's
// total falls for work that is not due yet.
func InTotal(a *Assignment, t Terms, now time.Time) bool {
	return !a.Withdrawn && t.PastDue(now)
}

// Total is the weighted mean of the shares of the assignments that count, in
// percent. ok is false if none does. An assignment that gives no points, or has
// no weight, counts in no total.
func Total(sums []Sum) (percent float64, ok bool) {
	got, of := 0.0, 0.0
	for _, s := range sums {
		if s.Counts && s.Weight > 0 && s.Full > 0 {
			got += s.Weight * (s.Points / s.Full)
			of += s.Weight
		}
	}
	if of == 0 {
		return 0, false
	}
	return 100 * got / of, true
}
