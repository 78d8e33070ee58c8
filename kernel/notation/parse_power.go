package notation

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// This file reads ½, ∛x, e^x and sin²(x).

// vulgarFraction reads ½ as (1/2).
func (p *parser) vulgarFraction() Expr {
	t := p.next()
	r, _ := utf8.DecodeRuneInString(t.text)
	parts := vulgarFractions[r]
	return p.fraction(t, parts[0], parts[1])
}

// fraction makes (a/b) of two digits at the place of a token.
func (p *parser) fraction(t token, a, b string) Expr {
	at := ExprAt(p.tokenSpan(t))
	digit := func(text string) Expr {
		p.node()
		return &Number{exprPlace: at, Text: text, Value: float64(text[0] - '0')}
	}
	p.node()
	return &Paren{at, &Binary{exprPlace: at, Op: OpDiv, OpAt: at.At, X: digit(a), Y: digit(b)}}
}

// cubeRoot makes x^(1/3) of ∛x.
func (p *parser) cubeRoot(t token, x Expr) Expr {
	_, isQuantity := x.(*Quantity)
	if isQuantity || levelOf(x) < levelPrimary {
		p.node()
		x = &Paren{ExprAt(x.Span()), x}
	}
	at := ExprAt(p.tokenSpan(t).To(x.Span()))
	return &Binary{exprPlace: at, Op: OpPow, OpAt: p.tokenSpan(t), X: x, Y: p.fraction(t, "1", "3")}
}

// exponential makes exp(x) of e^x, where e has no other meaning in the derivation.
func (p *parser) exponential(base Expr, power Expr) Expr {
	e, ok := base.(*Name)
	z, isPower := power.(*Binary)
	if !ok || !isPower || e.Ident != "e" || p.names.defined["e"] || p.names.bound["e"] {
		return power
	}
	if p.mode != deriveMode {
		if !p.sc.choice.Exp {
			return power
		}
		argument := z.Y.Span()
		edits := []edit{{e.At.Start, argument.Start, "exp("}, {argument.End, argument.End, ")"}}
		if _, ok := z.Y.(*Paren); ok {
			edits = []edit{{e.At.Start, argument.Start, "exp"}}
		}
		p.reads(Exponential, z.At, edits...)
	}
	fun := *e
	fun.Ident = "exp"
	arg := z.Y
	if paren, ok := arg.(*Paren); ok {
		arg = paren.X
	}
	return &Call{z.exprPlace, &fun, []Expr{arg}}
}

// functionPower reads sin²(x) and sin^2(x), the square of sin(x), after the name
// of a function; nil if that is not what stands here.
func (p *parser) functionPower(fun token) Expr {
	if !p.isBuiltin(fun) {
		return nil
	}
	sign := p.tok()
	rest := p.toks[p.pos:]
	var digits token
	switch {
	case sign.kind == tSuper && rest[1].kind == tOpen:
		digits = sign
	case sign.isOp(OpPow) && rest[1].kind == tNumber && rest[2].kind == tOpen:
		digits = rest[1]
	case sign.isOp(OpPow) && rest[1].isOp(OpSub) && rest[2].kind == tNumber && rest[3].kind == tOpen:
		return p.inverse(fun, sign)
	default:
		return p.barePower(fun, sign)
	}
	if strings.HasPrefix(digits.text, "⁻") {
		return p.inverse(fun, sign)
	}
	p.pos++
	if sign.kind != tSuper {
		p.pos++
	}
	name := p.name(fun)
	args := p.arguments(fun)
	call := &Call{ExprAt(p.since(fun.start)), name, args}
	var z *Binary
	if sign.kind == tSuper {
		made, ok := p.superscript(call, sign).(*Binary)
		if !ok {
			return p.badExpr(p.since(fun.start))
		}
		z = made
	} else {
		p.node()
		n := &Number{exprPlace: ExprAt(p.tokenSpan(digits)), Text: digits.text, Value: p.sc.numbers[digits.aux]}
		z = &Binary{Op: OpPow, OpAt: p.tokenSpan(sign), X: call, Y: n}
	}
	z.exprPlace = call.exprPlace
	if next := p.tok(); next.kind == tSuper || next.isOp(OpPow) {
		p.errorf(p.tokenSpan(next), Unexpected, "a power of a power needs brackets here").Repair = fmt.Sprintf("write (%s(…)^…)^…, or one exponent", fun.text)
	}
	return z
}

// inverse refuses sin⁻¹(x).
// barePower offers brackets for sin^2 x and sin^-1 x; nil if that is not written here.
func (p *parser) barePower(fun, sign token) Expr {
	rest := p.toks[p.pos:]
	n, isNegative := 1, strings.HasPrefix(sign.text, "⁻")
	if sign.isOp(OpPow) {
		if rest[1].isOp(OpSub) {
			n, isNegative = 2, true
		}
		if rest[n].kind != tNumber {
			return nil
		}
		n++
	} else if sign.kind != tSuper {
		return nil
	}
	operand := rest[n]
	if operand.kind != tName && operand.kind != tNumber || builtins[fun.text].MaxArgs != 1 {
		return nil
	}
	end := int(operand.end)
	if rest[n+1].kind == tUnit {
		end = int(rest[n+1].end)
	}
	power := p.span(int(sign.start), int(rest[n-1].end)).Content()
	argument := "(" + p.span(int(operand.start), end).Content() + ")"
	d := p.errorf(p.span(int(fun.start), end), FunctionBrackets, "the function %s needs brackets around what it is applied to", fun.text)
	repairs := []string{fun.text + power + argument}
	if _, ok := builtins["a"+fun.text]; ok && isNegative {
		repairs = []string{"a" + fun.text + argument, "1/" + fun.text + argument}
	}
	d.Repair = "write " + strings.Join(repairs, " or ")
	if len(repairs) == 1 {
		d.Fix = &source.Fix{Span: d.Span, Text: repairs[0]}
		return p.badExpr(d.Span)
	}
	for _, r := range repairs {
		d.Choose(d.Span, r)
	}
	return p.badExpr(d.Span)
}

func (p *parser) inverse(fun, sign token) Expr {
	one := "1/" + fun.text + "(…)"
	if _, ok := builtins["a"+fun.text]; !ok {
		p.errorf(p.tokenSpan(sign), Unexpected, "a negative power stands after the bracket").Repair = "write " + one
		return p.badExpr(p.tokenSpan(sign))
	}
	return p.twoReadings(p.tokenSpan(sign), "a"+fun.text+"(…)", one)
}

// askRoot asks what x^1/3 is: a cube root, or a third of x^1, which nobody writes on
// purpose; t is the sign of the power, y the exponent.
func (p *parser) askRoot(t token, y Expr) {
	n, ok := y.(*Number)
	stroke, below := p.tok(), p.peek()
	if !ok || n.Text != "1" || p.broken || p.mode == deriveMode || !stroke.isOp(OpDiv) || stroke.space || below.kind != tNumber || below.space {
		return
	}
	at := p.span(int(t.end), int(below.end))
	root := "(" + at.Content() + ")"
	d := p.errorf(p.span(int(t.start), int(below.end)), TwoReadings, "only the 1 is the exponent here")
	d.Repair = "write ^" + root + " for the root, or without the power /" + below.text
	d.Choose(at, root).Choose(p.span(int(t.start), int(below.end)), "/"+below.text)
}
