package algebra

import (
	"math/big"

	"shaftbook/kernel/notation"
)

// An Expansion is what an expression is close to where a name is small: the sum of
// Terms[i]·name^(Order+i), and what is left out is at most of the next order, if all
// Needs are met. Terms and Needs do not hold the name. The first of the terms is not
// recognised as 0; without terms, all that was looked at are 0.
type Expansion struct {
	Order int
	Terms []notation.Expr
	Exact bool // nothing is left out
	Sure  bool // a term that is not recognised as 0 is not identically 0
	Needs []Need
}

// A Need is a sign that an expression must have for an expansion to hold.
type Need struct {
	X    notation.Expr
	Sign Sign
}

// seriesTerms is how many terms an expansion has at most, unless it is exact.
const seriesTerms = 8

// exactOrder is the order of what an exact expansion leaves out.
const exactOrder = 1 << 20

// Expand expands e around the value 0 of a name, in whole powers of it (Laurent's
// series). It works on the tree with exact coefficients: sums, products, quotients and
// powers of series, and for functions the recurrences that their differential equations
// give (D.E. Knuth, The Art of Computer Programming, vol. 2, 3rd ed., 4.7, from
// memory). ok is false if e has no such series here: |x|, branches, integrals and sums
// over the name are not expanded.
//
// Roots of coefficients pass through simplify, which may know that √(a²) is a.
func Expand(e notation.Expr, ident string, simplify func(notation.Expr) notation.Expr) (Expansion, bool) {
	n := newNormaliser(nil)
	n.work *= 10
	x := &expander{n: n, ident: ident, at: builder{e.Span()}, sure: true, simplify: simplify}
	s, ok := x.expand(e, deepest)
	if !ok {
		return Expansion{}, false
	}
	s = s.trimmed()
	out := Expansion{Order: s.lead, Exact: s.order == exactOrder, Sure: x.sure, Needs: x.needs}
	if len(s.c) == 0 {
		out.Order = s.order
		return out, true
	}
	for _, c := range s.c {
		tree, ok := x.tree(c)
		if !ok {
			return Expansion{}, false
		}
		out.Terms = append(out.Terms, tree)
	}
	return out, true
}

func (b builder) paren(x notation.Expr) notation.Expr {
	node := &notation.Paren{X: x}
	node.At = b.at
	return node
}

// A series is Σ c[i]·name^(lead+i), known up to below the order.
type series struct {
	lead  int
	c     []Ratio
	order int
}

// trimmed drops zeros at the beginning, and what is past the order.
func (s series) trimmed() series {
	for len(s.c) > 0 && s.c[0].num.isZero() {
		s.c = s.c[1:]
		s.lead++
	}
	for len(s.c) > 0 && (s.c[len(s.c)-1].num.isZero() || s.lead+len(s.c) > s.order) {
		s.c = s.c[:len(s.c)-1]
	}
	return s
}

// cut keeps as many terms as an expansion has.
func (s series) cut() series {
	if s = s.trimmed(); len(s.c) > seriesTerms {
		s.c = s.c[:seriesTerms]
		s.order = min(s.order, s.lead+seriesTerms)
	}
	return s
}

type expander struct {
	n     *normaliser
	ident string
	at    builder
	needs []Need
	sure  bool

	simplify func(notation.Expr) notation.Expr // or nil
}

// term returns the coefficient of name^(lead+i), 0 past the last.
func (x *expander) term(s series, i int) Ratio {
	if i < 0 || i >= len(s.c) {
		return x.n.polynomial(nil)
	}
	return s.c[i]
}

// tree writes a coefficient.
func (x *expander) tree(r Ratio) (notation.Expr, bool) {
	num, ok1 := r.num.expression(x.at, x.n)
	den, ok2 := r.den.expression(x.at, x.n)
	return x.at.div(num, den), ok1 && ok2
}

// need notes a sign that a coefficient must have.
func (x *expander) need(r Ratio, sign Sign) bool {
	e, ok := x.tree(r)
	if ok && !SignOf(e, func(string) Sign { return AnySign }).Within(sign) {
		x.needs = append(x.needs, Need{e, sign})
	}
	return ok
}

func (x *expander) constant(e notation.Expr) (series, bool) {
	r, ok := x.n.normal(e, deepest)
	if ok && r.hasOpaque() {
		x.sure = false
	}
	return series{0, []Ratio{r}, exactOrder}, ok
}

func (x *expander) whole(k int64) series {
	return series{0, []Ratio{x.n.polynomial(constant(whole(k)))}, exactOrder}
}

func (x *expander) expand(e notation.Expr, depth int) (series, bool) {
	if depth == 0 || x.n.work < 0 {
		return series{}, false
	}
	if !mentions(e, map[string]notation.Expr{x.ident: nil}) {
		return x.constant(e)
	}
	switch e := e.(type) {
	case *notation.Name:
		return series{1, x.whole(1).c, exactOrder}, true
	case *notation.Paren:
		return x.expand(e.X, depth)
	case *notation.Unary:
		s, ok := x.expand(e.X, depth-1)
		if ok && e.Op == notation.OpNeg {
			return x.mul(x.whole(-1), s)
		}
		return s, ok
	case *notation.Binary:
		return x.binary(e, depth)
	case *notation.Root:
		s, ok := x.expand(e.X, depth-1)
		if !ok {
			return s, false
		}
		return x.power(s, big.NewRat(1, 2))
	case *notation.Call:
		if len(e.Args) != 1 {
			return series{}, false
		}
		s, ok := x.expand(e.Args[0], depth-1)
		if !ok {
			return s, false
		}
		return x.function(e.Fun.Ident, s)
	case *notation.Bind:
		if e.Kind != notation.Derivative {
			return series{}, false
		}
		slope, err := Derivative(e.Body, e.Var.Ident, nil)
		if err != nil {
			return series{}, false
		}
		return x.expand(Substitute(slope, e.Var.Ident, e.From), depth-1)
	}
	return series{}, false
}

func (x *expander) binary(e *notation.Binary, depth int) (series, bool) {
	s, ok := x.expand(e.X, depth-1)
	if !ok {
		return s, false
	}
	if e.Op == notation.OpPow {
		exponent, ok := x.n.normal(e.Y, deepest)
		r, isConstant := exponent.Constant()
		if !ok || !isConstant || !r.Num().IsInt64() || !r.Denom().IsInt64() {
			return series{}, false
		}
		return x.power(s, r)
	}
	t, ok := x.expand(e.Y, depth-1)
	if !ok {
		return t, false
	}
	switch e.Op {
	case notation.OpAdd:
		return x.add(s, t)
	case notation.OpSub:
		if t, ok = x.mul(x.whole(-1), t); !ok {
			return t, false
		}
		return x.add(s, t)
	case notation.OpMul:
		return x.mul(s, t)
	case notation.OpDiv:
		if t, ok = x.power(t, big.NewRat(-1, 1)); !ok {
			return t, false
		}
		return x.mul(s, t)
	}
	return series{}, false
}

func (x *expander) add(s, t series) (series, bool) {
	out := series{lead: min(s.lead, t.lead), order: min(s.order, t.order)}
	last := max(s.lead+len(s.c), t.lead+len(t.c))
	for k := out.lead; k < min(last, out.order); k++ {
		sum, ok := x.n.add(x.term(s, k-s.lead), x.term(t, k-t.lead))
		if !ok {
			return out, false
		}
		out.c = append(out.c, sum)
	}
	return out.cut(), true
}

func (x *expander) mul(s, t series) (series, bool) {
	s, t = s.trimmed(), t.trimmed()
	out := series{lead: s.lead + t.lead, order: exactOrder}
	if s.order < exactOrder {
		out.order = min(out.order, s.order+t.lead)
	}
	if t.order < exactOrder {
		out.order = min(out.order, t.order+s.lead)
	}
	if len(s.c) == 0 || len(t.c) == 0 {
		return out, true
	}
	for k := range len(s.c) + len(t.c) - 1 {
		if out.lead+k >= out.order || k > seriesTerms {
			out.order = min(out.order, out.lead+k)
			break
		}
		sum := x.n.polynomial(nil)
		for i := range k + 1 {
			if i >= len(s.c) || k-i >= len(t.c) {
				continue
			}
			product, ok1 := x.n.mul(s.c[i], t.c[k-i])
			total, ok2 := x.n.add(sum, product)
			if !ok1 || !ok2 {
				return out, false
			}
			sum = total
		}
		out.c = append(out.c, sum)
	}
	return out.cut(), true
}

// split writes s as c·name^lead·f, where f begins with 1 and has as many terms as an
// expansion. exact is whether f is 1.
func (x *expander) split(s series) (c Ratio, f series, exact, ok bool) {
	s = s.trimmed()
	if len(s.c) == 0 {
		return c, f, false, false
	}
	f = series{order: min(seriesTerms, s.order-s.lead)}
	for i := range f.order {
		term, ok := x.n.div(x.term(s, i), s.c[0])
		if !ok {
			return c, f, false, false
		}
		f.c = append(f.c, term)
	}
	return s.c[0], f, len(s.c) == 1 && s.order == exactOrder, true
}

// power raises a series to a power: whole powers of any, others where the first
// coefficient is positive. With g = fʳ, g′·f = r·f′·g gives the coefficients.
func (x *expander) power(s series, r *big.Rat) (series, bool) {
	if r.Sign() == 0 {
		return x.whole(1), true
	}
	if r.IsInt() && r.Sign() > 0 && s.order == exactOrder && r.Num().Int64() <= seriesTerms {
		out, ok := s, true
		for range r.Num().Int64() - 1 {
			if out, ok = x.mul(out, s); !ok {
				return out, false
			}
		}
		return out, true
	}
	c, f, exact, ok := x.split(s)
	s = s.trimmed()
	lead := new(big.Rat).Mul(r, big.NewRat(int64(s.lead), 1))
	if !ok || !lead.IsInt() || !lead.Num().IsInt64() {
		return series{}, false
	}
	sign := NonZero
	if !r.IsInt() {
		sign = Positive
	}
	if (r.Sign() < 0 || !r.IsInt()) && !x.need(c, sign) {
		return series{}, false
	}
	base, ok := x.tree(c)
	if !ok {
		return series{}, false
	}
	first, ok := x.whole(1), true
	if value, isConstant := c.Constant(); !isConstant || value.Cmp(big.NewRat(1, 1)) != 0 {
		first, ok = x.constant(x.powerOf(base, r))
	}
	if !ok {
		return series{}, false
	}
	if exact {
		return series{int(lead.Num().Int64()), first.c, exactOrder}, true
	}
	g := series{0, x.whole(1).c, f.order}
	for n := 1; n < f.order; n++ {
		sum := x.n.polynomial(nil)
		for i := 1; i <= n; i++ {
			// (r·i − (n − i))·f_i·g_(n−i)/n
			factor := new(big.Rat).Mul(r, big.NewRat(int64(i), 1))
			factor.Sub(factor, big.NewRat(int64(n-i), 1)).Quo(factor, big.NewRat(int64(n), 1))
			product, ok1 := x.n.mul(f.c[i], g.c[n-i])
			product.num = product.num.scale(rationalFrom(factor))
			total, ok2 := x.n.add(sum, product)
			if !ok1 || !ok2 {
				return series{}, false
			}
			sum = total
		}
		g.c = append(g.c, sum)
	}
	return x.mul(series{int(lead.Num().Int64()), first.c, exactOrder}, g)
}

// powerOf writes a power of a coefficient, one of its square root where it can be.
func (x *expander) powerOf(base notation.Expr, r *big.Rat) notation.Expr {
	base = x.at.paren(base)
	if r.Denom().Cmp(big.NewInt(2)) == 0 {
		base = x.at.paren(x.at.root(base))
		r = new(big.Rat).SetInt(r.Num())
		if x.simplify != nil {
			base = x.at.paren(x.simplify(base))
		}
	}
	return x.at.binary(notation.OpPow, base, rationalAt(x.at.at, r))
}

// function expands a function of a series that has a value where the name is 0.
func (x *expander) function(name string, s series) (series, bool) {
	s = s.trimmed()
	if s.lead < 0 && len(s.c) > 0 {
		return series{}, false
	}
	// u is s without its value at 0, a.
	a, u := x.n.polynomial(nil), s
	if s.lead == 0 && len(s.c) > 0 {
		a, u = s.c[0], series{1, s.c[1:], s.order}
	}
	value := func(fun string) (Ratio, bool) {
		arg, ok := x.tree(a)
		if !ok {
			return Ratio{}, false
		}
		r, ok := x.constant(x.at.call(fun, arg))
		if !ok {
			return Ratio{}, false
		}
		return r.c[0], true
	}
	switch name {
	case "sqrt":
		return x.power(s, big.NewRat(1, 2))
	case "exp":
		first, ok := value("exp")
		if !ok {
			return series{}, false
		}
		return x.solve(u, []Ratio{first}, [][]int{{1}})
	case "sin", "cos":
		sine, ok1 := value("sin")
		cosine, ok2 := value("cos")
		if !ok1 || !ok2 {
			return series{}, false
		}
		if name == "cos" {
			return x.solve(u, []Ratio{cosine, sine}, [][]int{{0, -1}, {1, 0}})
		}
		return x.solve(u, []Ratio{sine, cosine}, [][]int{{0, 1}, {-1, 0}})
	case "tan":
		top, ok1 := x.function("sin", s)
		bottom, ok2 := x.function("cos", s)
		if !ok1 || !ok2 {
			return series{}, false
		}
		if bottom, ok1 = x.power(bottom, big.NewRat(-1, 1)); !ok1 {
			return series{}, false
		}
		return x.mul(top, bottom)
	case "ln":
		if s.lead != 0 || len(s.c) == 0 || !x.need(a, Positive) {
			return series{}, false
		}
		first, ok := value("ln")
		if !ok {
			return series{}, false
		}
		return x.integrated(s, first, s, big.NewRat(-1, 1))
	case "atan", "asin":
		square, ok := x.mul(s, s)
		if !ok || name == "asin" && !a.num.isZero() {
			return series{}, false
		}
		exponent := big.NewRat(-1, 1)
		if name == "asin" {
			exponent = big.NewRat(-1, 2)
			square, ok = x.mul(x.whole(-1), square)
		}
		under, ok2 := x.add(x.whole(1), square)
		first, ok3 := value(name)
		if !ok || !ok2 || !ok3 {
			return series{}, false
		}
		return x.integrated(s, first, under, exponent)
	}
	return series{}, false
}

// solve expands functions y_0, y_1, … with y_j′ = u′·Σ m[j][k]·y_k and given values at
// 0, and returns the first: n·y_j,n = Σ i·u_i·Σ m[j][k]·y_k,n−i.
func (x *expander) solve(u series, first []Ratio, m [][]int) (series, bool) {
	order := min(seriesTerms, u.order)
	y := make([][]Ratio, len(first))
	for j := range first {
		y[j] = []Ratio{first[j]}
	}
	for n := 1; n < order; n++ {
		next := make([]Ratio, len(first))
		for j := range first {
			sum := x.n.polynomial(nil)
			for i := 1; i <= n; i++ {
				for k, factor := range m[j] {
					if factor == 0 {
						continue
					}
					product, ok1 := x.n.mul(x.term(u, i-u.lead), y[k][n-i])
					product.num = product.num.scale(rationalFrom(big.NewRat(int64(factor*i), int64(n))))
					total, ok2 := x.n.add(sum, product)
					if !ok1 || !ok2 {
						return series{}, false
					}
					sum = total
				}
			}
			next[j] = sum
		}
		for j := range first {
			y[j] = append(y[j], next[j])
		}
	}
	return series{0, y[0], order}, true
}

// integrated expands the function with a given value at 0 whose slope is s′·under^r.
func (x *expander) integrated(s series, first Ratio, under series, r *big.Rat) (series, bool) {
	slope := series{lead: s.lead - 1, order: s.order}
	if s.order < exactOrder {
		slope.order--
	}
	for i, c := range s.c {
		c.num = c.num.scale(whole(int64(s.lead + i)))
		slope.c = append(slope.c, c)
	}
	power, ok := x.power(under, r)
	if !ok {
		return series{}, false
	}
	f, ok := x.mul(slope.trimmed(), power)
	if !ok || f.lead < 0 && len(f.c) > 0 {
		return series{}, false
	}
	out := series{lead: f.lead + 1, order: f.order}
	if f.order < exactOrder {
		out.order++
	}
	for i, c := range f.c {
		c.num = c.num.scale(rationalFrom(big.NewRat(1, int64(f.lead+i+1))))
		out.c = append(out.c, c)
	}
	return x.add(series{0, []Ratio{first}, exactOrder}, out)
}
