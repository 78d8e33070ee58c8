package check

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

func relatedTo(s *Symbol) []source.Related {
	if !s.At.IsValid() {
		return nil
	}
	return []source.Related{{Span: s.At, Message: s.Ident + " is defined here"}}
}

func paramNames(f *notation.DefineFunc) string {
	names := make([]string, len(f.Params))
	for i, p := range f.Params {
		names[i] = p.Ident
	}
	return strings.Join(names, ", ")
}

func (c *Checker) call(e *notation.Call) Type {
	if e.Fun.Ident == "log" {
		return c.whichLogarithm(e)
	}
	if arity, ok := notation.LookupBuiltin(e.Fun.Ident); ok {
		return c.builtin(e, arity)
	}
	if _, bound := c.lookupLocal(e.Fun.Ident); bound {
		return c.notFunction(e, nil)
	}
	s, ok := c.scope.Symbol(e.Fun.Ident)
	if !ok {
		c.undefinedFunction(e)
		return invalid
	}
	if s.Kind != Function {
		return c.notFunction(e, s)
	}
	return c.apply(e, s)
}

func (c *Checker) whichLogarithm(e *notation.Call) Type {
	if s, ok := c.scope.Symbol("log"); ok && s.Kind == Function {
		return c.apply(e, s)
	}
	d := c.list.Addf(e.Fun.Span(), CodeLog, "log does not say which logarithm is meant")
	d.Repair = "write ln(…) for the natural logarithm or log10(…) for the one to base 10"
	d.Choose(e.Fun.Span(), "ln").Choose(e.Fun.Span(), "log10")
	for _, a := range e.Args {
		c.quantity(a)
	}
	return invalid
}

func (c *Checker) undefinedFunction(e *notation.Call) {
	d := c.list.Addf(e.Fun.Span(), CodeUndefined, "there is no function %s in this lesson", e.Fun.Ident)
	if otherFunction(d, e) {
		return
	}
	candidates := c.scope.All()
	for _, b := range notation.Builtins {
		candidates = append(candidates, b.Name)
	}
	if parts, ok := writtenTogether(e.Fun.Ident, candidates); ok {
		d.Repair = "for a product write " + parts + "(…)"
		return
	}
	if suggest(d, e.Fun.Span(), Nearest(e.Fun.Ident, candidates)) {
		return
	}
	d.Repair = fmt.Sprintf("define it, %s(x) = …, or write the product as %s·(…)", e.Fun.Ident, e.Fun.Ident)
}

func (c *Checker) notFunction(e *notation.Call, s *Symbol) Type {
	d := c.list.Addf(e.Fun.Span(), CodeNotFunction, "%s is not a function", e.Fun.Ident)
	d.Repair = fmt.Sprintf("for the product write %s·(…)", e.Fun.Ident)
	d.Fix = &source.Fix{Span: source.Span{Text: e.Fun.Span().Text, Start: e.Fun.Span().End, End: e.Fun.Span().End}, Text: "·"}
	if s != nil {
		if s.HasFields() {
			d.Message = e.Fun.Ident + " is " + s.what() + ", not a function"
			d.Repair, d.Fix = "ask for one of its values, as in "+e.Fun.Ident+map[SymbolKind]string{ShaftName: ".twist(x)", ReadingsName: ".y(1)", LineName: ".at(x)"}[s.Kind], nil
		}
		d.Related = relatedTo(s)
	}
	return invalid
}

// apply checks the body of a function of the lesson for the types of one use.
func (c *Checker) apply(e *notation.Call, s *Symbol) Type {
	args := make([]Type, len(e.Args))
	for i, a := range e.Args {
		args[i] = c.quantity(a)
	}
	if len(args) != len(s.Func.Params) {
		c.wrongCount(e, len(s.Func.Params), fmt.Sprintf("%s(%s)", s.Ident, paramNames(s.Func)))
		return invalid
	}
	for _, t := range args {
		if t.Kind == Invalid {
			return invalid
		}
	}
	if s.Result != nil {
		return *s.Result
	}
	key := useKey(s.Ident, args)
	use, ok := c.memo[key]
	if !ok {
		use = c.body(s, args)
		c.memo[key] = use
	}
	for i, whole := range use.whole {
		if whole {
			c.markWhole(e.Args[i])
		}
	}
	return c.used(e, s, use)
}

// A bodyUse is the type of the body of a function for one set of argument
// types.
type bodyUse struct {
	typ      Type
	problems source.List
	whole    []bool // parameters that must be whole numbers
}

// body infers a function's body in a scope of its own: a parameter hides
// nothing outside and nothing bound outside is seen inside.
func (c *Checker) body(s *Symbol, args []Type) bodyUse {
	const deepest = 32
	if c.depth >= deepest {
		var l source.List
		l.Addf(s.At, CodeArguments, "functions are nested more than %d deep", deepest)
		return bodyUse{problems: l}
	}
	local, list, whole := c.local, c.list, c.whole
	c.local, c.list, c.whole = nil, nil, map[string]bool{}
	for i, p := range s.Func.Params {
		c.bind(p.Ident, args[i])
	}
	c.depth++
	use := bodyUse{typ: c.quantity(s.Func.Body), whole: make([]bool, len(args))}
	c.depth--
	for i, p := range s.Func.Params {
		use.whole[i] = c.whole[p.Ident]
	}
	use.problems = c.list
	c.local, c.list, c.whole = local, list, whole
	return use
}

const notWorkedOut = " has no value: "

// used reports trouble inside a body at the place of the use, pointing into
// the body. Of functions that use functions the message names the outermost
// and the trouble itself; the bodies between are related places.
func (c *Checker) used(e *notation.Call, s *Symbol, use bodyUse) Type {
	first := use.problems.FirstError()
	if first == nil {
		return use.typ
	}
	trouble := first.Message
	if i := strings.LastIndex(trouble, notWorkedOut); i >= 0 {
		trouble = trouble[i+len(notWorkedOut):]
	}
	d := c.list.Addf(e.Span(), first.Code, "with these arguments %s%s%s", s.Ident, notWorkedOut, trouble)
	d.Repair, d.Origin = first.Repair, first
	d.Related = append(d.Related, source.Related{Span: first.Span, Message: "in " + s.Ident + ": " + piece(s.Func.Body)})
	const most = 4 // more places than a reader follows
	d.Related = append(d.Related, first.Related[:min(len(first.Related), most-1)]...)
	return invalid
}

func useKey(ident string, args []Type) string {
	var b strings.Builder
	b.WriteString(ident)
	for _, t := range args {
		fmt.Fprintf(&b, "|%d%v%v%d%d%v", t.Kind, t.Dim, t.Zero, t.Angle, t.Speed, t.Pi)
	}
	return b.String()
}

func (c *Checker) wrongCount(e *notation.Call, want int, form string) {
	c.list.Addf(e.Span(), CodeArguments, "%s takes %s, but has %d here", e.Fun.Ident, words.Count(want, "argument"), len(e.Args)).
		Repair = "write " + form
}

// builtin infers a built-in function.
func (c *Checker) builtin(e *notation.Call, arity notation.Builtin) Type {
	name := e.Fun.Ident
	args := make([]Type, len(e.Args))
	bad := false
	for i, a := range e.Args {
		args[i] = c.quantity(a)
		bad = bad || args[i].Kind == Invalid
	}
	if len(args) < arity.MinArgs || arity.MaxArgs >= 0 && len(args) > arity.MaxArgs {
		c.wrongCount(e, arity.MinArgs, name+"("+strings.TrimSuffix(strings.Repeat("…, ", arity.MinArgs), ", ")+")")
		return invalid
	}
	if bad {
		return invalid
	}
	switch name {
	case "sqrt":
		return c.power(e, args[0], half)
	case "abs":
		return args[0]
	case "low", "high", "mid", "width":
		t := args[0]
		t.Kind, t.Zero = Number, false
		return t
	case "min", "max", "atan2":
		return c.alike(e, args)
	}
	return c.ofNumber(e, args[0])
}

// alike infers min, max and atan2, whose arguments share a dimension.
func (c *Checker) alike(e *notation.Call, args []Type) Type {
	t := args[0]
	for i := 1; i < len(args); i++ {
		if !same(t, args[i], true) {
			c.mismatch(e.Span(), e.Fun.Ident+" needs arguments of one dimension, not %s and %s", e.Args[0], args[0], e.Args[i], args[i])
			return invalid
		}
		t = merged(t, args[i])
	}
	if e.Fun.Ident == "atan2" {
		return Type{Kind: t.Kind, Angle: IsAngle}
	}
	return t
}

// ofNumber infers the functions of one pure number.
func (c *Checker) ofNumber(e *notation.Call, arg Type) Type {
	name := e.Fun.Ident
	if !arg.Dim.IsNumber() {
		c.clash(arg.Dim, unit.Dimension{})
		d := c.list.Addf(e.Args[0].Span(), CodeDimension, "%s takes %s, not %s", name, takes(name), c.describe(e.Args[0], arg))
		d.Repair = "divide it by a quantity of the same dimension first"
		if name == "floor" || name == "ceil" || name == "round" {
			d.Repair = fmt.Sprintf("say in which unit: %s(%s/(1 %s))·(1 %[3]s)", name, piece(e.Args[0]), unit.Choose(0, arg.Dim, nil, unit.NoHint).Text)
		}
		return invalid
	}
	t := Type{Kind: arg.Kind}
	switch name {
	case "sin", "cos", "tan":
		c.noteRadians(e.Args[0])
	case "asin", "acos", "atan":
		t.Angle = IsAngle
	case "floor", "ceil", "round":
		t.Angle = NotAngle
	}
	return t
}

func takes(name string) string {
	switch name {
	case "sin", "cos", "tan":
		return "an angle or a pure number"
	}
	return "a pure number"
}
