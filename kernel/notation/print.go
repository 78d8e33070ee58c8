package notation

import (
	"strconv"
	"strings"
)

// Print returns the canonical text of a node: typeset signs (−, ·, ≤), Greek
// letters, one space around sums and comparisons. Brackets are written where they
// were written, and, in a tree that was put together, where they are needed, so
// that the text reads back as the same tree. A Bad node prints as it was
// written.
func Print(n Node) string {
	var w printer
	w.print(n)
	return w.String()
}

// String returns the canonical text of the cell, one statement a line.
func (c *Cell) String() string { return printLines(c.Stmts) }

// String returns the canonical text of the cell, one line a line.
func (c *ShaftCell) String() string { return printLines(c.Lines) }

// String returns the canonical text of the cell, one line a line.
func (c *DeriveCell) String() string { return printLines(c.Lines) }

func printLines[N Node](list []N) string {
	var w printer
	for i, n := range list {
		if i > 0 {
			w.WriteByte('\n')
		}
		w.print(n)
	}
	return w.String()
}

type printer struct{ strings.Builder }

func (w *printer) print(n Node) {
	if isNil(n) {
		return
	}
	switch n := n.(type) {
	case Expr:
		w.expr(n, levelOr, levelOr)
	case *UnitRef:
		w.WriteString(n.Text)
	case Stmt:
		w.statement(n)
	case ShaftLine:
		w.shaftLine(n)
	case DeriveLine:
		w.deriveLine(n)
	case *Column:
		w.column(n)
	case *Range:
		w.sampling(n, "rows")
	}
}

// words writes strings and nodes one after another.
func (w *printer) words(parts ...any) {
	for _, p := range parts {
		switch p := p.(type) {
		case string:
			w.WriteString(p)
		case Expr:
			// Outside an expression a value has the level of a sum.
			w.expr(p, levelSum, levelOr)
		case Node:
			w.print(p)
		}
	}
}

// option writes a word and a value, if the value is there.
func (w *printer) option(word string, e Expr) {
	if e != nil {
		w.words(" ", word, " ", e)
	}
}

// expr writes e where an expression of at least the given level is needed;
// right is the level of the operator that follows it, levelOr for none.
func (w *printer) expr(e Expr, level, right int) {
	if own := levelOf(e); own < level || swallows(e, right) {
		w.WriteByte('(')
		w.expr(e, levelOr, levelOr)
		w.WriteByte(')')
		return
	}
	switch e := e.(type) {
	case *Bad:
		w.WriteString(e.At.Content())
	case *Number:
		w.WriteString(numberText(e))
	case *Quantity:
		w.words(numberText(e.Number), " ", e.Unit.Text)
	case *Name:
		w.WriteString(e.Ident)
	case *Call:
		w.WriteString(e.Fun.Ident)
		w.args(e.Args)
	case *Field:
		w.words(e.X.Ident, ".", e.Field)
		if e.HasArgs {
			w.args(e.Args)
		}
	case *Unary:
		w.WriteString(e.Op.String())
		w.expr(e.X, levelSign, right)
	case *Root:
		w.WriteString("√")
		w.expr(e.X, levelSign, right)
	case *Binary:
		w.binary(e, right)
	case *Paren:
		w.WriteByte('(')
		w.expr(e.X, levelOr, levelOr)
		w.WriteByte(')')
	case *Abs:
		w.WriteByte('|')
		w.expr(e.X, levelOr, levelOr)
		w.WriteByte('|')
	case *Between:
		w.WriteString("between ")
		w.expr(e.Low, levelSum, levelAnd)
		w.WriteString(" and ")
		w.expr(e.High, levelSum, right)
	case *PlusMinus:
		w.expr(e.Mid, levelSum, levelPlusMinus)
		w.WriteString(" ± ")
		w.expr(e.Half, levelSum, right)
	case *Bind:
		w.bind(e, right)
	case *Infinity:
		if e.Sign < 0 {
			w.WriteString("−")
		}
		w.WriteString("∞")
	case *If:
		w.WriteString("if ")
		w.expr(e.Cond, levelOr, levelOr)
		w.WriteString(" then ")
		w.expr(e.Then, levelOr, levelOr)
		w.WriteString(" else ")
		w.expr(e.Else, levelOr, levelOr)
	case *Compare:
		for i, x := range e.Xs {
			if i > 0 {
				w.words(" ", e.Ops[i-1].String(), " ")
			}
			after := levelCompare
			if i == len(e.Ops) {
				after = right
			}
			w.expr(x, levelPlusMinus, after)
		}
	case *Logic:
		w.logic(e, right)
	}
}

func (w *printer) args(args []Expr) {
	w.WriteByte('(')
	for i, a := range args {
		if i > 0 {
			w.WriteString(", ")
		}
		w.expr(a, levelOr, levelOr)
	}
	w.WriteByte(')')
}

func (w *printer) logic(e *Logic, right int) {
	switch e.Op {
	case OpNot:
		w.WriteString("not ")
		w.expr(e.X, levelNot, right)
		return
	case OpAnd:
		w.expr(e.X, levelAnd, levelAnd)
		w.WriteString(" and ")
		w.expr(e.Y, levelNot, right)
		return
	}
	w.expr(e.X, levelOr, levelAnd) // an if before "or" would take it in, as before "and"
	w.WriteString(" or ")
	w.expr(e.Y, levelAnd, right)
}

func (w *printer) binary(e *Binary, right int) {
	switch e.Op {
	case OpPow:
		w.power(e, right)
	case OpAdd, OpSub:
		w.expr(e.X, levelSum, levelSum)
		w.words(" ", e.Op.String(), " ")
		w.expr(e.Y, levelProduct, right)
	default:
		w.quotientOrProduct(e, right)
	}
}

// quotientOrProduct writes x·y or x/y. After a unit the sign is set off by
// spaces, since 36 mm·s would be a unit; a power of ten after a number, which
// would join it, is put in brackets.
func (w *printer) quotientOrProduct(e *Binary, right int) {
	w.expr(e.X, levelProduct, levelProduct)
	if q, ok := e.Y.(*Quantity); ok && e.UnitBehind {
		w.words(" ", q.Unit.Text)
		return
	}
	sign := e.Op.String()
	if endsWithUnit(e.X) || e.Op == OpMul && seemsDecimal(e.X, e.Y) || e.Op == OpDiv && endsWithPowerOne(e.X) {
		sign = " " + sign + " " // 0·3 would be asked about: it may be 0.3; and so would x^1/3
	}
	w.WriteString(sign)
	if e.Op == OpMul && endsWithMantissa(e.X) && isPowerOfTen(e.Y) {
		w.WriteByte('(')
		w.expr(e.Y, levelOr, levelOr)
		w.WriteByte(')')
		return
	}
	w.expr(e.Y, levelSign, right)
}

// endsWithPowerOne reports whether the text of an expression ends in ^1.
func endsWithPowerOne(x Expr) bool {
	b, ok := x.(*Binary)
	if !ok {
		u, isSign := x.(*Unary)
		return isSign && endsWithPowerOne(u.X)
	}
	if b.Op != OpPow {
		return endsWithPowerOne(b.Y)
	}
	n, ok := b.Y.(*Number)
	return ok && n.Text == "1"
}

// seemsDecimal reports whether the dot of x·y could be a raised decimal point, as in
// 0·3, 1·2 m and 12·5 mm.
func seemsDecimal(x, y Expr) bool {
	if u, isSigned := x.(*Unary); isSigned {
		x = u.X
	}
	n, ok := x.(*Number)
	if !ok {
		return false
	}
	switch y := y.(type) {
	case *Quantity:
		return n.Text == "0" || n.Text == "1" || areDigitsOfDecimal(n.Text, y.Number.Text)
	case *Number:
		return n.Text == "0"
	}
	return false
}

func (w *printer) power(e *Binary, right int) {
	if _, ok := e.X.(*Quantity); ok {
		w.words("(", e.X, ")") // 36 mm^4 is a unit
	} else {
		w.expr(e.X, levelPrimary, levelPower)
	}
	if text, ok := superscriptOf(e.Y); ok && e.Superscript {
		w.WriteString(text)
		return
	}
	w.WriteByte('^')
	if _, ok := e.Y.(*Quantity); ok {
		w.words("(", e.Y, ")")
		return
	}
	w.expr(e.Y, levelSign, right)
}

func (w *printer) bind(e *Bind, right int) {
	switch {
	case e.Kind == Antiderivative:
		w.WriteString("∫ ")
		w.expr(e.Body, levelProduct, levelProduct)
		if endsInNumber(e.Body) {
			w.WriteString(" ·") // 2 dm would be a length
		}
		w.words(" d", e.Var.Ident)
		return
	case e.Kind == Change:
		w.WriteByte('[')
		w.expr(e.Body, levelOr, levelOr)
		w.words("]_{", e.Var.Ident, " = ", e.From, "}^{", e.To, "}")
		return
	case isFactorial(e):
		w.expr(e.To, levelPrimary, levelPrimary)
		w.WriteByte('!')
		return
	case e.Glyph && e.Kind == Sum:
		w.WriteString("∑ ")
	case e.Glyph && e.Kind == Integral:
		w.WriteString("∫ ")
	default:
		w.words(e.Kind.String(), " of ")
	}
	w.expr(e.Body, levelOr, levelOr)
	switch e.Kind {
	case Limit:
		w.words(" as ", e.Var.Ident, " → ")
		w.expr(e.From, levelSum, right)
	case Derivative:
		w.words(" for ", e.Var.Ident, " at ")
		w.expr(e.From, levelSum, right)
	default:
		w.words(" for ", e.Var.Ident, " from ", e.From, " to ")
		w.expr(e.To, levelSum, right)
	}
}

var noBlanks = strings.NewReplacer(" ", "", "\t", "")

func numberText(n *Number) string {
	if n.Text == "" {
		text := strconv.FormatFloat(n.Value, 'g', -1, 64)
		if digits, ok := strings.CutPrefix(text, "-"); ok {
			return OpNeg.String() + digits
		}
		return text
	}
	if strings.ContainsAny(n.Text, " \t") {
		return noBlanks.Replace(n.Text)
	}
	return n.Text
}
