package unit

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func TestNewRational(t *testing.T) {
	cases := []struct {
		num, den int
		want     string
		ok       bool
	}{
		{2, 4, "1/2", true}, {-2, 4, "-1/2", true}, {2, -4, "-1/2", true}, {6, 3, "2", true}, {0, 5, "0", true},
		{1000, 1, "1000", true}, {1001, 1, "0", false}, {1, 1001, "0", false}, {2002, 2, "0", false}, {1, 0, "0", false},
	}
	for _, c := range cases {
		r, ok := NewRational(c.num, c.den)
		if ok != c.ok || r.String() != c.want {
			t.Errorf("%d/%d = %v, %v", c.num, c.den, r, ok)
		}
	}
}

// TestRationalExact compares sums and products with math/big.
func TestRationalExact(t *testing.T) {
	draw := func(t *rapid.T, label string) (Rational, *big.Rat) {
		n := rapid.IntRange(-40, 40).Draw(t, label+" above")
		d := rapid.IntRange(1, 20).Draw(t, label+" below")
		r, _ := NewRational(n, d)
		return r, big.NewRat(int64(n), int64(d))
	}
	same := func(r Rational, x *big.Rat) bool { return big.NewRat(int64(r.Num()), int64(r.Den())).Cmp(x) == 0 }
	rapid.Check(t, func(t *rapid.T) {
		a, x := draw(t, "a")
		b, y := draw(t, "b")
		if sum, ok := a.add(b); ok && !same(sum, new(big.Rat).Add(x, y)) {
			t.Fatalf("%v + %v = %v", a, b, sum)
		}
		if product, ok := a.mul(b); ok && !same(product, new(big.Rat).Mul(x, y)) {
			t.Fatalf("%v·%v = %v", a, b, product)
		}
	})
}

var anyDimension = rapid.Custom(func(t *rapid.T) Dimension {
	var d Dimension
	for i := range d {
		d[i], _ = NewRational(rapid.IntRange(-6, 6).Draw(t, "above"), rapid.IntRange(1, 3).Draw(t, "below"))
	}
	return d
})

func TestDimensionAlgebra(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, e := anyDimension.Draw(t, "d"), anyDimension.Draw(t, "e")
		product, ok := d.Mul(e)
		other, _ := e.Mul(d)
		if !ok || product != other {
			t.Fatalf("%v·%v = %v, the other way %v", d, e, product, other)
		}
		if back, ok := product.Div(e); !ok || back != d {
			t.Fatalf("(%v·%v)/%v = %v", d, e, e, back)
		}
		if unity, ok := d.Div(d); !ok || !unity.IsNumber() {
			t.Fatalf("%v/%v = %v", d, d, unity)
		}
		square, ok := d.Pow(Whole(2))
		half, _ := NewRational(1, 2)
		if root, _ := square.Pow(half); !ok || root != d {
			t.Fatalf("√(%v)² = %v", d, root)
		}
		// The text of a dimension is a unit of that dimension.
		if u, err := Parse(d.String()); err != nil || u.Dim != d || u.Factor != 1 {
			t.Fatalf("%v reads as %v, %v", d, u.Dim, err)
		}
	})
}

func TestDimensionRange(t *testing.T) {
	d := Base(1, 0, 0)
	high, ok := d.Pow(Whole(1000))
	if !ok {
		t.Fatal("m^1000 is refused")
	}
	if _, ok := high.Mul(d); ok {
		t.Error("m^1001 passed")
	}
	if _, ok := high.Pow(Whole(2)); ok {
		t.Error("m^2000 passed")
	}
}
