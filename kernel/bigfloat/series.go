package bigfloat

import "math/big"

// fraction is how many bits of a fixed-point number lie behind the point. The
// series below are summed in whole multiples of 2^−fraction, where a product
// costs one multiplication and a division by a small number one pass; each
// term is off by less than two units, all of them by less than 2^−working.
const fraction = working + 32

func toFixed(x *big.Float) *big.Int {
	i, _ := wide().SetMantExp(x, fraction).Int(nil)
	return i
}

func fromFixed(i *big.Int) *big.Float {
	x := wide().SetInt(i)
	return x.SetMantExp(x, -fraction)
}

// expSeries is Σ rᵏ/k! for |r| < 1.
func expSeries(r *big.Int) *big.Int {
	term := new(big.Int).Lsh(big.NewInt(1), fraction)
	sum := new(big.Int).Set(term)
	product, divisor := new(big.Int), new(big.Int)
	for k := int64(1); term.Sign() != 0; k++ {
		product.Mul(term, r)
		term.Quo(product.Rsh(product, fraction), divisor.SetInt64(k))
		sum.Add(sum, term)
	}
	return sum
}

// sinCosSeries is the series of sine and cosine for |r| < 1.
func sinCosSeries(r *big.Int) (sine, cosine *big.Int) {
	minusSquare := new(big.Int).Mul(r, r)
	minusSquare.Neg(minusSquare.Rsh(minusSquare, fraction))
	product, divisor := new(big.Int), new(big.Int)
	series := func(first *big.Int, k int64) *big.Int {
		term, sum := new(big.Int).Set(first), new(big.Int).Set(first)
		for ; term.Sign() != 0; k += 2 {
			product.Mul(term, minusSquare)
			term.Quo(product.Rsh(product, fraction), divisor.SetInt64(k*(k+1)))
			sum.Add(sum, term)
		}
		return sum
	}
	return series(r, 2), series(new(big.Int).Lsh(big.NewInt(1), fraction), 1)
}
