package derive

import (
	"context"
	"fmt"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A statement is a line with a value: what the next step is judged against.
type statement struct {
	expr notation.Expr // as written
	full notation.Expr // in terms of given names
	part notation.Expr // functions applied, defined names kept
	typ  check.Type
	line int

	typed  notation.Expr     // as written, with brackets with limits
	closed notation.Expr     // full with its integrals in closed form, once that was looked for
	found  map[*site]outcome // its values, see judge.remembered
	valued bool              // it is known to have a value for some data that the givens allow
}

// judge reads one derivation from top to bottom.
type judge struct {
	ctx      context.Context
	cell     *notation.DeriveCell
	settings Settings

	scope         *scope
	eval          *evaluator
	sampler       *sampler
	differentials map[string]*statement // "θ" → the line dθ = …
	list          source.List
	verdicts      []Verdict

	rates map[string]*rate // "θ" → the line dθ/dx = …

	above    *statement // nil where there is nothing to compare with
	chain    string     // the name that the present chain started with, if every step since follows
	defining string     // the name that the present lines define, right or wrong
	bound    string     // the name of the function instead, likewise
	step     int
	sought   []string // names that equations above are solved for
	stuck    []string // and those that they could not be solved for
	quiet    bool     // follow the lines without comparing them
}

// JudgeText reads and judges a derivation; what could not be read is among the
// diagnostics.
func JudgeText(ctx context.Context, text *source.Text, settings Settings) Report {
	cell, list := ChooseReadings(notation.ParseDerivation(text))
	report := Judge(ctx, cell, settings)
	report.Diagnostics = append(list, report.Diagnostics...)
	report.Diagnostics.Sort()
	report.Diagnostics = KeepProved(ctx, text, report.Diagnostics, report.Verdicts)
	return report
}

// Judge judges every claimed step of a derivation. It costs at most about half
// a million evaluated nodes a step; when ctx ends, the steps that are left are
// open. Equal derivations get equal reports.
func Judge(ctx context.Context, cell *notation.DeriveCell, settings Settings) Report {
	j := newJudge(ctx, cell, settings)
	for _, line := range cell.Lines {
		j.line(line)
	}
	j.adviseParameters()
	j.list.Sort()
	return Report{j.verdicts, j.list}
}

func newJudge(ctx context.Context, cell *notation.DeriveCell, settings Settings) *judge {
	j := &judge{ctx: ctx, cell: cell, settings: settings, scope: newScope(), eval: newEvaluator(ctx, len(cell.Lines)),
		differentials: map[string]*statement{}, rates: map[string]*rate{}}
	j.readGivens()
	return j
}

// lineWork is what a line costs about beside the values of its expressions, in the
// unit of package pause.
const lineWork = 200_000

func (j *judge) line(line notation.DeriveLine) {
	pause.Here(j.ctx, lineWork)
	defer func() {
		if e := expressionOf(line); e != nil && j.above != nil && j.above.typed == nil {
			j.above.typed = e
		}
	}()
	switch line := j.expanded(line).(type) {
	case *notation.DeriveDefine:
		if line.Params != nil {
			j.function(line)
			return
		}
		if line.Over != nil {
			j.rate(line)
			return
		}
		j.define(line)
	case *notation.DeriveStep:
		j.claim(line)
	case *notation.DeriveBad:
		j.unread(line)
	}
}

// unread passes over a line that could not be read. Below the beginning of another
// chain, steps are not about the line above it any more.
func (j *judge) unread(line *notation.DeriveBad) {
	text := strings.TrimLeft(line.Span().Content(), " \t⇒∴")
	if text == "" || strings.HasPrefix(text, "given ") || strings.ContainsAny(text[:1], "=<>") || strings.HasPrefix(text, "≤") ||
		strings.HasPrefix(text, "≥") || strings.HasPrefix(text, "≈") || strings.HasPrefix(text, "∝") || strings.HasPrefix(text, "#") {
		return
	}
	j.above, j.chain, j.bound = nil, "", ""
}

// function takes "d(x) = …". Steps below it are judged for any x.
func (j *judge) function(line *notation.DeriveDefine) {
	j.above, j.chain, j.bound, j.defining = nil, "", "", ""
	if known, twice := j.scope.symbols[line.Name.Ident]; twice {
		if !j.boundaryValue(line, known) {
			j.alreadyDefined(line.Name, known)
		}
		return
	}
	if j.givenRate(line) {
		return
	}
	for _, p := range line.Params {
		if _, known := j.scope.symbols[p.Ident]; known || p.Ident == "π" {
			continue
		}
		if t, ok := j.coordinate(p.Ident); ok {
			j.scope.give(p, t.Dim, t.Unit)
			j.forgetSampler()
		}
	}
	if err := j.scope.defineFunction(line); err != nil {
		j.list.Addf(line.Expr.Span(), CodeTooLong, "%v", err)
		return
	}
	if s, ok := j.quietly(line.Expr); ok {
		j.above, j.bound = s, line.Name.Ident
	}
}

// CodeDefinedTwice: a function is defined twice in one derivation.
// Example: d(x) = x
//
//	d(x) = 2·x
const CodeDefinedTwice source.Code = "defined-twice"

func (j *judge) alreadyDefined(name *notation.Name, known *check.Symbol) {
	d := j.list.Addf(name.Span(), CodeDefinedTwice, "%s is already defined", name.Ident)
	d.Repair = "begin a step with “=”, or take another name"
	d.Related = []source.Related{{Span: known.At, Message: "here"}}
}

// quietly makes a statement of an expression if it has a meaning.
func (j *judge) quietly(e notation.Expr) (*statement, bool) {
	t, errs := j.scope.typeOf(e)
	for _, d := range errs {
		if d.Severity == source.Error {
			return nil, false
		}
	}
	full, err := j.scope.full(e)
	if err != nil || !t.IsQuantity() {
		return nil, false
	}
	return &statement{expr: e, full: full, part: j.scope.apply(e), typ: t, line: e.Span().Position().Line}, true
}

// define takes "k = …" or "θ = …": a definition, or a claim if the name is
// known already or is the accumulation of a differential above.
func (j *judge) define(line *notation.DeriveDefine) {
	ident := line.Name.Ident
	j.bound = ""
	if symbol, known := j.scope.symbols[ident]; known {
		if symbol.Kind == check.Function {
			j.alreadyDefined(line.Name, symbol)
			j.above = nil
			return
		}
		if !contains(j.sought, ident) && j.condition(line, line.Name, line.Expr) {
			return
		}
		if before, ok := j.quietly(line.Name); ok {
			j.chain = ""
			before.line = symbol.At.Position().Line
			j.above = before
			j.judgeClaim(line, line.Expr, nil)
			j.freeName(&j.verdicts[len(j.verdicts)-1], ident)
			j.solution(&j.verdicts[len(j.verdicts)-1], ident)
		}
		return
	}
	j.declareCoordinate(line)
	j.chain, j.defining = ident, ident
	s := j.statement(line.Expr)
	j.above = s
	if s == nil {
		// The name is known, so that its uses draw no further message.
		j.scope.declare(&check.Symbol{Ident: ident, At: line.Name.Span()})
		return
	}
	if j.accumulates(line, s) {
		return
	}
	if err := j.scope.define(line.Name, line.Expr, s.typ); err != nil {
		j.list.Addf(line.Expr.Span(), CodeTooLong, "%v", err)
		return
	}
	if isDifferential(line) {
		j.differentials[ident[1:]] = s
	}
}

// statement checks an expression and reports what is wrong with it.
func (j *judge) statement(e notation.Expr) *statement {
	t, errs := j.scope.typeOf(e)
	j.list = append(j.list, errs...)
	if source.List(errs).HasErrors() {
		return nil
	}
	if !t.IsQuantity() && t.Kind != check.Invalid {
		j.list.Addf(e.Span(), check.CodeKind, "a line of a derivation has a value, and this is not one")
	}
	if !t.IsQuantity() {
		return nil
	}
	if t.Kind == check.Bracket {
		j.list.Addf(e.Span(), check.CodeKind, "a derivation works with single values, not with brackets")
		return nil
	}
	full, err := j.scope.full(e)
	if err != nil {
		j.list.Addf(e.Span(), CodeTooLong, "%v", err)
		return nil
	}
	return &statement{expr: e, full: full, part: j.scope.apply(e), typ: t, line: e.Span().Position().Line}
}

// claim takes a line that begins with =.
func (j *judge) claim(line *notation.DeriveStep) {
	if line.Gap {
		j.step++
		j.verdicts = append(j.verdicts, Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step,
			Kind: Gap, Why: "this step is left for you"})
		return
	}
	if domain := j.domainOf(line); domain != nil {
		defer j.within(domain)()
	}
	if b, ok := line.Left.(*notation.Bind); ok && b.Kind == notation.Antiderivative {
		j.antiderivative(line, b)
		return
	}
	if j.valueOfSought(line) {
		return
	}
	if line.Left != nil && line.Op == notation.OpEqual && j.condition(line, line.Left, line.X) {
		return
	}
	if line.Left != nil {
		j.chain, j.bound, j.defining = "", "", ""
		j.above = j.statement(line.Left)
	}
	if line.With != nil {
		j.substituted(line)
	}
	j.judgeClaim(line, line.X, line)
}

// within narrows the domain for one step, and returns what widens it again. Names
// that it brings in have the dimension of what they are compared with.
func (j *judge) within(c *notation.Compare) (restore func()) {
	for _, n := range notation.FreeNames(c) {
		if _, known := j.scope.symbols[n.Ident]; !known && n.Ident != "π" {
			j.giveFromChain(notation.GivenItem{Name: n, Domain: c})
		}
	}
	before := j.scope.domain
	j.limit(c)
	j.forgetSampler()
	return func() {
		j.scope.domain = before
		j.forgetSampler()
	}
}

// judgeClaim judges one claimed step and makes it the line above.
func (j *judge) judgeClaim(line notation.DeriveLine, e notation.Expr, step *notation.DeriveStep) {
	j.step++
	v := Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step, OwnLeft: step != nil && step.Left != nil}
	before := j.above
	t, errs := j.scope.typeOf(e)
	if d := source.List(errs).FirstError(); d != nil {
		v.Kind, v.Why = Open, "this line cannot be judged: "+d.Message
		if d.Code == check.CodeDimension || d.Code == check.CodeExponent {
			v.Kind, v.Slip, v.Why = Fails, Dimensions, "the dimensions do not fit: "+d.Message
			j.recogniseWithin(&v, before, e, step)
		} else {
			j.list = append(j.list, errs...)
		}
		j.verdicts = append(j.verdicts, v)
		return
	}
	full, err := j.scope.full(e)
	switch {
	case err != nil:
		v.Kind, v.Why = Open, err.Error()
	case t.Kind != check.Number:
		v.Kind, v.Why = Open, j.noValue(e, t)
	case before == nil:
		v.Kind, v.Why = Open, "the line above has no meaning, so there is nothing to compare with"
	}
	if err == nil && t.Kind == check.Number {
		j.above = &statement{expr: e, full: full, part: j.scope.apply(e), typ: t, line: v.Line}
		if before != nil {
			j.compare(&v, before, j.above, step)
			if step != nil && step.Op != notation.OpEqual {
				j.chain, j.bound = "", ""
			}
			j.simplify(v.Kind, j.above)
		}
	}
	j.verdicts = append(j.verdicts, v)
}

// recogniseWithin looks for the slip in a line whose own dimensions do not fit,
// by its values in SI units.
func (j *judge) recogniseWithin(v *Verdict, above *statement, e notation.Expr, step *notation.DeriveStep) {
	full, err := j.scope.full(e)
	if above == nil || err != nil || j.quiet {
		return
	}
	claim := &statement{expr: e, full: full, part: j.scope.apply(e), line: v.Line, typ: check.Type{Kind: check.Invalid}}
	if words, slip := j.recognise(v, above, claim, step, nil); words != "" && slip != SpecialCase {
		v.Why, v.Slip = v.Why+"; "+words, slip
	}
	v.Factor = nil
}

// simplify replaces a name or a function by a later line of its chain, once that
// is proved to be equal and holds fewer forms such as integrals.
func (j *judge) simplify(kind Kind, after *statement) {
	if kind != Follows {
		j.chain, j.bound = "", ""
	}
	if j.chain != "" && isSimpler(after.full, j.scope.values[j.chain]) {
		j.scope.values[j.chain] = after.full
	}
	if j.bound != "" {
		j.scope.simplifyFunction(j.bound, after.full)
	}
}

func isSimpler(e, than notation.Expr) bool { return len(find(e, isBind)) < len(find(than, isBind)) }

func isBind(*notation.Bind) bool { return true }

// decide is compare without memory.
func (j *judge) decide(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	j.decideStep(v, a, b, step)
	if !j.quiet {
		j.needsValue(v, a)
		// What follows from a line with a value has one there.
		b.valued = b.valued || v.Kind == Follows && a.valued
	}
}

func (j *judge) decideStep(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	if j.quiet {
		if !sameDimension(a.typ.Dim, b.typ.Dim, step) && !a.typ.Zero && !b.typ.Zero {
			v.Kind, v.Slip = Fails, Dimensions
		}
		return
	}
	if err := j.ctx.Err(); err != nil {
		v.Kind, v.Why = Open, describe(err)
		return
	}
	if len(j.stuck) > 0 && j.isStuck(a, b) {
		v.Kind, v.Why = Open, "an equation above could not be solved, so nothing can be said of this line"
		return
	}
	j.eval.left = stepNodes
	j.points().forStep(a.full, b.full)
	if !sameDimension(a.typ.Dim, b.typ.Dim, step) && !a.typ.Zero && !b.typ.Zero {
		v.Kind, v.Slip = Fails, Dimensions
		v.Why = fmt.Sprintf("this line is %s, and the line above is %s", unit.Describe(b.typ.Dim), unit.Describe(a.typ.Dim))
		if words, slip := j.recognise(v, a, b, step, nil); words != "" {
			v.Why, v.Slip = v.Why+"; "+words, slip
		}
		v.Factor = nil // a factor with a dimension is no number
		j.exemplify(v, a, b)
		return
	}
	if len(j.scope.domain) > 0 && j.points().site(random, 0) == nil {
		v.Kind, v.Why = Open, "no values were found that fit the stated domain"
		return
	}
	if step != nil && step.Op != notation.OpEqual {
		j.otherThanEqual(v, a, b, step)
		return
	}
	p := newProver(j.scope)
	p.assume(a.full)
	found := j.exactly(p, a, b, step)
	var unproved *doubt
	if found.decided && found.equal {
		unproved = p.defined(b.full)
		if apart := j.disagrees(a, b); apart == nil && unproved == nil {
			v.Kind, v.Exact, v.Why = Follows, true, found.how
			j.checkSubstitution(v, a, b, step)
			return
		}
	}
	if !found.equal {
		if how, proved := j.byCases(p, a, b, j.casesOf(a, b)); proved {
			v.Kind, v.Exact, v.Why = Follows, true, how
			j.checkSubstitution(v, a, b, step)
			return
		}
	}
	if (!found.decided || !found.equal) && j.rounds(v, a, b, notation.OpEqual) {
		return
	}
	if !found.decided && j.riemann(p, v, a, b) {
		return
	}
	// What is proved to be equal to a line is evaluated in its place.
	j.numerically(v, judged{a, b, p.simplified(a), p.simplified(b), step}, found.decided && !found.equal)
	if v.Kind == Agrees && unproved != nil {
		v.Why = found.how + " wherever " + unproved.words() + ", which is not proved; " + v.Why
	}
	if v.Kind == Open {
		if d := p.defined(a.full); d != nil && d.depends() {
			v.Why += "; the line above has a value only where " + d.words() + ", which the givens do not promise"
		}
	}
	if v.Kind == Follows || v.Kind == Agrees {
		j.checkSubstitution(v, a, b, step)
	}
}

// otherThanEqual judges a step that claims something else than equality.
func (j *judge) otherThanEqual(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	switch step.Op {
	case notation.OpPropTo:
		j.proportional(v, a, b, step)
		return
	case notation.OpApprox:
	default:
		j.relates(v, a, b, step.Op)
		return
	}
	if step.Small != nil {
		j.forSmall(v, a, b, step)
		return
	}
	if j.rounds(v, a, b, notation.OpApprox) {
		return
	}
	v.Kind, v.Why = Open, "nothing says how close is close enough: name what is small, as in ≈ 1 + 4·k for small k, or let a number end the chain"
}

// exemplify gives a readable point as the counterexample of lines of different
// dimensions.
func (j *judge) exemplify(v *Verdict, a, b *statement) {
	m := j.points()
	for i := range minorPoints {
		s := m.site(readable, i)
		if s == nil {
			return
		}
		if pr, err1, err2 := j.atSite(s, a, b); err1 == nil && err2 == nil {
			v.Counterexample = m.named(s.point, usedNames(a.full, b.full))
			v.Above, v.Claimed = j.show(pr.above, a), j.show(pr.claim, b)
			return
		}
	}
}

func (j *judge) forgetSampler() { j.sampler = nil }

// points returns the sampler for the names known so far.
func (j *judge) points() *sampler {
	if j.sampler == nil {
		j.markCounts()
		j.sampler = newSampler(j.scope, j.eval, j.settings.Prefer)
	}
	return j.sampler
}

// markCounts finds the given names that are whole numbers: those up to which a
// sum or product runs.
func (j *judge) markCounts() {
	mark := func(e notation.Expr) {
		for _, b := range find(e, func(b *notation.Bind) bool { return b.Kind == notation.Sum || b.Kind == notation.Product }) {
			for _, end := range []notation.Expr{b.From, b.To} {
				for _, n := range notation.FreeNames(end) {
					if v := j.scope.variable(n.Ident); v != nil {
						v.whole, v.counts = true, true
					}
				}
			}
		}
	}
	for _, line := range j.cell.Lines {
		if e := expressionOf(line); e != nil {
			mark(e)
		}
	}
}
