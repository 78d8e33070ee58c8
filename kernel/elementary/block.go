package elementary

import "math"

// The block forms set dst[i] to the function of x[i], for all of dst; x is at
// least as long, and may be dst. They give the bits of the functions.

// ExpBlock sets dst[i] = Exp(x[i]).
func ExpBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Exp(x[i])
	}
}

// LnBlock sets dst[i] = Ln(x[i]).
func LnBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Ln(x[i])
	}
}

// Log10Block sets dst[i] = Log10(x[i]).
func Log10Block(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Log10(x[i])
	}
}

// SinBlock sets dst[i] = Sin(x[i]).
func SinBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Sin(x[i])
	}
}

// CosBlock sets dst[i] = Cos(x[i]).
func CosBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Cos(x[i])
	}
}

// TanBlock sets dst[i] = Tan(x[i]). It forms the fractions of a few values
// before it divides, so that the divisions overlap.
func TanBlock(dst, x []float64) {
	const group = 16
	var f [group]fraction
	x = x[:len(dst)]
	for ; len(x) >= group; dst, x = dst[group:], x[group:] {
		d, v := (*[group]float64)(dst), (*[group]float64)(x)
		for i, v := range v {
			n, j := atWhole(float64(v * anglePerStep))
			rh, e := sum(v-float64(n*angleStep1), -float64(n*angleStep2))
			f[i].set(j, rh, e-float64(n*angleStep3))
		}
		for i := range f {
			v := v[i]
			y, sure := f[i].value()
			if a := math.Abs(v); !(sure && tinyAngle <= a && a <= nearAngle) {
				y = Tan(v)
			}
			d[i] = y
		}
	}
	for i := range dst {
		dst[i] = Tan(x[i])
	}
}

// AsinBlock sets dst[i] = Asin(x[i]).
func AsinBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Asin(x[i])
	}
}

// AcosBlock sets dst[i] = Acos(x[i]).
func AcosBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Acos(x[i])
	}
}

// AtanBlock sets dst[i] = Atan(x[i]).
func AtanBlock(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = Atan(x[i])
	}
}

// Atan2Block sets dst[i] = Atan2(y[i], x[i]).
func Atan2Block(dst, y, x []float64) {
	y, x = y[:len(dst)], x[:len(dst)]
	for i := range dst {
		dst[i] = Atan2(y[i], x[i])
	}
}

// PowBlock sets dst[i] = Pow(x[i], y[i]).
func PowBlock(dst, x, y []float64) {
	x, y = x[:len(dst)], y[:len(dst)]
	for i := range dst {
		dst[i] = Pow(x[i], y[i])
	}
}
