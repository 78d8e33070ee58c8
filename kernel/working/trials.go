package working

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// Absent is in a cell of a table that has no value.
const Absent = "–"

// Trials is what comes with the table of trials: the values of a slider that were
// tried, which are in the text of the statement, and what they show. A change to the
// text that adds one, or takes all away, is offered as a repair is.
type Trials struct {
	Slider string  // the name that is tried
	At     float64 // the value that the slider is at, in its unit
	Shown  string  // the same as shown
	Now    int     // its row in the table
	Tried  bool    // it is among those that were tried
	Count  int     // of values that were tried

	Fits []Fit
	Next *Forecast // nil if there is nothing to guess

	Add, Clear *source.Fix // nil where there is nothing to add or to clear

	Values []float64 // that were tried, in the unit of the slider
	More   *Adding   // nil if the statement has as many as it can
}

// An Adding is how a value of the slider, a number in its unit, is added to those that
// were tried: where in the text, and with what before and behind the number.
type Adding struct {
	Place          source.Span // empty
	Before, Behind string
}

// trialsWork is what comparing and drawing trials costs, in the unit of package pause.
const trialsWork = 20_000

// changeFigures is how many figures a change and a width are shown to.
const changeFigures = 3

// trials evaluates the statement: the columns at each value that was tried, and at the
// one that the slider is at.
func (e *evaluation) trials(n *notation.Trials) {
	slider := e.w.definers[n.Var.Ident][0]
	if !slider.isVary() {
		d := e.fail(n.Var.Span(), CodeRange, "%s is not driven by a slider, so it cannot be tried at other values", n.Var.Ident)
		d.Repair = "give it a range: vary " + n.Var.Ident + " from 1 to 40 starting at 4"
		return
	}
	users := e.trialUsers(slider)
	if what, is := refusedUser(users); is {
		e.fail(n.Var.Span(), CodeRange, "%s depends on %s, and cannot be worked out for several values of it at once", what, n.Var.Ident).
			Repair = "try what depends on " + n.Var.Ident + " by a formula alone, such as a sum of segments"
		return
	}
	list, now, ok := e.evaluateTrials(n, slider, users)
	if !ok {
		return
	}
	e.w.step(trialsWork)
	t := &trialTable{e: e, n: n, slider: slider, trials: list, now: now}
	t.fill()
	t.checkBrackets()
	e.r.Text = words.Count(len(n.Tried), "trial")
	e.r.Trials = t.summary()
	e.trialFigure(t)
}

// trialUsers returns what the statement needs that depends on the slider, in the order
// of evaluation.
func (e *evaluation) trialUsers(slider *item) []*item {
	needed := e.w.needsOf([]*item{e.it})
	users := e.w.usersOf(slider)
	return slices.DeleteFunc(users, func(u *item) bool { return u == e.it || !slices.Contains(needed, u) })
}

// evaluateTrials returns the trials by rising values of the slider, and which of them
// is the one that it is at.
func (e *evaluation) evaluateTrials(n *notation.Trials, slider *item, users []*item) (list []*trial, now int, ok bool) {
	rests := e.w.restOn(e.it, slider, users)
	if !slices.Equal(rests, e.it.tried.holds) || len(e.it.tried.trials) > mostKept {
		e.it.tried = trialsKept{rests, map[float64]*trial{}}
	}
	exprs := trialExprs(n)
	present, isNumber := slider.object.(program.Scalar)
	if !isNumber {
		return nil, 0, false
	}
	add := func(at float64, written notation.Expr, place source.Span) bool {
		t := e.it.tried.trials[at]
		if t == nil {
			t = e.evaluateTrial(n, at, written, exprs, users)
		} else if err := e.run.Book(t.terms, t.work); err != nil {
			e.report(err, place)
			return false
		}
		if t.problem.HasErrors() {
			e.tellProblem(n, t, place)
			return false
		}
		e.it.tried.trials[at] = t
		list = append(list, t)
		return true
	}
	for _, x := range n.Tried {
		at, good := e.number(x)
		if !good {
			return nil, 0, false
		}
		if s := slider.result.Slider; s != nil && s.Whole && at != math.Trunc(at) {
			e.fail(x.Span(), CodeRange, "the slider %s takes whole numbers, so it cannot have been at %s", n.Var.Ident, unit.Format(at, unit.Unit{Factor: 1}, unit.Rounding{})).
				Repair = "write a whole number, or give the slider a step of a fraction"
			return nil, 0, false
		}
		if slices.ContainsFunc(list, func(t *trial) bool { return t.at == at }) {
			continue // the same again
		}
		if !add(at, x, x.Span()) {
			return nil, 0, false
		}
	}
	at := float64(present)
	if !slices.ContainsFunc(list, func(t *trial) bool { return t.at == at }) && !add(at, slider.formula, n.Var.Span()) {
		return nil, 0, false
	}
	slices.SortFunc(list, func(a, b *trial) int {
		if a.at < b.at {
			return -1
		}
		return 1
	})
	return list, slices.IndexFunc(list, func(t *trial) bool { return t.at == at }), true
}

// tellProblem reports why the columns have no value at a value of the slider. The
// places of such an error are in the lines that it comes from.
func (e *evaluation) tellProblem(n *notation.Trials, t *trial, place source.Span) {
	first := t.problem.FirstError()
	d := e.fail(place, first.Code, "at %s = %s: %s", n.Var.Ident, unit.Format(t.at, e.sliderUnitOf(), unit.Rounding{}), first.Message)
	d.Repair = first.Repair
}

// sliderUnitOf is the unit in which values of the slider are shown.
func (e *evaluation) sliderUnitOf() unit.Unit {
	slider := e.w.definers[e.it.node.(*notation.Trials).Var.Ident][0]
	s := slider.result.Slider
	t := slider.info.Type
	if t.Unit != nil {
		return *t.Unit
	}
	if s == nil {
		return e.w.unitFor(0, t)
	}
	return e.w.unitFor(max(math.Abs(s.Min), math.Abs(s.Max)), t)
}

// trialExprs are the expressions of which a trial has the values.
func trialExprs(n *notation.Trials) []notation.Expr {
	var list []notation.Expr
	for _, c := range n.Columns {
		list = append(list, c.Expr)
	}
	switch {
	case n.Bracket != nil:
		list = append(list, n.Bracket)
	case n.Low != nil:
		list = append(list, n.Low, n.High)
	}
	return list
}

// A trialTable turns trials into a table and what belongs to it.
type trialTable struct {
	e      *evaluation
	n      *notation.Trials
	slider *item
	trials []*trial
	now    int

	table   *Table
	units   []unit.Unit // of the columns of the statement, by their number
	isTried map[float64]bool
	certain []func(row int) bool // of each column of the table
}

// kept reports whether a row is of a value that was tried, and not only of the one that
// the slider is at.
func (t *trialTable) kept(row int) bool { return row != t.now || t.isTried[t.trials[row].at] }

// checkBrackets notes rows whose bracket is reversed, or does not hold the value. A value
// that leaves a bracket by no more than rounding is in it.
func (t *trialTable) checkBrackets() {
	n, e, k := t.n, t.e, len(t.n.Columns)
	if n.Bracket == nil && n.Low == nil {
		return
	}
	var reversed, outside []string
	for _, one := range t.trials {
		low, high := one.values[k].low, one.values[k].high
		if n.Low != nil {
			low, high = one.values[k].mid(), one.values[k+1].mid()
		}
		v := one.values[0].mid()
		within := float64(1e-12 * max(math.Abs(low), math.Abs(high)))
		at := unit.Format(one.at, e.sliderUnitOf(), unit.Rounding{})
		switch {
		case low > high+within:
			reversed = append(reversed, at)
		case v < low-within || v > high+within:
			outside = append(outside, at)
		}
	}
	place := n.Bracket
	if n.Low != nil {
		place = n.Low
	}
	x := n.Var.Ident
	if len(reversed) > 0 {
		e.r.Diagnostics.Notef(place.Span(), CodeRange, "the lower end of the bracket is above its upper end at %s = %s", x, words.And(reversed)).
			Repair = "write the smaller one first"
	}
	if len(outside) > 0 {
		e.r.Diagnostics.Notef(place.Span(), CodeRange, "the bracket does not hold the value at %s = %s", x, words.And(outside)).
			Repair = "look at what bounds it there, or leave the bracket out"
	}
}

// before returns the row of the next smaller value that was tried, or −1.
func (t *trialTable) before(row int) int {
	for row--; row >= 0 && !t.kept(row); row-- {
	}
	return row
}

func (t *trialTable) fill() {
	e := t.e
	t.isTried = map[float64]bool{}
	for _, x := range t.n.Tried {
		if v, ok := e.number(x); ok {
			t.isTried[v] = true
		}
	}
	t.table = &Table{Rows: make([][]string, len(t.trials)), Numbers: make([][]float64, len(t.trials)), step: e.w.step}
	u := e.sliderUnitOf()
	t.addColumn(Header{Expr: t.n.Var, Unit: u.Text, Dim: e.it.info.Over.Dim}, unit.Unit{Factor: u.Factor}, func(row int) (string, float64, bool) {
		at := t.trials[row].at
		return unit.Format(at, unit.Unit{Factor: u.Factor}, unit.Rounding{}), at, true
	}, func(row int) bool {
		_, err := t.trials[row].names.Enclosure(t.n.Var.Ident)
		return err == nil
	})
	for k := range t.n.Columns {
		t.addTried(k)
		if k == 0 {
			t.addBracket()
			t.addGuesses()
		}
	}
	certain := t.certain
	t.table.certain = func(row, column int) bool {
		e.w.step(markWork)
		f := certain[column]
		return f == nil || t.table.Rows[row][column] == Absent || f(row)
	}
	e.r.Table = t.table
}

// addColumn adds a column of the table. value returns what a cell shows and its number;
// ok is false for one without a value.
func (t *trialTable) addColumn(h Header, u unit.Unit, value func(row int) (text string, number float64, ok bool), certain func(row int) bool) {
	t.table.Headers = append(t.table.Headers, h)
	t.table.bare = append(t.table.bare, u)
	t.certain = append(t.certain, certain)
	for row := range t.trials {
		t.e.w.step(formatWork)
		text, number, ok := value(row)
		if !ok {
			text, number = Absent, math.NaN()
		}
		t.table.Rows[row] = append(t.table.Rows[row], text)
		t.table.Numbers[row] = append(t.table.Numbers[row], number)
	}
}

// addTried adds the column of an expression, and of its change from the trial before.
func (t *trialTable) addTried(k int) {
	e, column := t.e, t.n.Columns[k]
	typ := e.it.info.Columns[k]
	u := e.w.unitOf(t.scale(k), typ, column.Display)
	t.units = append(t.units, u)
	bare := unit.Unit{Factor: u.Factor}
	rounding := roundingOf(column.Display)
	isBracket := t.trials[0].values[k].isBracket
	t.addColumn(Header{Expr: column.Expr, Label: column.Label, Unit: u.Text, Dim: typ.Dim}, bare, func(row int) (string, float64, bool) {
		v := t.trials[row].values[k]
		if v.isBracket {
			return unit.FormatBracket(v.low, v.high, bare, rounding), v.mid(), true
		}
		return unit.Format(v.low, bare, rounding), v.low, true
	}, t.certainOf("value", k, rounding, bare, func(row int) (interval.Interval, error) { return e.w.encloseTried(t.trials[row], k) }))
	if isBracket || len(t.n.Columns) > 1 {
		return
	}
	t.addColumn(Header{Label: "change", Unit: u.Text, Dim: typ.Dim}, bare, func(row int) (string, float64, bool) {
		from := t.before(row)
		if from < 0 {
			return "", 0, false
		}
		d := t.trials[row].values[k].low - t.trials[from].values[k].low
		return unit.Format(d, bare, unit.Rounding{Figures: changeFigures}), d, true
	}, t.certainOf("change", k, unit.Rounding{Figures: changeFigures}, bare, func(row int) (interval.Interval, error) {
		return e.w.encloseDifference(t.trials[row], k, t.trials[t.before(row)], k)
	}))
}

// addBracket adds the bracket of the first column and its width.
func (t *trialTable) addBracket() {
	n, e := t.n, t.e
	if n.Bracket == nil && n.Low == nil {
		return
	}
	u, dim, k := t.units[0], e.it.info.Columns[0].Dim, len(n.Columns)
	bare, rounding := unit.Unit{Factor: u.Factor}, roundingOf(n.Columns[0].Display)
	width := unit.Rounding{Figures: changeFigures}
	if n.Bracket != nil {
		for i, label := range []string{"at least", "at most"} {
			t.addColumn(Header{Label: label, Unit: u.Text, Dim: dim}, bare, func(row int) (string, float64, bool) {
				v := t.trials[row].values[k]
				return bracketEnds(unit.FormatBracket(v.low, v.high, bare, rounding))[i], []float64{v.low, v.high}[i], true
			}, nil)
		}
		t.addWidth(u, dim, width, func(row int) (interval.Interval, error) {
			v := t.trials[row].values[k]
			return interval.Sub(interval.Interval{Lo: v.high, Hi: v.high}, interval.Interval{Lo: v.low, Hi: v.low})
		})
		return
	}
	for i, x := range []notation.Expr{n.Low, n.High} {
		t.addColumn(Header{Expr: x, Unit: u.Text, Dim: dim}, bare, func(row int) (string, float64, bool) {
			v := t.trials[row].values[k+i].mid()
			return unit.Format(v, bare, rounding), v, true
		}, t.certainOf("end", k+i, rounding, bare, func(row int) (interval.Interval, error) { return e.w.encloseTried(t.trials[row], k+i) }))
	}
	t.addWidth(u, dim, width, func(row int) (interval.Interval, error) {
		return e.w.encloseDifference(t.trials[row], k+1, t.trials[row], k)
	})
}

// bracketEnds are the two ends of a bracket as unit.FormatBracket writes them.
func bracketEnds(text string) [2]string {
	if low, high, ok := strings.Cut(strings.TrimPrefix(text, "between "), " and "); ok {
		return [2]string{low, high}
	}
	return [2]string{text, text}
}

func (t *trialTable) addWidth(u unit.Unit, dim unit.Dimension, rounding unit.Rounding, enclose func(row int) (interval.Interval, error)) {
	bare := unit.Unit{Factor: u.Factor}
	t.addColumn(Header{Label: "width", Unit: u.Text, Dim: dim}, bare, func(row int) (string, float64, bool) {
		w, ok := t.width(row)
		return unit.Format(w, bare, rounding), w, ok
	}, t.certainOf("width", len(t.n.Columns), rounding, bare, enclose))
}

// width returns how far apart the ends of the bracket are at a row.
func (t *trialTable) width(row int) (float64, bool) {
	values, k := t.trials[row].values, len(t.n.Columns)
	switch {
	case t.n.Bracket != nil:
		return values[k].high - values[k].low, true
	case t.n.Low != nil:
		return values[k+1].mid() - values[k].mid(), true
	}
	return 0, false
}

// addGuesses adds what was guessed for the values that were tried, and how far off it was.
func (t *trialTable) addGuesses() {
	e := t.e
	guessed := map[float64]float64{}
	shown := false
	for _, g := range t.n.Guesses {
		at, ok1 := e.number(g.At)
		v, ok2 := e.number(g.Value)
		if _, is := guessed[at]; !ok1 || !ok2 || is {
			continue // the first guess counts
		}
		guessed[at] = v
		shown = shown || slices.ContainsFunc(t.trials, func(t *trial) bool { return t.at == at })
	}
	if !shown {
		return
	}
	u, dim := t.units[0], e.it.info.Columns[0].Dim
	bare := unit.Unit{Factor: u.Factor}
	guess := func(row int) (float64, bool) {
		v, ok := guessed[t.trials[row].at]
		return v, ok && t.kept(row)
	}
	t.addColumn(Header{Label: "your guess", Unit: u.Text, Dim: dim}, bare, func(row int) (string, float64, bool) {
		v, ok := guess(row)
		return unit.Format(v, bare, roundingOf(t.n.Columns[0].Display)), v, ok
	}, nil)
	t.addColumn(Header{Label: "guess off by", Unit: u.Text, Dim: dim}, bare, func(row int) (string, float64, bool) {
		v, ok := guess(row)
		d := v - t.trials[row].values[0].mid()
		return unit.Format(d, bare, unit.Rounding{Figures: changeFigures - 1}), d, ok
	}, nil)
}

// scale is the largest magnitude of an expression, to choose a unit by.
func (t *trialTable) scale(k int) float64 {
	largest := 0.0
	for _, one := range t.trials {
		largest = max(largest, math.Abs(one.values[k].low), math.Abs(one.values[k].high))
	}
	return largest
}

// certainOf returns a function that reports whether a cell is certain to its last
// digit. What was found out is kept with the trial.
func (t *trialTable) certainOf(what string, k int, r unit.Rounding, u unit.Unit, enclose func(row int) (interval.Interval, error)) func(row int) bool {
	column := len(t.table.Headers)
	return func(row int) bool {
		one := t.trials[row]
		text := t.table.Rows[row][column]
		if k < len(one.values) && one.values[k].isBracket && what == "value" {
			return true
		}
		key := what + string(rune('0'+k)) + " " + u.Text + text
		if what == "change" {
			key += " " + t.table.Rows[t.before(row)][0]
		}
		if is, known := one.certain[key]; known {
			return is
		}
		b, err := enclose(row)
		is := err == nil && unit.Certain(b.Lo, b.Hi, text, u, r)
		one.certain[key] = is
		return is
	}
}

// encloseDifference encloses how much more one thing that was tried is than another.
func (w *Working) encloseDifference(a *trial, k int, b *trial, l int) (interval.Interval, error) {
	x, err := w.encloseTried(a, k)
	if err != nil {
		return x, err
	}
	y, err := w.encloseTried(b, l)
	if err != nil {
		return y, err
	}
	return interval.Sub(x, y)
}
