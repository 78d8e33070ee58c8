package shaft

// uniformMoments returns ∫₀ˢ σᵏ dσ for k = 0, 1, 2.
func uniformMoments(s float64) [3]float64 {
	return [3]float64{s, s * s / 2, s * s * s / 3}
}

// taperMoments returns ∫₀ˢ σᵏ/(1+εσ)⁴ dσ for k = 0, 1, 2, the moments of the
// compliance of a solid linear taper whose diameter grows by the fraction ε
// over σ from 0 to 1. With q = 1 + εs they are
//
//	k = 0:  s·(q² + q + 1)/(3q³)
//	k = 1:  s²·(q + 2)/(6q³)
//	k = 2:  s³/(3q³)
//
// Every term is positive, so a nearly uniform taper loses no digits, where the
// textbook's (1 − 1/q³)/(3ε) loses all of them as ε → 0. It needs q > 0.
//
// At s = 1, k = 0 this is (β² + β + 1)/(3β³) with β = q: Gere, Mechanics of
// Materials, Eq. 3-27. The other two follow by differentiating.
func taperMoments(s, eps float64) [3]float64 {
	q := 1 + float64(eps*s)
	r := s / q
	return [3]float64{
		r * (float64(q*q) + q + 1) / (3 * q * q),
		r * r * (q + 2) / (6 * q),
		r * r * r / 3,
	}
}
