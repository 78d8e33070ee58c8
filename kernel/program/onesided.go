package program

import (
	"math"
	"strconv"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// A slope is a limit, so what an "if" singles out at one point says nothing
// about it. A formula with seams is therefore resolved: each if, abs, min, max,
// floor, ceil and round is replaced by the branch that provably holds on a
// small interval to the left of the place, to the right of it, at it, or all
// around it. What is left is smooth, and its derivative in symbols is a slope
// from that side.

// A side is the set of values around the place x for which a formula is resolved.
type side int8

const (
	leftOf  side = -1 // x−h ≤ u < x
	onPoint side = 0  // u = x
	rightOf side = 1  // x < u ≤ x+h
	allOver side = 2  // x−h ≤ u ≤ x+h
)

// sidesOf is a formula with seams at a place: one branch all around it, or one
// formula for each side and one for the place. The zero value is a formula whose
// branches are not known.
type sidesOf struct {
	around                 *notation.Bind
	left, point, right     *notation.Bind
	leftKey, key, rightKey string
}

// seamSteps are the half widths, as powers of two and relative to the place, on
// which branches are looked for.
var seamSteps = [...]int{-8, -16, -24, -32, -40, -47}

// mostWrittenOut bounds the nodes of a formula with its functions written out.
const mostWrittenOut = 4 * largestDerived

// sides resolves the body of a derivative around the place, which lies in at.
func (w *walker) sides(e *notation.Bind, at interval.Interval) sidesOf {
	body, ok := w.withoutCalls(e)
	if !ok {
		return sidesOf{}
	}
	scale := max(math.Abs(at.Lo), math.Abs(at.Hi))
	if scale == 0 {
		scale = 1
	}
	for _, k := range seamSteps {
		if b, _, ok := w.resolved(e, body, at, math.Ldexp(scale, k), allOver); ok {
			return sidesOf{around: b}
		}
		if w.limit != nil {
			return sidesOf{}
		}
	}
	point, key, ok := w.resolved(e, body, at, 0, onPoint)
	if !ok {
		return sidesOf{}
	}
	for _, k := range seamSteps {
		h := math.Ldexp(scale, k)
		left, leftKey, okLeft := w.resolved(e, body, at, h, leftOf)
		if !okLeft {
			continue
		}
		if right, rightKey, ok := w.resolved(e, body, at, h, rightOf); ok {
			return sidesOf{left: left, point: point, right: right, leftKey: leftKey, key: key, rightKey: rightKey}
		}
	}
	return sidesOf{}
}

// resolved resolves a body on a side. Equal choices give the same form, so that
// what is compiled and derived for it is found again.
func (w *walker) resolved(e *notation.Bind, body notation.Expr, at interval.Interval, h float64, on side) (*notation.Bind, string, bool) {
	r := seamResolver{w: w, e: e, at: at, on: on, over: at}
	if on == leftOf || on == allOver {
		r.over.Lo = at.Lo - h
		r.failed = r.failed || r.over.Lo >= at.Lo
	}
	if on == rightOf || on == allOver {
		r.over.Hi = at.Hi + h
		r.failed = r.failed || r.over.Hi <= at.Hi
	}
	x := r.resolve(body)
	if r.failed || w.limit != nil {
		return nil, "", false
	}
	key := string(r.choices)
	if b, ok := w.branches[branchKey{e, key}]; ok {
		return b, key, true
	}
	b := *e
	b.Body = x
	if w.branches == nil {
		w.branches = map[branchKey]*notation.Bind{}
	}
	w.branches[branchKey{e, key}] = &b
	return &b, key, true
}

type branchKey struct {
	form    *notation.Bind
	choices string
}

// withoutCalls returns the body of a form with the lesson's functions put in.
// ok is false where that grows too large, or a name of the lesson in a function
// is hidden by a parameter or a bound name of the same spelling.
func (w *walker) withoutCalls(e *notation.Bind) (notation.Expr, bool) {
	place := w.placed(e)
	if body, ok := w.inlined[place]; ok {
		return body, body != nil
	}
	hidden := map[string]bool{e.Var.Ident: true}
	notation.Inspect(e.Body, func(n notation.Node) bool {
		if b, ok := n.(*notation.Bind); ok {
			hidden[b.Var.Ident] = true
		}
		return true
	})
	visible := func(name string) bool { return w.isLocal(name) || hidden[name] }
	var body notation.Expr
	if !capturesNames(e.Body, w.scope, visible) {
		in := inliner{scope: w.scope}
		if x := in.inline(e.Body); in.nodes <= mostWrittenOut && !in.captured {
			body = x
		}
	}
	if w.inlined == nil {
		w.inlined = map[placedForm]notation.Expr{}
	}
	w.inlined[place] = body
	return body, body != nil
}

type inliner struct {
	scope    Scope
	nodes    int
	captured bool
}

func (in *inliner) inline(e notation.Expr) notation.Expr {
	if in.nodes++; in.nodes > mostWrittenOut || in.captured {
		return e
	}
	if call, ok := e.(*notation.Call); ok {
		object, _ := in.scope.Lookup(call.Fun.Ident)
		if f, ok := object.(*Function); ok {
			notation.Inspect(f.Body, func(n notation.Node) bool {
				// A bound name in a function may hide a name that a function inside it means.
				_, bind := n.(*notation.Bind)
				in.captured = in.captured || bind && callsAny(f.Body, in.scope)
				return true
			})
			if body, ok := algebra.Inline(call, f.Params, f.Body); ok {
				return in.inline(body)
			}
		}
	}
	return notation.Map(e, in.inline)
}

// callsAny reports whether an expression uses functions of the lesson.
func callsAny(e notation.Expr, s Scope) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		if call, ok := n.(*notation.Call); ok {
			object, _ := s.Lookup(call.Fun.Ident)
			_, is := object.(*Function)
			found = found || is
		}
		return !found
	})
	return found
}

// A seamResolver replaces the seams of one formula by their branches on a side.
type seamResolver struct {
	w       *walker
	e       *notation.Bind
	at      interval.Interval // where the place lies
	on      side
	over    interval.Interval // the side with the place itself
	inner   []local           // names bound inside, over the whole of their ranges
	choices []byte
	failed  bool
}

func (r *seamResolver) fail(e notation.Expr) notation.Expr { r.failed = true; return e }

func (r *seamResolver) resolve(e notation.Expr) notation.Expr {
	if r.failed {
		return e
	}
	switch e := e.(type) {
	case *notation.If:
		holds, ok := r.holds(e.Cond)
		switch {
		case !ok:
			return r.fail(e)
		case holds:
			r.choices = append(r.choices, 't')
			return r.resolve(e.Then)
		}
		r.choices = append(r.choices, 'e')
		return r.resolve(e.Else)
	case *notation.Abs:
		return r.abs(e.X)
	case *notation.Bind:
		return r.bind(e)
	case *notation.Call:
		switch name := e.Fun.Ident; {
		case name == "abs" && len(e.Args) == 1:
			return r.abs(e.Args[0])
		case (name == "min" || name == "max") && len(e.Args) > 0:
			return r.leastOf(e)
		case (name == "floor" || name == "ceil" || name == "round") && len(e.Args) == 1:
			return r.step(e)
		case name == "atan2":
			return r.angle(e)
		}
	}
	return notation.Map(e, r.resolve)
}

func (r *seamResolver) abs(x notation.Expr) notation.Expr {
	u := r.resolve(x)
	s, ok := r.sign(u, mostOrders)
	switch {
	case !ok:
		return r.fail(u)
	case s < 0:
		r.choices = append(r.choices, '-')
		return &notation.Unary{Op: notation.OpNeg, X: inParen(u)}
	}
	r.choices = append(r.choices, '+')
	return inParen(u)
}

func (r *seamResolver) leastOf(e *notation.Call) notation.Expr {
	best := r.resolve(e.Args[0])
	for _, arg := range e.Args[1:] {
		next := r.resolve(arg)
		s, ok := r.sign(minus(best, next), mostOrders)
		if !ok {
			return r.fail(e)
		}
		if s > 0 && e.Fun.Ident == "min" || s < 0 && e.Fun.Ident == "max" {
			best = next
			r.choices = append(r.choices, 'n')
			continue
		}
		r.choices = append(r.choices, 'b')
	}
	return inParen(best)
}

// step replaces floor, ceil or round by the whole number that it is.
func (r *seamResolver) step(e *notation.Call) notation.Expr {
	u := r.resolve(e.Args[0])
	b, ok := r.enclose(u, r.over)
	const largest = 1 << 51 // whole numbers and halves are exact below
	if !ok || math.Abs(b.Lo) > largest || math.Abs(b.Hi) > largest {
		return r.fail(e)
	}
	op := unaryOps[e.Fun.Ident]
	low, _ := apply(op, b.Lo, 0, 0)
	high, _ := apply(op, b.Hi, 0, 0)
	value := low
	if low != high {
		// Between two steps lies one edge, on one side of which u is.
		edge := map[opcode]float64{opFloor: high, opCeil: low, opRound: low + 0.5}[op]
		s, ok := 0, high == low+1
		if ok {
			s, ok = r.sign(minus(u, exactNode(edge, e)), mostOrders)
		}
		switch {
		case !ok:
			return r.fail(e)
		case s > 0:
			value = high
		case s == 0:
			value, _ = apply(op, edge, 0, 0)
		}
	}
	r.choices = strconv.AppendInt(append(r.choices, '#'), int64(value), 10)
	return exactNode(value, e)
}

// exactNode writes a whole number or half of one as an expression.
func exactNode(v float64, at notation.Expr) notation.Expr {
	n := &notation.Number{Text: strconv.FormatFloat(math.Abs(v), 'f', -1, 64), Value: math.Abs(v)}
	n.At = at.Span()
	if v < 0 {
		return inParen(&notation.Unary{Op: notation.OpNeg, X: n})
	}
	return n
}

// angle leaves atan2 as it is, away from where it jumps by a turn.
func (r *seamResolver) angle(e *notation.Call) notation.Expr {
	if len(e.Args) != 2 {
		return r.fail(e)
	}
	c := *e
	c.Args = []notation.Expr{r.resolve(e.Args[0]), r.resolve(e.Args[1])}
	y, okY := r.enclose(c.Args[0], r.over)
	x, okX := r.enclose(c.Args[1], r.over)
	if !(okX && x.Lo > 0) && !(okY && !y.Contains(0)) {
		return r.fail(e)
	}
	return &c
}

// bind resolves a form inside the formula, where every branch must hold all
// around the place and over the whole range of the bound name.
func (r *seamResolver) bind(e *notation.Bind) notation.Expr {
	if !hasSeam(e, r.w.scope) {
		return e
	}
	on, over, inner := r.on, r.over, r.inner
	defer func() { r.on, r.over, r.inner = on, over, inner }()
	if on != allOver {
		return r.fail(e) // the formula is resolved all around, or not at all
	}
	c := *e
	c.From = r.resolve(e.From)
	span, ok := r.enclose(c.From, r.over)
	if ok && e.To != nil {
		c.To = r.resolve(e.To)
		var to interval.Interval
		to, ok = r.enclose(c.To, r.over)
		span = interval.Hull(span, to)
	}
	if !ok || r.failed {
		return r.fail(e)
	}
	r.inner = append(r.inner[:len(r.inner):len(r.inner)], local{name: e.Var.Ident, b: span, isBracket: true, sliced: true})
	c.Body = r.resolve(e.Body)
	return &c
}

// holds decides a condition on the side.
func (r *seamResolver) holds(e notation.Expr) (holds, ok bool) {
	switch e := e.(type) {
	case *notation.Paren:
		return r.holds(e.X)
	case *notation.Compare:
		return r.compare(e)
	case *notation.Logic:
		x, okX := r.holds(e.X)
		if e.Op == notation.OpNot {
			return !x, okX
		}
		decides := e.Op == notation.OpOr // the value that settles it
		if okX && x == decides {
			return x, true
		}
		y, okY := r.holds(e.Y)
		return y, okY && (okX || y == decides)
	}
	return false, false
}

func (r *seamResolver) compare(e *notation.Compare) (holds, ok bool) {
	mark := len(r.choices)
	xs := make([]notation.Expr, len(e.Xs))
	for i, x := range e.Xs {
		xs[i] = r.resolve(x)
	}
	r.choices = r.choices[:mark] // only the outcome matters
	if r.failed {
		return false, false
	}
	ok = true
	for i, op := range e.Ops {
		s, known := r.sign(minus(xs[i], xs[i+1]), mostOrders)
		if !known {
			ok = false
			continue
		}
		if !signHolds(op, s) {
			return false, true
		}
	}
	return true, ok
}

func signHolds(op notation.Op, s int) bool {
	switch op {
	case notation.OpLess:
		return s < 0
	case notation.OpLessEq:
		return s <= 0
	case notation.OpGreater:
		return s > 0
	case notation.OpGreaterEq:
		return s >= 0
	case notation.OpEqual:
		return s == 0
	}
	return s != 0
}

// mostOrders is how often a difference that is 0 at the place is differentiated
// to find its sign beside it.
const mostOrders = 4

// sign proves the sign of a smooth expression on the side. Where it is 0 at the
// place, its derivative has the same sign to the right, and the opposite one to
// the left (mean value theorem).
func (r *seamResolver) sign(g notation.Expr, orders int) (s int, ok bool) {
	if r.failed {
		return 0, false
	}
	b, ok := r.enclose(g, r.over)
	switch {
	case !ok:
		return 0, false
	case b.Lo > 0:
		return 1, true
	case b.Hi < 0:
		return -1, true
	case b == (interval.Interval{}):
		return 0, true
	case len(r.inner) > 0 || orders == 0 || !r.zeroAt(g):
		return 0, false
	case r.on == onPoint:
		return 0, true
	}
	within := notation.Within{Left: algebra.MostLooked}
	d, err := algebra.DerivativeWithin(&within, g, r.e.Var.Ident, nil)
	if limit := r.w.run.charge(costLook * int64(algebra.MostLooked-within.Left)); limit != nil {
		return 0, r.w.failLimit(g, limit)
	}
	if err != nil || !notation.AtMost(d, largestSlope) {
		return 0, false
	}
	if n, is := d.(*notation.Number); is && n.Value == 0 {
		return 0, true
	}
	if r.on == allOver {
		return 0, false
	}
	s, ok = r.sign(d, orders-1)
	return s * int(r.on), ok
}

// enclose encloses an expression over values of the bound name.
func (r *seamResolver) enclose(g notation.Expr, x interval.Interval) (interval.Interval, bool) {
	w := r.w
	mark := len(w.locals)
	one := x == r.at
	w.locals = append(w.locals, local{name: r.e.Var.Ident, x: x.Lo, b: x, isBracket: true, single: one, sliced: !one})
	w.locals = append(w.locals, r.inner...)
	b, ok := w.interval(g)
	w.locals = w.locals[:mark]
	if !ok && w.limit == nil {
		w.problem = nil
	}
	return b, ok
}

// zeroAt reports whether an expression is provably 0 at the place.
func (r *seamResolver) zeroAt(g notation.Expr) bool {
	if b, ok := r.enclose(g, r.at); ok && b == (interval.Interval{}) {
		return true
	}
	within := notation.Within{Left: mostWrittenOut}
	there := r.w.definitions(&within, algebra.Substitute(g, r.e.Var.Ident, r.e.From), deepestDefinition)
	equal, _ := algebra.EqualExactly(there, &notation.Number{Text: "0"}, nil)
	return equal
}

// deepestDefinition bounds how far names are replaced by their formulas.
const deepestDefinition = 6

// definitions replaces names by the formulas that define them, as far as what they
// come to is within a bound.
func (w *walker) definitions(within *notation.Within, e notation.Expr, depth int) notation.Expr {
	d, ok := w.scope.(Definer)
	if within.Left--; !ok || depth == 0 || within.Left < 0 {
		return e
	}
	if name, ok := e.(*notation.Name); ok {
		if _, isLocal := w.lookup(name.Ident); isLocal || len(w.locals) > 0 {
			return e
		}
		if formula, ok := d.Definition(name.Ident); ok {
			return inParen(w.definitions(within, formula, depth-1))
		}
		return e
	}
	if _, ok := e.(*notation.Bind); ok {
		return e
	}
	return notation.Map(e, func(x notation.Expr) notation.Expr { return w.definitions(within, x, depth) })
}

func inParen(x notation.Expr) notation.Expr {
	p := &notation.Paren{X: x}
	p.At = x.Span()
	return p
}
