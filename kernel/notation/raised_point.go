package notation

import (
	"strings"

	"shaftbook/kernel/source"
)

// noteRaisedPoint notes that 12·5 mm, a whole product in a cell, is 60 mm: the dot may
// be a raised decimal point. A dot between spaces multiplies without a note.
func (p *parser) noteRaisedPoint(x Expr) {
	b, ok := x.(*Binary)
	if !ok || b.Op != OpMul || p.broken || p.mode == deriveMode {
		return
	}
	x = b.X
	if u, isSigned := x.(*Unary); isSigned {
		x = u.X
	}
	n, isNumber := x.(*Number)
	q, isQuantity := b.Y.(*Quantity)
	if !isNumber || !isQuantity || strings.ContainsAny(b.OpAt.Content(), "*×∗⨯") {
		return
	}
	if n.At.End != b.OpAt.Start || b.OpAt.End != q.Number.At.Start || !areDigitsOfDecimal(n.Text, q.Number.Text) {
		return
	}
	at := source.Span{Text: b.OpAt.Text, Start: n.At.Start, End: q.Number.At.End}
	point := n.Text + "." + q.Number.Text
	d := p.list.Notef(at, TwoReadings, "the dot multiplies %s by %s; a decimal point is written as a full stop", n.Text, q.At.Content())
	d.Repair = "perhaps " + point + " is meant; for the product set the dot off by spaces"
	d.Choose(at, point)
}

// areDigitsOfDecimal reports whether two whole numbers are sooner the digits before and
// after a decimal point than factors: two or more before it, since 2·36 mm is twice a
// length, and one or two after it. A factor that ends with 0, such as 40, is sooner one,
// unless it begins with 0.
func areDigitsOfDecimal(whole, digits string) bool {
	return hasOnlyDigits(whole) && hasOnlyDigits(digits) && len(whole) >= 2 && len(digits) <= 2 &&
		(digits[0] == '0' || digits[len(digits)-1] != '0')
}
