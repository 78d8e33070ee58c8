package program

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

// A certified form is an integral, a search for a root or for an extreme, with
// its body and limits made ready to be enclosed.
type certified struct {
	kind     notation.BindKind
	params   []string // names of the parameters that the functions take
	body     *certify.Function
	limits   [2]*certify.Function // functions of the parameters alone, nil for one that is constant
	ends     [2]interval.Interval // the constant limits
	infinite [2]float64           // ±Inf for a limit at infinity, else 0
	foreign  bool                 // the body asks a shaft, which costs more
	doubtful error                // why the exact value of a name that it uses is not enclosed
	doubtOf  *notation.Name
}

// newCertified makes the functions of a form. names are the names that are visible
// besides those of the lesson, each of which becomes a parameter. With exact set
// the names of the lesson stand for the exact values of their texts, as far as s
// knows them, else for their float64.
func newCertified(run *Run, e *notation.Bind, names []string, s Scope, exact bool) *certified {
	c := &certifier{run: run, scope: s, exact: exact, constants: map[string]certify.Expr{}, within: notation.Within{Left: algebra.MostLooked}}
	f := &certified{kind: e.Kind, params: names}
	b := certify.NewBuilder()
	c.b = b
	for _, name := range names {
		c.bind(name, b.Parameter())
	}
	x := b.Variable()
	limit := func(e notation.Expr, which int) certify.Expr {
		if i, ok := notation.Unparen(e).(*notation.Infinity); ok {
			f.infinite[which] = math.Inf(i.Sign)
			return b.Number(0)
		}
		return c.expr(e)
	}
	from, to := limit(e.From, 0), limit(e.To, 1)
	b.Limits(from, to)
	c.bind(e.Var.Ident, x)
	y := c.expr(e.Body)
	f.body, _ = b.Function(x, y)
	for i, id := range [...]certify.Expr{from, to} {
		if v, ok := b.Constant(id); ok {
			f.ends[i] = v
		} else {
			f.limits[i], _ = b.Function(x, id)
		}
	}
	f.foreign, f.doubtful, f.doubtOf = c.foreign, c.doubtful, c.doubtOf
	return f
}

// Build returns a function that writes an expression of one name as operations
// of a certified function; the other names are those of the scope, with their
// exact values. What has no interval form comes out as unknown.
func Build(e notation.Expr, name string, s Scope) func(b *certify.Builder, x certify.Expr) certify.Expr {
	return func(b *certify.Builder, x certify.Expr) certify.Expr {
		c := &certifier{b: b, scope: s, exact: true, constants: map[string]certify.Expr{}, within: notation.Within{Left: algebra.MostLooked}}
		c.bind(name, x)
		return c.expr(e)
	}
}

// enclose encloses the form for params. What goes wrong in the limits is
// NotSettled.
func (f *certified) enclose(run *Run, params []interval.Interval) (certify.Enclosure, error) {
	ends, ok := f.rangeOf(params)
	if !ok {
		return certify.Enclosure{Reason: certify.NotSettled}, nil
	}
	options := certify.Options{Stop: run.look}
	if f.foreign {
		options.Work = foreignWork
	}
	var e certify.Enclosure
	var err error
	switch f.kind {
	case notation.Integral:
		e, err = certify.Integrate(f.body, params, ends[0], ends[1], options)
	case notation.FindRoot:
		e, err = f.root(params, ends, options)
	default:
		e, err = f.extreme(params, ends, options)
	}
	if limit := run.spend(int64(e.Work), costSure*int64(1+f.body.Size())); limit != nil {
		return e, limit
	}
	return e, err
}

// rangeOf returns the enclosures of the limits.
func (f *certified) rangeOf(params []interval.Interval) (ends [2]interval.Interval, ok bool) {
	for i, g := range f.limits {
		ends[i] = f.ends[i]
		if f.infinite[i] != 0 {
			ends[i] = point(f.infinite[i])
		} else if g != nil {
			if ends[i], ok = g.Over(params, interval.Interval{}); !ok {
				return ends, false
			}
		}
	}
	return ends, true
}

// root encloses the root in a range whose ends are known within bounds: one that lies
// between the bounds of an end may be in the range or not.
func (f *certified) root(params []interval.Interval, ends [2]interval.Interval, o certify.Options) (certify.Enclosure, error) {
	e, err := certify.FindRoot(f.body, params, ends[0].Mid(), ends[1].Mid(), o)
	if err != nil || !e.Certain {
		return e, err
	}
	for _, end := range ends {
		if end.Hi-end.Lo <= roundedEnd*size(end) {
			continue
		}
		if v, ok := f.body.Over(params, end); !ok || v.Contains(0) {
			return certify.Enclosure{Reason: certify.NotSettled, Where: end.Mid()}, nil
		}
	}
	return e, nil
}

// roundedEnd is the relative width of an end of a range that is off by rounding alone;
// the length of a shaft is known to some 10⁻¹².
const roundedEnd = 4e-12

// extreme encloses an extreme over a range whose ends are known within bounds:
// what holds on the range between the inner bounds holds with any part of the
// rest.
func (f *certified) extreme(params []interval.Interval, ends [2]interval.Interval, o certify.Options) (certify.Enclosure, error) {
	largest := f.kind == notation.Largest
	from, to := ends[0], ends[1]
	if from.Mid() > to.Mid() {
		from, to = to, from
	}
	lower, upper := from.Hi, to.Lo
	if lower > upper {
		v, ok := f.body.Over(params, interval.Hull(from, to)) // the range may be any part of it
		if !ok {
			return certify.Enclosure{Reason: certify.NotBounded, Where: from.Lo}, nil
		}
		return certify.Enclosure{Certain: true, Value: v.Mid(), Low: v.Lo, High: v.Hi}, nil
	}
	e, err := certify.FindExtreme(f.body, params, lower, upper, largest, o)
	if err != nil || !e.Certain {
		return e.Enclosure, err
	}
	for _, sliver := range [...]interval.Interval{from, to} {
		if sliver.IsPoint() {
			continue
		}
		v, ok := f.body.Over(params, sliver)
		switch {
		case !ok:
			return certify.Enclosure{Reason: certify.NotBounded, Where: sliver.Lo}, nil
		case largest:
			e.High = max(e.High, v.Hi)
		default:
			e.Low = min(e.Low, v.Lo)
		}
	}
	return e.Enclosure, nil
}

// foreignWork bounds the work on a function that asks a shaft.
const foreignWork = 400

// An Inliner is a shaft whose fields can be taken apart into operations of
// package certify, so that a form can be enclosed over them as over a formula.
type Inliner interface {
	// FieldFunction returns a field as a function of its one argument, without
	// parameters. ok is false for a field that has no such function.
	FieldFunction(name string) (f *certify.Function, ok bool)
}

// A certifier makes operations of package certify from a tree.
type certifier struct {
	run       *Run // from which what it works out on the way takes its pauses; nil without one
	b         *certify.Builder
	outer     []*certify.Builder // the builders around b, outermost first
	scope     Scope
	locals    []certifiedName
	base      int
	calls     int
	depth     int
	steps     int             // nodes looked at
	within    notation.Within // what all derivatives in it may look at
	readers   *Run            // on which brackets are read
	inlined   map[inlinedCall]certify.Expr
	constants map[string]certify.Expr // of the outermost builder, by name or literal
	foreign   bool
	exact     bool
	doubtful  error
	doubtOf   *notation.Name
}

// An inlinedCall is a use of a function, which has one result for the same
// arguments.
type inlinedCall struct {
	at   *certify.Builder
	f    *Function
	args [4]certify.Expr
}

// A certifiedName is a name bound to a value of the builder at a level.
type certifiedName struct {
	name  string
	level int
	id    certify.Expr
}

func (c *certifier) bind(name string, id certify.Expr) {
	c.locals = append(c.locals, certifiedName{name, len(c.outer), id})
}

// fetch brings a value of an outer builder into the current one.
func (c *certifier) fetch(level int, id certify.Expr) certify.Expr {
	for l := level; l < len(c.outer); l++ {
		inner := c.b
		if l+1 < len(c.outer) {
			inner = c.outer[l+1]
		}
		id = inner.Capture(id)
	}
	return id
}

// constant returns a number by its key, so that the same name or literal is the
// same number everywhere.
func (c *certifier) constant(key string, v func() interval.Interval) certify.Expr {
	root := c.b
	if len(c.outer) > 0 {
		root = c.outer[0]
	}
	id, ok := c.constants[key]
	if !ok {
		b := v()
		if !(b.Lo <= b.Hi) {
			return c.b.Unknown()
		}
		id = root.Const(b)
		c.constants[key] = id
	}
	return c.fetch(0, id)
}

func (c *certifier) expr(e notation.Expr) certify.Expr {
	if c.steps++; c.depth > deepestTree || c.steps > largestProgram {
		return c.b.Unknown()
	}
	c.depth++
	defer func() { c.depth-- }()
	b := c.b
	switch e := e.(type) {
	case *notation.Number:
		return c.literal(e)
	case *notation.Quantity:
		return c.quantity(e)
	case *notation.Name:
		return c.name(e)
	case *notation.Paren:
		return c.expr(e.X)
	case *notation.Abs:
		return b.Abs(c.expr(e.X))
	case *notation.Root:
		return b.Sqrt(c.expr(e.X))
	case *notation.Unary:
		x := c.expr(e.X)
		if e.Op == notation.OpNeg {
			x = b.Neg(x)
		}
		return x
	case *notation.Binary:
		return c.binary(e)
	case *notation.Between:
		low := c.expr(e.Low)
		width := b.Sub(c.expr(e.High), low)
		return b.Add(low, b.Mul(b.Const(interval.Interval{Lo: 0, Hi: 1}), width))
	case *notation.PlusMinus:
		mid := c.expr(e.Mid)
		return b.Add(mid, b.Mul(b.Const(interval.Interval{Lo: -1, Hi: 1}), c.expr(e.Half)))
	case *notation.Call:
		return c.call(e)
	case *notation.Field:
		return c.field(e)
	case *notation.Bind:
		return c.form(e)
	case *notation.If:
		return b.If(c.condition(e.Cond), c.expr(e.Then), c.expr(e.Else))
	}
	return b.Unknown()
}

func (c *certifier) literal(e *notation.Number) certify.Expr {
	if e.Text == "" {
		return c.b.Const(widened(e.Value))
	}
	return c.constant("#"+e.Text, func() interval.Interval {
		v, err := interval.Literal(notation.Decimal(e.Text))
		if err != nil {
			return interval.Interval{Lo: math.NaN()}
		}
		return v
	})
}

func (c *certifier) quantity(e *notation.Quantity) certify.Expr {
	x := c.literal(e.Number)
	if n, ok := e.Unit.Unit.Reciprocal(); ok {
		return c.b.Div(x, c.b.Number(n))
	}
	if e.Unit.Unit.Factor == 1 {
		return x
	}
	factor := c.constant("unit "+e.Unit.Text, func() interval.Interval { return widened(e.Unit.Unit.Factor) })
	return c.b.Mul(x, factor)
}

func (c *certifier) name(e *notation.Name) certify.Expr {
	for i := len(c.locals) - 1; i >= c.base; i-- {
		if l := c.locals[i]; l.name == e.Ident {
			return c.fetch(l.level, l.id)
		}
	}
	return c.constant(e.Ident, func() interval.Interval {
		object, ok := c.scope.Lookup(e.Ident)
		if !ok && e.Ident == "π" {
			return interval.Pi
		}
		switch object := object.(type) {
		case Scalar:
			s, is := c.scope.(Encloser)
			if !c.exact || !is {
				return widened(float64(object))
			}
			v, err := s.Enclosure(e.Ident)
			if err != nil {
				c.doubtful, c.doubtOf = err, e
				return widened(float64(object))
			}
			return v
		case Interval:
			return interval.Interval(object)
		}
		return interval.Interval{Lo: math.NaN()}
	})
}

func (c *certifier) binary(e *notation.Binary) certify.Expr {
	b := c.b
	x := c.expr(e.X)
	if e.Op == notation.OpPow {
		if r, ok := notation.StaticRational(e.Y, noDefinitions); ok && r.Num().IsInt64() && r.Denom().IsInt64() {
			num, den := r.Num().Int64(), r.Denom().Int64()
			if num >= -1000 && num <= 1000 && den <= 1000 {
				return b.PowRational(x, int(num), int(den))
			}
		}
		return b.Pow(x, c.expr(e.Y))
	}
	y := c.expr(e.Y)
	switch e.Op {
	case notation.OpAdd:
		return b.Add(x, y)
	case notation.OpSub:
		return b.Sub(x, y)
	case notation.OpMul:
		return b.Mul(x, y)
	}
	return b.Div(x, y)
}

func (c *certifier) call(e *notation.Call) certify.Expr {
	name := e.Fun.Ident
	if _, ok := unaryOps[name]; ok && len(e.Args) == 1 {
		return c.function(name, c.expr(e.Args[0]))
	}
	if op, ok := binaryOps[name]; ok && len(e.Args) > 0 && (op != opAtan2 || len(e.Args) == 2) {
		x := c.expr(e.Args[0])
		for _, a := range e.Args[1:] {
			switch y := c.expr(a); op {
			case opMin:
				x = c.b.Min(x, y)
			case opMax:
				x = c.b.Max(x, y)
			default:
				x = c.b.Atan2(x, y)
			}
		}
		return x
	}
	if isBracketReader(name) && len(e.Args) == 1 {
		return c.reader(e)
	}
	object, _ := c.scope.Lookup(name)
	f, ok := object.(*Function)
	if !ok || len(f.Params) != len(e.Args) || c.calls >= deepestCall {
		return c.b.Unknown()
	}
	args := make([]certifiedName, len(e.Args))
	for i, a := range e.Args {
		args[i] = certifiedName{f.Params[i], len(c.outer), c.expr(a)}
	}
	key := inlinedCall{at: c.b, f: f}
	cached := len(args) <= len(key.args)
	for i, a := range args[:min(len(args), len(key.args))] {
		key.args[i] = a.id
	}
	if id, ok := c.inlined[key]; ok && cached {
		return id
	}
	base, mark := c.base, len(c.locals)
	c.base = mark
	c.locals = append(c.locals, args...)
	c.calls++
	id := c.expr(f.Body)
	c.calls--
	c.locals, c.base = c.locals[:mark], base
	if cached {
		if c.inlined == nil {
			c.inlined = map[inlinedCall]certify.Expr{}
		}
		c.inlined[key] = id
	}
	return id
}

func (c *certifier) function(name string, x certify.Expr) certify.Expr {
	b := c.b
	switch name {
	case "sqrt":
		return b.Sqrt(x)
	case "abs":
		return b.Abs(x)
	case "sin":
		return b.Sin(x)
	case "cos":
		return b.Cos(x)
	case "tan":
		return b.Tan(x)
	case "asin":
		return b.Asin(x)
	case "acos":
		return b.Acos(x)
	case "atan":
		return b.Atan(x)
	case "exp":
		return b.Exp(x)
	case "ln":
		return b.Ln(x)
	case "log10":
		return b.Log10(x)
	case "floor":
		return b.Floor(x)
	case "ceil":
		return b.Ceil(x)
	case "round":
		return b.Round(x)
	}
	return b.Unknown()
}

// reader takes a number from a bracket of names of the lesson.
func (c *certifier) reader(e *notation.Call) certify.Expr {
	for _, n := range notation.FreeNames(e.Args[0]) {
		for _, l := range c.locals[c.base:] {
			if l.name == n.Ident {
				return c.b.Unknown()
			}
		}
	}
	w := newWalker(c.readerRun(), c.scope)
	if !w.holdsBracket(e.Args[0]) && e.Fun.Ident != "width" {
		return c.expr(e.Args[0]) // a plain number is its own low, high and mid
	}
	if end, ok := w.endOf(e); ok {
		b, ok := w.encloseEnd(end)
		if !ok {
			return c.b.Unknown()
		}
		return c.b.Const(b)
	}
	v, ok := w.readBracket(e)
	if !ok {
		return c.b.Unknown()
	}
	return c.b.Number(v.x)
}

func (c *certifier) readerRun() *Run {
	limits := Limits{Work: readerWork}
	switch {
	case c.readers != nil:
	case c.run == nil:
		c.readers = NewRun(context.Background(), limits)
	default:
		c.readers = c.run.kept(limits)
	}
	return c.readers
}

// readerWork is what all brackets may cost that a certified form takes numbers
// from.
const readerWork = 10 * tightWork

// fielded is a field of a shaft as a function of its arguments.
type fielded struct {
	shaft Fielder
	name  string
}

func (f fielded) Range(args []interval.Interval) (interval.Interval, bool) {
	b, err := f.shaft.FieldBracket(f.name, args)
	return b, err == nil
}

func (c *certifier) field(e *notation.Field) certify.Expr {
	object, _ := c.scope.Lookup(e.X.Ident)
	shaft, ok := object.(Fielder)
	if !ok || len(e.Args) > 3 {
		return c.b.Unknown()
	}
	args := make([]certify.Expr, len(e.Args))
	constant := true
	for i, a := range e.Args {
		args[i] = c.expr(a)
		_, still := c.b.Constant(args[i])
		constant = constant && still
	}
	if s, ok := object.(Inliner); ok && len(args) == 1 && !constant {
		if f, ok := s.FieldFunction(e.Field); ok {
			return c.b.Inline(f, args[0])
		}
	}
	f := fielded{shaft, e.Field}
	if constant {
		values := make([]interval.Interval, len(args))
		for i, a := range args {
			values[i], _ = c.b.Constant(a)
		}
		if v, ok := f.Range(values); ok {
			return c.b.Const(v)
		}
		return c.fieldAsHeld(f, values)
	}
	c.foreign = true
	return c.b.Call(f, args...)
}

// fieldAsHeld is a field of which no bracket is certain: where names stand for their
// float64, it stands for its own.
func (c *certifier) fieldAsHeld(f fielded, args []interval.Interval) certify.Expr {
	if c.exact || f.shaft.IsBracket(f.name) {
		return c.b.Unknown()
	}
	at := make([]float64, len(args))
	for i, a := range args {
		at[i] = singleOf(a)
	}
	v, err := f.shaft.Field(f.name, at)
	if err != nil || !finite(v) {
		return c.b.Unknown()
	}
	return c.b.Const(widened(v))
}

func (c *certifier) condition(e notation.Expr) certify.Expr {
	b := c.b
	switch e := e.(type) {
	case *notation.Paren:
		return c.condition(e.X)
	case *notation.Logic:
		x := c.condition(e.X)
		switch e.Op {
		case notation.OpNot:
			return b.Not(x)
		case notation.OpAnd:
			return b.And(x, c.condition(e.Y))
		}
		return b.Or(x, c.condition(e.Y))
	case *notation.Compare:
		all, x := certify.Expr(-1), c.expr(e.Xs[0])
		for i, op := range e.Ops {
			y := c.expr(e.Xs[i+1])
			holds := c.comparison(op, x, y)
			if all < 0 {
				all = holds
			} else {
				all = b.And(all, holds)
			}
			x = y
		}
		return all
	}
	return b.Unknown()
}

func (c *certifier) comparison(op notation.Op, x, y certify.Expr) certify.Expr {
	switch op {
	case notation.OpLess:
		return c.b.Less(x, y)
	case notation.OpLessEq:
		return c.b.LessEq(x, y)
	case notation.OpGreater:
		return c.b.Less(y, x)
	case notation.OpGreaterEq:
		return c.b.LessEq(y, x)
	case notation.OpEqual:
		return c.b.Equal(x, y)
	case notation.OpNotEqual:
		return c.b.NotEqual(x, y)
	}
	return c.b.Unknown()
}

// mostTerms is the longest sum inside a certified form.
const mostTerms = 2000

// form makes a form inside a form.
func (c *certifier) form(e *notation.Bind) certify.Expr {
	switch e.Kind {
	case notation.Derivative:
		return c.derivative(e)
	case notation.Sum, notation.Product, notation.Integral:
	default:
		return c.b.Unknown()
	}
	from, to := c.expr(e.From), c.expr(e.To)
	var first, n int64
	if e.Kind != notation.Integral {
		a, okA := c.b.Constant(from)
		b, okB := c.b.Constant(to)
		problem := ""
		if first, n, problem = count(a.Mid(), b.Mid()); !okA || !okB || problem != "" || n > mostTerms || !countsAsOne(a) || !countsAsOne(b) {
			return c.b.Unknown()
		}
	}
	around := c.b
	c.outer = append(c.outer, around)
	c.b = around.Body()
	x := c.b.Variable()
	mark := len(c.locals)
	c.bind(e.Var.Ident, x)
	y := c.expr(e.Body)
	c.locals = c.locals[:mark]
	if e.Kind == notation.Integral {
		c.b.Limits(c.b.Capture(from), c.b.Capture(to))
	}
	body, captures := c.b.Function(x, y)
	c.b = around
	c.outer = c.outer[:len(c.outer)-1]
	switch e.Kind {
	case notation.Sum:
		return c.b.Sum(body, captures, first, n)
	case notation.Product:
		return c.b.Product(body, captures, first, n)
	}
	return c.b.Integral(body, captures, from, to)
}

// derivative writes a derivative out, if it has one in symbols. With branches in
// the formula that is not its slope where they meet.
func (c *certifier) derivative(e *notation.Bind) certify.Expr {
	d, ok := symbolicDerivative(&c.within, e, c.scope, c.isLocal)
	if !ok || hasSeam(e.Body, c.scope) {
		return c.b.Unknown()
	}
	at := c.expr(e.From)
	mark := len(c.locals)
	c.bind(e.Var.Ident, at)
	id := c.expr(d)
	c.locals = c.locals[:mark]
	return id
}

func (c *certifier) isLocal(name string) bool {
	return slices.ContainsFunc(c.locals[c.base:], func(l certifiedName) bool { return l.name == name })
}

// usedNames returns those of the visible names that a form uses, each once, in
// the order of their first use.
func usedNames(e *notation.Bind, visible func(name string) bool) []string {
	var names []string
	notation.Inspect(e, func(n notation.Node) bool {
		if name, ok := n.(*notation.Name); ok && visible(name.Ident) && !slices.Contains(names, name.Ident) {
			names = append(names, name.Ident)
		}
		return true
	})
	return names
}

// A lazyCertified makes a certified form when it is first needed. It is safe for
// concurrent use.
type lazyCertified struct {
	once sync.Once
	form *certified
}

func (l *lazyCertified) of(run *Run, e *notation.Bind, names []string, s Scope) *certified {
	l.once.Do(func() { l.form = newCertified(run, e, names, s, false) })
	return l.form
}

type formKey struct {
	form  *notation.Bind
	exact bool
}

// certified returns the form to be enclosed, with the values of the names that
// it sees.
func (w *walker) certified(e *notation.Bind, exact bool) (*certified, []interval.Interval) {
	names := usedNames(e, func(name string) bool { _, ok := w.lookup(name); return ok })
	params := make([]interval.Interval, len(names))
	for i, name := range names {
		l, _ := w.lookup(name)
		params[i] = point(l.x)
		if l.isBracket {
			params[i] = l.b
		}
	}
	key := formKey{e, exact}
	if f, ok := w.sure[key]; ok && slices.Equal(f.params, names) {
		return f, params
	}
	if w.sure == nil {
		w.sure = map[formKey]*certified{}
	}
	f := newCertified(w.run, e, names, w.scope, exact)
	w.sure[key] = f
	return f, params
}

func points(values []float64) []interval.Interval {
	params := make([]interval.Interval, len(values))
	for i, v := range values {
		params[i] = point(v)
	}
	return params
}

// found returns the value of a form: the middle of its enclosure where that is
// narrow. Where it is wide, or where there is none, estimate is asked; its value
// is then held within the enclosure, if there is one, and the form is noted as
// doubted.
func (f *certified) found(run *Run, e *notation.Bind, params []interval.Interval, from, to float64, estimate func() (found, error)) (found, error) {
	if from == to && f.kind == notation.Integral {
		return found{}, nil
	}
	v, err := f.enclose(run, params)
	var diverges *certify.DivergentError
	switch {
	case errors.As(err, &diverges):
		return found{}, &num.DivergentError{Where: diverges.Where, Exponent: diverges.Exponent, Proven: true}
	case err != nil && !errors.Is(err, certify.ErrNoRoot):
		return found{}, err
	case err == nil && v.Certain && v.Reason == certify.NoReason:
		return found{value: v.Value, estimate: halfWidth(v)}, nil
	}
	if f.infinite != [2]float64{} {
		estimate = func() (found, error) { return f.improper(run, params) }
	}
	r, noted := estimate()
	if noted == nil && errors.Is(err, certify.ErrNoRoot) {
		return found{}, errNeverZero // what the search took for a root comes close to zero only
	}
	err = noted
	if err != nil {
		return r, err
	}
	if v.Certain {
		r.value = min(max(r.value, v.Low), v.High)
		if !f.foreign { // what a shaft says over a range is wide, though its values are good
			r.estimate = max(r.value-v.Low, v.High-r.value)
		}
	}
	run.doubted(e.Span(), v)
	return r, nil
}

// halfWidth returns how far the middle of an enclosure can be from the value.
func halfWidth(v certify.Enclosure) float64 {
	if v.Low == v.High {
		return 0
	}
	return max(v.Value-v.Low, v.High-v.Value) * (1 + 0x1p-52)
}

// errFarOut says that the part of an integral beyond every bound did not come to
// a value.
var errFarOut = errors.New("program: no value far out")

// improper estimates an integral with infinite limits, over a middle part and
// over the reciprocal beyond it.
func (f *certified) improper(run *Run, params []interval.Interval) (found, error) {
	at := func(x float64) float64 {
		v, ok := f.body.Over(params, point(x))
		if !ok {
			return math.NaN()
		}
		return v.Mid()
	}
	limits, ok := f.rangeOf(params)
	ends := [2]float64{limits[0].Lo, limits[1].Hi}
	if !ok {
		return found{}, &num.RangeError{A: ends[0], B: ends[1]}
	}
	sign := 1.0
	if ends[0] > ends[1] {
		ends[0], ends[1], sign = ends[1], ends[0], -1
	}
	options := num.Options{RelTol: relativeTolerance, Stop: run.check}
	var sum found
	add := func(body func(x float64) float64, from, to float64) error {
		r, err := num.Integrate(func(dst, x []float64) error {
			for i := range x {
				dst[i] = body(x[i])
			}
			return run.spend(int64(len(x)), costSure*int64(1+f.body.Size()))
		}, from, to, options)
		sum.value += r.Value
		sum.estimate += r.ErrorEstimate
		return err
	}
	lower, upper := ends[0], ends[1]
	for i, end := range ends {
		if !math.IsInf(end, 0) {
			continue
		}
		side := math.Copysign(1, end)
		start := max(1, 2*math.Abs(ends[1-i]))
		if math.IsInf(ends[1-i], 0) {
			start = 1
		}
		if i == 0 {
			lower = -start
		} else {
			upper = start
		}
		err := add(func(t float64) float64 { return at(side/t) / (t * t) }, 0, 1/start)
		if isLimit(err) {
			return found{}, err
		} else if err != nil {
			return found{}, errFarOut
		}
	}
	err := add(at, lower, upper)
	sum.value *= sign
	return sum, err
}
