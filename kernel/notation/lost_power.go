package notation

import "strings"

// lostPowers are the exponents of powers of ten that are looked for where their
// superscript was lost when they were copied.
var lostPowers = makeSet("3 4 5 6 7 8 9 10 11 12")

// noteLostPower notes 79·109 N/m^2, which stood as 79·10⁹ in the document it was copied
// from. x and y are the factors before and behind the sign t.
func (p *parser) noteLostPower(x Expr, t token, y Expr) {
	n, ok := y.(*Number)
	if q, isQuantity := y.(*Quantity); isQuantity {
		n, ok = q.Number, true
	}
	if _, isNumber := x.(*Number); !ok || !isNumber || t.op != OpMul || p.broken {
		return
	}
	exponent, isTen := strings.CutPrefix(n.Text, "10")
	if !isTen || !lostPowers[exponent] {
		return
	}
	d := p.list.Notef(n.At, TwoReadings, "%s is read as the number %[1]s", n.Text)
	d.Repair = "perhaps 10^" + exponent + " is meant"
	d.Choose(n.At, "10^"+exponent)
}
