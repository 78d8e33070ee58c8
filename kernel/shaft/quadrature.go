package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
)

// The 15-point Kronrod rule on [−1, 1] with the 7-point Gauss rule inside it:
// abscissae and weights from R. Piessens et al., QUADPACK, Springer 1983,
// routine QK15. The test checks both rules by their moments.
var (
	kronrodX = [15]float64{
		-0.991455371120812639206854697526329, -0.949107912342758524526189684047851,
		-0.864864423359769072789712788640926, -0.741531185599394439863864773280788,
		-0.586087235467691130294144691693322, -0.405845151377397166906606412076961,
		-0.207784955007898467600689403773245, 0,
		0.207784955007898467600689403773245, 0.405845151377397166906606412076961,
		0.586087235467691130294144691693322, 0.741531185599394439863864773280788,
		0.864864423359769072789712788640926, 0.949107912342758524526189684047851,
		0.991455371120812639206854697526329,
	}
	kronrodW = [15]float64{
		0.022935322010529224963732008058970, 0.063092092629978553290700663189204,
		0.104790010322250183839876322541518, 0.140653259715525918745189590510238,
		0.169004726639267902826583426598550, 0.190350578064785409913256402421014,
		0.204432940075298892414161999234649, 0.209482141084727828012999174891714,
		0.204432940075298892414161999234649, 0.190350578064785409913256402421014,
		0.169004726639267902826583426598550, 0.140653259715525918745189590510238,
		0.104790010322250183839876322541518, 0.063092092629978553290700663189204,
		0.022935322010529224963732008058970,
	}
	// gaussW holds the weights of the 7-point rule at the odd Kronrod points.
	gaussW = [7]float64{
		0.129484966168869693270611432679082, 0.279705391489276667901467771423780,
		0.381830050505118944950369775488975, 0.417959183673469387755102040816327,
		0.381830050505118944950369775488975, 0.279705391489276667901467771423780,
		0.129484966168869693270611432679082,
	}
)

// kronrodNodes writes the nodes of the rule on [a, b].
func kronrodNodes(x *[15]float64, a, b float64) {
	mid, half := a+float64((b-a)/2), (b-a)/2
	for i, t := range kronrodX {
		x[i] = mid + float64(half*t)
	}
}

// kronrod returns the integral over a stretch of length h of the function with
// values f at the nodes, and QUADPACK's estimate of its error.
func kronrod(f *[15]float64, h float64) (value, errorEstimate float64) {
	var k, g float64
	for i, v := range f {
		k += float64(kronrodW[i] * v)
	}
	for i, w := range gaussW {
		g += float64(w * f[2*i+1])
	}
	mean := float64(k / 2)
	var spread float64
	for i, v := range f {
		spread += float64(kronrodW[i] * math.Abs(v-mean))
	}
	diff := math.Abs(k - g)
	if spread > 0 && diff > 0 {
		diff = spread * math.Min(1, elementary.Pow(200*diff/spread, 1.5))
	}
	return k * h / 2, diff * h / 2
}

// kronrodMoments returns ∫₀¹ σᵏ f dσ for k = 0, 1, 2.
func kronrodMoments(f *[15]float64) [3]float64 {
	var m [3]float64
	for i, v := range f {
		s := (1 + kronrodX[i]) / 2
		w := float64(kronrodW[i] / 2 * v)
		m[0] += w
		m[1] += float64(w * s)
		m[2] += float64(w * s * s)
	}
	return m
}

const (
	panelTolerance = 1e-14 // error estimate of a panel relative to its own value
	wholeTolerance = 1e-16 // or relative to the stretch it belongs to
	maxPanels      = 2000  // of one stretch between two breaks
)

// A stuckError reports where halving did not lead to convergence.
type stuckError struct{ x float64 }

func (e stuckError) Error() string {
	return "the diameter jumps too often, or comes too close to zero, to be added up"
}

// A panel is a stretch on which the 15-point rule has converged.
type panel struct {
	a, b float64
	f    [15]float64
}

// panels halves [a, b] until the 15-point rule has converged on each part, and
// returns the parts in order. A function with a kink or a jump is met by
// panels that shrink towards it until they no longer matter. proof, if not nil,
// is asked of each part whether the rule has its integral right. It fails with
// the error of f, or with a stuckError if maxPanels do not suffice.
func panels(a, b float64, f func(dst, x []float64) error, proof func(a, b, value, whole float64) bool) ([]panel, error) {
	type stretch struct{ a, b float64 }
	list := make([]panel, 0, 1) // most stretches need one
	stack := append(make([]stretch, 0, 8), stretch{a, b})
	whole, done := 0.0, 0.0
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		p := panel{a: top.a, b: top.b}
		var x [15]float64
		kronrodNodes(&x, p.a, p.b)
		if err := f(p.f[:], x[:]); err != nil {
			return nil, err
		}
		value, estimate := kronrod(&p.f, p.b-p.a)
		if math.IsInf(value, 0) || math.IsNaN(value) {
			return nil, stuckError{p.a}
		}
		whole = max(whole, value, done)
		mid := p.a + float64((p.b-p.a)/2)
		settled := estimate <= panelTolerance*value || estimate <= wholeTolerance*whole
		if settled && (proof == nil || proof(p.a, p.b, value, whole)) || mid <= p.a || mid >= p.b {
			list = append(list, p)
			done += value
			continue
		}
		if len(list)+len(stack) >= maxPanels {
			return nil, stuckError{mid}
		}
		stack = append(stack, stretch{mid, p.b}, stretch{p.a, mid})
	}
	return list, nil
}
