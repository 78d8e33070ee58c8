package num

import "math"

// The 15 abscissae of the Kronrod rule on [−1, 1] are ±kronrodX[i] and 0; those
// with odd index, and 0, are the abscissae of the 7-point Gauss rule. Values:
// QUADPACK (Piessens et al. 1983), routine QK15, recalled and guarded by a test
// of all moments to degree 23.
var (
	kronrodX = [8]float64{
		0.991455371120812639206854697526329, 0.949107912342758524526189684047851,
		0.864864423359769072789712788640926, 0.741531185599394439863864773280788,
		0.586087235467691130294144845693013, 0.405845151377397166906606412076961,
		0.207784955007898467600689403773245, 0,
	}
	kronrodW = [8]float64{
		0.022935322010529224963732008058970, 0.063092092629978553290700663189204,
		0.104790010322250183839876322541518, 0.140653259715525918745189590510238,
		0.169004726639267902826583426598550, 0.190350578064785409913256402421014,
		0.204432940075298892414161999234649, 0.209482141084727828012999174891714,
	}
	gaussW = [4]float64{
		0.129484966168869693270611432679082, 0.279705391489276667901467771423780,
		0.381830050505118944950369775488975, 0.417959183673469387755102040816327,
	}
)

const panelPoints = 15

// legendre[k][i] is P_n(kronrodX[i])·(2n+1)/2·kronrodW[i] with n = degrees[k]:
// the weights with which the 15 values give Legendre coefficients of two groups
// of degrees. How fast these fall separates a resolved panel from a kink, and from
// two rules that agree by luck.
var legendre = legendreWeights()

var degrees = [6]int{5, 6, 7, 10, 11, 12}

// outerGap is the distance of the outermost point from the end of a panel, as
// a fraction of the panel.
var outerGap = (1 - kronrodX[0]) / 2

// endLagrange[i] is the weight of the value at abscissa i, counted from −1, in
// the value at +1 of the polynomial through all 15.
var endLagrange = endWeights()

func endWeights() (w [panelPoints]float64) {
	var x [panelPoints]float64
	panelAbscissae(x[:], -1, 1)
	for i := range x {
		w[i] = 1
		for j := range x {
			if i != j {
				w[i] *= (1 - x[j]) / (x[i] - x[j])
			}
		}
	}
	return w
}

func legendreWeights() (w [6][8]float64) {
	for i, x := range kronrodX {
		previous, current := 1.0, x
		for degree := 1; degree <= degrees[5]; degree++ {
			for k, d := range degrees {
				if d == degree {
					w[k][i] = current * (float64(2*degree+1) / 2) * kronrodW[i]
				}
			}
			n := float64(degree)
			previous, current = current, (float64((float64(2*n)+1)*x*current)-float64(n*previous))/(n+1)
		}
	}
	return w
}

// panelAbscissae fills x with the 15 places of the panel [lo, hi], ascending.
func panelAbscissae(x []float64, lo, hi float64) {
	centre, half := float64(lo/2)+float64(hi/2), float64(hi/2)-float64(lo/2)
	for i := range 7 {
		x[i] = centre - float64(half*kronrodX[i])
		x[14-i] = centre + float64(half*kronrodX[i])
	}
	x[7] = centre
}

// An estimate is the contribution of one panel to an integral, with its error.
type estimate struct {
	value float64 // Kronrod, 15 points
	err   float64 // QUADPACK's rule, raised where the panel is not resolved
	abs   float64 // ∫|f|
	diff  float64 // |K15 − G7|, for a panel of half width 1
	swing float64 // largest less smallest value
	flat  bool    // all 15 values are equal to rounding

	lower, upper float64 // the curve through all 15 values, continued to the ends
}

// panelEstimate applies both rules to the 15 values y on a panel of half width
// half. The error follows QUADPACK section 3.4.1: with d = |K15 − G7| and
// a = ∫|f − mean|,
//
//	err = a·min(1, (200·d/a)^1.5)
//
// The power takes for granted that the integrand is smooth; at a kink it goes
// below the true error, and d itself can be small by luck. So the error is at
// least
//
//	2·t·r·min(1, 100·r),   r = t/s
//
// with s and t the largest Legendre coefficients of degrees 5 to 7 and 10 to
// 12: what the rule neglects, of degree 24 and up, falls below t as t does
// below s where the coefficients fall like a power of the degree (a kink), and
// at least twice as fast where they fall exponentially (a smooth integrand).
// And it is at least 50 ulp of ∫|f|.
func panelEstimate(y []float64, half float64) estimate {
	centre := y[7]
	kronrod, gauss, abs := centre*kronrodW[7], centre*gaussW[3], math.Abs(centre)*kronrodW[7]
	low, high := centre, centre
	c6, c10, c12 := centre*legendre[1][7], centre*legendre[3][7], centre*legendre[5][7]
	var c5, c7, c11 float64
	for i := range 7 {
		a, b := y[i], y[14-i]
		even, odd := a+b, b-a
		kronrod += float64(kronrodW[i] * even)
		abs += float64(kronrodW[i] * (math.Abs(a) + math.Abs(b)))
		if i%2 == 1 {
			gauss += float64(gaussW[i/2] * even)
		}
		c5 += float64(legendre[0][i] * odd)
		c6 += float64(legendre[1][i] * even)
		c7 += float64(legendre[2][i] * odd)
		c10 += float64(legendre[3][i] * even)
		c11 += float64(legendre[4][i] * odd)
		c12 += float64(legendre[5][i] * even)
		low, high = min(low, a, b), max(high, a, b)
	}
	mean := float64(kronrod / 2)
	spread := math.Abs(centre-mean) * kronrodW[7]
	for i := range 7 {
		spread += float64(kronrodW[i] * (math.Abs(y[i]-mean) + math.Abs(y[14-i]-mean)))
	}
	difference := math.Abs(kronrod - gauss)
	err := difference
	if spread > 0 && difference > 0 {
		ratio := 200 * difference / spread
		err = spread * min(1, ratio*math.Sqrt(ratio))
	}
	s := max(math.Abs(c5), math.Abs(c6), math.Abs(c7))
	t := max(math.Abs(c10), math.Abs(c11), math.Abs(c12))
	if t > 0 {
		r := t / max(s, t)
		err = max(err, 2*t*r*min(1, 100*r))
	}
	err = max(err, 50*ulp*abs)
	var lower, upper float64
	for i, w := range endLagrange {
		upper += float64(w * y[i])
		lower += float64(w * y[panelPoints-1-i])
	}
	return estimate{
		value: kronrod * half,
		err:   err * half,
		abs:   abs * half,
		diff:  difference,
		swing: high - low,
		lower: lower, upper: upper,
		flat: high-low <= 8*ulp*max(math.Abs(high), math.Abs(low)),
	}
}
