package program

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// Compile makes a program of an expression with the given parameters. Names
// that are not parameters are looked up now, and their values are fixed.
//
// The list holds an error where the expression cannot be evaluated at all: an
// unknown name, a bracket where one number is needed. Trouble that depends on
// the values shows when the program runs.
func Compile(e notation.Expr, params []string, s Scope) (*Program, source.List) {
	return compile(e, params, nil, nil, s)
}

// compile makes a program whose first inputs are uniform names, then the
// parameters, one a lane. With counter set, that name is the variable of a sum.
func compile(e notation.Expr, params, uniforms []string, counter *notation.Name, s Scope) (*Program, source.List) {
	c := &compiler{b: newBuilder(nil), scope: s, within: notation.Within{Left: algebra.MostLooked}}
	var inputs []int32
	for _, name := range uniforms {
		id := c.b.input(uniform, -1)
		inputs = append(inputs, id)
		c.bind(name, id)
	}
	for _, name := range params {
		id := c.b.input(vector, -1)
		inputs = append(inputs, id)
		c.bind(name, id)
	}
	index := int32(-1)
	if counter != nil {
		index = c.b.index()
		c.bind(counter.Ident, index)
	}
	result := c.expr(e)
	if c.list.HasErrors() {
		return nil, c.list
	}
	names := append(append([]string{}, uniforms...), params...)
	p := c.b.finish(result, names, inputs, index, e, s)
	p.uniforms = len(uniforms)
	p.makeCost = costNode*c.visited + costLook*int64(algebra.MostLooked-c.within.Left)
	if counter != nil {
		p.counter = counter.Ident
	}
	return p, nil
}

// deepestCall bounds functions inside functions, deepestTree all nesting.
const (
	deepestCall = 64
	deepestTree = 2000
)

// A compiler goes over a tree once and leaves instrs in builders.
type compiler struct {
	b      *builder
	scope  Scope
	locals []binding
	base   int // locals from here on are visible
	calls  []*notation.Call
	depth  int
	list   source.List
	inline map[string]int32 // results of functions by name and arguments
	within notation.Within  // what all derivatives in it may look at

	visited int64 // nodes
}

// A binding is a name bound to a value of some builder.
type binding struct {
	name string
	at   *builder
	id   int32
}

func (c *compiler) bind(name string, id int32) {
	c.locals = append(c.locals, binding{name, c.b, id})
}

// fetch makes a value of an outer builder available in the current one.
func (c *compiler) fetch(at *builder, id int32, here *builder) int32 {
	if at == here {
		return id
	}
	return here.fromParent(c.fetch(at, id, here.parent))
}

// fail records that the expression cannot be compiled. The place is the use in
// the text that the reader sees, the body of a function a related one.
func (c *compiler) fail(e notation.Expr, code source.Code, format string, args ...any) int32 {
	if !c.list.HasErrors() {
		d := c.list.Addf(e.Span(), code, format, args...)
		placeAtUse(d, c.calls)
	}
	return c.b.constant(math.NaN())
}

func (c *compiler) expr(e notation.Expr) int32 {
	if c.depth > deepestTree || c.b.tooLarge() {
		return c.fail(e, CodeSizeLimit, "this grows too large when every function in it is written out")
	}
	c.depth++
	c.visited++
	defer func() { c.depth-- }()
	switch e := e.(type) {
	case *notation.Number:
		return c.b.constant(e.Value)
	case *notation.Quantity:
		return c.b.constant(e.Unit.Unit.SI(e.Number.Value))
	case *notation.Name:
		return c.name(e)
	case *notation.Paren:
		return c.expr(e.X)
	case *notation.Abs:
		return c.b.unary(opAbs, c.expr(e.X))
	case *notation.Root:
		return c.b.unary(opSqrt, c.expr(e.X))
	case *notation.Unary:
		if x := c.expr(e.X); e.Op == notation.OpNeg {
			return c.b.unary(opNeg, x)
		} else {
			return x
		}
	case *notation.Binary:
		return c.b.binary(arithmetic(e.Op), c.expr(e.X), c.expr(e.Y))
	case *notation.Call:
		return c.call(e)
	case *notation.Field:
		return c.field(e)
	case *notation.Bind:
		return c.form(e)
	case *notation.If:
		return c.choice(e)
	case *notation.Compare, *notation.Logic:
		return c.fail(e, CodeUnknown, "a condition is not a number")
	case *notation.Between, *notation.PlusMinus:
		return c.fail(e, CodeBracketUse, "a bracket has no single value here")
	}
	return c.fail(e, CodeUnknown, "this cannot be evaluated")
}

// arithmetic maps the operators of the notation.
func arithmetic(op notation.Op) opcode {
	switch op {
	case notation.OpAdd:
		return opAdd
	case notation.OpSub:
		return opSub
	case notation.OpMul:
		return opMul
	case notation.OpDiv:
		return opDiv
	}
	return opPow
}

func (c *compiler) name(e *notation.Name) int32 {
	for i := len(c.locals) - 1; i >= c.base; i-- {
		if l := c.locals[i]; l.name == e.Ident {
			return c.fetch(l.at, l.id, c.b)
		}
	}
	object, ok := c.scope.Lookup(e.Ident)
	if !ok {
		if e.Ident == "π" {
			return c.b.constant(math.Pi)
		}
		return c.fail(e, CodeUnknown, "%s has no value", e.Ident)
	}
	switch object := object.(type) {
	case Scalar:
		return c.b.constant(float64(object))
	case Interval:
		return c.fail(e, CodeBracketUse, "%s is a bracket and has no single value", e.Ident)
	}
	return c.fail(e, CodeUnknown, "%s is not a number", e.Ident)
}

func (c *compiler) call(e *notation.Call) int32 {
	name := e.Fun.Ident
	if op, ok := unaryOps[name]; ok && len(e.Args) == 1 {
		return c.b.unary(op, c.expr(e.Args[0]))
	}
	if op, ok := binaryOps[name]; ok && len(e.Args) > 0 && (op != opAtan2 || len(e.Args) == 2) {
		x := c.expr(e.Args[0])
		for _, a := range e.Args[1:] {
			x = c.b.binary(op, x, c.expr(a))
		}
		return x
	}
	if isBracketReader(name) && len(e.Args) == 1 {
		return c.walk(e)
	}
	object, _ := c.scope.Lookup(name)
	f, ok := object.(*Function)
	if !ok {
		return c.fail(e, CodeUnknown, "%s is not a function", name)
	}
	if len(f.Params) != len(e.Args) {
		return c.fail(e, CodeUnknown, "%s takes %d arguments, but has %d here", name, len(f.Params), len(e.Args))
	}
	if len(c.calls) >= deepestCall {
		return c.fail(e, CodeSizeLimit, "functions are nested more than %d deep", deepestCall)
	}
	return c.apply(e, f)
}

// apply writes the body of a function out. The body does not see the names
// bound where the function is used.
func (c *compiler) apply(e *notation.Call, f *Function) int32 {
	args := make([]int32, len(e.Args))
	for i, a := range e.Args {
		args[i] = c.expr(a)
	}
	key := inlineKey(c.b, e.Fun.Ident, args)
	if id, ok := c.inline[key]; ok {
		return id
	}
	base := c.base
	c.base = len(c.locals)
	for i, p := range f.Params {
		c.bind(p, args[i])
	}
	c.calls = append(c.calls, e)
	id := c.expr(f.Body)
	c.calls = c.calls[:len(c.calls)-1]
	c.locals = c.locals[:c.base]
	c.base = base
	if c.inline == nil {
		c.inline = map[string]int32{}
	}
	c.inline[key] = id
	return id
}

func (c *compiler) field(e *notation.Field) int32 {
	object, _ := c.scope.Lookup(e.X.Ident)
	shaft, ok := object.(Fielder)
	if !ok {
		return c.fail(e, CodeUnknown, "%s is not a shaft", e.X.Ident)
	}
	if shaft.IsBracket(e.Field) {
		return c.fail(e, CodeBracketUse, "%s.%s is a bracket and has no single value", e.X.Ident, e.Field)
	}
	args := make([]int32, len(e.Args))
	for i, a := range e.Args {
		args[i] = c.expr(a)
	}
	return c.b.field(&field{shaft: shaft, name: e.Field, args: args, node: e})
}

func (c *compiler) choice(e *notation.If) int32 {
	cond := c.condition(e.Cond)
	if c.b.kinds[cond] == constant {
		switch constantOf(c.b.code[cond]) {
		case 0:
			return c.expr(e.Else)
		case 1:
			return c.expr(e.Then)
		}
	}
	return c.b.ternary(opSelect, cond, c.expr(e.Then), c.expr(e.Else))
}

func (c *compiler) condition(e notation.Expr) int32 {
	switch e := e.(type) {
	case *notation.Paren:
		return c.condition(e.X)
	case *notation.Compare:
		return c.compare(e)
	case *notation.Logic:
		x := c.condition(e.X)
		switch {
		case e.Op == notation.OpNot:
			return c.b.unary(opNot, x)
		case e.Op == notation.OpAnd:
			return c.b.binary(opAnd, x, c.condition(e.Y))
		}
		return c.b.binary(opOr, x, c.condition(e.Y))
	}
	return c.fail(e, CodeUnknown, "this is not a condition")
}

func (c *compiler) compare(e *notation.Compare) int32 {
	all := int32(-1)
	x := c.expr(e.Xs[0])
	for i, op := range e.Ops {
		y := c.expr(e.Xs[i+1])
		code, swap, ok := comparison(op)
		if !ok {
			return c.fail(e, CodeUnknown, "%s cannot be used in a condition", op)
		}
		a, b := x, y
		if swap {
			a, b = y, x
		}
		holds := c.b.binary(code, a, b)
		if all < 0 {
			all = holds
		} else {
			all = c.b.binary(opAnd, all, holds)
		}
		x = y
	}
	return all
}

// comparison maps a comparison to an opcode; swap means that the operands
// change places.
func comparison(op notation.Op) (code opcode, swap, ok bool) {
	switch op {
	case notation.OpLess:
		return opLess, false, true
	case notation.OpLessEq:
		return opLessEq, false, true
	case notation.OpGreater:
		return opLess, true, true
	case notation.OpGreaterEq:
		return opLessEq, true, true
	case notation.OpEqual:
		return opEqual, false, true
	case notation.OpNotEqual:
		return opNotEqual, false, true
	}
	return opNone, false, false
}
