package working

import (
	"context"
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Codes of the diagnostics of this package.
const (
	// CodeTwice: a name is defined a second time.
	CodeTwice source.Code = "defined-twice"
	// CodeCycle: a definition needs itself, directly or through others.
	CodeCycle source.Code = "cycle"
	// CodeNeeds: something the statement needs is in error.
	CodeNeeds source.Code = "needs"
	// CodeReserved: a name is taken by the notation itself.
	CodeReserved source.Code = "taken-name"
	// CodeLate: the statements before took all the work or memory that there is.
	CodeLate source.Code = "whole-work-limit"
	// CodeRange: a range cannot be sampled as asked.
	CodeRange source.Code = "range"
	// CodeShown: a value cannot be displayed as asked.
	CodeShown source.Code = "shown"
	// CodeShaft: a line of a shaft cell does not fit the lines around it.
	CodeShaft source.Code = "shaft-line"
	// CodeAllowed: an allowable stress or twist is exceeded (a note).
	CodeAllowed source.Code = "not-allowed"
	// CodeTolerances: the tolerances behind a bracket cannot be told apart.
	CodeTolerances source.Code = "tolerances"
	// CodeThinWall: an open thin wall is long beside its thickness, and free to warp (a
	// note).
	CodeThinWall source.Code = "thin-wall"
	// CodeFigure: a figure cannot be drawn from these values.
	CodeFigure source.Code = "figure"
)

// An evaluation is the work on one item.
type evaluation struct {
	w   *Working
	it  *item
	run *program.Run
	r   Result
	obj program.Object

	like check.Type // how an expect writes its margins
}

// slowWork is what a statement costs at least that is put off when it was cut off.
const slowWork = 10_000_000

// refresh checks and evaluates one item again. It returns ctx's error if that
// cut the work short; the item then stays as it was.
func (w *Working) refresh(ctx context.Context, it *item) error {
	w.clock++
	e := evaluation{w: w, it: it, run: program.NewRun(ctx, w.limits)}
	e.run.Progress = w.progressOf(it)
	w.current.Store(e.run)
	defer w.current.Store(nil)
	e.r = Result{Cell: it.cell.id, Index: it.index, Node: it.node, Span: it.span(), Name: it.defines}
	e.r.numbers, e.r.find = w.shownValue, w.find
	e.r.Diagnostics = slices.Concat(it.blamed, it.said())
	e.kind()
	it.waitsOn = nil
	late, full := w.work > wholeTimes*w.statementWork(), e.full()
	if it.cause != nil {
		e.r.Diagnostics = onlyNotes(e.r.Diagnostics)
		e.waitFor(it.cause, it.causeName)
	} else if late {
		e.fail(it.span(), CodeLate, "the statements before this one have used up all the operations allowed for one working").
			Repair = "use fewer terms, segments or points in the statements before it"
	} else if full {
		e.fail(it.span(), CodeLate, "the tables and figures before this one take all the memory allowed for one working").
			Repair = "use fewer tables, or fewer rows and points in them"
	} else if !e.r.Diagnostics.HasErrors() && !e.waits() {
		e.statement()
	}
	w.work += e.run.Work()
	if err := ctx.Err(); err != nil {
		it.cut = e.run.Work() > slowWork
		return err
	}
	it.cut = false
	e.r.Diagnostics = append(e.r.Diagnostics, e.run.Notes...)
	if e.r.Failed() {
		e.obj = nil
	}
	it.commit(w.clock, e.r, e.obj)
	if it.valueRev != w.clock && it.enclosed.stamp > 0 {
		w.compareEnclosure(it)
	}
	it.dirty = (late || full) && it.cause == nil // there may be room for it after the next change
	return nil
}

// commit keeps the outcome and notes whether anything others see has changed.
func (it *item) commit(clock int, r Result, obj program.Object) {
	changed := r.Failed() != it.result.Failed() || r.Text != it.result.Text || it.evaluatedAt == 0 || it.typeRev > it.evaluatedAt
	if !changed && it.defines != "" {
		changed = !sameObject(it.object, obj)
	}
	it.result, it.object = r, obj
	it.dirty, it.evaluatedAt = false, clock
	if changed {
		it.valueRev = clock
	}
}

// sameObject reports whether two objects are the same plain value. Brackets,
// functions and shafts count as different: whatever uses them is evaluated
// again, since a bracket may come from other brackets with the same ends.
func sameObject(a, b program.Object) bool {
	switch a := a.(type) {
	case program.Scalar:
		b, ok := b.(program.Scalar)
		return ok && a == b
	}
	return a == nil && b == nil
}

func (w *Working) mustCheck(it *item) bool {
	isNewer := func(d *item) bool { return d.typeRev > it.checkedAt }
	return it.recheck || w.anyNeeded(it, isNewer) || w.anyOf(it.symbols, isNewer)
}

// check finds the types of one item and what is wrong with its names.
func (w *Working) check(it *item) {
	var before check.Type
	if it.symbol != nil {
		before = it.symbol.Type
	}
	it.recheck, it.checkedAt = false, w.clock
	it.checked = nil
	it.info = check.Statement{}
	w.chooseReading(it)
	w.checkName(it)
	if !it.parsed.HasErrors() && !it.checked.HasErrors() {
		var list source.List
		switch n := it.node.(type) {
		case *notation.ShaftCell:
			it.info.Type, list = w.checker.Shaft(n)
		case notation.Stmt:
			it.info, list = w.checker.Stmt(n)
		}
		it.checked = append(it.checked, list...)
	}
	if it.symbol == nil {
		return
	}
	if it.checked.HasErrors() || it.parsed.HasErrors() {
		it.info.Type = check.Type{}
	}
	it.symbol.Type = it.info.Type
	it.symbol.Axes = axesOf(it)
	if it.symbol.Kind != check.Value || before != it.symbol.Type {
		it.typeRev = w.clock
	}
}

// checkName refuses a second definition, a name that is taken and a cycle.
func (w *Working) checkName(it *item) {
	if path, ok := w.cycles[it]; ok {
		at := nameSpan(it)
		if _, isShaft := it.node.(*notation.ShaftCell); isShaft {
			at = w.cycleUse(it, path)
		}
		it.checked.Addf(at, CodeCycle, "%s needs itself: %s", it.defines, shortened(path)).
			Repair = "one of these definitions must not use the others"
		return
	}
	if it.defines == "" {
		return
	}
	if first := w.definers[it.defines][0]; first != it {
		d := it.checked.Addf(nameSpan(it), CodeTwice, "%s is defined a second time", it.defines)
		d.Repair = "give this one another name, such as " + it.defines + "_2"
		d.Related = []source.Related{{Span: nameSpan(first), Message: it.defines + " is first defined here"}}
	}
	if it.defines == "π" {
		it.checked.Addf(nameSpan(it), CodeReserved, "π is the number 3.14159… and cannot be defined").
			Repair = "use another name"
	}
}

// cycleUse returns where a shaft uses a name of the cycle that it is on.
func (w *Working) cycleUse(it *item, path string) source.Span {
	for _, n := range notation.Uses(it.node) {
		if d := w.definers[n.Ident]; len(d) > 0 && w.cycles[d[0]] == path {
			return n.Span()
		}
	}
	return it.span()
}

func nameSpan(it *item) source.Span {
	switch n := it.node.(type) {
	case *notation.Define:
		return n.Name.Span()
	case *notation.DefineFunc:
		return n.Name.Span()
	case *notation.Vary:
		return n.Name.Span()
	case *notation.Readings:
		return n.Name.Span()
	case *notation.Line:
		return n.Name.Span()
	}
	return it.span()
}

// waits reports whether something the item needs has no value, and records that.
func (e *evaluation) waits() bool {
	for _, u := range e.it.needed() {
		d := e.w.definers[u]
		if len(d) == 0 || d[0].object != nil || u == "π" {
			continue
		}
		e.waitFor(d[0], u)
		return true
	}
	return false
}

// waitFor records that the item has no result because of another one.
func (e *evaluation) waitFor(d *item, name string) {
	e.it.waitsOn = d
	e.fail(useSpan(e.it, name), CodeNeeds, "%s has no value yet", name).
		Repair = "correct the line that it waits for first" // putMessages adds which
}

// rootOf returns the item at the end of what an item waits for: the one to mend.
func (w *Working) rootOf(it *item) *item {
	for range w.items {
		switch {
		case it.cause != nil:
			it = it.cause
		case it.waitsOn != nil:
			it = it.waitsOn
		default:
			return it
		}
	}
	return it // a circle, which no order of evaluation has
}

// messageSpan returns the place of the first error of an item.
func (it *item) messageSpan() source.Span {
	for _, list := range []source.List{it.blamed, it.parsed, it.checked, it.result.Diagnostics} {
		if d := list.FirstError(); d != nil && d.Span.IsValid() {
			return d.Span
		}
	}
	return nameSpan(it)
}

func onlyNotes(list source.List) source.List {
	return slices.DeleteFunc(list, func(d source.Diagnostic) bool { return d.Severity == source.Error })
}

// useSpan returns where a name is first used in an item.
func useSpan(it *item, ident string) source.Span {
	for _, n := range notation.Uses(it.node) {
		if n.Ident == ident {
			return n.Span()
		}
	}
	return it.span()
}

// kind fills what the form of the statement alone decides.
func (e *evaluation) kind() {
	switch n := e.it.node.(type) {
	case *notation.Define:
		e.r.Kind = KindValue
	case *notation.Show:
		e.r.Kind = KindValue
		if name, ok := notation.Unparen(n.Expr).(*notation.Name); ok {
			e.r.Name = name.Ident
		}
	case *notation.DefineFunc:
		e.r.Kind = KindFunction
	case *notation.Vary:
		e.r.Kind = KindVary
	case *notation.Expect:
		e.r.Kind = KindExpect
	case *notation.Table, *notation.SegmentTable, *notation.ToleranceTable, *notation.Readings, *notation.Line:
		e.r.Kind = KindTable
	case *notation.Trials:
		e.r.Kind = KindTrials
	case *notation.Plot, *notation.PlotLine:
		e.r.Kind = KindPlot
	case *notation.Draw:
		e.r.Kind = KindDraw
	case *notation.Prefer:
		e.r.Kind = KindPrefer
	case *notation.ShaftCell:
		e.r.Kind = KindShaft
	}
}

func (e *evaluation) statement() {
	switch n := e.it.node.(type) {
	case *notation.Define:
		e.define(n)
	case *notation.Show:
		e.show(n)
	case *notation.DefineFunc:
		e.obj = functionObject(n)
	case *notation.Vary:
		e.vary(n)
	case *notation.Expect:
		e.expect(n)
	case *notation.Table:
		e.table(n)
	case *notation.SegmentTable:
		e.segmentTable(n)
	case *notation.ToleranceTable:
		e.toleranceTable(n)
	case *notation.Trials:
		e.trials(n)
	case *notation.Readings:
		e.readings(n)
	case *notation.Line:
		e.line(n)
	case *notation.PlotLine:
		e.plotLine(n)
	case *notation.Plot:
		e.plot(n)
	case *notation.Draw:
		e.draw(n)
	case *notation.ShaftCell:
		e.shaft(n)
	}
}

func (e *evaluation) define(n *notation.Define) {
	v, ok := e.value(n.Expr)
	if !ok {
		return
	}
	e.setValue(v, n.Expr, n.Display)
	if v.IsBracket {
		e.obj = program.Interval(v.Bracket)
	} else {
		e.obj, e.it.noise = program.Scalar(v.Number), v.Noise
	}
}

func (e *evaluation) show(n *notation.Show) {
	if v, ok := e.value(n.Expr); ok {
		e.setValue(v, n.Expr, n.Display)
	}
}

// value evaluates an expression in the scope of the working; ok is false if it
// has no value, and then the reason is in the result.
func (e *evaluation) value(x notation.Expr) (program.Value, bool) {
	v, list := program.Evaluate(e.run, x, scope{e.w})
	e.r.Diagnostics = append(e.r.Diagnostics, list...)
	return v, !list.HasErrors()
}

// number evaluates an expression that checking has found to be one plain
// number.
func (e *evaluation) number(x notation.Expr) (float64, bool) {
	v, ok := e.value(x)
	return v.Number, ok
}

func (e *evaluation) setValue(v program.Value, x notation.Expr, d notation.Display) {
	t := e.it.info.Type
	value := valueOf(v, t)
	e.r.Value = &value
	e.r.Text = e.w.shownText(e.r.Value, t, x, d)
	if e.r.Text == unit.NotFinite {
		e.r.Text = ""
		e.fail(e.it.span(), CodeShown, "the value is too large to be shown in %s", e.w.unitOf(v.Number, t, d).Text).
			Repair = "show it in a larger unit"
	}
	e.noteEstimate(v, x, t)
	e.setCertainty(x, t, d)
}

// noteEstimate adds a note where a form is less sure than the digits shown.
func (e *evaluation) noteEstimate(v program.Value, x notation.Expr, t check.Type) {
	if v.ErrorEstimate <= 0 || v.ErrorEstimate <= 1e-9*abs(v.Number) {
		return
	}
	what, repair := estimatedForm(x)
	u := e.w.unitFor(v.Number, t)
	e.r.Diagnostics.Notef(e.it.span(), CodeShown, "%s is known only to within about %s",
		what, unit.Format(v.ErrorEstimate, u, unit.Rounding{Figures: 2})).
		Repair = repair
}

// estimatedForm names the form that an estimate comes from, if all in x are of one
// kind, and the way to more digits.
func estimatedForm(x notation.Expr) (what, repair string) {
	words := map[notation.BindKind][2]string{
		notation.Integral:   {"the integral", "split it where the integrand has a corner or a peak for more digits"},
		notation.Derivative: {"the slope", "write the derivative out for more digits"},
		notation.FindRoot:   {"the root", "narrow the range around it, and look whether the formula only touches zero there"},
		notation.Largest:    {"the largest value", "narrow the range around it for more digits"},
		notation.Smallest:   {"the smallest value", "narrow the range around it for more digits"},
	}
	notation.Inspect(x, func(n notation.Node) bool {
		b, ok := n.(*notation.Bind)
		if !ok {
			return true
		}
		found, known := words[b.Kind]
		if !known {
			return true
		}
		if what != "" && what != found[0] {
			what, repair = "", ""
			return false
		}
		what, repair = found[0], found[1]
		return false // what is inside it counts for it
	})
	if what == "" {
		return "the value", "split or narrow the ranges of the forms that it is made of for more digits"
	}
	return what, repair
}

// shownValue returns the value of a name as it is shown, for putting numbers
// into a formula.
func (w *Working) shownValue(ident string) (string, bool) {
	d := w.definers[ident]
	if len(d) == 0 || d[0].result.Text == "" {
		return "", false
	}
	return d[0].result.Text, true
}

func (e *evaluation) fail(at source.Span, code source.Code, format string, args ...any) *source.Diagnostic {
	return e.r.Diagnostics.Addf(at, code, format, args...)
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
