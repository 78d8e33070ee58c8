package working

import (
	"sort"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
)

// scope is the view that checking and evaluation have of a working.
type scope struct{ w *Working }

// Symbol implements check.Scope.
func (s scope) Symbol(ident string) (*check.Symbol, bool) {
	d := s.w.definers[ident]
	if len(d) == 0 {
		return nil, false
	}
	return d[0].symbol, true
}

// All implements check.Scope.
func (s scope) All() []string {
	names := make([]string, 0, len(s.w.definers))
	for ident := range s.w.definers {
		names = append(names, ident)
	}
	sort.Strings(names)
	return names
}

// Lookup implements program.Scope.
func (s scope) Lookup(ident string) (program.Object, bool) {
	d := s.w.definers[ident]
	if len(d) == 0 || d[0].object == nil {
		return nil, false
	}
	return d[0].object, true
}

// Definition implements program.Definer.
func (s scope) Definition(ident string) (notation.Expr, bool) {
	d := s.w.definers[ident]
	if len(d) == 0 {
		return nil, false
	}
	if n, ok := d[0].node.(*notation.Define); ok {
		return n.Expr, true
	}
	return d[0].formula, d[0].formula != nil
}

// Noise implements program.Noisy.
func (s scope) Noise(ident string) float64 {
	d := s.w.definers[ident]
	if len(d) == 0 {
		return 0
	}
	return d[0].noise
}
