package algebra

import (
	"math/big"
	"strconv"

	"shaftbook/kernel/notation"
)

// power handles xʸ: exactly for a whole y, as a power of a root for y = p/q, as
// an opaque part otherwise.
func (n *normaliser) power(e *notation.Binary, depth int) (Ratio, bool) {
	exponent, ok := n.normal(e.Y, depth-1)
	if !ok {
		return Ratio{}, false
	}
	r, isConstant := exponent.Constant()
	if !isConstant || !r.Denom().IsInt64() || !r.Num().IsInt64() || r.Denom().Int64() > 12 {
		return n.function("power", []notation.Expr{e.X, e.Y}, e, depth)
	}
	base, ok := n.normal(e.X, depth-1)
	if ok && !r.IsInt() {
		base, ok = n.root(e.X, int(r.Denom().Int64()), depth)
	}
	if !ok {
		return Ratio{}, false
	}
	return n.wholePower(base, r.Num().Int64())
}

func (n *normaliser) wholePower(base Ratio, k int64) (Ratio, bool) {
	if k > maxDegree || k < -maxDegree {
		return Ratio{}, false
	}
	if k < 0 {
		if base.num.isZero() {
			return Ratio{}, false
		}
		base, k = Ratio{base.den, base.num, n}, -k
	}
	result, ok := n.polynomial(one()), true
	for range k {
		if result, ok = n.mul(result, base); !ok {
			break
		}
	}
	return result, ok
}

// root is the root of an order of x; where x is a polynomial, its powers are
// reduced.
func (n *normaliser) root(x notation.Expr, order, depth int) (Ratio, bool) {
	under, ok := n.normal(x, depth-1)
	if !ok {
		return Ratio{}, false
	}
	under = n.known("root "+strconv.Itoa(order), under)
	if c, isConstant := under.Constant(); isConstant {
		if exact, ok := rationalRoot(c, order); ok {
			return n.polynomial(constant(rationalFrom(exact))), true
		}
	}
	atom, ok := n.atom("root "+strconv.Itoa(order)+" of "+under.String(), x)
	if !ok {
		return Ratio{}, false
	}
	n.write(atom, rootOf(x, order))
	if d, ok := under.den.constantValue(); ok {
		n.relations[atom] = relation{order, under.num.scale(d.inverse())}
	}
	return n.power1(atom), true
}

// rootOf writes the root of an order as a power.
func rootOf(x notation.Expr, order int) notation.Expr {
	b := builder{x.Span()}
	part := b.binary(notation.OpDiv, b.number(1), b.number(order))
	return b.binary(notation.OpPow, x, part)
}

// write keeps the expression of an opaque part that is outside every form that
// binds a name.
func (n *normaliser) write(atom int, e notation.Expr) {
	if n.level == 0 {
		n.written[atom] = e
	}
}

func rationalRoot(c *big.Rat, order int) (*big.Rat, bool) {
	if c.Sign() < 0 || order != 2 {
		return nil, false
	}
	p, q := new(big.Int).Sqrt(c.Num()), new(big.Int).Sqrt(c.Denom())
	root := new(big.Rat).SetFrac(p, q)
	return root, new(big.Rat).Mul(root, root).Cmp(c) == 0
}

// atom makes an opaque indeterminate that depends on the free names of e.
func (n *normaliser) atom(key string, e notation.Expr) (int, bool) {
	id, ok := n.id(key)
	if !ok {
		return 0, false
	}
	names := map[string]bool{}
	for _, name := range notation.FreeNames(e) {
		names[name.Ident] = true
	}
	n.funcs.collect(e, names, map[string]bool{})
	n.opaque[id] = names
	return id, true
}

func (n *normaliser) call(e *notation.Call, depth int) (Ratio, bool) {
	if params, body, ok := n.funcs.lookup(e.Fun.Ident); ok {
		inlined, ok := Inline(e, params, body)
		if !ok {
			return Ratio{}, false
		}
		return n.normal(inlined, depth-1)
	}
	if e.Fun.Ident == "sqrt" && len(e.Args) == 1 {
		return n.root(e.Args[0], 2, depth)
	}
	switch e.Fun.Ident {
	case "low", "high", "width", "mid":
		return Ratio{}, false
	}
	return n.function(e.Fun.Ident, e.Args, e, depth)
}

// function is an opaque part known by its name and the normal forms of its
// arguments.
func (n *normaliser) function(name string, args []notation.Expr, written notation.Expr, depth int) (Ratio, bool) {
	key := name
	var last Ratio
	for i, a := range args {
		r, ok := n.normal(a, depth-1)
		if !ok {
			return Ratio{}, false
		}
		last = n.known(name+strconv.Itoa(i), r)
		key += " " + last.String()
	}
	if name == "exp" {
		return n.exponential(last, args[0])
	}
	if value, ok := n.ofTurns(name, last); ok {
		return n.polynomial(constant(rationalFrom(value))), true
	}
	if value, ok := exactValue(name, last); ok {
		return n.polynomial(constant(rationalFrom(value))), true
	}
	if part, ok := arcOf(name, last); ok {
		π, ok := n.indeterminate("π")
		π.num = π.num.scale(rationalFrom(part))
		return π, ok
	}
	atom, ok := n.atom(key, written)
	if !ok {
		return Ratio{}, false
	}
	n.write(atom, written)
	switch name {
	case "abs":
		square, ok := n.mul(last, last)
		if d, constantDen := square.den.constantValue(); ok && constantDen {
			n.relations[atom] = relation{2, square.num.scale(d.inverse())}
		}
	case "sin":
		if cosine, ok := n.atom("cos "+last.String(), written); ok {
			n.relations[atom] = relation{2, one().add(poly{{whole(-1), powerOf(cosine, 2)}})}
		}
	}
	return n.power1(atom), true
}

// known returns a ratio that is equal to r and was met before in the same role,
// so that two ways to write one argument make one part.
func (n *normaliser) known(role string, r Ratio) Ratio {
	for _, before := range n.arguments[role] {
		if difference, ok := n.sub(before, r); ok && difference.num.isZero() {
			return before
		}
	}
	n.arguments[role] = append(n.arguments[role], r)
	return r
}

// exponential makes exp of a sum a product: each term c/q·t gives the c-th power
// of exp(t/q), where the denominator of the whole is a constant.
func (n *normaliser) exponential(arg Ratio, written notation.Expr) (Ratio, bool) {
	d, ok := arg.den.constantValue()
	if !ok {
		atom, ok := n.atom("exp "+arg.String(), written)
		if !ok {
			return Ratio{}, false
		}
		n.write(atom, builder{written.Span()}.call("exp", written))
		return n.power1(atom), true
	}
	result := n.polynomial(one())
	for _, m := range arg.num {
		c := m.coefficient.quo(d)
		if c.wide != nil || c.den > maxDegree {
			return Ratio{}, false
		}
		unit := poly{{rational{num: 1, den: c.den}, m.powers}}
		atom, ok := n.atom("exp "+unit.text(n.names), written)
		if !ok {
			return Ratio{}, false
		}
		n.writeExponential(atom, unit, written)
		if c.den > 1 {
			power, ok := n.atom("exp "+poly{{whole(1), m.powers}}.text(n.names), written)
			if !ok {
				return Ratio{}, false
			}
			n.writeExponential(power, poly{{whole(1), m.powers}}, written)
			n.relations[atom] = relation{int(c.den), n.power1(power).num}
		}
		part, ok := n.wholePower(n.power1(atom), c.num)
		if !ok {
			return Ratio{}, false
		}
		if result, ok = n.mul(result, part); !ok {
			return Ratio{}, false
		}
	}
	return result, true
}

// writeExponential keeps exp(p) as what an atom is written as.
func (n *normaliser) writeExponential(atom int, p poly, at notation.Expr) {
	b := builder{at.Span()}
	if tree, ok := p.expression(b, n); ok {
		n.write(atom, b.call("exp", tree))
	}
}

// ofTurns returns the sine or cosine of a multiple of π where it is 0, ±1 or ±½.
func (n *normaliser) ofTurns(name string, arg Ratio) (*big.Rat, bool) {
	if name != "sin" && name != "cos" {
		return nil, false
	}
	π, ok := n.indeterminate("π")
	if !ok {
		return nil, false
	}
	turns, ok := n.div(arg, π)
	if !ok {
		return nil, false
	}
	r, ok := turns.Constant()
	if !ok {
		return nil, false
	}
	sixths := new(big.Rat).Mul(r, big.NewRat(6, 1)) // of half a turn
	if !sixths.IsInt() {
		return nil, false
	}
	k := int(new(big.Int).Mod(sixths.Num(), big.NewInt(12)).Int64())
	if name == "cos" {
		k = (k + 3) % 12 // cos x = sin(x + π/2)
	}
	halves, ok := map[int]int64{0: 0, 1: 1, 3: 2, 5: 1, 6: 0, 7: -1, 9: -2, 11: -1}[k]
	return big.NewRat(halves, 2), ok
}

// arcOf returns the part of π that an inverse function of 0, ±½ or ±1 is.
func arcOf(name string, arg Ratio) (*big.Rat, bool) {
	x, ok := arg.Constant()
	if !ok {
		return nil, false
	}
	parts := map[string]map[string][2]int64{
		"atan": {"1": {1, 4}, "-1": {-1, 4}},
		"asin": {"1/2": {1, 6}, "1": {1, 2}, "-1/2": {-1, 6}, "-1": {-1, 2}},
		"acos": {"0": {1, 2}, "1/2": {1, 3}, "1": {0, 1}, "-1/2": {2, 3}, "-1": {1, 1}},
	}
	part, ok := parts[name][x.RatString()]
	if !ok {
		return nil, false
	}
	return big.NewRat(part[0], part[1]), true
}

// exactValue returns the values of functions at 0 and 1 that are whole.
func exactValue(name string, arg Ratio) (*big.Rat, bool) {
	x, ok := arg.Constant()
	if !ok {
		return nil, false
	}
	switch {
	case x.Sign() == 0 && (name == "sin" || name == "tan" || name == "asin" || name == "atan"):
		return new(big.Rat), true
	case x.Sign() == 0 && (name == "cos" || name == "exp"):
		return big.NewRat(1, 1), true
	case x.Cmp(big.NewRat(1, 1)) == 0 && (name == "ln" || name == "log10"):
		return new(big.Rat), true
	case name == "abs":
		return new(big.Rat).Abs(x), true
	}
	return nil, false
}

// verbatim is an opaque part known by its text. Functions in it are not put in.
func (n *normaliser) verbatim(e notation.Expr) (Ratio, bool) {
	atom, ok := n.atom("as written "+notation.Print(e), e)
	return n.power1(atom), ok
}
