package derive

import (
	"fmt"
	"maps"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
)

// measured is the two lines at a few points.
type measured struct {
	points []point
	ratio  []float64 // claimed ÷ true
	pairs  []pair
}

// recognisePoints is how many points a slip must explain.
const recognisePoints = 5

// recognise returns in words what kind of mistake a step makes, "" if it cannot
// tell, and fills the factor and the slips. A slip is named only if it makes the
// line above the claim, at every measured point. Where the dimensions differ, the
// values in SI units are compared.
func (j *judge) recognise(v *Verdict, a, b *statement, step *notation.DeriveStep, apart *pair) (string, Slip) {
	j.eval.left = recogniseNodes
	if apart != nil && closeTogether(apart.above.Float64(), apart.claim.Float64()) {
		return "the two lines differ only from the 13th digit on, as rounded numbers do", Rounded
	}
	m := j.measure(a, b, apart)
	if len(m.points) < 3 {
		return "", NoSlip
	}
	f, isFactor := sameEverywhere(m.ratio)
	isFactor = isFactor && math.Abs(f-1) > 1e-12 && math.Abs(f) > 1e-25 // what is left of 0 by rounding is no multiple
	prefix := ""
	if isFactor {
		v.Factor = &f
		if text, known := factorText(f); known && f != -1 && a.typ.Dim == b.typ.Dim {
			prefix = times(text) + ": "
		}
	}
	if words, slip := j.oldLimits(a, b, step, m); words != "" {
		return words, slip
	}
	if isFactor && f == -1 && len(binds(a.expr, notation.Integral)) > 0 {
		v.Also = WrongSign
		return "the sign is reversed: the limits were swapped, or a minus sign was lost", SwappedLimits
	}
	if words, slip := j.slopeMissing(a, b, m); slip == ChainRule {
		return words, slip
	}
	if words, slip := j.innerSlopeLost(a, b, m); slip == ChainRule {
		return words, slip
	}
	found := j.matching(a, b, j.exact(m))
	j.eval.left = stepNodes
	if len(found) > 0 && !found[0].general {
		words := prefix + j.named(v, found)
		if found[0].slip == AbsoluteValue {
			if agree, apart := j.sorted(a, b); len(agree) > 0 {
				words += "; " + whereItHolds(j.variablesOf(a, b), agree, apart)
			}
		}
		return words, found[0].slip
	}
	if isFactor && a.typ.Dim == b.typ.Dim {
		words, slip := constantFactor(f, a.full, b.expr)
		if slip == WrongFactor && len(found) > 0 {
			return prefix + j.named(v, found), found[0].slip
		}
		return words, slip
	}
	if words, slip := j.slopeMissing(a, b, m); words != "" {
		return words, slip
	}
	if len(found) > 0 {
		if found[0].slip == DroppedTerm && strings.HasPrefix(found[0].words, "the term") {
			// The claim may show in fewer words what it lacks.
			if words, slip := j.missingTerm(a, b, m); strings.HasPrefix(words, "the term") && len(words) < len(found[0].words) {
				return words, slip
			}
		}
		return prefix + j.named(v, found), found[0].slip
	}
	if words := lostSign(m); words != "" {
		return words, AbsoluteValue
	}
	if words, slip := j.missingTerm(a, b, m); words != "" {
		return words, slip
	}
	if words, slip := j.powersOff(a, b, m); words != "" {
		return words, slip
	}
	if a.typ.Dim != b.typ.Dim {
		return "", NoSlip
	}
	return j.specialCase(a, b)
}

// recogniseNodes bounds the evaluation in naming a slip.
const recogniseNodes = 2 * stepNodes

// lostSign recognises lines of one size of which the one above is never
// negative and the other sometimes is.
func lostSign(m measured) string {
	differ := false
	for _, r := range m.ratio {
		if math.Abs(math.Abs(r)-1) > 1e-12 {
			return ""
		}
		differ = differ || r < 0
	}
	for _, p := range m.pairs {
		if p.above.Sign() < 0 {
			return ""
		}
	}
	if !differ {
		return ""
	}
	return "the absolute value was lost: the line above is never negative, and this one sometimes is"
}

// named puts the slips that explain a line into words: the first and, if there
// is one of another kind, that too.
func (j *judge) named(v *Verdict, found []mistaken) string {
	words := found[0].words
	for _, s := range found[1:] {
		if s.slip != found[0].slip {
			v.Also = s.slip
			return words + "; or else " + s.words
		}
	}
	return words
}

func closeTogether(x, y float64) bool { return math.Abs(x-y) <= 1e-12*math.Abs(x) }

func (j *judge) measure(a, b *statement, apart *pair) measured {
	var m measured
	add := func(v pair) {
		x, y := v.above.Float64(), v.claim.Float64()
		if x == 0 || math.IsInf(y/x, 0) {
			return
		}
		m.points, m.ratio, m.pairs = append(m.points, v.at), append(m.ratio, y/x), append(m.pairs, v)
	}
	if apart != nil {
		add(*apart)
	}
	for i := range 3 * recognisePoints {
		if len(m.points) == recognisePoints {
			break
		}
		s := j.points().site(readable, i)
		if s == nil {
			break
		}
		if v, err1, err2 := j.atSite(s, a, b); err1 == nil && err2 == nil {
			add(v)
		}
	}
	return m
}

func sameEverywhere(ratio []float64) (float64, bool) {
	for _, r := range ratio {
		if math.Abs(r-ratio[0]) > 1e-11*math.Abs(ratio[0]) {
			return 0, false
		}
	}
	// A factor that is a whole number is one, whatever its last bit.
	f := ratio[0]
	if n := math.Round(f); math.Abs(f-n) < 1e-12*math.Abs(n) {
		f = n
	}
	return f, f != 0
}

// oldLimits recognises a change of variable that kept its limits: with the right
// ones, the step would be right.
func (j *judge) oldLimits(a, b *statement, step *notation.DeriveStep, m measured) (string, Slip) {
	c, ok := j.changeOf(a, b, step)
	if !ok {
		return "", NoSlip
	}
	if changed, decided := j.limitsChanged(c); !decided || changed {
		return "", NoSlip
	}
	x := c.before.Var.Ident
	low, high := put(c.u, x, c.before.From), put(c.u, x, c.before.To)
	right := *c.after
	right.From, right.To = low, high
	if !j.exact(m)(undoing(replace(b.full, c.after, &right), "", OldLimits)) {
		return "", NoSlip
	}
	if changed, decided := j.limitsChanged(c.turned()); decided && changed {
		return fmt.Sprintf("the limits of the integral were swapped: %s runs from %s to %s", step.With.Ident, j.called(low), j.called(high)), SwappedLimits
	}
	return fmt.Sprintf("the limits do not belong to %s: as %s runs from %s to %s, %[1]s runs from %[5]s to %[6]s",
		step.With.Ident, x, notation.Print(c.before.From), notation.Print(c.before.To), j.called(low), j.called(high)), OldLimits
}

// called returns the name that an expression is equal to, or its text.
func (j *judge) called(e notation.Expr) string {
	for _, ident := range j.scope.order {
		value, defined := j.scope.values[ident]
		if !defined {
			if j.scope.variable(ident) == nil {
				continue
			}
			value = makerAt(e).name(ident)
		}
		if equal, decided := algebra.EqualExactly(e, value, nil); equal && decided {
			return ident
		}
	}
	return notation.Print(e)
}

// slopeMissing recognises a factor that is the slope of an inner function, of
// a stated substitution or of the base of a power in an integrand, or
// else a defined name.
func (j *judge) slopeMissing(a, b *statement, m measured) (string, Slip) {
	type candidate struct {
		text  string
		slope notation.Expr
		slip  Slip
	}
	var list []candidate
	slopes := j.slopes()
	for _, q := range slopes {
		if full, err := j.scope.full(q); err == nil {
			list = append(list, candidate{j.calledSlope(q, full), full, ChainRule})
		}
	}
	for _, ident := range j.scope.order {
		if value, ok := j.scope.values[ident]; ok && (isFree(a.expr, ident) || isFree(b.expr, ident)) {
			list = append(list, candidate{ident, value, WrongPower})
		}
	}
	for _, c := range list {
		what := "factor"
		if c.slip == ChainRule {
			what = "chain-rule factor"
		}
		for _, n := range []int{1, -1, 2, -2} {
			f, ok := j.ratioOver(m, c.slope, n)
			if !ok {
				continue
			}
			extra, text := "", c.text
			if short, negative := strings.CutPrefix(text, "−"); negative && math.Abs(f+1) < 1e-9 && n%2 != 0 {
				text = short
			} else if math.Abs(f-1) > 1e-9 {
				number, known := factorText(f)
				if !known || n != 1 && n != -1 {
					continue
				}
				extra = ", and a factor " + number + " is off too"
			}
			text = bracketed(text)
			if n == 2 || n == -2 {
				if c.slip == ChainRule && n == 2 {
					return fmt.Sprintf("the chain-rule factor is 1/%s, and this line multiplies by %[1]s", text), c.slip
				}
				text += "²"
			}
			if n > 0 {
				return fmt.Sprintf("the %s 1/%s is missing%s", what, text, extra), c.slip
			}
			return fmt.Sprintf("there is one %s 1/%s too many%s", what, text, extra), c.slip
		}
	}
	return "", NoSlip
}

// calledSlope is the defined name that a slope is equal to, or its text.
func (j *judge) calledSlope(q, full notation.Expr) string {
	if text := j.called(full); len(text) < len(notation.Print(q)) {
		return text
	}
	return notation.Print(q)
}

// slopes lists the slopes of the inner functions of the derivation, as written.
func (j *judge) slopes() []notation.Expr {
	var list []notation.Expr
	seen := map[string]bool{}
	add := func(p notation.Expr, x string) {
		q, err := algebra.Derivative(p, x, nil)
		if err != nil || isFree(q, x) || len(notation.FreeNames(q)) == 0 || seen[notation.Print(q)] {
			return
		}
		seen[notation.Print(q)] = true
		list = append(list, q)
	}
	for _, line := range j.cell.Lines {
		e := expressionOf(line)
		if e == nil {
			continue
		}
		for _, i := range binds(e, notation.Integral) {
			if step, ok := line.(*notation.DeriveStep); ok && step.With != nil {
				for _, n := range notation.FreeNames(step.WithX) {
					if j.scope.symbols[n.Ident] == nil {
						add(step.WithX, n.Ident)
					}
				}
			}
			for _, p := range linearParts(j.scope.apply(i.Body), i.Var.Ident) {
				add(p, i.Var.Ident)
			}
		}
	}
	return list
}

// expressionOf returns the right side of a line, nil if it has none.
func expressionOf(line notation.DeriveLine) notation.Expr {
	switch line := line.(type) {
	case *notation.DeriveDefine:
		return line.Expr
	case *notation.DeriveStep:
		return line.X
	}
	return nil
}

func bracketed(text string) string {
	if strings.ContainsAny(text, "+−·/ ") {
		return "(" + text + ")"
	}
	return text
}

// ratioOver reports whether ratio/eⁿ is the same at all points.
func (j *judge) ratioOver(m measured, e notation.Expr, n int) (float64, bool) {
	var rest []float64
	for i, p := range m.points {
		x, err := j.eval.value(e, p)
		if err != nil || x.Float64() == 0 {
			return 0, false
		}
		rest = append(rest, m.ratio[i]/elementary.Pow(x.Float64(), float64(n)))
	}
	if f, ok := sameEverywhere(rest); ok {
		return f, true
	}
	return 0, false
}

// matching returns the slips that explain the claim: those of the trade, or
// else those of algebra. They are made in the line above as it is written, then
// with its definitions put in, or taken back in the claim. Slips that take an
// integral to evaluate come last.
func (j *judge) matching(a, b *statement, explains func(mistaken) bool) []mistaken {
	var general []mistaken
	var later [][]mistaken
	try := func(list []mistaken, costly bool) (trade []mistaken) {
		for _, s := range list {
			if isCostly(s.expr) != costly || j.eval.left < 0 || s.general && len(general) > 3 {
				continue
			}
			if s.slip == WrongUnits && a.typ.Dim != b.typ.Dim && !b.typ.Dim.IsNumber() {
				continue // another dimension is more than a unit
			}
			if s.name != "" && !j.shows(b, s.name) || !explains(s) || !j.explainsSwitches(a, b, s) {
				continue
			}
			if s.general {
				general = append(general, s)
			} else if trade = append(trade, s); len(trade) > 3 {
				return trade
			}
		}
		return trade
	}
	for i, e := range j.levels(a) {
		list := j.slips(e, b.expr)
		if i == 0 {
			list = append(list, j.undone(b.expr)...)
			list = append(j.changeSlips(a.typed), list...)
		}
		if trade := try(list, false); len(trade) > 0 {
			return append(trade, j.alsoOfSections(a, b, trade[0].slip, i, explains)...)
		}
		later = append(later, list)
	}
	for _, list := range later {
		if trade := try(list, true); len(trade) > 0 {
			return trade
		}
		if len(general) > 0 {
			break
		}
	}
	return general
}

// alsoOfSections looks in the levels below one for the other slip that a number
// in the formula of a section can come of: bending, or radius and diameter.
func (j *judge) alsoOfSections(a, b *statement, found Slip, level int, explains func(mistaken) bool) []mistaken {
	other := map[Slip]Slip{RadiusSlip: Bending, Bending: RadiusSlip}[found]
	if other == NoSlip {
		return nil
	}
	for _, e := range j.levels(a)[level:] {
		if isCostly(e) {
			continue
		}
		for _, s := range append(bendingSlips(nil, e, traceOf(j, e, b.expr)), j.radiusSlips(nil, e)...) {
			if s.slip == other && explains(s) {
				return []mistaken{s}
			}
		}
	}
	return nil
}

// shows reports whether a claim depends on a name, or on all that a defined name
// depends on, or is a number, which shows nothing.
func (j *judge) shows(claim *statement, ident string) bool {
	if _, _, isNumber := roundedNumber(claim.expr); isNumber || isFree(claim.expr, ident) || isFree(claim.full, ident) {
		return true
	}
	value, defined := j.scope.values[ident]
	if !defined || isFreeOfNames(value) {
		return false
	}
	for _, n := range notation.FreeNames(value) {
		if !isFree(claim.full, n.Ident) {
			return false
		}
	}
	return true
}

// exact returns whether a slip explains the claim at all measured points, to 14
// digits.
func (j *judge) exact(m measured) func(mistaken) bool {
	memory := map[string]bigfloat.Value{}
	return func(s mistaken) bool {
		full, err := j.scope.full(s.expr)
		if err != nil {
			return false
		}
		for i, pr := range m.pairs {
			x, err := j.withMemory(memory, full, pr.at, i)
			want := pr.claim
			if s.undone {
				want = pr.above
			}
			if err != nil || bigfloat.Compare(x, want, 14, 0) != bigfloat.Agrees {
				return false
			}
		}
		return true
	}
}

// withMemory evaluates e at the i-th point. Integrals and their like, which most
// slips leave as they are, are evaluated once.
func (j *judge) withMemory(memory map[string]bigfloat.Value, e notation.Expr, p point, i int) (bigfloat.Value, error) {
	if !isCostly(e) {
		return j.eval.value(e, p)
	}
	at := maps.Clone(p)
	var failed error
	var walk func(notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		b, ok := e.(*notation.Bind)
		if !ok {
			return notation.Map(e, walk)
		}
		key := strconv.Itoa(i) + "′" + notation.Print(b)
		x, known := memory[key]
		if !known {
			var err error
			if x, err = j.eval.value(b, p); err != nil {
				failed = err
				return e
			}
			memory[key] = x
		}
		at[key] = x
		return makerAt(e).name(key)
	}
	e = walk(e)
	if failed != nil {
		return bigfloat.Value{}, failed
	}
	return j.eval.value(e, at)
}
