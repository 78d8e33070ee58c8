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
	if c, isConstant := under.Constant(); isConstant {
		if exact, ok := rationalRoot(c, order); ok {
			return n.polynomial(constant(exact)), true
		}
	}
	atom := n.atom("root "+strconv.Itoa(order)+" of "+under.String(), x)
	if d, ok := under.den.constantValue(); ok {
		n.relations[atom] = relation{order, under.num.scale(new(big.Rat).Inv(d))}
	}
	return n.polynomial(atomPoly(atom)), true
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
func (n *normaliser) atom(key string, e notation.Expr) string {
	names := map[string]bool{}
	for _, name := range notation.FreeNames(e) {
		names[name.Ident] = true
	}
	n.funcs.collect(e, names, deepest)
	n.opaque[key] = names
	return key
}

func (n *normaliser) call(e *notation.Call, depth int) (Ratio, bool) {
	if params, body, ok := n.funcs.lookup(e.Fun.Ident); ok {
		inlined, ok := inline(e, params, body)
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
func (n *normaliser) function(name string, args []notation.Expr, whole notation.Expr, depth int) (Ratio, bool) {
	key := name
	var last Ratio
	for _, a := range args {
		r, ok := n.normal(a, depth-1)
		if !ok {
			return Ratio{}, false
		}
		key += " " + r.String()
		last = r
	}
	if value, ok := exactValue(name, last); ok {
		return n.polynomial(constant(value)), true
	}
	atom := n.atom(key, whole)
	switch name {
	case "abs":
		square, ok := n.mul(last, last)
		if d, constantDen := square.den.constantValue(); ok && constantDen {
			n.relations[atom] = relation{2, square.num.scale(new(big.Rat).Inv(d))}
		}
	case "sin":
		cosine := n.atom("cos "+last.String(), whole)
		f := []factor{{cosine, 2}}
		n.relations[atom] = relation{2, one().add(poly{keyOf(f): {big.NewRat(-1, 1), f}})}
	}
	return n.polynomial(atomPoly(atom)), true
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
	return n.polynomial(atomPoly(n.atom("as written "+notation.Print(e), e))), true
}
