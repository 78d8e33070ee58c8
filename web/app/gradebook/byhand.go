package gradebook

import (
	"context"
	"math"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises/class"
)

// An OverrideStore keeps marks set by hand; contract.School has it.
type OverrideStore interface {
	Override(ctx context.Context, o class.Override, e class.Entry) error
}

// ByHand sets the marks of one student in an assignment by hand. All fields must be
// set.
type ByHand struct {
	Store      OverrideStore
	Assignment *class.Assignment
	Person     string // the student
	By         string // the instructor
	Now        time.Time
}

// Set sets the points of an exercise, from 0 to all there are, with the reason that
// the student reads.
func (h ByHand) Set(ctx context.Context, m *class.Mark, points float64, reason string) error {
	o, e := h.records(m)
	o.Points, o.Reason = points, reason
	e.Detail = "set the points of “" + m.Title + "” by hand: from " + class.Shown(m.Points) + " to " + class.Shown(points) + " (out of " + class.Shown(m.Full) + "), reason: " + reason
	return h.Store.Override(ctx, o, e)
}

// Withdraw lets the marking of an exercise hold again; of one that was not set by
// hand it does already.
func (h ByHand) Withdraw(ctx context.Context, m *class.Mark) error {
	if m.Override == nil {
		return nil
	}
	o, e := h.records(m)
	o.Withdrawn = true
	e.Detail = "restored the automatic mark of “" + m.Title + "”: from " + class.Shown(m.Points) + " to " + class.Shown(m.Marking) + " (out of " + class.Shown(m.Full) + ")"
	return h.Store.Override(ctx, o, e)
}

func (h ByHand) records(m *class.Mark) (class.Override, class.Entry) {
	a := h.Assignment
	return class.Override{Assignment: a.ID, Person: h.Person, Exercise: m.Exercise, By: h.By, At: h.Now},
		class.Entry{Class: a.Class, By: h.By, At: h.Now, Action: "override", About: h.Person, Assignment: a.ID, Exercise: m.Exercise}
}

// ReadPoints reads points as an instructor types them, and reports whether an
// exercise can give them. A comma is a decimal point, and −0 is 0.
func ReadPoints(typed string, full float64) (points float64, ok bool) {
	points, err := strconv.ParseFloat(strings.Replace(typed, ",", ".", 1), 64)
	if err != nil || math.IsNaN(points) || points < 0 || points > full {
		return 0, false
	}
	return math.Abs(points), true
}
