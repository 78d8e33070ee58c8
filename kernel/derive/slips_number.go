package derive

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"shaftbook/kernel/notation"
)

// A trace is what a line and a claim show of where a number may come from.
type trace struct {
	claimed map[float64]bool // numbers in the claim
	isEnd   bool             // the claim is a number only
	cube    bool             // there is a third power in the claim
	turns   bool             // there is a rotational speed, or the 60 or 30 of one
}

func traceOf(j *judge, e, claim notation.Expr) trace {
	t := trace{claimed: numbersOf(claim)}
	_, _, t.isEnd = roundedNumber(claim)
	t.cube = len(find(claim, func(b *notation.Binary) bool { n, ok := exponentOf(b); return isPower(b) && ok && n == 3 })) > 0
	above := numbersOf(e)
	t.turns = above[60] || above[30] || t.claimed[60] || t.claimed[30]
	for _, n := range append(notation.FreeNames(e), notation.FreeNames(claim)...) {
		if s := j.scope.symbols[n.Ident]; s != nil && s.Func == nil && s.Type.Dim == speedDimension {
			t.turns = true
		}
	}
	t.turns = t.turns || len(find(e, isSpeed)) > 0 || len(find(claim, isSpeed)) > 0
	return t
}

func isSpeed(q *notation.Quantity) bool { return q.Unit.Unit.Dim == speedDimension }

func numbersOf(e notation.Expr) map[float64]bool {
	all := map[float64]bool{}
	for _, n := range find(e, func(*notation.Number) bool { return true }) {
		all[n.Value] = true
	}
	return all
}

// times multiplies by f, 1/f for n = −1.
func (m maker) times(e, f notation.Expr, n int) notation.Expr {
	op := notation.OpMul
	if n < 0 {
		op = notation.OpDiv
	}
	return m.paren(m.binary(op, m.paren(e), m.paren(f)))
}

// bendingSlips puts the 64 of bending for the 32 of torsion, and 32 for 16 in a
// stress. The number must stand in the formula of a section: beside π, with the
// power that belongs to it, or under a cube or fourth root. The claim must show
// the new number, or be a number only, or hold it under the root.
func bendingSlips(list []mistaken, e notation.Expr, t trace) []mistaken {
	for _, p := range productsOf(e) {
		if !p.pi {
			continue
		}
		for _, s := range []struct {
			torsion, bending int
			powers           []int
			words            string
		}{
			{32, 64, []int{4}, "bending and torsion were mixed: π/64·d⁴ is for bending, π/32·d⁴ for torsion"},
			{16, 32, []int{3, 4}, "bending and torsion were mixed: 32·M/(π·d³) is the stress of bending, 16·T/(π·d³) that of torsion"},
			{2, 4, []int{4}, "bending and torsion were mixed: π/4·r⁴ is for bending, π/2·r⁴ for torsion"},
			{2, 1, nil, ""}, {16, 8, nil, ""}, {32, 16, nil, ""},
		} {
			shown := t.isEnd || t.claimed[float64(s.bending)] || s.torsion == 32 && t.cube && t.claimed[32]
			belongs := p.rooted || shown && slices.ContainsFunc(s.powers, func(n int) bool { return p.powers[n] })
			if !belongs || s.torsion < 32 && p.holds(32) || s.torsion < 16 && p.holds(16) {
				continue
			}
			words := s.words
			if words == "" {
				words = "a factor 2 is off under the root, as between bending and torsion"
			}
			for _, n := range p.numbers {
				if n.Value == float64(s.torsion) {
					list = append(list, slipOf(replace(e, n, makerAt(n).number(s.bending)), words, Bending))
				}
			}
		}
	}
	return list
}

// A product is what a formula multiplies and divides, as far as that goes without
// a sum or a power.
type product struct {
	pi, rooted bool
	numbers    []*notation.Number
	powers     map[int]bool // exponents of its powers, also within its sums
}

func (p *product) holds(n float64) bool {
	return slices.ContainsFunc(p.numbers, func(x *notation.Number) bool { return x.Value == n })
}

// productsOf lists the products in e, the outer ones first.
func productsOf(e notation.Expr) []*product {
	var list []*product
	var walk func(e notation.Expr, p *product)
	enter := func(e notation.Expr, rooted bool) {
		p := &product{rooted: rooted, powers: map[int]bool{}}
		list = append(list, p)
		walk(e, p)
	}
	walk = func(e notation.Expr, p *product) {
		switch e := e.(type) {
		case *notation.Paren:
			walk(e.X, p)
		case *notation.Unary:
			walk(e.X, p)
		case *notation.Name:
			p.pi = p.pi || e.Ident == "π"
		case *notation.Number:
			p.numbers = append(p.numbers, e)
		case *notation.Binary:
			switch e.Op {
			case notation.OpMul, notation.OpDiv:
				walk(e.X, p)
				walk(e.Y, p)
				return
			case notation.OpPow:
				r, ok := fractionalExponent(e)
				rooted := ok && (r.Cmp(big.NewRat(1, 3)) == 0 || r.Cmp(big.NewRat(1, 4)) == 0)
				enter(e.X, rooted)
			default:
				enter(e.X, false)
				enter(e.Y, false)
			}
			for _, b := range find(notation.Expr(e), isPower) {
				if n, ok := exponentOf(b); ok {
					p.powers[max(n, -n)] = true
				}
			}
		default:
			notation.Map(e, func(c notation.Expr) notation.Expr { enter(c, false); return c })
		}
	}
	enter(e, false)
	return list
}

func isExponent(e notation.Expr, n *notation.Number) bool {
	return len(find(e, func(b *notation.Binary) bool {
		return isPower(b) && len(find(b.Y, func(x *notation.Number) bool { return x == n })) > 0
	})) > 0
}

// angleSlips puts degrees where radians belong and the reverse: in the whole
// line, in what a function takes, in one name, in a number with its unit.
func (j *judge) angleSlips(list []mistaken, e notation.Expr) []mistaken {
	degrees := func(m maker) notation.Expr { return m.div(m.number(180), m.name("π")) }
	m := makerAt(e)
	square := func(f notation.Expr) notation.Expr { return m.pow(m.paren(f), 2) }
	const words = "degrees and radians were mixed"
	list = append(list,
		slipOf(m.times(e, degrees(m), 1), words, WrongAngle), slipOf(m.times(e, degrees(m), -1), words, WrongAngle))
	for _, c := range find(e, func(c *notation.Call) bool { return strings.Contains("sin cos tan", c.Fun.Ident) && len(c.Args) == 1 }) {
		for _, n := range []int{1, -1} {
			wrong := makerAt(c).call(c.Fun.Ident, makerAt(c).times(c.Args[0], degrees(makerAt(c)), n))
			list = append(list, slipOf(replace(e, c, wrong), words+" inside "+notation.Print(c)+": functions take radians", WrongAngle))
		}
	}
	seen := map[string]bool{}
	for _, use := range notation.FreeNames(e) {
		symbol := j.scope.symbols[use.Ident]
		if symbol == nil || symbol.Func != nil || !symbol.Type.Dim.IsNumber() || seen[use.Ident] {
			continue
		}
		seen[use.Ident] = true
		for _, n := range []int{1, -1} {
			by := makerAt(use).times(makerAt(use).name(use.Ident), degrees(makerAt(use)), n)
			list = append(list, slipOf(put(e, use.Ident, by), words+" in "+use.Ident+": formulas take radians", WrongAngle))
		}
	}
	for _, q := range find(e, func(q *notation.Quantity) bool { return math.Abs(q.Unit.Unit.Factor-math.Pi/180) < 1e-15 }) {
		list = append(list, slipOf(replace(e, q, q.Number), words+": "+notation.Print(q)+" was put in as "+q.Number.Text+", which is that many radians", WrongAngle))
	}
	return append(list,
		slipOf(m.times(e, square(degrees(m)), 1), words+": converted twice", WrongAngle),
		slipOf(m.times(e, square(degrees(m)), -1), words+": converted twice", WrongAngle))
}

// speedSlips loses the 60 or the 2π of revolutions per minute.
func (j *judge) speedSlips(list []mistaken, e notation.Expr, t trace) []mistaken {
	if !t.turns {
		return list
	}
	m := makerAt(e)
	turn := m.mul(m.number(2), m.name("π"))
	type factor struct {
		f     notation.Expr
		words string
	}
	factors := []factor{
		{m.number(60), "the 60 of revolutions per minute is lost: a speed per minute is divided by 60 to be one per second"},
		{turn, "the 2π of a revolution is lost: a revolution is 2π radians"},
		{m.div(turn, m.number(60)), "revolutions per minute and radians per second were mixed: n in r/min is 2π·n/60 in rad/s"},
		{m.pow(m.number(60), 2), "the 60 of revolutions per minute is on the wrong side of the fraction"},
		{m.pow(m.paren(turn), 2), "the 2π of a revolution is on the wrong side of the fraction"},
	}
	speeds := map[string]bool{}
	for _, f := range factors {
		for _, n := range []int{1, -1} {
			list = append(list, slipOf(m.times(e, f.f, n), f.words, WrongSpeed))
		}
	}
	for _, use := range notation.FreeNames(e) {
		s := j.scope.symbols[use.Ident]
		if s == nil || s.Func != nil || s.Type.Dim != speedDimension || speeds[use.Ident] {
			continue
		}
		speeds[use.Ident] = true
		for _, f := range factors[:3] {
			for _, n := range []int{1, -1} {
				list = append(list, slipOf(put(e, use.Ident, makerAt(use).times(makerAt(use).name(use.Ident), f.f, n)), f.words, WrongSpeed))
			}
		}
	}
	return list
}

// thousands are the exponents of the factors 1000ⁿ that are tried.
var thousands = []int{1, -1, 2, -2, 3, -3, 4, -4, 5, -5}

// unitSlips forgets to convert: the whole line, all its lengths, or one
// quantity. undo tells whether e is the claim.
func (j *judge) unitSlips(list []mistaken, e notation.Expr, of func(notation.Expr, string, Slip) mistaken, whole bool) []mistaken {
	m := makerAt(e)
	const words = "units were not converted, as millimetres for metres"
	thousand := func(n int) notation.Expr { return m.pow(m.number(1000), n) }
	if whole {
		for _, n := range thousands {
			list = append(list, of(m.times(e, thousand(n), 1), words, WrongUnits))
		}
	}
	quantities := find(e, func(q *notation.Quantity) bool { return !q.Unit.Unit.Dim.IsNumber() })
	bare, lengths := e, e
	for _, q := range quantities {
		bare = replace(bare, q, q.Number)
		if q.Unit.Unit.Dim == lengthDimension {
			lengths = replace(lengths, q, q.Number)
		}
		for _, n := range []int{1, -1, 2, -2, 3, -3} {
			list = append(list, of(replace(e, q, m.times(q, thousand(n), 1)), words+", in "+notation.Print(q), WrongUnits))
		}
	}
	if len(quantities) > 0 {
		list = append(list,
			of(bare, "units were dropped and not converted", WrongUnits),
			of(lengths, "lengths were put in without converting their units", WrongUnits))
	}
	for _, ident := range distinctNames(e) {
		if s := j.scope.symbols[ident]; s != nil && s.Func == nil && s.Type.Dim == lengthDimension {
			for _, n := range []int{1, -1} {
				list = append(list, of(put(e, ident, m.times(m.name(ident), thousand(n), 1)), words+", in "+ident, WrongUnits))
			}
		}
	}
	return list
}

func distinctNames(e notation.Expr) []string {
	var list []string
	seen := map[string]bool{}
	for _, n := range notation.FreeNames(e) {
		if !seen[n.Ident] {
			seen[n.Ident] = true
			list = append(list, n.Ident)
		}
	}
	return list
}

// decimalSlips moves the decimal point of one number.
func decimalSlips(list []mistaken, e notation.Expr, of func(notation.Expr, string, Slip) mistaken) []mistaken {
	add := func(x notation.Expr, n *notation.Number) {
		if isExponent(e, n) || n.Value == 0 {
			return
		}
		m := makerAt(x)
		for _, f := range []int{1, -1} {
			list = append(list, of(replace(e, x, m.times(x, m.number(10), f)), "the decimal point of "+notation.Print(x)+" slipped by one place", DecimalPlace))
		}
	}
	inQuantity := map[*notation.Number]bool{}
	for _, q := range find(e, func(*notation.Quantity) bool { return true }) {
		inQuantity[q.Number] = true
		add(q, q.Number)
	}
	for _, n := range find(e, func(n *notation.Number) bool { return !inQuantity[n] && couldSlip(n) }) {
		add(n, n)
	}
	return list
}

// couldSlip reports whether a number without a unit is data: not the 16 or the 2
// of a formula.
func couldSlip(n *notation.Number) bool {
	switch n.Value {
	case 1, 2, 3, 4, 8, 16, 30, 32, 60, 64, 180:
		return false
	}
	return true
}

// roundingSlips rounds π, or takes a number of the claim for the exact one that
// it rounds. ratio is claimed ÷ true.
func roundingSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, text := range []string{"3.14", "3.1416", "3.142", "3.14159", "3"} {
		if isFree(e, "π") {
			list = append(list, slipOf(put(e, "π", makerAt(e).decimal(text)), "π was rounded to "+text, Rounded))
		}
	}
	if isFree(e, "π") {
		m := makerAt(e)
		list = append(list, slipOf(put(e, "π", m.paren(m.div(m.number(22), m.number(7)))), "π was taken as 22/7", Rounded))
	}
	return list
}

func (m maker) decimal(text string) notation.Expr {
	value, _ := strconv.ParseFloat(text, 64)
	n := &notation.Number{Text: text, Value: value}
	n.At = m.at
	return n
}

// isRoundedCoefficient reports whether a claim that is off by the factor f
// everywhere would be right with one of its numbers before rounding: one that the
// line above does not hold.
func isRoundedCoefficient(above, claim notation.Expr, f float64) (string, bool) {
	known := numbersOf(above)
	for _, n := range find(claim, func(n *notation.Number) bool {
		return !known[n.Value] && (strings.Contains(n.Text, ".") || n.Value >= 100)
	}) {
		for _, exact := range []float64{n.Value / f, n.Value * f} {
			if math.Abs(exact-n.Value) <= float64(lastDigit(n.Text)/2*(1+1e-9)) {
				return fmt.Sprintf("%s is a rounded number", n.Text), true
			}
		}
	}
	return "", false
}

// roundedTo writes a value in SI units with a few figures.
func (m maker) roundedTo(x float64, figures int) notation.Expr {
	if x == 0 {
		return m.number(0)
	}
	text := strconv.FormatFloat(math.Abs(x), 'e', figures-1, 64)
	mantissa, exponent, _ := strings.Cut(text, "e")
	power, _ := strconv.Atoi(exponent)
	var n notation.Expr = m.decimal(mantissa + "e" + strconv.Itoa(power))
	if x < 0 {
		n = m.neg(n)
	}
	return n
}
