package typeset

import (
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/notation"
)

// Spoken returns n in words, for aria-label: "T times L over J times G". A
// Comma marks where a listener must hear that something has ended; "open
// bracket" and "close bracket" are said where a sum is grouped.
func Spoken(n notation.Node) string {
	var v voice
	switch n := n.(type) {
	case nil:
		return ""
	case notation.Expr:
		v.expr(n)
	case notation.Stmt:
		v.stmt(n)
	case notation.ShaftLine, notation.DeriveLine:
		v.line(n)
	case *notation.UnitRef:
		return unitSpoken(n.Text, true)
	case *notation.Column:
		v.expr(n.Expr)
	case *notation.Range:
		v.span(n)
	default:
		return n.Span().Content()
	}
	return strings.ReplaceAll(strings.Join(v.words, " "), " ,", ",")
}

// voice collects words.
type voice struct{ words []string }

// say adds words and expressions in turn.
func (v *voice) say(parts ...any) {
	for _, part := range parts {
		switch part := part.(type) {
		case string:
			if part != "" {
				v.words = append(v.words, part)
			}
		case *notation.Name:
			v.name(part)
		case notation.Expr:
			v.expr(part)
		}
	}
}

func (v *voice) pause() {
	if n := len(v.words); n > 0 && v.words[n-1] != "," {
		v.words = append(v.words, ",")
	}
}

func (v *voice) name(n *notation.Name) {
	if n != nil {
		v.say(nameSpoken(n.Ident))
	}
}

// nameSpoken reads a name: "theta sub max", "delta x".
func nameSpoken(ident string) string {
	parts := strings.Split(ident, "_")
	for i, part := range parts {
		parts[i] = symbolSpoken(part)
	}
	return strings.Join(parts, " sub ")
}

func symbolSpoken(part string) string {
	first, size := utf8.DecodeRuneInString(part)
	letter, ok := letterWords[first]
	switch {
	case !ok:
		return part
	case size == len(part):
		return letter
	}
	return letter + " " + symbolSpoken(part[size:])
}

var letterWords = map[rune]string{'α': "alpha", 'β': "beta", 'γ': "gamma", 'δ': "delta", 'ε': "epsilon", 'ζ': "zeta",
	'η': "eta", 'θ': "theta", 'ι': "iota", 'κ': "kappa", 'λ': "lambda", 'μ': "mu", 'ν': "nu", 'ξ': "xi", 'π': "pi",
	'ρ': "rho", 'σ': "sigma", 'τ': "tau", 'υ': "upsilon", 'φ': "phi", 'ϕ': "phi", 'χ': "chi", 'ψ': "psi",
	'ω': "omega", 'Γ': "capital gamma", 'Δ': "delta", 'Θ': "capital theta", 'Λ': "capital lambda",
	'Ξ': "capital xi", 'Π': "capital pi", 'Σ': "capital sigma", 'Φ': "capital phi", 'Ψ': "capital psi", 'Ω': "capital omega"}

func (v *voice) expr(e notation.Expr) {
	switch e := e.(type) {
	case nil:
	case *notation.Number:
		v.say(numberSpoken(e.Text))
	case *notation.Quantity:
		v.say(quantitySpoken(e))
	case *notation.Name:
		v.name(e)
	case *notation.Call:
		v.call(e)
	case *notation.Field:
		v.field(e)
	case *notation.Unary:
		v.say(signWords[e.Op])
		v.grouped(e.X, levelMul)
	case *notation.Binary:
		v.binary(e)
	case *notation.Paren:
		v.bracketed(e.X)
	case *notation.Abs:
		v.say("the magnitude of", unparen(e.X))
		v.pause()
	case *notation.Root:
		v.root(e.X)
	case *notation.Between:
		v.say("between", e.Low, "and", e.High)
	case *notation.PlusMinus:
		v.say(e.Mid, "plus or minus", e.Half)
	case *notation.Bind:
		v.bind(e)
	case *notation.Infinity:
		if e.Sign < 0 {
			v.say("minus")
		}
		v.say("infinity")
	case *notation.If:
		v.conditional(e)
	case *notation.Compare:
		for i, x := range e.Xs {
			if i > 0 && i-1 < len(e.Ops) {
				v.say(relationWords[e.Ops[i-1]])
			}
			v.expr(x)
		}
	case *notation.Logic:
		if e.Op == notation.OpNot {
			v.say("not", e.X)
			return
		}
		v.grouped(e.X, level(e, true))
		v.say(e.Op.String())
		v.grouped(e.Y, level(e, true)+1)
	default:
		v.say(e.Span().Content())
	}
}

var signWords = map[notation.Op]string{notation.OpNeg: "minus", notation.OpPos: "plus"}

var relationWords = map[notation.Op]string{notation.OpLess: "is less than", notation.OpLessEq: "is at most",
	notation.OpGreater: "is greater than", notation.OpGreaterEq: "is at least", notation.OpEqual: "equals",
	notation.OpNotEqual: "is not equal to", notation.OpApprox: "is about",
	notation.OpPropTo: "is proportional to"}

func (v *voice) bracketed(e notation.Expr) {
	v.say("open bracket", unparen(e), "close bracket")
}

// grouped speaks e, in brackets if it holds together less tightly than least.
func (v *voice) grouped(e notation.Expr, least int) {
	if e != nil && level(e, true) < least {
		v.bracketed(e)
		return
	}
	v.expr(e)
}

func (v *voice) binary(e *notation.Binary) {
	switch e.Op {
	case notation.OpPow:
		v.power(e)
	case notation.OpDiv:
		v.grouped(unwrapProduct(e.X), levelMul)
		v.say("over")
		v.grouped(unwrapProduct(e.Y), levelMul)
	case notation.OpMul:
		v.grouped(e.X, levelMul)
		if q, ok := e.Y.(*notation.Quantity); ok && e.UnitBehind {
			v.say(unitSpoken(q.Unit.Text, true))
			return
		}
		if x, ok := e.X.(*notation.Binary); ok && x.Op == notation.OpDiv {
			v.pause()
		}
		v.say("times")
		v.grouped(e.Y, levelSign)
	case notation.OpAdd:
		v.say(e.X, "plus")
		v.grouped(e.Y, levelMul)
	default:
		v.say(e.X, "minus")
		v.grouped(e.Y, levelMul)
	}
}

// unwrapProduct drops the brackets of a product above or below a fraction bar:
// "T times L over J times G"; those of a sum are said.
func unwrapProduct(e notation.Expr) notation.Expr {
	inner := unparen(e)
	if inner != nil && level(inner, true) < levelMul {
		return e
	}
	if b, ok := inner.(*notation.Binary); ok && b.Op == notation.OpDiv {
		return e
	}
	return inner
}

func (v *voice) power(e *notation.Binary) {
	v.grouped(e.X, levelAtom)
	if takesArguments(e.X) {
		v.pause() // d of x, to the fourth: not d of x⁴
		defer v.pause()
	}
	exponent := unparen(e.Y)
	if n, ok := exponent.(*notation.Number); ok {
		switch n.Text {
		case "2":
			v.say("squared")
			return
		case "3":
			v.say("cubed")
			return
		case "4":
			v.say("to the fourth")
			return
		}
	}
	v.say("to the power", exponent)
	if exponent != nil && level(exponent, true) < levelPower {
		v.pause()
	}
}

func takesArguments(e notation.Expr) bool {
	switch e := e.(type) {
	case *notation.Call:
		return true
	case *notation.Field:
		return e.HasArgs
	}
	return false
}

func (v *voice) root(x notation.Expr) {
	v.say("the square root of", unparen(x))
	v.pause()
}

var functionWords = map[string]string{"sin": "sine", "cos": "cosine", "tan": "tangent", "asin": "arc sine",
	"acos": "arc cosine", "atan": "arc tangent", "atan2": "arc tangent", "exp": "exponential", "ln": "natural logarithm",
	"log10": "logarithm to base 10", "floor": "floor", "ceil": "ceiling", "round": "rounded value", "min": "smaller",
	"max": "larger", "low": "low end", "high": "high end", "width": "width", "mid": "middle", "abs": "magnitude"}

func (v *voice) call(e *notation.Call) {
	if e.Fun == nil {
		v.say(e.Span().Content())
		return
	}
	if e.Fun.Ident == "sqrt" && len(e.Args) == 1 {
		v.root(e.Args[0])
		return
	}
	if words, ok := functionWords[e.Fun.Ident]; ok {
		v.say("the " + words)
	} else {
		v.name(e.Fun)
	}
	v.arguments(e.Args)
}

func (v *voice) arguments(args []notation.Expr) {
	v.say("of")
	for i, a := range args {
		if i > 0 {
			v.say("and")
		}
		v.expr(unparen(a))
	}
	if len(args) > 1 || len(args) == 1 && level(args[0], true) < levelPower {
		v.pause()
	}
}

func (v *voice) field(e *notation.Field) {
	v.say(nameSpoken(e.Field), "of")
	v.name(e.X)
	if !e.HasArgs || len(e.Args) == 0 {
		return
	}
	if e.Field == "segments" || e.Field == "bracket" {
		v.say("cut into")
	} else {
		v.say("at")
	}
	for i, a := range e.Args {
		if i > 0 {
			v.say("and")
		}
		v.expr(a)
	}
}

func (v *voice) bind(e *notation.Bind) {
	if n, ok := notation.IsFactorial(e); ok {
		v.grouped(n, levelAtom)
		v.say("factorial")
		return
	}
	switch e.Kind {
	case notation.Derivative:
		v.say("the derivative of", unparen(e.Body))
		v.pause()
		v.say("with respect to", e.Var)
		if own, ok := unparen(e.From).(*notation.Name); !ok || own.Ident != e.Var.Ident {
			v.say("at", e.Var, "equals", e.From)
		}
	case notation.Change:
		v.say("the change of", unparen(e.Body))
		v.pause()
		v.say("from", e.Var, "equals", e.From, "to", e.To)
	case notation.Limit:
		v.say("the limit, as", e.Var, "tends to", e.From)
		v.pause()
		v.say("of", e.Body)
	case notation.Antiderivative:
		v.say("the integral of", unparen(e.Body))
		v.pause()
		v.say("d", e.Var)
	case notation.Integral:
		v.say("the integral from", e.From, "to", e.To, "of", unparen(e.Body))
		v.pause()
		v.say("d", e.Var)
	default:
		v.say("the "+bindWords[e.Kind], "for", e.Var, "from", e.From, "to", e.To)
		v.pause()
		v.say("of", unparen(e.Body))
	}
	v.pause()
}

var bindWords = map[notation.BindKind]string{notation.Sum: "sum", notation.Product: "product",
	notation.FindRoot: "root", notation.Largest: "largest value", notation.Smallest: "smallest value"}

func (v *voice) conditional(e *notation.If) {
	v.say("if", unparen(e.Cond))
	v.pause()
	v.say(unparen(e.Then))
	v.pause()
	v.say("otherwise", unparen(e.Else))
	v.pause()
}
