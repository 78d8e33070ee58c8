package leastsquares

import (
	"math"

	"shaftbook/kernel/elementary"
)

// StudentT returns the t that a variable with Student's distribution of so many degrees
// of freedom, 1 or more, exceeds in size with probability p, which is between 0 and 1.
// Good to about 10⁻¹⁵/p of t.
//
// With a = arctan(t/√ν) the probability of a smaller size is a sum of powers of cos a
// (M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.7.3 and
// 26.7.4, from memory); a is found by bisection, since the sum grows with it.
func StudentT(p float64, freedom int) float64 {
	low, high := 0.0, math.Pi/2
	for {
		a := low + float64((high-low)/2)
		if a <= low || a >= high {
			break
		}
		if within(a, freedom) < 1-p {
			low = a
		} else {
			high = a
		}
	}
	sin, cos := elementary.Sincos(high)
	return math.Sqrt(float64(freedom)) * sin / cos
}

// within is the probability that |t| is below √ν·tan a.
func within(a float64, freedom int) float64 {
	sin, cos := elementary.Sincos(a)
	square := float64(cos * cos)
	term, sum := 1.0, 1.0
	first := 1 + freedom%2 // numerators 1, 3, 5 … for an even ν, 2, 4, 6 … for an odd one
	for k := first; k+1 < freedom; k += 2 {
		term = float64(term * float64(k) / float64(k+1) * square)
		sum += term
	}
	if freedom%2 == 0 {
		return float64(sin * sum)
	}
	if freedom == 1 {
		return a / (math.Pi / 2)
	}
	return (a + float64(float64(sin*cos)*sum)) / (math.Pi / 2)
}
