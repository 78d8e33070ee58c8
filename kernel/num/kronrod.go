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

// highLegendre[k][i] is P_(10+k)(kronrodX[i])·(2(10+k)+1)/2·kronrodW[i]: the
// weights with which the 15 values give a Legendre coefficient of degree 10,
// 11 or 12. They tell a resolved panel from one whose two rules agree by luck.
var highLegendre = legendreWeights()

func legendreWeights() (w [3][8]float64) {
	for i, x := range kronrodX {
		previous, current := 1.0, x
		for degree := 1; degree <= 12; degree++ {
			if k := degree - 10; k >= 0 {
				w[k][i] = current * (float64(2*degree+1) / 2) * kronrodW[i]
			}
			n := float64(degree)
			previous, current = current, ((2*n+1)*x*current-n*previous)/(n+1)
		}
	}
	return w
}

// panelAbscissae fills x with the 15 places of the panel [lo, hi], ascending.
func panelAbscissae(x []float64, lo, hi float64) {
	centre, half := lo/2+hi/2, hi/2-lo/2
	for i := range 7 {
		x[i] = centre - half*kronrodX[i]
		x[14-i] = centre + half*kronrodX[i]
	}
	x[7] = centre
}

// An estimate is what one panel says about its part of an integral.
type estimate struct {
	value float64 // Kronrod, 15 points
	err   float64 // QUADPACK's rule, raised where the panel is not resolved
	abs   float64 // ∫|f|
	swing float64 // largest less smallest value
	flat  bool    // all 15 values are equal to rounding
}

// panelEstimate applies both rules to the 15 values y on a panel of half width
// half. The error follows QUADPACK section 3.4.1: with d = |K15 − G7| and
// a = ∫|f − mean|,
//
//	err = a·min(1, (200·d/a)^1.5)
//
// and is at least 50 ulp of ∫|f|.
func panelEstimate(y []float64, half float64) estimate {
	centre := y[7]
	kronrod, gauss, abs := centre*kronrodW[7], centre*gaussW[3], math.Abs(centre)*kronrodW[7]
	low, high := centre, centre
	var even, odd, even2 float64
	even = centre * highLegendre[0][7]
	even2 = centre * highLegendre[2][7]
	for i := range 7 {
		a, b := y[i], y[14-i]
		kronrod += kronrodW[i] * (a + b)
		abs += kronrodW[i] * (math.Abs(a) + math.Abs(b))
		if i%2 == 1 {
			gauss += gaussW[i/2] * (a + b)
		}
		even += highLegendre[0][i] * (a + b)
		odd += highLegendre[1][i] * (b - a)
		even2 += highLegendre[2][i] * (a + b)
		low, high = min(low, a, b), max(high, a, b)
	}
	mean := kronrod / 2
	spread := math.Abs(centre-mean) * kronrodW[7]
	for i := range 7 {
		spread += kronrodW[i] * (math.Abs(y[i]-mean) + math.Abs(y[14-i]-mean))
	}
	err := math.Abs(kronrod - gauss)
	if spread > 0 && err > 0 {
		ratio := 200 * err / spread
		err = spread * min(1, ratio*math.Sqrt(ratio))
		tail := max(math.Abs(even), math.Abs(odd), math.Abs(even2))
		if tail > 1e-3*spread && err < 1e-2*tail {
			err = tail
		}
	}
	err = max(err, 50*ulp*abs)
	return estimate{
		value: kronrod * half,
		err:   err * half,
		abs:   abs * half,
		swing: high - low,
		flat:  high-low <= 8*ulp*max(math.Abs(high), math.Abs(low)),
	}
}
