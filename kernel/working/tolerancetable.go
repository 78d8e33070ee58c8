package working

import (
	"cmp"
	"math"
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// toleranceTable evaluates the table of the tolerances behind a bracket: what each makes
// of it alone, with all others at their middle; then the worst case, which is the bracket
// itself and holds for every choice; and the root of the sum of squares, an estimate for
// independent tolerances that are small and symmetrical (JCGM 100:2008, 5.1.2, with half
// a width in the place of a standard uncertainty).
func (e *evaluation) toleranceTable(n *notation.ToleranceTable) {
	found, ok := e.toleranceSources(n.Expr)
	if !ok {
		return
	}
	if k := len(found.sources); k == 0 || k > mostShares {
		e.fail(n.Expr.Span(), CodeTolerances, "a table can have 1 to %d tolerances, and there are %d", mostShares, k).
			Repair = "name a quantity that fewer of them go into"
		return
	}
	worst, ok := e.value(n.Expr)
	if !ok {
		return
	}
	t := &toleranceRows{e: e, n: n, found: found, worst: worst.Bracket}
	if list := t.evaluate(); list.HasErrors() {
		first := list.FirstError()
		repair := first.Repair
		if repair == "" {
			repair = "make the tolerances closer, so that the formula has a value everywhere within them"
		}
		e.fail(n.Expr.Span(), first.Code, "with the tolerances at their ends: %s", first.Message).Repair = repair
		return
	}
	t.fill()
	e.r.Text = words.Count(len(t.rows), "tolerance")
}

// An ownShare is what one tolerance makes of a quantity, the others at their middle.
type ownShare struct {
	of           *toleranceSource
	own          interval.Interval  // guaranteed
	low, high    interval.Interval  // with the tolerance at its lower and its upper end
	width        interval.Interval  // of what it makes alone
	per          *interval.Interval // by what share of itself the quantity changes, for the same share of the middle; nil if either is 0
	shown, perIs float64
	certain      bool // low, high and width enclose exact values
}

// toleranceRows work out the rows of a table of tolerances.
type toleranceRows struct {
	e     *evaluation
	n     *notation.ToleranceTable
	found *sourceSearch

	rows        []ownShare // the widest first
	mid         float64    // with every tolerance at its middle
	exactMid    interval.Interval
	worst       interval.Interval // guaranteed
	worstWidth  interval.Interval
	certainEnds bool
	half        float64 // the root of the sum of the squares of half the widths
}

// An endOf chooses where a tolerance is.
type endOf int

const (
	atMiddle endOf = iota
	atLow
	atHigh
	everywhere // its whole bracket
)

// at returns what the quantity is with each tolerance where choose puts it: its value
// (the middle of a bracket), its bracket if it is one, and for a number the bracket of its
// exact value.
func (t *toleranceRows) at(choose func(k int) endOf) (v program.Value, exact interval.Interval, known bool, list source.List) {
	names := newSettingScope(t.e.w)
	for k := range t.found.sources {
		one := &t.found.sources[k]
		ident := one.it.defines
		var x notation.Expr
		switch choose(k) {
		case atMiddle:
			x = one.mid
		case atLow:
			x = one.low
		case atHigh:
			x = one.high
		default:
			x = one.it.node.(*notation.Define).Expr
		}
		if list = names.set(t.e.run, ident, x, false); list.HasErrors() {
			return
		}
	}
	for _, it := range t.found.users {
		if list = names.set(t.e.run, it.defines, it.node.(*notation.Define).Expr, true); list.HasErrors() {
			return
		}
	}
	if v, list = program.Evaluate(t.e.run, t.n.Expr, names); list.HasErrors() {
		return
	}
	if v.IsBracket {
		return v, v.Bracket, true, nil
	}
	exact, err := t.e.w.encloseExpr(t.n.Expr, names)
	if err != nil {
		exact = interval.Interval{Lo: v.Number, Hi: v.Number}
	}
	return v, exact, err == nil, nil
}

func (t *toleranceRows) evaluate() source.List {
	v, exact, known, list := t.at(func(int) endOf { return atMiddle })
	if list.HasErrors() {
		return list
	}
	t.mid, t.exactMid = v.Number, exact
	for k := range t.found.sources {
		one, list := t.own(k, known)
		if list.HasErrors() {
			return list
		}
		t.rows = append(t.rows, one)
	}
	if list := t.together(); list.HasErrors() {
		return list
	}
	slices.SortStableFunc(t.rows, func(a, b ownShare) int { return cmp.Compare(b.shown, a.shown) })
	t.half = rootOfSquares(t.rows) / 2
	return nil
}

// rootOfSquares returns the root of the sum of the squares of the widths, the largest of
// which is the first. They are scaled by a power of two, which rounds nothing, so that
// the squares of very large or very small widths stay numbers.
func rootOfSquares(rows []ownShare) float64 {
	if len(rows) == 0 {
		return 0
	}
	_, exponent := math.Frexp(rows[0].shown)
	sum := 0.0
	for _, r := range rows {
		x := math.Ldexp(r.shown, -exponent)
		sum += float64(x * x)
	}
	return math.Ldexp(math.Sqrt(sum), exponent)
}

// own works out what one tolerance makes of the quantity.
func (t *toleranceRows) own(k int, known bool) (ownShare, source.List) {
	one := ownShare{of: &t.found.sources[k], certain: known}
	alone := func(end endOf) func(int) endOf {
		return func(j int) endOf {
			if j == k {
				return end
			}
			return atMiddle
		}
	}
	v, own, _, list := t.at(alone(everywhere))
	if list.HasErrors() {
		return one, list
	}
	one.own = own
	if !v.IsBracket {
		one.own = interval.Interval{Lo: v.Number, Hi: v.Number}
	}
	low, exactLow, knownLow, list := t.at(alone(atLow))
	if list.HasErrors() {
		return one, list
	}
	high, exactHigh, knownHigh, list := t.at(alone(atHigh))
	if list.HasErrors() {
		return one, list
	}
	one.low, one.high = exactLow, exactHigh
	one.certain = one.certain && knownLow && knownHigh
	one.width = widthBetween(one.own, exactLow, exactHigh)
	one.shown = one.own.Hi - one.own.Lo
	one.perIs, one.per = t.perShare(one, low.Number, high.Number)
	return one, nil
}

// widthBetween encloses the width of a range that lies in outer, and of which two values
// are known by brackets.
func widthBetween(outer, a, b interval.Interval) interval.Interval {
	least := max(0, float64(b.Lo-a.Hi), float64(a.Lo-b.Hi))
	most, err := outer.Width()
	if err != nil {
		most = math.MaxFloat64
	}
	return interval.Interval{Lo: math.Nextafter(min(least, most), 0), Hi: most}
}

// perShare returns by which share of itself the quantity changes over the tolerance,
// divided by the share of the middle that the tolerance is wide: 1 for a factor, −4 for a
// divisor to the fourth power, nearly.
func (t *toleranceRows) perShare(one ownShare, low, high float64) (float64, *interval.Interval) {
	w := t.e.w
	ends := make([]interval.Interval, 3)
	for i, x := range []notation.Expr{one.of.low, one.of.mid, one.of.high} {
		b, err := w.encloseExpr(x, scope{w})
		if err != nil {
			return 0, nil
		}
		ends[i] = b
	}
	wide, err := interval.Sub(ends[2], ends[0])
	if err != nil || wide.Lo <= 0 || ends[1].Contains(0) || t.exactMid.Contains(0) {
		return 0, nil
	}
	ratio := float64(high-low) / t.mid / (wide.Mid() / ends[1].Mid())
	exact, err := interval.Sub(one.high, one.low)
	for _, step := range []struct {
		by     interval.Interval
		divide bool
	}{{t.exactMid, true}, {wide, true}, {ends[1], false}} {
		if err != nil {
			break
		}
		if step.divide {
			exact, err = interval.Div(exact, step.by)
		} else {
			exact, err = interval.Mul(exact, step.by)
		}
	}
	if err != nil || math.IsNaN(ratio) || math.IsInf(ratio, 0) {
		return 0, nil
	}
	return ratio, &exact
}

// together works out how near to the worst case two choices of ends come.
func (t *toleranceRows) together() source.List {
	falls := make([]bool, len(t.rows))
	for k, r := range t.rows {
		falls[k] = r.high.Mid() < r.low.Mid()
	}
	corner := func(up bool) func(int) endOf {
		return func(k int) endOf {
			if falls[k] != up {
				return atHigh
			}
			return atLow
		}
	}
	_, most, knownMost, list := t.at(corner(true))
	if list.HasErrors() {
		return list
	}
	_, least, knownLeast, list := t.at(corner(false))
	if list.HasErrors() {
		return list
	}
	t.worstWidth, t.certainEnds = widthBetween(t.worst, least, most), knownMost && knownLeast
	return nil
}

// What stands in the first column beside the tolerances.
const (
	worstCase    = "worst case, certain"
	rootOfSquare = "root of squares, an estimate"
)

// fill writes the table.
func (t *toleranceRows) fill() {
	e, typ := t.e, t.e.it.info.Type
	typ.Kind = check.Number
	scale := max(math.Abs(t.worst.Lo), math.Abs(t.worst.Hi))
	u := e.w.unitOf(scale, typ, t.n.Display)
	bare, rounding := unit.Unit{Factor: u.Factor}, roundingOf(t.n.Display)
	percent, _ := unit.Parse("%")
	bareShare, three := unit.Unit{Factor: percent.Factor}, unit.Rounding{Figures: 3}
	table := &Table{step: e.w.step,
		Headers: []Header{{Label: "tolerance", Words: true}, {Label: "at least", Unit: u.Text, Dim: typ.Dim}, {Label: "at most", Unit: u.Text, Dim: typ.Dim},
			{Label: "width", Unit: u.Text, Dim: typ.Dim}, {Label: "share", Unit: percent.Text}, {Label: "for 1 % more", Unit: percent.Text}},
		bare: []unit.Unit{{Factor: 1}, bare, bare, bare, bareShare, bareShare},
	}
	var certain [][]bool // of each cell
	add := func(text string, b interval.Interval, width float64, ends [2]string, isCertain bool) {
		table.Rows = append(table.Rows, []string{text, ends[0], ends[1], unit.Format(width, bare, three), Absent, Absent})
		table.Numbers = append(table.Numbers, []float64{float64(len(table.Rows)), b.Lo, b.Hi, width, math.NaN(), math.NaN()})
		certain = append(certain, []bool{true, true, true, isCertain, true, true})
	}
	outward := func(b interval.Interval) [2]string {
		return bracketEnds(unit.FormatBracket(b.Lo, b.Hi, bare, rounding))
	}
	sum := 0.0
	for _, r := range t.rows {
		sum += r.shown
	}
	for i, r := range t.rows {
		e.w.step(6 * formatWork)
		sure := func(b interval.Interval, text string, u unit.Unit) bool {
			return r.certain && unit.Certain(b.Lo, b.Hi, text, u, three)
		}
		add(r.of.text(), r.own, r.shown, outward(r.own), false)
		row, numbers, marks := table.Rows[i], table.Numbers[i], certain[i]
		marks[3] = sure(r.width, row[3], bare)
		if sum > 0 {
			numbers[4] = r.shown / sum
			row[4] = unit.Format(numbers[4], bareShare, three)
			marks[4] = sure(t.shareOf(i), row[4], bareShare)
		}
		if r.per != nil {
			numbers[5] = r.perIs / 100
			row[5] = unit.Format(numbers[5], bareShare, three)
			marks[5] = sure(interval.Interval{Lo: math.Nextafter(r.per.Lo/100, math.Inf(-1)), Hi: math.Nextafter(r.per.Hi/100, math.Inf(1))}, row[5], bareShare)
		}
	}
	width := t.worst.Hi - t.worst.Lo
	add(worstCase, t.worst, width, outward(t.worst), t.certainEnds && unit.Certain(t.worstWidth.Lo, t.worstWidth.Hi, unit.Format(width, bare, three), bare, three))
	estimate := interval.Interval{Lo: t.mid - t.half, Hi: t.mid + t.half}
	add(rootOfSquare, estimate, 2*t.half, outward(estimate), false)
	last := certain[len(certain)-1]
	last[1], last[2] = false, false
	table.certain = func(row, column int) bool {
		e.w.step(markWork)
		return certain[row][column]
	}
	e.r.Table = table
}

// shareOf encloses the share of one width in the sum of all.
func (t *toleranceRows) shareOf(i int) interval.Interval {
	var others interval.Interval
	for k, r := range t.rows {
		if k != i {
			others = interval.Interval{Lo: others.Lo + r.width.Lo, Hi: others.Hi + r.width.Hi}
		}
	}
	const room = 64 * 0x1p-52 // more than the roundings of these sums, of up to mostShares widths
	w := t.rows[i].width
	return interval.Interval{Lo: (1 - room) * (w.Lo / (w.Lo + others.Hi)), Hi: (1 + room) * (w.Hi / (w.Hi + others.Lo))}
}
