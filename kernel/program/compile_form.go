package program

import (
	"math"
	"slices"
	"strconv"

	"shaftbook/kernel/notation"
)

// form compiles a form that binds a name: its body becomes a program of its
// own.
func (c *compiler) form(e *notation.Bind) int32 {
	switch e.Kind {
	case notation.Derivative:
		return c.derivative(e)
	case notation.Limit:
		return c.fail(e, CodeUnknown, "a limit can be used only in a derivation")
	}
	from, to := c.bound(e.From), c.bound(e.To)
	outer := c.b
	c.b = newBuilder(outer)
	counts := e.Kind == notation.Sum || e.Kind == notation.Product
	index, inputs := int32(-1), []int32(nil)
	mark := len(c.locals)
	if counts {
		index = c.b.index()
		c.bind(e.Var.Ident, index)
	} else {
		inputs = []int32{c.b.input(vector, -1)}
		c.bind(e.Var.Ident, inputs[0])
	}
	result := c.expr(e.Body)
	c.locals = c.locals[:mark]
	inner := c.b
	c.b = outer

	var captures []int32
	var ids []int32 // the captured inputs come first
	for i, from := range inner.captured {
		if from >= 0 {
			captures = append(captures, from)
			ids = append(ids, inner.known[instr{op: opInput, a: int32(i)}])
		}
	}
	body := inner.finish(result, nil, append(ids, inputs...), index, e.Body, c.scope)
	body.uniforms = len(ids)
	l := &loop{bind: e, body: body, captures: captures}
	if !counts {
		l.sure = &lazyCertified{}
		l.names = usedNames(e, c.isLocal)
		for _, name := range l.names {
			l.values = append(l.values, c.local(name))
		}
	}
	return c.b.loop(l, from, to)
}

// bound compiles an end of a range, which may be infinite.
func (c *compiler) bound(e notation.Expr) int32 {
	if i, ok := notation.Unparen(e).(*notation.Infinity); ok {
		return c.b.constant(math.Inf(i.Sign))
	}
	return c.expr(e)
}

func (c *compiler) isLocal(name string) bool {
	return slices.ContainsFunc(c.locals[c.base:], func(l binding) bool { return l.name == name })
}

// local returns the value of a visible name in the current builder.
func (c *compiler) local(name string) int32 {
	for i := len(c.locals) - 1; i >= c.base; i-- {
		if l := c.locals[i]; l.name == name {
			return c.fetch(l.at, l.id, c.b)
		}
	}
	panic("program: no such local")
}

// derivative compiles the symbolic derivative at the place asked for. Without
// one, or with one that may have two sides, it is the walker's.
func (c *compiler) derivative(e *notation.Bind) int32 {
	d, ok := symbolicDerivative(&c.within, e, c.scope, c.isLocal)
	if !ok || hasSeam(e.Body, c.scope) {
		return c.walk(e)
	}
	at := c.expr(e.From)
	mark := len(c.locals)
	c.bind(e.Var.Ident, at)
	id := c.expr(d)
	c.locals = c.locals[:mark]
	return id
}

// walk leaves an expression to the walker, with every name it can see.
func (c *compiler) walk(e notation.Expr) int32 {
	w := &walk{expr: e}
	for _, l := range c.locals[c.base:] {
		w.names = append(w.names, l.name)
		w.values = append(w.values, c.fetch(l.at, l.id, c.b))
	}
	return c.b.walk(w)
}

// loop adds a form, outside of the loop around it if it does not depend on it.
func (b *builder) loop(l *loop, from, to int32) int32 {
	ids := append(append([]int32{from, to}, l.captures...), l.values...)
	if up, ok := b.allInParent(ids); ok {
		moved := *l
		n := 2 + len(l.captures)
		moved.captures, moved.values = up[2:n:n], up[n:]
		return b.fromParent(b.parent.loop(&moved, up[0], up[1]))
	}
	b.loops = append(b.loops, l)
	return b.add(instr{op: opLoop, a: from, b: to, c: -1, aux: int32(len(b.loops) - 1)}, max(uniform, b.kindOf(ids...)))
}

func (b *builder) field(f *field) int32 {
	if up, ok := b.allInParent(f.args); ok {
		return b.fromParent(b.parent.field(&field{shaft: f.shaft, name: f.name, args: up, node: f.node}))
	}
	b.fields = append(b.fields, f)
	return b.add(instr{op: opField, a: -1, b: -1, c: -1, aux: int32(len(b.fields) - 1)}, max(uniform, b.kindOf(f.args...)))
}

func (b *builder) walk(w *walk) int32 {
	if up, ok := b.allInParent(w.values); ok {
		return b.fromParent(b.parent.walk(&walk{expr: w.expr, names: w.names, values: up}))
	}
	b.walks = append(b.walks, w)
	return b.add(instr{op: opWalk, a: -1, b: -1, c: -1, aux: int32(len(b.walks) - 1)}, max(uniform, b.kindOf(w.values...)))
}

func inlineKey(b *builder, name string, args []int32) string {
	key := strconv.AppendInt([]byte(name+" "), int64(b.serial), 36)
	for _, a := range args {
		key = append(key, ' ')
		key = strconv.AppendInt(key, int64(a), 36)
	}
	return string(key)
}
