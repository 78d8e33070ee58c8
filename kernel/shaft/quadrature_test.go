package shaft

import (
	"errors"
	"math"
	"testing"
)

// TestKronrodMoments: the 15-point rule is exact to degree 22 at least, the
// 7-point Gauss rule inside it to degree 13.
func TestKronrodMoments(t *testing.T) {
	for degree := range 23 {
		var k, g float64
		for i, x := range kronrodX {
			k += kronrodW[i] * math.Pow(x, float64(degree))
		}
		for i, w := range gaussW {
			g += w * math.Pow(kronrodX[2*i+1], float64(degree))
		}
		want := 0.0
		if degree%2 == 0 {
			want = 2 / float64(degree+1)
		}
		if math.Abs(k-want) > 1e-15 {
			t.Errorf("Kronrod, degree %d: %.17g, want %.17g", degree, k, want)
		}
		if degree <= 13 && math.Abs(g-want) > 1e-15 {
			t.Errorf("Gauss, degree %d: %.17g, want %.17g", degree, g, want)
		}
	}
}

// TestKronrodBook: ∫₀¹ x^2.6·ln(1/x) dx by one 15-point rule is
// 7.716049357767090777e-02 (QUADPACK book test function 1, as printed in the
// test program of the GNU Scientific Library).
func TestKronrodBook(t *testing.T) {
	var x, f [15]float64
	kronrodNodes(&x, 0, 1)
	for i, v := range x {
		f[i] = math.Pow(v, 2.6) * math.Log(1/v)
	}
	if got, _ := kronrod(&f, 1); math.Abs(got-7.716049357767090777e-02) > 1e-16 {
		t.Errorf("got %.18g", got)
	}
}

func TestPanelsGiveUp(t *testing.T) {
	var stuck stuckError
	noise := 0
	_, err := panels(0, 1, func(dst, x []float64) error {
		for i := range dst {
			noise = noise*1103515245 + 12345
			dst[i] = 1 + float64(noise&0xffff)
		}
		return nil
	}, nil)
	if !errors.As(err, &stuck) {
		t.Errorf("%v", err)
	}
}
