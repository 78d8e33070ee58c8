package elementary_test

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
)

type value = bigfloat.Value

// must is for operations that cannot fail on the arguments of the tables.
func must(v value, err error) value {
	if err != nil {
		panic(err)
	}
	return v
}

func num(x float64) value   { return must(bigfloat.Float(x)) }
func mul(a, b value) value  { return must(bigfloat.Mul(a, b)) }
func add(a, b value) value  { return must(bigfloat.Add(a, b)) }
func sub(a, b value) value  { return must(bigfloat.Sub(a, b)) }
func div(a, b value) value  { return must(bigfloat.Div(a, b)) }
func sqrt(a value) value    { return must(bigfloat.Sqrt(a)) }
func whole(n int) value     { return num(float64(n)) }
func angle(x float64) value { return mul(num(x), bigfloat.Pi()) }

// truth computes what a row of the tables should be.
func truth(r elementary.TableRow) value {
	x := num(r.X)
	one := num(1)
	switch r.Of {
	case "ln2":
		return mul(x, must(bigfloat.Ln(num(2))))
	case "1/ln":
		return div(one, must(bigfloat.Ln(x)))
	case "π":
		return angle(r.X)
	case "2^":
		return must(bigfloat.Exp(mul(x, must(bigfloat.Ln(num(2))))))
	case "−ln":
		return bigfloat.Neg(must(bigfloat.Ln(x)))
	case "sin π":
		return must(bigfloat.Sin(angle(r.X)))
	case "tan π":
		return must(bigfloat.Tan(angle(r.X)))
	case "1+tan² π":
		t := must(bigfloat.Tan(angle(r.X)))
		return add(one, mul(t, t))
	case "atan":
		return must(bigfloat.Atan(x))
	case "asin":
		return must(bigfloat.Asin(x))
	case "1/(1+x²)":
		return div(one, add(one, mul(x, x)))
	case "1/√(1−x²)":
		return div(one, sqrt(sub(one, mul(x, x))))
	}
	name, n, _ := strings.Cut(r.Of, " series")
	d := derivatives(name, x)
	k := int(n[0] - '0')
	return div(d[k-1], whole(k))
}

// derivatives returns the Taylor coefficients of the slope of atan or asin at x,
// from (1 + x²)·s = 1 and (1 − x²)·s′ = x·s, coefficient by coefficient.
func derivatives(name string, x value) []value {
	one := num(1)
	xx := mul(x, x)
	if name == "atan" {
		q := add(one, xx)
		d := []value{div(one, q)}
		for n := 1; n < 9; n++ {
			c := mul(mul(whole(2), x), d[n-1])
			if n > 1 {
				c = add(c, d[n-2])
			}
			d = append(d, bigfloat.Neg(div(c, q)))
		}
		return d
	}
	q := sub(one, xx)
	d := []value{div(one, sqrt(q))}
	for n := range 8 {
		// q·(n+1)·d[n+1] = (2n+1)·x·d[n] + n·d[n−1]
		c := mul(mul(whole(2*n+1), x), d[n])
		if n > 0 {
			c = add(c, mul(whole(n), d[n-1]))
		}
		d = append(d, div(c, mul(q, whole(n+1))))
	}
	return d
}

// TestTables computes every number of the tables again, by bigfloat at 192 bits
// with a known error, and checks that the last term is the float64 nearest to
// what the terms before leave: so the sum is off by at most half a unit in the
// last place of its last term.
func TestTables(t *testing.T) {
	rows := elementary.TableRows()
	for _, r := range rows {
		want := truth(r)
		left := want
		for _, term := range r.Terms {
			left = sub(left, num(term))
		}
		last := r.Terms[len(r.Terms)-1]
		off := math.Abs(left.Float64()) + left.Radius()
		half := (math.Nextafter(math.Abs(last), math.Inf(1)) - math.Abs(last)) / 2
		if last == 0 {
			half = 0x1p-150 // bigfloat's own error; the number is exact
		}
		if off > half*(1+1e-9) {
			t.Errorf("%s: %s of %v: terms %x are off by %g", r.Name, r.Of, r.X, r.Terms, off)
		}
	}
	t.Logf("%d numbers", len(rows))

	// 1/(2π) to all its bits, against π by a series of its own.
	words := elementary.Turns()
	text := ""
	for _, w := range words[1:] {
		text += fmt.Sprintf("%016x", w)
	}
	n, _ := new(big.Int).SetString(text, 16)
	bits := uint(64 * (len(words) - 1))
	// n/2^bits ≤ 1/(2π) < (n+1)/2^bits  ⇔  2πn ≤ 2^bits < 2π(n+1)
	pi, prec := machin(bits+200), bits+200
	scaled := func(m *big.Int) *big.Int { return new(big.Int).Rsh(new(big.Int).Mul(m, new(big.Int).Lsh(pi, 1)), prec) }
	limit := new(big.Int).Lsh(big.NewInt(1), bits)
	if scaled(n).Cmp(limit) >= 0 || scaled(new(big.Int).Add(n, big.NewInt(1))).Cmp(limit) < 0 {
		t.Error("turns is not 1/(2π)")
	}
}

// machin returns ⌊π·2^bits⌋ to a few units: π = 16·arctan(1/5) − 4·arctan(1/239).
func machin(bits uint) *big.Int {
	const guard = 32
	arctan := func(k int64) *big.Int {
		term := new(big.Int).Div(new(big.Int).Lsh(big.NewInt(1), bits+guard), big.NewInt(k))
		sum, square := new(big.Int), big.NewInt(k*k)
		for n := int64(1); term.Sign() != 0; n += 2 {
			part := new(big.Int).Div(term, big.NewInt(n))
			if n%4 == 1 {
				sum.Add(sum, part)
			} else {
				sum.Sub(sum, part)
			}
			term.Div(term, square)
		}
		return sum
	}
	a, b := arctan(5), arctan(239)
	pi := new(big.Int).Sub(a.Lsh(a, 4), b.Lsh(b, 2))
	return pi.Rsh(pi, guard)
}
