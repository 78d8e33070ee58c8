package marking

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

const (
	formulaPoints = 48 // at which two formulas are compared
	fewestPoints  = 40 // of them with a value; the rest may fail a condition
	sameFormula   = 1e-9
	nearFactor    = 0.02 // how far a factor of rounded numbers may be from 1
	lostDigits    = 1e-4 // what a difference may cost before two formulas are taken to differ
)

// A formulaKey holds what a formula is compared with: points of the given domain
// with the exact value there, and what each slip evaluates to.
type formulaKey struct {
	points []formulaSample
	vary   []int // the givens that vary, as numbers into Given
}

type formulaSample struct {
	values map[int]float64
	right  float64
	slips  [][]float64 // by slip of the ask; nil where one has no value
}

// formulaKey draws the points. After one point with the learner's own numbers
// comes one for each name with that name alone changed, then random ones.
func (m *Marker) formulaKey(ctx context.Context) (*formulaKey, error) {
	if m.samples != nil {
		return m.samples, nil
	}
	k := &formulaKey{}
	own := map[int]float64{}
	for j, g := range m.Numbers.Givens() {
		if x, _, ok := m.Numbers.GivenValue(j); ok && !g.Derived && x.Number != 0 {
			k.vary = append(k.vary, j)
			own[j] = x.Number
		}
	}
	draw := m.Random()
	tries := []map[int]float64{own}
	for _, j := range k.vary {
		moved := map[int]float64{}
		for n, x := range own {
			moved[n] = x
		}
		moved[j] *= 1.01
		tries = append(tries, moved)
	}
	for n := 0; n < 3*formulaPoints && len(k.points) < len(k.vary)+1+formulaPoints; n++ {
		values := m.domainPoint(k.vary, own, draw)
		if n < len(tries) {
			values = tries[n]
		}
		p, ok := m.formulaPoint(ctx, values, n >= len(tries))
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if ok {
			k.points = append(k.points, p)
		}
	}
	if len(k.points) < len(tries)+fewestPoints {
		return nil, fmt.Errorf("the answer to %s has a value at too few points of the given domain", m.Scheme.Name)
	}
	m.samples = k
	return k, nil
}

// domainPoint draws a value for each name: within its range if it has one, else
// near its own value.
func (m *Marker) domainPoint(vary []int, own map[int]float64, draw func() uint64) map[int]float64 {
	values := map[int]float64{}
	for _, j := range vary {
		share := float64(draw()>>11) / (1 << 53)
		if ends := m.Numbers.Givens()[j].Range; ends[1] > ends[0] {
			values[j] = ends[0] + share*(ends[1]-ends[0])
			continue
		}
		values[j] = own[j] * (0.8 + 0.45*share)
	}
	return values
}

func (m *Marker) formulaPoint(ctx context.Context, values map[int]float64, conditional bool) (formulaSample, bool) {
	p := formulaSample{values: values}
	holds := false
	err := m.Numbers.WithValues(ctx, values, func() error {
		holds = !conditional || m.Numbers.Possible(ctx)
		x, list := m.Numbers.Value(ctx, m.Scheme.Answer)
		if list.HasErrors() {
			return list.Err()
		}
		p.right = x.Value.Number
		for _, s := range m.Scheme.Slips {
			c := m.slipCase(ctx, s)
			c.right = p.right
			list, err := c.values()
			if err != nil {
				list = nil // a slip without a value here is not what was typed
			}
			p.slips = append(p.slips, list)
		}
		return nil
	})
	return p, err == nil && holds && p.right != 0
}

// markFormula judges a formula by its meaning.
func (m *Marker) markFormula(ctx context.Context, x notation.Expr) (Verdict, error) {
	a, key := m.Scheme, m.Key
	got, refused := evaluate(ctx, m.Numbers, x)
	if refused != nil {
		return *refused, ctx.Err()
	}
	read := notation.Print(x)
	if got.Value.Dim != key.Dim {
		verdict := m.wrongDimension(got)
		if verdict.Kind == UnitMissing { // a formula has no unit to add
			verdict.Message = fmt.Sprintf("This gives a pure number, but the question asks for %s. Which factor is missing, or occurs once too often?", m.wanted())
		}
		verdict.Kind, verdict.Read = WrongDimension, read
		return verdict, nil
	}
	if len(notation.FreeNames(x)) == 0 && len(notation.FreeNames(a.Answer)) > 0 {
		return Verdict{Kind: Unreadable, Read: read, Message: "This is a value, but the question asks for a formula. Write it in the given symbols: " + givenNames(m.Numbers) + "."}, nil
	}
	x, meant, refused := withPi(x)
	if refused != nil {
		refused.Read = read
		return *refused, nil
	}
	k, err := m.formulaKey(ctx)
	if err != nil {
		return Verdict{}, err
	}
	ratios, ok, err := m.ratios(ctx, k, x)
	if err != nil {
		return Verdict{}, err
	}
	verdict := Verdict{Kind: Off, Read: read}
	switch slips := k.match(a, ratios); {
	case !ok:
		verdict.Message = "For some possible numbers, this formula has no value. Look for a denominator or a root that should not be there."
	case m.same(ctx, k, x, a.Answer, ratios):
		verdict.Kind, verdict.Points, verdict.Message = Right, a.Points, "Right: it has the same value as the exact formula wherever it was tested."
		if slices.ContainsFunc(ratios, func(r float64) bool { return math.Abs(r-1) > 1e-12 }) {
			verdict.Message = "Right: it agrees with the exact formula to nine figures wherever it was tested."
		}
		if a.Why != "" {
			verdict.Message = "Right. " + Sentence(a.Why)
		}
	case len(slips) > 0:
		verdict.Kind, verdict.Slips, verdict.Message = SlipMade, names(slips), slipMessage(slips)
	case nearlyOne(ratios):
		verdict.Kind, verdict.Compared = Unreadable, true
		verdict.Message = "This agrees with the exact formula in its first figures only: a number in it is rounded, and a formula is exact. Write that number as a fraction or with π."
	default:
		if slips = m.recognisedFormula(ctx, k, ratios); len(slips) > 0 {
			verdict.Kind, verdict.Slips, verdict.Message = SlipMade, names(slips), slipMessage(slips)
			break
		}
		verdict.Message = m.offBy(k, x, ratios)
	}
	verdict.Message += readAsPi(meant)
	return verdict, ctx.Err()
}

// same reports whether two formulas mean the same: by exact arithmetic where
// that decides, by their values, and where those lost digits to a difference,
// by guaranteed brackets of both.
func (m *Marker) same(ctx context.Context, k *formulaKey, x, answer notation.Expr, ratios []float64) bool {
	if equal, decided := algebra.EqualExactly(x, answer, nil); decided && equal {
		return true
	}
	for n, r := range ratios {
		switch far := math.Abs(r - 1); {
		case far <= sameFormula:
		case far > lostDigits || !m.bracketsMeet(ctx, k.points[n].values, x, answer):
			return false
		}
	}
	return true
}

// bracketsMeet reports whether guaranteed brackets of both formulas meet at a
// point and are narrow enough for that to mean something.
func (m *Marker) bracketsMeet(ctx context.Context, values map[int]float64, x, answer notation.Expr) bool {
	meet := false
	err := m.Numbers.WithEnclosures(ctx, values, func() error {
		a, list := m.Numbers.Eval(ctx, x)
		b, more := m.Numbers.Eval(ctx, answer)
		if list = append(list, more...); list.HasErrors() {
			return list.Err()
		}
		if !a.Value.IsBracket || !b.Value.IsBracket {
			return nil
		}
		wide := math.Max(a.Value.High-a.Value.Low, b.Value.High-b.Value.Low)
		meet = a.Value.Low <= b.Value.High && b.Value.Low <= a.Value.High && wide <= lostDigits*math.Abs(b.Value.Number)
		return nil
	})
	return err == nil && meet
}

// ratios returns the learner's formula divided by the exact one at each point;
// ok is false if it has no value at one of them.
func (m *Marker) ratios(ctx context.Context, k *formulaKey, x notation.Expr) (ratios []float64, ok bool, err error) {
	ok = true
	for _, p := range k.points {
		failed := m.Numbers.WithValues(ctx, p.values, func() error {
			got, list := m.Numbers.Eval(ctx, x)
			ratios = append(ratios, got.Value.Number/p.right)
			return list.Err()
		})
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		if failed != nil {
			return ratios, false, nil
		}
	}
	return ratios, ok, nil
}

func constant(ratios []float64) bool {
	for _, r := range ratios {
		if math.Abs(r-ratios[0]) > sameFormula*math.Abs(ratios[0]) {
			return false
		}
	}
	return true
}

// match returns the slips that a formula equals at every point.
func (k *formulaKey) match(a *Scheme, ratios []float64) []*Slip {
	if len(ratios) < len(k.points) {
		return nil
	}
	var found []*Slip
	for s, slip := range a.Slips {
		if k.isSlip(s, ratios) {
			found = append(found, slip)
		}
	}
	return found
}

func (k *formulaKey) isSlip(s int, ratios []float64) bool {
	for n, p := range k.points {
		if !isOneOf(ratios[n]*p.right, p.slips[s]) {
			return false
		}
	}
	return true
}

// offBy words whether a formula is off by a constant factor, or by powers of
// names, or otherwise.
func (m *Marker) offBy(k *formulaKey, x notation.Expr, ratios []float64) string {
	const next = " Go back to the step where that factor enters."
	if constant(ratios) {
		if math.Abs(ratios[0]-1) < nearFactor {
			return "This is off by a constant factor that is close to 1, so perhaps a number in it is rounded. A formula is exact: write such a number as a fraction or with π."
		}
		return "This is off by a constant factor, whatever the numbers are." + next
	}
	if text := m.offByPowers(k, ratios); text != "" {
		return "This is off by a power: " + text + "." + next
	}
	return "The dimension is right, but the formula is not: it is off by an amount that changes with the numbers. Try a case you know, such as equal diameters, and see where it goes wrong."
}

// offByPowers fits the ratios with c·Πxᵖ, each p a multiple of a half. The
// exponents are read off the points at which one name alone was changed.
func (m *Marker) offByPowers(k *formulaKey, ratios []float64) string {
	if len(ratios) <= len(k.vary) || ratios[0] <= 0 {
		return ""
	}
	powers := make([]float64, len(k.vary))
	for n, j := range k.vary {
		own, moved := k.points[0].values[j], k.points[n+1].values[j]
		powers[n] = math.Round(2*math.Log(ratios[n+1]/ratios[0])/math.Log(moved/own)) / 2
	}
	left := make([]float64, len(ratios))
	for n, r := range ratios {
		left[n] = r
		for m, j := range k.vary {
			left[n] /= math.Pow(math.Abs(k.points[n].values[j]), powers[m])
		}
	}
	if !constant(left) {
		return ""
	}
	var parts []string
	for n, j := range k.vary {
		if p := powers[n]; p != 0 {
			parts = append(parts, "the power of "+m.Numbers.Givens()[j].Name+" is not right")
		}
	}
	return strings.Join(parts, ", and ")
}
