package certify_test

import (
	"fmt"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// The twist of a tapered shaft, but for a factor: ∫ dx/d(x)⁴ = L·(d₀⁻³ −
// d₁⁻³)/(3·(d₁ − d₀)) over 0.8 m, for a
// diameter that grows from 36 mm to 54 mm. A decimal is not a float64, so that
// each goes in as the interval that holds it.
func Example() {
	b := certify.NewBuilder()
	x := b.Variable()
	number := func(text string) certify.Expr {
		v, err := interval.Literal(text)
		if err != nil {
			panic(err)
		}
		return b.Const(v)
	}
	length := number("0.8")
	d := b.Add(number("0.036"), b.Div(b.Mul(number("0.018"), x), length))
	f, _ := b.Function(x, b.Div(b.Number(1), b.PowInt(d, 4)))

	to, _ := b.Constant(length)
	e, err := certify.Integrate(f, nil, interval.Interval{}, to, certify.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.8g, certain: %v, to 12 digits: %v\n", e.Value, e.Certain, e.Within(1e-12))
	// Output: 223449.08, certain: true, to 12 digits: true
}
