package interval_test

import (
	"fmt"

	"shaftbook/kernel/interval"
)

// The twist of a uniform shaft, θ = T·L/(G·J), when the diameter is known to
// 0.1 mm: 420 N·m over 0.8 m, G = 79 GPa, d = 36 mm ± 0.1 mm.
func Example() {
	d, err := interval.New(0.0359, 0.0361)
	if err != nil {
		fmt.Println(err)
		return
	}
	d4, _ := interval.PowInt(d, 4)
	j, _ := interval.Mul(d4, interval.Pi)
	gj, _ := interval.Mul(j, interval.Interval{Lo: 79e9 / 32, Hi: 79e9 / 32})
	theta, err := interval.Div(interval.Interval{Lo: 336, Hi: 336}, gj)
	fmt.Printf("%.5f to %.5f rad, %v\n", theta.Lo, theta.Hi, err)
	_, err = interval.Div(theta, interval.Interval{Lo: -1, Hi: 1})
	fmt.Println(err)
	// Output:
	// 0.02551 to 0.02608 rad, <nil>
	// division of between -1 and 1: the divisor may be 0
}
