package interval

import (
	"math"
	"math/big"
	"testing"
)

// TestPublished holds examples in the style of IEEE 1788-2015, 10.5, and of
// Moore, Interval Analysis (1966), ch. 2 (both from memory; each result can be
// checked in the head).
func TestPublished(t *testing.T) {
	binary := map[string]func(x, y Interval) (Interval, error){"+": Add, "−": Sub, "·": Mul, "/": Div}
	cases := []struct {
		x    Interval
		op   string
		y    Interval
		want Interval
	}{
		{Interval{1, 2}, "+", Interval{3, 5}, Interval{4, 7}},
		{Interval{1, 2}, "−", Interval{1, 2}, Interval{-1, 1}},
		{Interval{-1, 2}, "·", Interval{3, 5}, Interval{-5, 10}},
		{Interval{-2, 3}, "·", Interval{-5, 4}, Interval{-15, 12}},
		{Interval{-4, -2}, "·", Interval{-3, -1}, Interval{2, 12}},
		{Interval{0, 0}, "·", Interval{-1e308, 1e308}, Interval{0, 0}},
		{Interval{1, 2}, "/", Interval{4, 8}, Interval{0.125, 0.5}},
		{Interval{-30, 15}, "/", Interval{-5, -3}, Interval{-5, 10}},
		{Interval{-30, -15}, "/", Interval{3, 5}, Interval{-10, -3}},
		{Interval{0, 0}, "/", Interval{-5, -3}, Interval{0, 0}},
		{Interval{1, 1}, "/", Interval{3, 3}, Interval{0.3333333333333333, 0.33333333333333337}},
	}
	for _, c := range cases {
		got, err := binary[c.op](c.x, c.y)
		if err != nil || got != c.want {
			t.Errorf("%v %s %v = %v, %v; want %v", c.x, c.op, c.y, got, err, c.want)
		}
	}
	powers := []struct {
		x    Interval
		n    int
		want Interval
	}{
		{Interval{-3, 2}, 2, Interval{0, 9}},
		{Interval{-3, 2}, 3, Interval{-27, 8}},
		{Interval{-3, -2}, 4, Interval{16, 81}},
		{Interval{-3, 2}, 0, Interval{1, 1}},
		{Interval{2, 4}, -2, Interval{0.0625, 0.25}},
		{Interval{-4, -2}, -1, Interval{-0.5, -0.25}},
	}
	for _, c := range powers {
		if got, err := PowInt(c.x, c.n); err != nil || got != c.want {
			t.Errorf("%v^%d = %v, %v; want %v", c.x, c.n, got, err, c.want)
		}
	}
	if got, err := Sqr(Interval{-3, 2}); err != nil || got != (Interval{0, 9}) {
		t.Errorf("square = %v, %v", got, err)
	}
	if got, err := PowRational(Interval{4, 9}, 3, 2); err != nil || got != (Interval{8, 27}) {
		t.Errorf("[4, 9]^(3/2) = %v, %v", got, err)
	}
	if got, err := PowRational(Interval{8, 27}, 1, 3); err != nil || !got.Encloses(Interval{2, 3}) || got.Hi > 3.0000000000001 {
		t.Errorf("[8, 27]^(1/3) = %v, %v", got, err)
	}
	if got, err := Pow(Interval{0, 4}, Interval{0.5, 1.5}); err != nil || got.Lo != 0 || got.Hi < 8 || got.Hi > 8.0000000000001 {
		t.Errorf("[0, 4]^[0.5, 1.5] = %v, %v", got, err)
	}
}

func TestArithmeticErrors(t *testing.T) {
	largest := Interval{math.MaxFloat64, math.MaxFloat64}
	cases := []struct {
		name string
		f    func() (Interval, error)
		want error
	}{
		{"divisor across 0", func() (Interval, error) { return Div(Interval{1, 2}, Interval{-1, 1}) }, ErrDivideByZero},
		{"divisor ending at 0", func() (Interval, error) { return Div(Interval{0, 0}, Interval{0, 1}) }, ErrDivideByZero},
		{"negative power across 0", func() (Interval, error) { return PowInt(Interval{-3, 3}, -1) }, ErrDivideByZero},
		{"sum too large", func() (Interval, error) { return Add(largest, largest) }, ErrOverflow},
		{"sum just too large", func() (Interval, error) { return Add(largest, whole(1)) }, ErrOverflow},
		{"difference too large", func() (Interval, error) { return Sub(Neg(largest), largest) }, ErrOverflow},
		{"product too large", func() (Interval, error) { return Mul(largest, Interval{-2, 2}) }, ErrOverflow},
		{"quotient too large", func() (Interval, error) { return Div(largest, Interval{0.1, 1}) }, ErrOverflow},
		{"square too large", func() (Interval, error) { return Sqr(Interval{0, 1e200}) }, ErrOverflow},
		{"power too large", func() (Interval, error) { return PowInt(Interval{10, 10}, 309) }, ErrOverflow},
		{"power of a huge exponent", func() (Interval, error) { return PowInt(Interval{2, 2}, math.MaxInt) }, ErrOverflow},
		{"ends exchanged", func() (Interval, error) { return New(2, 1) }, ErrInvalid},
		{"NaN", func() (Interval, error) { return Point(math.NaN()) }, ErrInvalid},
		{"infinity", func() (Interval, error) { return New(0, math.Inf(1)) }, ErrInvalid},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.f()
			wantError(t, got, err, c.want)
		})
	}
	var sum Sum
	sum.Add(largest)
	sum.Add(largest)
	got, err := sum.Value()
	wantError(t, got, err, ErrOverflow)
	if w, err := (Interval{-math.MaxFloat64, math.MaxFloat64}).Width(); err == nil {
		t.Errorf("width of everything = %v", w)
	}
	if got, err := PowInt(whole(1e-200), -1); err != nil || !got.Contains(1e200) {
		t.Errorf("1e-200 inverted = %v, %v", got, err)
	}
	if got, err := PowInt(whole(1e200), -2); err != nil || got.Lo != 0 || got.Hi > 1e-300 {
		t.Errorf("(1e200)^-2 = %v, %v", got, err)
	}
	if got, err := PowInt(whole(2), math.MinInt); err != nil || got.Lo != 0 || got.Hi > 1e-300 {
		t.Errorf("2 to the least int = %v, %v", got, err)
	}
}

func TestLiteral(t *testing.T) {
	cases := []struct {
		text string
		want Interval
		err  error
	}{
		{"0.5", whole(0.5), nil},
		{"420", whole(420), nil},
		{"-1.25e2", whole(-125), nil},
		{"0.1", Interval{0.09999999999999999, 0.1}, nil},
		{"-0.1", Interval{-0.1, -0.09999999999999999}, nil},
		{"0.3", Interval{0.3, 0.30000000000000004}, nil},
		{"0.000", Interval{}, nil},
		{"0e5", Interval{}, nil},
		{"1e-400", Interval{0, 5e-324}, nil},
		{"-1e-400", Interval{-5e-324, 0}, nil},
		{"1e400", Interval{}, ErrOverflow},
		{"1e-999999999", Interval{0, 5e-324}, nil},
		{"", Interval{}, ErrInvalid},
		{"1.2.3", Interval{}, ErrInvalid},
		{"0x10", Interval{}, ErrInvalid},
		{"1e", Interval{}, ErrInvalid},
		{"NaN", Interval{}, ErrInvalid},
		{"1_0", Interval{}, ErrInvalid},
	}
	for _, c := range cases {
		got, err := Literal(c.text)
		if c.err != nil {
			wantError(t, got, err, c.err)
			continue
		}
		if err != nil || got != c.want {
			t.Errorf("Literal(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
}

func FuzzLiteral(f *testing.F) {
	for _, s := range []string{"0.1", "-3.2e-5", "1e400", "1e-400", ".5", "5.", "+1", "e5", "0.00e00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Literal(text)
		if err != nil {
			return
		}
		if !finite(b.Lo) || !finite(b.Hi) || b.Lo > b.Hi || above(b.Lo) < b.Hi {
			t.Fatalf("Literal(%q) = %v", text, b)
		}
		if len(text) > 30 || b.Lo == 0 || b.Hi == 0 {
			return
		}
		exact, ok := new(big.Rat).SetString(text)
		if !ok || rat(b.Lo).Cmp(exact) > 0 || rat(b.Hi).Cmp(exact) < 0 {
			t.Fatalf("Literal(%q) = %v does not hold it", text, b)
		}
	})
}

func TestSets(t *testing.T) {
	a, b := Interval{-1, 2}, Interval{1, 5}
	if got := Hull(a, b); got != (Interval{-1, 5}) {
		t.Errorf("hull = %v", got)
	}
	if got, ok := Intersect(a, b); !ok || got != (Interval{1, 2}) {
		t.Errorf("common part = %v, %v", got, ok)
	}
	if got, ok := Intersect(Interval{0, 1}, Interval{2, 3}); ok {
		t.Errorf("common part of brackets apart = %v", got)
	}
	if a.Contains(math.NaN()) || !a.Contains(2) || a.Contains(2.1) {
		t.Error("Contains is wrong")
	}
	if got := Abs(a); got != (Interval{0, 2}) {
		t.Errorf("|x| = %v", got)
	}
	if got := Abs(Interval{-3, -2}); got != (Interval{2, 3}) {
		t.Errorf("|x| = %v", got)
	}
	if got := Min(a, b); got != (Interval{-1, 2}) {
		t.Errorf("min = %v", got)
	}
	if got := Max(a, b); got != (Interval{1, 5}) {
		t.Errorf("max = %v", got)
	}
	if f, c, r := Floor(Interval{-1.5, 2.5}), Ceil(Interval{-1.5, 2.5}), Round(Interval{-1.5, 2.5}); f != (Interval{-2, 2}) || c != (Interval{-1, 3}) || r != (Interval{-2, 3}) {
		t.Errorf("floor, ceil, round = %v, %v, %v", f, c, r)
	}
	if m := (Interval{math.MaxFloat64 / 2, math.MaxFloat64}).Mid(); !finite(m) || m < math.MaxFloat64/2 {
		t.Errorf("middle = %v", m)
	}
	if w, err := (Interval{0, 0.3}).Width(); err != nil || w != 0.3 {
		t.Errorf("width = %v, %v", w, err)
	}
	if s := a.String(); s != "between -1 and 2" {
		t.Errorf("String = %q", s)
	}
	// π to 40 digits: OEIS A000796.
	exact, _, _ := big.ParseFloat("3.141592653589793238462643383279502884197", 10, 200, big.ToNearestEven)
	if !holdsExact(Pi, exact) || above(Pi.Lo) != Pi.Hi {
		t.Errorf("π = %v", Pi)
	}
}

// TestAllocations checks the promise of the package comment.
func TestAllocations(t *testing.T) {
	x, y := Interval{0.3, 0.7}, Interval{1.5, 2.5}
	n := testing.AllocsPerRun(100, func() {
		for _, f := range unary {
			sink, _ = f(x)
		}
		sink, _ = Add(x, y)
		sink, _ = Div(x, y)
		sink, _ = Pow(x, y)
		sink, _ = Atan2(x, y)
		sink, _ = PowInt(x, -3)
		var s Sum
		s.Add(x)
		sink, _ = s.Value()
	})
	if n != 0 {
		t.Errorf("%v allocations", n)
	}
}

var sink Interval
