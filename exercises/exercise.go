package exercises

import (
	"slices"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// An Exercise is one exercise block, read. It is not changed after Parse and
// may be used by many goroutines.
type Exercise struct {
	ID         string // the name after the fence; part of every record
	Title      string
	Task       string // one of Tasks, or empty
	Attempts   int    // graded tries, 3 unless the block gives another number
	Structures []*Structure
	Text       *source.Text

	places yamltext.Places
}

// A Structure is one way in which the problem is set: hollow or solid, one
// torque or two, this unknown or that. An exercise without the key structures
// has one.
type Structure struct {
	Name        string
	Text        string // what is set, Markdown within one paragraph; may be empty
	Given       []*Given
	Parts       []*Part
	Predictions []*Prediction

	at     source.Span
	where  []notation.Expr
	work   *source.Text // statements that learners do not see, or nil
	shaft  *source.Text // the shaft cell S, or nil
	figure *source.Text // statements that draw, or nil

	solutions  map[string]*Solution // worked solutions, by part
	derivation *source.Text         // with lines to fill, or nil
	inWords    []inWords            // values that the words show
}

// A Given is one given name with the values it can have.
type Given struct {
	marking.Given

	values []string // as text; one for fixed and derived givens
	at     source.Span
}

// A Part is one question of an exercise: what is asked, and in Scheme how its
// answers are marked.
type Part struct {
	marking.Scheme

	Text  string   // what is asked, Markdown within one paragraph
	Hints []string // at most three: the principle, the place, a worked step

	at          source.Span
	toleranceAt source.Span
	route       notation.Expr // a second way to the answer, or nil
	without     []string      // what a line must be free of
	solution    *Solution     // as written with the part, or nil
}

// Asks returns what is asked with, where a sign is asked, what counts as positive.
func (a *Part) Asks() string {
	if a.Sign == "" {
		return a.Text
	}
	return marking.Sentence(a.Text) + " " + marking.Sentence(a.Sign)
}

// Tasks are what an exercise can say of itself.
var Tasks = []string{"warm-up", "turned round", "can it be right?", "derivation"}

// TaskOf returns the task of an exercise as one structure sets it: as the block says,
// or what follows from the structure. It is empty where nothing does.
func (e *Exercise) TaskOf(s *Structure) string {
	switch {
	case e.Task != "":
		return e.Task
	case s.derivation != nil:
		return "derivation"
	case !slices.ContainsFunc(s.Parts, func(p *Part) bool { return p.Kind != marking.Pick }):
		return "a choice"
	}
	return ""
}

// Varies reports whether another learner, or another series, can have other
// numbers.
func (e *Exercise) Varies() bool {
	if len(e.Structures) > 1 {
		return true
	}
	for _, g := range e.Structures[0].Given {
		if len(g.values) > 1 {
			return true
		}
	}
	return false
}

// SlipWords returns slips in words; see [marking.Scheme.SlipWords]. The part may
// be nil.
func (a *Part) SlipWords(kept string) string { return a.scheme().SlipWords(kept) }

// Said returns an answer as the learner saw it; see [marking.Scheme.Said]. The
// part may be nil.
func (a *Part) Said(answer string) string { return a.scheme().Said(answer) }

func (a *Part) scheme() *marking.Scheme {
	if a == nil {
		return nil
	}
	return &a.Scheme
}
