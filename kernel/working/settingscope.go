package working

import (
	"errors"
	"sync"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
)

// A settingScope is a working in which names that hold brackets have other values: one
// value each, or their bracket. What is worked out from them is worked out again, and
// the rest is as it is.
type settingScope struct {
	scope
	settings map[string]setting

	mu       sync.Mutex
	enclosed map[string]encloseOutcome
}

// A setting is the value of one name in a settingScope.
type setting struct {
	object program.Object
	noise  float64
	// expr is the formula of the value; in the settingScope if derived, else in the
	// working. nil leaves the definition to the working.
	expr    notation.Expr
	derived bool
}

func newSettingScope(w *Working) *settingScope {
	return &settingScope{scope: scope{w}, settings: map[string]setting{}, enclosed: map[string]encloseOutcome{}}
}

// set evaluates an expression and makes it the value of a name. A derived one is
// evaluated in s itself, where its brackets keep how they depend on each other.
func (s *settingScope) set(run *program.Run, ident string, x notation.Expr, derived bool) source.List {
	var names program.Scope = s.scope
	if derived {
		names = s
	}
	v, list := program.Evaluate(run, x, names)
	if list.HasErrors() {
		return list
	}
	one := setting{object: program.Scalar(v.Number), noise: v.Noise, expr: x, derived: derived}
	if v.IsBracket {
		one.object = program.Interval(v.Bracket)
	}
	s.settings[ident] = one
	return nil
}

// Lookup implements program.Scope.
func (s *settingScope) Lookup(ident string) (program.Object, bool) {
	if one, ok := s.settings[ident]; ok {
		return one.object, true
	}
	return s.scope.Lookup(ident)
}

// Definition implements program.Definer.
func (s *settingScope) Definition(ident string) (notation.Expr, bool) {
	if one, ok := s.settings[ident]; ok {
		return one.expr, one.expr != nil
	}
	return s.scope.Definition(ident)
}

// Noise implements program.Noisy.
func (s *settingScope) Noise(ident string) float64 {
	if one, ok := s.settings[ident]; ok {
		return one.noise
	}
	return s.scope.Noise(ident)
}

// Enclosure implements program.Encloser.
func (s *settingScope) Enclosure(ident string) (interval.Interval, error) {
	one, ok := s.settings[ident]
	if !ok {
		return s.scope.Enclosure(ident)
	}
	s.mu.Lock()
	is, known := s.enclosed[ident]
	s.mu.Unlock()
	if known {
		return is.b, is.err
	}
	switch {
	case one.expr == nil:
		is.err = errors.New("it is not a number")
	case one.derived:
		is.b, is.err = s.w.encloseExpr(one.expr, s)
	default:
		is.b, is.err = s.w.encloseExpr(one.expr, s.scope)
	}
	s.mu.Lock()
	s.enclosed[ident] = is
	s.mu.Unlock()
	return is.b, is.err
}
