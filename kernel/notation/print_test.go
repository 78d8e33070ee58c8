package notation

import (
	"testing"

	"shaftbook/kernel/source"
)

// A tree that was put together prints with the brackets it needs.
func TestPrintBuiltTrees(t *testing.T) {
	name := func(s string) Expr { return &Name{Ident: s} }
	number := func(x float64) Expr { return &Number{Value: x} }
	binary := func(op Op, x, y Expr) Expr { return &Binary{Op: op, X: x, Y: y} }
	a, b, c := name("a"), name("b"), name("c")
	quantity := func(text string) Expr {
		e, list := ParseExpr(source.NewText("", text))
		if list.HasErrors() {
			t.Fatal(list)
		}
		return e
	}
	sum := &Bind{Kind: Sum, Body: a, Var: &Name{Ident: "i"}, From: number(1), To: name("n")}
	choice := &If{Cond: &Compare{Ops: []Op{OpLess}, Xs: []Expr{a, b}}, Then: a, Else: b}
	tests := []struct {
		e    Expr
		want string
	}{
		{binary(OpMul, binary(OpAdd, a, b), c), "(a + b)·c"},
		{binary(OpSub, a, binary(OpSub, b, c)), "a − (b − c)"},
		{binary(OpDiv, a, binary(OpMul, b, c)), "a/(b·c)"},
		{binary(OpMul, binary(OpDiv, a, b), c), "a/b·c"},
		{binary(OpPow, binary(OpPow, a, b), c), "(a^b)^c"},
		{binary(OpPow, a, binary(OpPow, b, c)), "a^b^c"},
		{binary(OpPow, &Unary{Op: OpNeg, X: a}, number(2)), "(−a)^2"},
		{&Unary{Op: OpNeg, X: binary(OpPow, a, number(2))}, "−a^2"},
		{&Unary{Op: OpNeg, X: binary(OpAdd, a, b)}, "−(a + b)"},
		{&Root{X: binary(OpMul, a, b)}, "√(a·b)"},
		{binary(OpPow, &Root{X: a}, number(2)), "(√a)^2"},
		{binary(OpPow, number(-2), number(2)), "(−2)^2"},
		{binary(OpAdd, number(1e-6), number(1e21)), "1e-06 + 1e+21"},
		{binary(OpPow, quantity("36 mm"), number(4)), "(36 mm)^4"},
		{binary(OpMul, quantity("36 mm"), name("s")), "36 mm · s"},
		{binary(OpMul, quantity("36 mm"), name("xx")), "36 mm · xx"},
		{binary(OpDiv, quantity("6 mm"), name("m")), "6 mm / m"},
		{binary(OpMul, number(2), binary(OpPow, number(10), number(3))), "2·(10^3)"},
		{binary(OpMul, a, binary(OpPow, number(10), number(3))), "a·10^3"},
		{binary(OpAdd, sum, number(1)), "(sum of a for i from 1 to n) + 1"},
		{binary(OpAdd, number(1), sum), "1 + sum of a for i from 1 to n"},
		{binary(OpAdd, binary(OpMul, number(2), sum), number(1)), "2·(sum of a for i from 1 to n) + 1"},
		{&Compare{Ops: []Op{OpLess}, Xs: []Expr{sum, c}}, "sum of a for i from 1 to n < c"},
		{&Compare{Ops: []Op{OpLess}, Xs: []Expr{choice, c}}, "(if a < b then a else b) < c"},
		{binary(OpMul, c, choice), "c·if a < b then a else b"},
		{&Between{Low: choice, High: c}, "between (if a < b then a else b) and c"},
		{binary(OpAdd, &PlusMinus{Mid: a, Half: b}, c), "(a ± b) + c"},
		{&Logic{Op: OpAnd, X: &Logic{Op: OpOr, X: a, Y: b}, Y: c}, "(a or b) and c"},
		{&Logic{Op: OpNot, X: &Compare{Ops: []Op{OpEqual}, Xs: []Expr{a, b}}}, "not a = b"},
		{&Binary{Op: OpPow, X: a, Y: number(4), Superscript: true}, "a⁴"},
		{&Binary{Op: OpPow, X: a, Y: number(0.5), Superscript: true}, "a^0.5"},
	}
	for _, test := range tests {
		got := Print(test.e)
		if got != test.want {
			t.Errorf("got %s, want %s", got, test.want)
		}
		again, list := ParseExpr(source.NewText("", got))
		if list.HasErrors() {
			t.Errorf("%s: %v", got, list)
		} else if Print(again) != got {
			t.Errorf("%s prints again as %s", got, Print(again))
		}
	}
}

func TestPrintCanonical(t *testing.T) {
	tests := []struct{ text, want string }{
		{"vary n from 1 to 40, typed up to 10^3 starting at 4", "vary n from 1 to 40 starting at 4 typed up to 10^3"},
		{"vary d from 20mm to 60mm by 1mm typed from .5cm up to 1m", "vary d from 20 mm to 60 mm by 1 mm typed from 0.5 cm up to 1 m"},
		{"trials of theta_n in deg  between a and b for n at 2,4,8 guessed .7deg at 16", "trials of θ_n in deg between a and b for n at 2, 4, 8 guessed 0.7 deg at 16"},
		{"trials of S.segments(n) within S.bracket(n) for n", "trials of S.segments(n) within S.bracket(n) for n"},
		{"readings test of T in N·m,theta in deg:0:.02,10:0.31deg", "readings test of T in N·m, θ in deg: 0: 0.02, 10: 0.31 deg"},
		{"line fit through test and origin without 7,9", "line fit through test and origin without 7, 9"},
		{"plot  residuals of fit", "plot residuals of fit"},
		{"table of S in 2n segments", "table of S in 2·n segments"},
		{"table of  tolerances of 2θ in °", "table of tolerances of 2·θ in °"},
		{"theta=T*L/( J *G )  in deg   to 3 figure", "θ = T·L/(J·G) in deg to 3 figures"},
		{"f( x,y )=x-y", "f(x, y) = x − y"},
		{"expect a~=b within 0.5%", "expect a ≈ b within 0.5 %"},
		{"a=3.2 × 10^-5+1e3", "a = 3.2×10^-5 + 1e3"},
		{`plot x as "t" in mm for x from 0 m to 1 m on log x axis by 0.1 m`, `plot x in mm as "t" for x from 0 m to 1 m by 0.1 m on log x axis`},
		{"x = (1 +\n  2)", "x = (1 + 2)"},
	}
	for _, test := range tests {
		cell, list := ParseCell(source.NewText("", test.text))
		if got := cell.String(); got != test.want || list.HasErrors() {
			t.Errorf("%q prints as %q, want %q (%v)", test.text, got, test.want, list)
		}
	}
}
