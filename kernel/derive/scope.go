package derive

import (
	"errors"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A variable is a given name: what values are drawn for.
type variable struct {
	name   *notation.Name
	dim    unit.Dimension
	unit   *unit.Unit // as the learner writes it, or nil
	whole  bool       // a count
	counts bool       // it is the number of terms of a sum or product, each of which costs
}

// A function is the learner's own, its body in terms of given names and the
// parameters only.
type function struct {
	params []string
	body   notation.Expr
}

// scope holds what the names of a derivation mean.
type scope struct {
	symbols   map[string]*check.Symbol
	order     []string // names as they came in
	vars      []*variable
	values    map[string]notation.Expr // defined names in terms of given ones
	functions map[string]function
	domain    []*notation.Compare // in terms of given names
	checker   *check.Checker
}

func newScope() *scope {
	s := &scope{symbols: map[string]*check.Symbol{}, values: map[string]notation.Expr{}, functions: map[string]function{}}
	s.checker = check.New(s)
	return s
}

// Symbol implements check.Scope.
func (s *scope) Symbol(ident string) (*check.Symbol, bool) {
	symbol, ok := s.symbols[ident]
	return symbol, ok
}

// All implements check.Scope.
func (s *scope) All() []string { return s.order }

func (s *scope) declare(symbol *check.Symbol) {
	if _, known := s.symbols[symbol.Ident]; !known {
		s.order = append(s.order, symbol.Ident)
	}
	s.symbols[symbol.Ident] = symbol
}

// give declares a name whose values are drawn.
func (s *scope) give(name *notation.Name, d unit.Dimension, u *unit.Unit) {
	s.declare(&check.Symbol{Ident: name.Ident, At: name.Span(), Type: check.Type{Kind: check.Number, Dim: d, Unit: u}})
	s.vars = append(s.vars, &variable{name: name, dim: d, unit: u})
}

func (s *scope) variable(ident string) *variable {
	for _, v := range s.vars {
		if v.name.Ident == ident {
			return v
		}
	}
	return nil
}

// define declares a name for an expression.
func (s *scope) define(name *notation.Name, e notation.Expr, t check.Type) error {
	full, err := s.full(e)
	if err != nil {
		return err
	}
	s.values[name.Ident] = full
	s.declare(&check.Symbol{Ident: name.Ident, At: name.Span(), Type: t, Expr: e})
	return nil
}

// defineFunction declares a function.
func (s *scope) defineFunction(d *notation.DeriveDefine) error {
	params := make([]string, len(d.Params))
	body := d.Expr
	for i, p := range d.Params {
		// A parameter gets a name that no text can hold, so that it hides a
		// given name of its spelling.
		params[i] = p.Ident + "′" + d.Name.Ident
		body = algebra.Substitute(body, p.Ident, makerAt(p).name(params[i]))
	}
	full, err := s.full(body)
	if err != nil {
		return err
	}
	s.functions[d.Name.Ident] = function{params, full}
	f := &notation.DefineFunc{Name: d.Name, Params: d.Params, Body: d.Expr}
	f.At = d.At
	s.declare(&check.Symbol{Ident: d.Name.Ident, Kind: check.Function, At: d.Name.Span(), Func: f})
	return nil
}

// simplifyFunction gives a function a simpler body, in terms of the names of its
// parameters. What is proved for a restricted parameter is not proved for every
// argument, so then it is proved once more without the restriction, or the body
// stays.
func (s *scope) simplifyFunction(ident string, body notation.Expr) {
	f, def := s.functions[ident], s.symbols[ident].Func
	if !isSimpler(body, f.body) {
		return
	}
	before := f.body
	for i, p := range def.Params {
		before = algebra.Substitute(before, f.params[i], makerAt(p).name(p.Ident))
	}
	if !s.holdsForAnyArgument(def.Params, before, body) {
		return
	}
	for i, p := range def.Params {
		body = algebra.Substitute(body, p.Ident, makerAt(p).name(f.params[i]))
	}
	f.body = body
	s.functions[ident] = f
}

// holdsForAnyArgument reports whether an equation that is proved in the domain is
// proved also without what the domain says of some names.
func (s *scope) holdsForAnyArgument(names []*notation.Name, a, b notation.Expr) bool {
	domain := s.domain
	defer func() { s.domain = domain }()
	s.domain = nil
	for _, c := range domain {
		free := true
		for _, name := range names {
			free = free && !isFree(c, name.Ident)
		}
		if free {
			s.domain = append(s.domain, c)
		}
	}
	if len(s.domain) == len(domain) {
		return true
	}
	p := newProver(s)
	equal, decided := algebra.EqualExactly(p.closed(p.resolve(a)), p.closed(p.resolve(b)), nil)
	return equal && decided && p.defined(a) == nil && p.defined(b) == nil
}

var errTooLong = errors.New("with its definitions put in, this line is too long to be judged")

// maxNodes bounds an expression with all definitions put in.
const maxNodes = 4000

// full returns e in terms of given names: definitions put in, the learner's
// functions applied.
func (s *scope) full(e notation.Expr) (notation.Expr, error) {
	e = s.apply(e)
	if size(e, maxNodes) > maxNodes {
		return nil, errTooLong
	}
	for ident, value := range s.values {
		if !isFree(e, ident) {
			continue
		}
		e = put(e, ident, value)
		if size(e, maxNodes) > maxNodes {
			return nil, errTooLong
		}
	}
	return e, nil
}

// apply puts in the bodies of functions, which hold no calls of others.
func (s *scope) apply(e notation.Expr) notation.Expr {
	e = notation.Map(e, s.apply)
	call, ok := e.(*notation.Call)
	if !ok {
		return e
	}
	f, ok := s.functions[call.Fun.Ident]
	if !ok || len(f.params) != len(call.Args) {
		return e
	}
	body := f.body
	for i, p := range f.params {
		body = put(body, p, call.Args[i])
		if size(body, maxNodes) > maxNodes {
			break // full reports it
		}
	}
	return makerAt(call).paren(body)
}

// typeOf infers the type of an expression of the derivation. A limit, which
// package check does not know, has the type of its body.
func (s *scope) typeOf(e notation.Expr) (check.Type, []diagnostic) {
	t, list := s.checker.Expr(s.withoutLimits(e))
	var errs []diagnostic
	for _, d := range list {
		errs = append(errs, d)
	}
	return t, errs
}

func (s *scope) withoutLimits(e notation.Expr) notation.Expr {
	e = notation.Map(e, s.withoutLimits)
	b, ok := e.(*notation.Bind)
	if !ok || b.Kind != notation.Limit {
		return e
	}
	c := *b
	c.Kind = notation.Largest
	if _, infinite := b.From.(*notation.Infinity); infinite {
		c.From = makerAt(b.Var).number(1)
		if symbol, known := s.symbols[b.Var.Ident]; known && symbol.Kind == check.Value {
			c.From = makerAt(b.Var).name(b.Var.Ident)
		} else if countsTerms(b.Body, b.Var.Ident) {
			c.Kind = notation.Sum
		}
	}
	c.To = c.From
	return &c
}

// countsTerms reports whether a name is used as the limit of a sum or product.
func countsTerms(e notation.Expr, ident string) bool {
	return len(find(e, func(b *notation.Bind) bool {
		return (b.Kind == notation.Sum || b.Kind == notation.Product) && (isFree(b.From, ident) || isFree(b.To, ident))
	})) > 0
}
