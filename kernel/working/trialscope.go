package working

import (
	"errors"
	"sync"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
)

// A trialScope is a working in which a slider has another value: what depends on the
// slider is worked out again for that value, and the rest is as it is.
type trialScope struct {
	scope
	ident   string
	value   float64
	written notation.Expr          // the value as it is written or shown
	objects map[string]trialObject // of the names that depend on the slider

	mu       sync.Mutex
	enclosed map[string]encloseOutcome
}

type trialObject struct {
	object program.Object
	noise  float64
	expr   notation.Expr // nil of a function
}

type encloseOutcome struct {
	b   interval.Interval
	err error
}

// newTrialScope works out what depends on the slider, in the order of evaluation.
func (w *Working) newTrialScope(run *program.Run, ident string, value float64, written notation.Expr, users []*item) (*trialScope, source.List) {
	s := &trialScope{scope: scope{w}, ident: ident, value: value, written: written,
		objects: map[string]trialObject{}, enclosed: map[string]encloseOutcome{}}
	for _, it := range users {
		switch n := it.node.(type) {
		case *notation.DefineFunc:
			s.objects[it.defines] = trialObject{object: it.object}
		case *notation.Define:
			v, list := program.Evaluate(run, n.Expr, s)
			if list.HasErrors() {
				return nil, list
			}
			o := trialObject{object: program.Scalar(v.Number), noise: v.Noise, expr: n.Expr}
			if v.IsBracket {
				o.object = program.Interval(v.Bracket)
			}
			s.objects[it.defines] = o
		}
	}
	return s, nil
}

// Lookup implements program.Scope.
func (s *trialScope) Lookup(ident string) (program.Object, bool) {
	if ident == s.ident {
		return program.Scalar(s.value), true
	}
	if o, ok := s.objects[ident]; ok {
		return o.object, true
	}
	return s.scope.Lookup(ident)
}

// Definition implements program.Definer.
func (s *trialScope) Definition(ident string) (notation.Expr, bool) {
	if ident == s.ident {
		return s.written, s.written != nil
	}
	return s.scope.Definition(ident)
}

// Noise implements program.Noisy.
func (s *trialScope) Noise(ident string) float64 {
	if ident == s.ident {
		return 0
	}
	if o, ok := s.objects[ident]; ok {
		return o.noise
	}
	return s.scope.Noise(ident)
}

// Enclosure implements program.Encloser.
func (s *trialScope) Enclosure(ident string) (interval.Interval, error) {
	o, depends := s.objects[ident]
	if ident != s.ident && !depends {
		return s.scope.Enclosure(ident)
	}
	s.mu.Lock()
	is, known := s.enclosed[ident]
	s.mu.Unlock()
	if known {
		return is.b, is.err
	}
	switch {
	case ident == s.ident && s.written != nil:
		is.b, is.err = s.w.encloseExpr(s.written, s.scope)
	case ident == s.ident && whole(s.value):
		is.b, is.err = interval.New(s.value, s.value)
	case ident == s.ident:
		is.err = errors.New("how it was written is not known")
	case o.expr != nil:
		is.b, is.err = s.w.encloseExpr(o.expr, s)
	default:
		is.err = errors.New("it is not a number")
	}
	s.mu.Lock()
	s.enclosed[ident] = is
	s.mu.Unlock()
	return is.b, is.err
}

// A triedValue is what one expression comes to at one value of the slider: a number, or
// a bracket.
type triedValue struct {
	isBracket bool
	low, high float64
	expr      notation.Expr
}

func (v triedValue) mid() float64 {
	if !v.isBracket {
		return v.low
	}
	return interval.Interval{Lo: v.low, Hi: v.high}.Mid()
}

// A trial is what the expressions of trials come to at one value of the slider.
type trial struct {
	at      float64
	values  []triedValue // of the columns, then of the ends of the bracket
	names   *trialScope
	problem source.List // why there are none

	terms, work int64           // what it cost
	certain     map[string]bool // whether a cell is certain, by its column and text
}

// trialsKept are trials that hold as long as nothing but the slider changes.
type trialsKept struct {
	holds  []itemState
	trials map[float64]*trial
}

// An itemState is what a kept trial rests on.
type itemState struct {
	it       *item
	valueRev int // of what does not depend on the slider
	typeRev  int
}

// mostKept bounds the trials that are kept beside those in the text: the values that a
// slider goes through.
const mostKept = 2 * notation.MaxTrials

// restOn returns what trials rest on, to compare it with what they rested on.
func (w *Working) restOn(it, slider *item, users []*item) []itemState {
	depends := map[*item]bool{}
	for _, u := range users {
		depends[u] = true
	}
	var states []itemState
	for _, d := range w.needsOf([]*item{it}) {
		s := itemState{it: d, valueRev: d.valueRev, typeRev: d.typeRev}
		if depends[d] || d == slider {
			s.valueRev = 0
		}
		states = append(states, s)
	}
	return states
}

// refusedUser returns what depends on the slider and cannot be worked out for another
// value of it: a shaft, or another slider whose ends move.
func refusedUser(users []*item) (what string, is bool) {
	for _, u := range users {
		switch {
		case u.cell.kind == Shaft:
			return "the shaft " + u.defines, true
		case u.symbol != nil && u.symbol.Kind == check.ReadingsName:
			return "the set of readings " + u.defines, true
		case u.symbol != nil && u.symbol.Kind == check.LineName:
			return "the line " + u.defines, true
		case u.isVary():
			return "the slider " + u.defines, true
		}
	}
	return "", false
}

// evaluateTrial works out the expressions at one value of the slider.
func (e *evaluation) evaluateTrial(n *notation.Trials, at float64, written notation.Expr, exprs []notation.Expr, users []*item) *trial {
	terms, work := e.run.Terms(), e.run.Work()
	t := &trial{at: at, certain: map[string]bool{}}
	t.names, t.problem = e.w.newTrialScope(e.run, n.Var.Ident, at, written, users)
	for _, x := range exprs {
		if t.problem.HasErrors() {
			break
		}
		v, list := program.Evaluate(e.run, x, t.names)
		if t.problem = list; list.HasErrors() {
			break
		}
		value := triedValue{v.IsBracket, v.Number, v.Number, x}
		if v.IsBracket {
			value.low, value.high = v.Bracket.Lo, v.Bracket.Hi
		}
		t.values = append(t.values, value)
	}
	t.terms, t.work = e.run.Terms()-terms, e.run.Work()-work
	return t
}

// enclose returns the bracket of the exact value of what was tried.
func (w *Working) encloseTried(t *trial, k int) (interval.Interval, error) {
	v := t.values[k]
	if v.isBracket {
		return interval.New(v.low, v.high)
	}
	return w.encloseExpr(v.expr, t.names)
}
