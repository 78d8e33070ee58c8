package algebra

import (
	"shaftbook/kernel/notation"
)

// Derivative returns the derivative of e with respect to a name, every other
// name held constant. The lesson's own functions are put in.
//
// Rules: sums, products, quotients, powers (a constant exponent gives
// n·uⁿ⁻¹·u′, any other uᵛ·(v′·ln u + v·u′/u)), the functions of the notation,
// if, min and max branch by branch, |u|′ = u′·sign u, sums term by term,
// products as Πf·Σf′/f, roots by the implicit function theorem −F_p/F_x, and
// for integrals Leibniz' rule
//
//	d/dp ∫ f dx from a to b = ∫ ∂f/∂p dx + f(b)·b′ − f(a)·a′
//
// The result holds where e is differentiable: at the seam of an if, at the
// kink of |u|, min and max it is one of the two one-sided derivatives, and the
// product's form needs every factor to differ from 0. Terms that vanish
// identically are left out.
//
// Failure: *NoRuleError (errors.Is ErrNoRule) for floor, ceil, round, brackets,
// fields of shafts, largest, smallest, limit, and sums and products whose
// limits depend on the name; and for a formula whose derivative takes more than
// MostLooked parts to find or to write.
//
// Sources: DLMF 1.4(iii) derivatives, 1.5(v) Leibniz' theorem for integrals,
// 4.7, 4.20 and 4.24 elementary functions.
func Derivative(e notation.Expr, name string, funcs Functions) (notation.Expr, error) {
	return DerivativeWithin(&notation.Within{Left: MostLooked}, e, name, funcs)
}

// DerivativeWithin is Derivative for a caller that counts, or bounds for several
// derivatives together, how many parts are looked at.
func DerivativeWithin(within *notation.Within, e notation.Expr, name string, funcs Functions) (notation.Expr, error) {
	d := differentiator{name: name, funcs: funcs, depth: deepest, within: within, functions: map[functionOf]bool{}}
	slope, err := d.differentiate(e)
	if err != nil {
		return nil, err
	}
	return slope, d.look(e, slope)
}

type differentiator struct {
	name      string
	funcs     Functions
	depth     int                 // functions that may still be put in
	within    *notation.Within    // parts that may still be looked at
	functions map[functionOf]bool // whether a function can change with a name that is none of its parameters
}

// A functionOf is a function of the lesson and a name.
type functionOf struct{ function, name string }

// look takes the parts of trees off those that may still be looked at; e is what
// they come from.
func (d differentiator) look(e notation.Expr, trees ...notation.Expr) error {
	for _, x := range trees {
		if !d.within.Holds(x) {
			return &NoRuleError{e.Span(), "a formula that grows so large"}
		}
	}
	return nil
}

func (d differentiator) differentiate(e notation.Expr) (notation.Expr, error) {
	b := builder{e.Span()}
	depends, err := d.depends(e)
	if err != nil {
		return nil, err
	}
	if !depends {
		return b.number(0), nil
	}
	switch e := e.(type) {
	case *notation.Name:
		return b.number(1), nil
	case *notation.Paren:
		return d.differentiate(e.X)
	case *notation.Unary:
		u, err := d.differentiate(e.X)
		if err != nil || e.Op != notation.OpNeg {
			return u, err
		}
		return b.neg(u), nil
	case *notation.Binary:
		return d.binary(b, e)
	case *notation.Abs:
		return d.chain(e.X, b.sign)
	case *notation.Root:
		return d.rootOf(b, e, e.X)
	case *notation.Call:
		return d.call(b, e)
	case *notation.If:
		then, err := d.differentiate(e.Then)
		if err != nil {
			return nil, err
		}
		otherwise, err := d.differentiate(e.Else)
		if err != nil {
			return nil, err
		}
		branch := *e
		branch.Then, branch.Else = then, otherwise
		return &branch, nil
	case *notation.Bind:
		return d.bind(b, e)
	case *notation.Field:
		return nil, &NoRuleError{e.Span(), e.X.Ident + "." + e.Field}
	}
	return nil, &NoRuleError{e.Span(), "a bracket or a condition"}
}

// depends reports whether e can change with the name, by itself or through a
// function of the lesson.
func (d differentiator) depends(e notation.Expr) (bool, error) {
	if d.depth == 0 {
		return false, &NoRuleError{e.Span(), "functions put into each other so deep"}
	}
	if err := d.look(e, e); err != nil {
		return false, err
	}
	for _, n := range notation.FreeNames(e) {
		if n.Ident == d.name {
			return true, nil
		}
		if depends, err := d.functionDepends(n.Ident); depends || err != nil {
			return depends, err
		}
	}
	return false, nil
}

// functionDepends reports whether a function can change with the name by itself.
func (d differentiator) functionDepends(ident string) (bool, error) {
	params, body, ok := d.funcs.lookup(ident)
	if !ok || contains(params, d.name) {
		return false, nil
	}
	key := functionOf{ident, d.name}
	if depends, known := d.functions[key]; known {
		return depends, nil
	}
	d.depth--
	depends, err := d.depends(body)
	if err == nil {
		d.functions[key] = depends
	}
	return depends, err
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func (d differentiator) pair(x, y notation.Expr) (dx, dy notation.Expr, err error) {
	if dx, err = d.differentiate(x); err != nil {
		return nil, nil, err
	}
	dy, err = d.differentiate(y)
	return dx, dy, err
}

// chain is outer(u)·u′.
func (d differentiator) chain(u notation.Expr, outer func(u notation.Expr) notation.Expr) (notation.Expr, error) {
	du, err := d.differentiate(u)
	if err != nil {
		return nil, err
	}
	return builder{u.Span()}.mul(outer(u), du), nil
}

func (d differentiator) rootOf(b builder, whole, u notation.Expr) (notation.Expr, error) {
	return d.chain(u, func(notation.Expr) notation.Expr { return b.div(b.number(1), b.mul(b.number(2), whole)) })
}

func (d differentiator) binary(b builder, e *notation.Binary) (notation.Expr, error) {
	dx, dy, err := d.pair(e.X, e.Y)
	if err != nil {
		return nil, err
	}
	switch e.Op {
	case notation.OpAdd:
		return b.add(dx, dy), nil
	case notation.OpSub:
		return b.sub(dx, dy), nil
	case notation.OpMul:
		return b.add(b.mul(dx, e.Y), b.mul(e.X, dy)), nil
	case notation.OpDiv:
		// u′/v − u·v′/v² keeps the parts that do not vary short.
		return b.sub(b.div(dx, e.Y), b.div(b.mul(e.X, dy), b.square(e.Y))), nil
	case notation.OpPow:
		if isNumber(dy, 0) {
			return b.mul(b.mul(e.Y, b.pow(e.X, b.lessOne(e.Y))), dx), nil
		}
		inner := b.add(b.mul(dy, b.call("ln", e.X)), b.div(b.mul(e.Y, dx), e.X))
		return b.mul(e, inner), nil
	}
	return nil, &NoRuleError{e.Span(), "“" + e.Op.String() + "”"}
}

// lessOne is y − 1, worked out where y is a small whole number.
func (b builder) lessOne(y notation.Expr) notation.Expr {
	if r, ok := notation.StaticRational(y, func(string) (notation.Expr, bool) { return nil, false }); ok && r.IsInt() && r.Num().IsInt64() {
		if n := r.Num().Int64(); n > -1000 && n < 1000 {
			return b.number(int(n) - 1)
		}
	}
	return b.sub(y, b.number(1))
}

func (d differentiator) call(b builder, e *notation.Call) (notation.Expr, error) {
	if params, body, ok := d.funcs.lookup(e.Fun.Ident); ok {
		inlined, ok := Inline(e, params, body)
		if !ok {
			return nil, &NoRuleError{e.Span(), e.Fun.Ident + " with a wrong number of arguments"}
		}
		d.depth--
		return d.differentiate(inlined)
	}
	if e.Fun.Ident == "min" || e.Fun.Ident == "max" {
		return d.leastOf(b, e)
	}
	if e.Fun.Ident == "atan2" && len(e.Args) == 2 {
		y, x := e.Args[0], e.Args[1]
		dy, dx, err := d.pair(y, x)
		if err != nil {
			return nil, err
		}
		return b.div(b.sub(b.mul(x, dy), b.mul(y, dx)), b.add(b.square(x), b.square(y))), nil
	}
	rule, ok := outerRules[e.Fun.Ident]
	if !ok || len(e.Args) != 1 {
		return nil, &NoRuleError{e.Span(), e.Fun.Ident}
	}
	return d.chain(e.Args[0], func(u notation.Expr) notation.Expr { return rule(b, e, u) })
}

// outerRules gives f′(u) for the functions f of one argument; whole is f(u).
var outerRules = map[string]func(b builder, whole, u notation.Expr) notation.Expr{
	"sqrt": func(b builder, whole, u notation.Expr) notation.Expr {
		return b.div(b.number(1), b.mul(b.number(2), whole))
	},
	"abs": func(b builder, whole, u notation.Expr) notation.Expr { return b.sign(u) },
	"sin": func(b builder, whole, u notation.Expr) notation.Expr { return b.call("cos", u) },
	"cos": func(b builder, whole, u notation.Expr) notation.Expr { return b.neg(b.call("sin", u)) },
	"tan": func(b builder, whole, u notation.Expr) notation.Expr { return b.add(b.number(1), b.square(whole)) },
	"asin": func(b builder, whole, u notation.Expr) notation.Expr {
		return b.div(b.number(1), b.root(b.sub(b.number(1), b.square(u))))
	},
	"acos": func(b builder, whole, u notation.Expr) notation.Expr {
		return b.neg(b.div(b.number(1), b.root(b.sub(b.number(1), b.square(u)))))
	},
	"atan": func(b builder, whole, u notation.Expr) notation.Expr {
		return b.div(b.number(1), b.add(b.number(1), b.square(u)))
	},
	"exp": func(b builder, whole, u notation.Expr) notation.Expr { return whole },
	"ln":  func(b builder, whole, u notation.Expr) notation.Expr { return b.div(b.number(1), u) },
	"log10": func(b builder, whole, u notation.Expr) notation.Expr {
		return b.div(b.number(1), b.mul(u, b.call("ln", b.number(10))))
	},
}

// leastOf folds min(a, b, c) into if a < min(b, c) then a′ else min(b, c)′, and
// max likewise.
func (d differentiator) leastOf(b builder, e *notation.Call) (notation.Expr, error) {
	first := e.Args[0]
	if len(e.Args) == 1 {
		return d.differentiate(first)
	}
	rest := b.call(e.Fun.Ident, e.Args[1:]...)
	dx, dy, err := d.pair(first, rest)
	if err != nil {
		return nil, err
	}
	if e.Fun.Ident == "min" {
		return b.ifLess(first, rest, dx, dy), nil
	}
	return b.ifLess(rest, first, dx, dy), nil
}
