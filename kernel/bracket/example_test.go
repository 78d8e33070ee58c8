package bracket_test

import (
	"fmt"

	"shaftbook/kernel/bracket"
)

// The twist of a uniform shaft, θ = T·L/(G·J), when the diameter is known to
// 0.1 mm: 420 N·m over 0.8 m, G = 79 GPa, d = 36 mm ± 0.1 mm.
func Example() {
	d, err := bracket.New(0.0359, 0.0361)
	if err != nil {
		fmt.Println(err)
		return
	}
	d4, _ := bracket.PowInt(d, 4)
	j, _ := bracket.Mul(d4, bracket.Pi)
	gj, _ := bracket.Mul(j, bracket.Bracket{Lo: 79e9 / 32, Hi: 79e9 / 32})
	theta, err := bracket.Div(bracket.Bracket{Lo: 336, Hi: 336}, gj)
	fmt.Printf("%.5f to %.5f rad, %v\n", theta.Lo, theta.Hi, err)
	_, err = bracket.Div(theta, bracket.Bracket{Lo: -1, Hi: 1})
	fmt.Println(err)
	// Output:
	// 0.02551 to 0.02608 rad, <nil>
	// division of between -1 and 1: the divisor may be 0
}
