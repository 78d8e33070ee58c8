package working

import (
	"fmt"
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// A Fit is the straight line through some points on logarithmic axes, by least squares:
// an estimate of the power of n with which they fall.
type Fit struct {
	Of     string  // what falls: "change of θ_n at each doubling", "width"
	Slope  float64 // the power
	Error  float64 // its standard error, 0 where two points leave none to be seen
	Points int
	Zeros  int    // changes of zero, which have no logarithm and are left out
	Text   string // all of it in a sentence

	at0 float64 // ln of the value at n = 1
}

// A Forecast is what the next doubling of the slider's value is expected to give.
type Forecast struct {
	At      string      // the value of the slider, as shown
	Guess   string      // the reader's guess for it, as shown; "" if there is none
	Value   string      // what the fit expects, "" if there is not enough to go by
	Reason  string      // how it was found, a sentence
	Unit    string      // of the guess
	Between [2]string   // what is written before and behind the number of a guess in the text
	Place   source.Span // where it is written; empty
}

// fitPower fits ln y = ln c + p·ln x by least squares: p = Σ(u−ū)(v−v̄)/Σ(u−ū)² with
// u = ln x and v = ln y, and its standard error √(Σr²/(m−2)/Σ(u−ū)²) from the
// residuals r of m ≥ 3 points. x and y are above zero, in the same order. ok is false
// for fewer than two different x. Source: the usual formulas of linear regression, such
// as in N. R. Draper and H. Smith, Applied Regression Analysis, 3rd ed., Wiley 1998,
// chapter 1 (from memory).
func fitPower(xs, ys []float64) (f Fit, ok bool) {
	m := float64(len(xs))
	u, v := make([]float64, len(xs)), make([]float64, len(xs))
	mu, mv := 0.0, 0.0
	for i := range xs {
		u[i], v[i] = elementary.Ln(xs[i]), elementary.Ln(ys[i])
		mu, mv = mu+u[i], mv+v[i]
	}
	mu, mv = mu/m, mv/m
	uu, uv := 0.0, 0.0
	for i := range u {
		uu += float64((u[i] - mu) * (u[i] - mu))
		uv += float64((u[i] - mu) * (v[i] - mv))
	}
	if len(xs) < 2 || !(uu > 0) {
		return f, false
	}
	f.Points, f.Slope = len(xs), uv/uu
	f.at0 = mv - float64(f.Slope*mu)
	rest := 0.0
	for i := range u {
		r := v[i] - f.at0 - float64(f.Slope*u[i])
		rest += float64(r * r)
	}
	if f.Points > 2 {
		f.Error = math.Sqrt(rest / (m - 2) / uu)
	}
	return f, !math.IsNaN(f.Slope) && !math.IsInf(f.Slope, 0)
}

// say puts the fit into a sentence.
func (f *Fit) say(x string) {
	pure := unit.Unit{Factor: 1}
	f.Text = "slope of the " + f.Of + " against " + x + ": " + Mark + unit.Format(f.Slope, pure, unit.Rounding{Places: 2, HasPlaces: true})
	if f.Points > 2 {
		f.Text += " ± " + unit.Format(max(f.Error, 0.01), pure, unit.Rounding{Places: 2, HasPlaces: true}) + ", an estimate by least squares through " + words.Count(f.Points, "point")
	} else {
		f.Text += ", an estimate from 2 points only, which says nothing of its error"
	}
	switch {
	case f.Zeros == 1:
		f.Text += "; 1 more has no change and is left out, so the slope says little"
	case f.Zeros > 1:
		f.Text += fmt.Sprintf("; %d more have no change and are left out, so the slope says little", f.Zeros)
	}
}

// A doubling is a pair of trials of which one has twice the value of the other.
type doubling struct{ from, to int } // rows

// doublings returns the pairs among the values that were tried, by rising values.
func (t *trialTable) doublings() []doubling {
	rows := map[float64]int{}
	for row, one := range t.trials {
		if t.kept(row) {
			rows[one.at] = row
		}
	}
	var list []doubling
	for row, one := range t.trials {
		if to, ok := rows[2*one.at]; ok && t.kept(row) && one.at > 0 {
			list = append(list, doubling{row, to})
		}
	}
	return list
}

// points returns, of each doubling, its greater value of the slider and the size of the
// change of a column. A change of zero has no logarithm and is left out.
func (t *trialTable) points(k int) (xs, ys []float64) {
	for _, d := range t.doublings() {
		change := math.Abs(t.trials[d.to].values[k].low - t.trials[d.from].values[k].low)
		if change > 0 && !math.IsInf(change, 0) {
			xs, ys = append(xs, t.trials[d.to].at), append(ys, change)
		}
	}
	return xs, ys
}

// zeros returns how many doublings change a column by nothing at all.
func (t *trialTable) zeros(k int) int {
	n := 0
	for _, d := range t.doublings() {
		if t.trials[d.to].values[k].low == t.trials[d.from].values[k].low {
			n++
		}
	}
	return n
}

// widths returns the values of the slider that were tried, and the width of the bracket
// at each.
func (t *trialTable) widths() (xs, ys []float64) {
	for row, one := range t.trials {
		if w, ok := t.width(row); ok && w > 0 && one.at > 0 && t.kept(row) {
			xs, ys = append(xs, one.at), append(ys, w)
		}
	}
	return xs, ys
}

// fits returns the lines through the changes of each column and through the widths.
func (t *trialTable) fits() []Fit {
	var list []Fit
	x := typeset.Plain(t.n.Var)
	for k, c := range t.n.Columns {
		if t.trials[0].values[k].isBracket {
			continue
		}
		if f, ok := fitPower(t.points(k)); ok {
			f.Of = "change of " + columnName(c) + " at each doubling"
			f.Zeros = t.zeros(k)
			list = append(list, f)
		}
	}
	if f, ok := fitPower(t.widths()); ok {
		f.Of = "width"
		list = append(list, f)
	}
	for i := range list {
		list[i].say(x)
	}
	return list
}

// summary returns what belongs to the table.
func (t *trialTable) summary() *Trials {
	n := t.n
	u := t.e.sliderUnitOf()
	at := t.trials[t.now].at
	s := &Trials{Slider: n.Var.Ident, At: tidy(at / u.Factor), Shown: unit.Format(at, u, unit.Rounding{}), Now: t.now, Tried: t.isTried[at], Count: len(n.Tried), Fits: t.fits()}
	end := n.Var.Span()
	if len(n.Tried) > 0 {
		end = n.Tried[len(n.Tried)-1].Span()
		if whole := n.Span(); end.End < whole.End || n.Var.Span().End < end.End {
			s.Clear = &source.Fix{Span: source.Span{Text: whole.Text, Start: n.Var.Span().End, End: whole.End}}
		}
	}
	for _, one := range t.trials {
		if t.isTried[one.at] {
			s.Values = append(s.Values, tidy(one.at/u.Factor))
		}
	}
	if len(n.Tried) < notation.MaxTrials {
		s.More = &Adding{Place: source.Span{Text: end.Text, Start: end.End, End: end.End}, Before: " at "}
		if len(n.Tried) > 0 {
			s.More.Before = ", "
		}
		if u.Text != "" {
			s.More.Behind = " " + u.Text
		}
		if !s.Tried {
			s.Add = &source.Fix{Span: s.More.Place, Text: s.More.Before + t.writtenAt(at, u)}
		}
	}
	s.Next = t.forecast(u)
	return s
}

// writtenAt is a value of the slider as it is written in the text.
func (t *trialTable) writtenAt(at float64, u unit.Unit) string {
	return notation.Print(written(t.slider.node.(*notation.Vary), at, u))
}

// forecast returns what twice the greatest value that was tried is expected to give; nil
// where it is no count, or beyond the end of the slider.
func (t *trialTable) forecast(u unit.Unit) *Forecast {
	last := len(t.trials)
	for last--; last >= 0 && !t.kept(last); last-- {
	}
	s := t.slider.result.Slider
	if last < 0 || s == nil || !s.Whole || t.trials[last].values[0].isBracket || 2*t.trials[last].at > s.High {
		return nil
	}
	at := 2 * t.trials[last].at
	shown := t.units[0]
	f := &Forecast{At: unit.Format(at, u, unit.Rounding{}), Unit: shown.Text}
	f.Place = source.Span{Text: t.n.Span().Text, Start: t.n.Span().End, End: t.n.Span().End}
	f.Between[0] = " guessed "
	if len(t.n.Guesses) > 0 {
		f.Between[0] = ", "
	}
	f.Between[1] = " at " + t.writtenAt(at, u)
	if shown.Text != "" {
		f.Between[1] = " " + shown.Text + f.Between[1]
	}
	rounding := roundingOf(t.n.Columns[0].Display)
	for _, g := range t.n.Guesses {
		if v, ok := t.e.number(g.At); ok && v == at {
			if v, ok := t.e.number(g.Value); ok {
				f.Guess = unit.Format(v, shown, rounding)
			}
			break
		}
	}
	t.expect(f, last, shown, rounding)
	return f
}

// expect works out what the next doubling should give: the last change, made smaller by
// the power that the changes have shown so far.
func (t *trialTable) expect(f *Forecast, last int, u unit.Unit, r unit.Rounding) {
	fit, ok := fitPower(t.points(0))
	pairs := t.doublings()
	if !ok || len(pairs) == 0 || pairs[len(pairs)-1].to != last {
		f.Reason = "three trials, each of twice the one before, are needed to tell what the next doubling gives"
		return
	}
	change := t.trials[last].values[0].low - t.trials[pairs[len(pairs)-1].from].values[0].low
	next := float64(change * elementary.Pow(2, fit.Slope))
	f.Value = Mark + unit.Format(t.trials[last].values[0].low+next, u, r)
	f.Reason = "the last change, " + unit.Format(change, u, unit.Rounding{Figures: changeFigures}) + ", times 2 to the power of the slope, " +
		unit.Format(fit.Slope, unit.Unit{Factor: 1}, unit.Rounding{Places: 2, HasPlaces: true})
	if fit.Points > 2 {
		f.Reason += standardError(float64(math.Abs(next)*math.Ln2)*fit.Error, math.Abs(next), u)
	}
	f.Reason += "; an estimate, since nothing bounds what comes next"
}

// standardError says how far the standard error of the slope moves the forecast. Points on
// one line to rounding have none to speak of.
func standardError(off, next float64, u unit.Unit) string {
	if off <= 1e-6*next {
		return ", whose standard error is too small to matter"
	}
	return ", whose standard error alone moves this by " + unit.Format(off, u, unit.Rounding{Figures: 1})
}

// trialFigure draws changes and widths on logarithmic axes, where two points of one of
// them are there.
func (e *evaluation) trialFigure(t *trialTable) {
	x := e.sliderUnitOf()
	y := t.units[0]
	p := &plot.Plot{
		X:        plot.Axis{Label: typeset.Plain(t.n.Var), Unit: x.Text, Log: true},
		Y:        plot.Axis{Unit: y.Text, Log: true, Label: axisWord(e.it.info.Columns[0], y)},
		Quantity: quantityOf(e.it.info.Columns[0], y),
		Heading:  "Trials of " + typeset.Plain(t.n.Var),
	}
	enough := false
	add := func(label string, xs, ys []float64) {
		if len(xs) > 0 {
			p.Curves = append(p.Curves, plot.Curve{Label: label, X: scaledBy(xs, x.Factor), Y: scaledBy(ys, y.Factor), Points: true})
			enough = enough || len(xs) > 1
		}
	}
	for k, c := range t.n.Columns {
		if t.trials[0].values[k].isBracket || e.it.info.Columns[k].Dim != e.it.info.Columns[0].Dim {
			continue
		}
		xs, ys := t.points(k)
		label := "change"
		if len(t.n.Columns) > 1 {
			label = columnName(c)
		}
		add(label, xs, ys)
		if f, ok := fitPower(xs, ys); ok && len(t.n.Columns) == 1 {
			p.Curves = append(p.Curves, f.line(xs, x.Factor, y.Factor))
		}
	}
	xs, ys := t.widths()
	add("width", xs, ys)
	if f, ok := fitPower(xs, ys); ok {
		p.Curves = append(p.Curves, f.line(xs, x.Factor, y.Factor))
	}
	if !enough {
		return
	}
	p.Chosen = []float64{t.trials[t.now].at / x.Factor}
	if p.Check() == nil {
		e.r.Figure = p
	}
}

// line is the line of a fit between the first and the last of some values.
func (f *Fit) line(xs []float64, x, y float64) plot.Curve {
	ends := []float64{xs[0], xs[len(xs)-1]}
	c := plot.Curve{Label: "slope " + unit.Format(f.Slope, unit.Unit{Factor: 1}, unit.Rounding{Places: 1, HasPlaces: true})}
	for _, at := range ends {
		c.X = append(c.X, at/x)
		c.Y = append(c.Y, elementary.Exp(f.at0+float64(f.Slope*elementary.Ln(at)))/y)
	}
	return c
}
