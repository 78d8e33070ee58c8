package algebra

import (
	"math/big"

	"shaftbook/kernel/notation"
)

// mostFactorial is the largest n of which n! is written out: about 4100 bits would
// pass the limit of a coefficient.
const mostFactorial = 60

// factorialOf returns n! for a number n.
func factorialOf(e *notation.Bind, n Ratio) (rational, bool) {
	if _, ok := notation.IsFactorial(e); !ok {
		return rational{}, false
	}
	k, ok := n.Constant()
	if !ok || !k.IsInt() || k.Sign() < 0 || k.Num().Cmp(big.NewInt(mostFactorial)) > 0 {
		return rational{}, false
	}
	value := whole(1)
	for i := int64(2); i <= k.Num().Int64(); i++ {
		value = value.mul(whole(i))
	}
	return value, true
}
