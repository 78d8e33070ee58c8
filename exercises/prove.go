package exercises

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// MostProved is the number of variants up to which Prove looks at every one;
// above it looks at as many, drawn from all.
const MostProved = 500

// fewVariants is the number below which neighbours will often share numbers.
const fewVariants = 20

// sameRoute is how closely a second route must agree, relative to the answer.
const sameRoute = 1e-9

// A Proof is the findings of Prove.
type Proof struct {
	Combinations *big.Int // of structure and values, before conditions
	Complete     bool     // whether every one was looked at
	Tried        int      // how many were
	Usable       int      // how many of those learners can get
	PassedOver   int      // how many meet the conditions and yet do not do
	Problems     source.List
}

// Prove looks at the variants of an exercise that Parse found nothing wrong
// with: that each answer lies inside its bounds with a margin of twice the
// tolerance, that slips can be told from it and from each other, that nothing
// is degenerate, that a second route agrees, and that every structure can be
// drawn. Each kind of problem is reported once, with the numbers that show it.
// The error is ctx's.
func Prove(ctx context.Context, e *Exercise) (Proof, error) {
	p := prover{ctx: ctx, e: e, reuse: newReuse(), told: map[string]bool{}, wide: map[string]bool{}, seen: map[string]int{}, usable: make([]int, len(e.Structures)), faulty: make([]bool, len(e.Structures)), answers: map[string]*spread{}, ratios: map[[2]any]*spread{}}
	p.proof.Combinations = e.combinations()
	p.proof.Complete = p.proof.Combinations.Cmp(big.NewInt(MostProved)) <= 0
	var err error
	if p.proof.Complete {
		err = p.all()
	} else {
		err = p.sample()
	}
	if err != nil {
		return p.proof, err
	}
	p.conclude()
	p.proof.Problems.Sort()
	return p.proof, nil
}

func (e *Exercise) combinations() *big.Int {
	total := new(big.Int)
	for _, s := range e.Structures {
		n := big.NewInt(1)
		for _, g := range s.Given {
			n.Mul(n, big.NewInt(int64(len(g.values))))
		}
		total.Add(total, n)
	}
	return total
}

type prover struct {
	ctx    context.Context
	e      *Exercise
	reuse  *reuse
	proof  Proof
	usable []int          // variants by structure
	faulty []bool         // by structure: whether any was passed over
	seen   map[string]int // problems by code and place: how often
	passed source.List    // the first problem of each kind that only passes numbers over

	told, wide map[string]bool // parts, by name, whose bounds tell a common wrong answer, or none

	answers map[string]*spread // of number parts, by name, over all structures
	ratios  map[[2]any]*spread // of values in the words to answers, by text and part
}

// A spread is what a value is over all numbers that were tried.
type spread struct {
	first  float64
	number int  // how many were seen
	varies bool // whether one differs from the first
}

// note takes one more value.
func note[K comparable](m map[K]*spread, key K, value float64) {
	s := m[key]
	if s == nil {
		s = &spread{first: value}
		m[key] = s
	}
	s.number++
	s.varies = s.varies || math.Abs(value-s.first) > sameRoute*math.Abs(s.first)
}

// all looks at every choice of values of every structure.
func (p *prover) all() error {
	for structure, s := range p.e.Structures {
		values := make([]int, len(s.Given))
		for {
			if err := p.try(structure, values); err != nil {
				return err
			}
			i := 0
			for ; i < len(values); i++ {
				if values[i]++; values[i] < len(s.Given[i].values) {
					break
				}
				values[i] = 0
			}
			if i == len(values) {
				break
			}
		}
	}
	return nil
}

func (p *prover) sample() error {
	draw := newDrawer(HeadlessKey, p.e.ID, "proof", 0)
	for range MostProved {
		structure, values := draw.choice(p.e)
		if err := p.try(structure, values); err != nil {
			return err
		}
	}
	return nil
}

// try looks at one variant. Slips that cannot be told apart and answers that
// are degenerate pass the numbers over, as drawing does; anything else must not
// happen with any numbers.
func (p *prover) try(structure int, values []int) error {
	p.proof.Tried++
	v, list, err := p.e.lay(p.ctx, p.reuse, structure, values)
	if err != nil || v == nil {
		return err
	}
	for _, d := range list {
		if d.Severity == source.Error && p.seen[key(d)] == 0 {
			p.passed = append(p.passed, d)
		}
		p.seen[key(d)]++
	}
	if len(list) > 0 {
		p.proof.PassedOver++
		p.faulty[structure] = true
		return p.ctx.Err()
	}
	p.usable[structure]++
	p.proof.Usable++
	for _, d := range p.judge(v, p.usable[structure]) {
		if p.seen[key(d)]++; p.seen[key(d)] == 1 {
			p.proof.Problems = append(p.proof.Problems, d)
		}
	}
	return p.ctx.Err()
}

// key tells kinds of problems apart: the numbers in a message, after its colon,
// do not.
func key(d source.Diagnostic) string {
	kind, _, _ := strings.Cut(d.Message, ":")
	return fmt.Sprintf("%d %d %s", d.Span.Start, d.Span.End, kind)
}

// judge looks at the parts of a variant that learners can get; n counts those
// of its structure. Figures and formulas, which look at much by themselves, are
// judged for the first few.
func (p *prover) judge(v *Variant, n int) source.List {
	var list source.List
	for i, a := range v.Structure.Parts {
		k := v.markers[i].Key
		list = append(list, p.solution(v, a, k)...)
		if k == nil {
			continue
		}
		list = append(list, p.inside(v, a, k)...)
		list = append(list, p.route(v, a, k)...)
		list = append(list, p.shown(v, a, k)...)
		list = append(list, p.said(v, a, k)...)
		p.spreads(v, i, k)
		p.tells(a, k)
		if a.Kind == marking.Number && k.Value < 0 && a.Sign == "" {
			list.Addf(p.e.spanOf(a.Answer), CodeValue, "the answer is negative, and the question does not say which sense counts as positive: %s", v.numbers()).
				Repair = "write sign: with the convention, which is shown beside the question, or ask for the size"
		}
		if a.Kind == marking.Formula && n <= 3 {
			if err := v.markers[i].CheckFormula(p.ctx); err != nil {
				list.Addf(p.e.spanOf(a.Answer), CodeDraw, "%s", err).Repair = "widen the conditions or correct the answer"
			}
		}
	}
	if n == 1 {
		list = append(list, p.proveLines(v.Structure)...)
		_, problems, _ := v.eval.figures(p.ctx) // the error is ctx's, which try returns
		list = append(list, problems...)
	}
	for _, q := range v.Structure.Predictions {
		for _, x := range []notation.Expr{q.result, q.before} {
			if x != nil {
				_, problems := v.eval.Value(p.ctx, x)
				list = append(list, problems...)
			}
		}
	}
	return list
}

func (p *prover) inside(v *Variant, a *Part, k *marking.Key) source.List {
	if !k.Bounded {
		return nil
	}
	var list source.List
	margin := 2 * a.Tolerance.Widest(k.Value)
	switch at := p.e.spanOf(a.Low); {
	case k.Value < k.Low || k.Value > k.High:
		list.Addf(at, CodeBounds, "the answer is outside its own bounds: %s", v.numbers()).Repair = "correct the answer or the bounds"
	case k.Value-k.Low < margin || k.High-k.Value < margin:
		list.Addf(at, CodeBounds, "the answer is within twice the tolerance of a bound: %s", v.numbers()).Repair = "widen the bounds or tighten the tolerance"
	}
	return list
}

func (p *prover) route(v *Variant, a *Part, k *marking.Key) source.List {
	if a.route == nil {
		return nil
	}
	at := p.e.spanOf(a.route)
	x, list := v.eval.Value(p.ctx, a.route)
	switch {
	case list.HasErrors():
		return list
	case x.Value.Dim != k.Dim:
		list.Addf(at, CodeRoute, "the second route gives a different quantity from the answer").Repair = "correct one of the two"
	case math.Abs(x.Value.Number-k.Value) > sameRoute*math.Abs(k.Value):
		list.Addf(at, CodeRoute, "the second route does not agree with the answer; they differ by %.2g of it: %s",
			math.Abs(x.Value.Number-k.Value)/math.Abs(k.Value), v.numbers()).Repair = "correct one of the two"
	}
	return list
}

// solution follows the worked solution of a part, line by line, to the answer.
func (p *prover) solution(v *Variant, a *Part, k *marking.Key) source.List {
	written := v.Structure.solutions[a.Name]
	if written == nil || len(written.Lines) == 0 {
		return nil
	}
	results, list, err := v.followIn(p.ctx, p.reuse, a.Name, written)
	if err != nil || list.HasErrors() || k == nil {
		return list // an error of the context is returned by try
	}
	at := written.Lines[len(written.Lines)-1].at
	last := results[len(results)-1]
	switch {
	case last.Value == nil || last.Value.IsBracket || last.Value.IsTruth:
		list.Addf(at, CodeSolution, "the last line of the solution gives no value").Repair = "end with the line that gives the answer"
	case last.Value.Dim != k.Dim:
		list.Addf(at, CodeSolution, "the last line of the solution gives %s and the answer is %s", unit.Describe(last.Value.Dim), unit.Describe(k.Dim)).
			Repair = "end with the line that gives the answer"
	case math.Abs(last.Value.Number-k.Value) > sameRoute*math.Abs(k.Value):
		list.Addf(at, CodeSolution, "the last line of the solution does not give the answer; they differ by %.2g of it: %s",
			math.Abs(last.Value.Number-k.Value)/math.Abs(k.Value), v.numbers()).Repair = "correct one of the two"
	}
	return list
}

// shown reports an answer that is among the given values.
func (p *prover) shown(v *Variant, a *Part, k *marking.Key) source.List {
	var list source.List
	for i, g := range v.Structure.Given {
		x, _, ok := v.eval.GivenValue(i)
		if ok && g.Derived && a.Kind == marking.Number && v.dims[i] == k.Dim && math.Abs(x.Number-k.Value) <= a.Tolerance.Widest(k.Value) {
			list.Addf(g.at, CodeShown, "%s is shown to the learner and is the answer: %s", g.Name, v.numbers()).
				Repair = "move it under work, whose names learners do not see"
		}
	}
	return list
}

// said reports an answer that the words of the exercise show.
func (p *prover) said(v *Variant, a *Part, k *marking.Key) source.List {
	var list source.List
	for _, x := range v.said {
		if a.Kind == marking.Number && x.Dim == k.Dim && math.Abs(math.Abs(x.Number)-math.Abs(k.Value)) <= a.Tolerance.Widest(k.Value) {
			list.Addf(a.at, CodeShown, "a value in the words is the answer: %s", v.numbers()).Repair = "show another value between the braces"
		}
	}
	return list
}

// spreads notes the answer to a part, and what the values in the words are beside it.
func (p *prover) spreads(v *Variant, part int, k *marking.Key) {
	a := v.Structure.Parts[part]
	if a.Kind != marking.Number {
		return
	}
	for _, s := range p.e.Structures {
		if s.Name != v.Structure.Name {
			continue
		}
		note(p.answers, a.Name, k.Value)
		for i, x := range v.said {
			if k.Value != 0 && i < len(s.inWords) && (x.Dim == k.Dim || x.Dim.IsNumber()) && !s.isOfGivens(s.inWords[i]) {
				note(p.ratios, [2]any{s.inWords[i].written, s.Parts[part]}, x.Number/k.Value)
			}
		}
	}
}

// isOfGivens reports whether a value in the words is made of given names alone, which
// the learner has anyway.
func (s *Structure) isOfGivens(w inWords) bool {
	cell, _ := notation.ParseCell(w.text)
	for _, stmt := range cell.Stmts {
		show, ok := stmt.(*notation.Show)
		if !ok {
			return false
		}
		for _, n := range notation.FreeNames(show.Expr) {
			if !slices.ContainsFunc(s.Given, func(g *Given) bool { return g.Name == n.Ident }) {
				return false
			}
		}
	}
	return true
}

// concludeSpreads reports answers that never change, and values in the words that are
// always so many times the answer.
func (p *prover) concludeSpreads() {
	list := &p.proof.Problems
	for _, s := range p.e.Structures {
		for _, a := range s.Parts {
			answer := p.answers[a.Name]
			if answer == nil || answer.number < 2 {
				continue
			}
			if !answer.varies {
				list.Notef(a.at, CodeDraw, "the answer is the same with all numbers, so neighbours will share it and practice cannot vary it").
					Repair = "let the answer depend on what is drawn"
				continue
			}
			for _, w := range s.inWords {
				if r := p.ratios[[2]any{w.written, a}]; r != nil && r.number > 1 && !r.varies {
					list.Notef(w.at, CodeShown, "{%s} in the words is in a fixed ratio to the answer with all numbers, and may give it away", w.written).
						Repair = "look whether a reader can take the answer from it without the working"
				}
			}
		}
	}
}

// usualErrors are by how much the commonest wrong turns are off: a factor 2, a place, a
// diameter for a radius, degrees for radians (common practice, no source).
var usualErrors = []float64{2, 10, 16, 180 / math.Pi}

// tells notes whether a slip or a bound of a part tells any of the commonest wrong answers.
func (p *prover) tells(a *Part, k *marking.Key) {
	if a.Kind != marking.Number || len(a.Slips) > 0 {
		return
	}
	for _, factor := range usualErrors {
		for _, wrong := range []float64{k.Value * factor, k.Value / factor} {
			if k.Bounded && (wrong < k.Low || wrong > k.High) {
				p.told[a.Name] = true
			}
		}
	}
	if k.Bounded && !p.told[a.Name] {
		p.wide[a.Name] = true
	}
}

// concludeTold notes number parts where neither a slip nor a bound tells a wrong answer.
func (p *prover) concludeTold() {
	seen := map[string]bool{}
	for _, s := range p.e.Structures {
		for _, a := range s.Parts {
			if a.Kind != marking.Number || len(a.Slips) > 0 || p.told[a.Name] || seen[a.Name] || p.answers[a.Name] == nil {
				continue
			}
			seen[a.Name] = true
			what := "there are no bounds and no slips here"
			if p.wide[a.Name] {
				what = "an answer sixty times too large or too small is inside these bounds, and there are no slips"
			}
			p.proof.Problems.Notef(a.at, CodeUntold, "%s, so that a learner is told of few wrong turns", what).
				Repair = "write bounds: with what is certainly too small and too large, or slips: with the wrong turns you expect"
		}
	}
}

// conclude weighs what was passed over.
func (p *prover) conclude() {
	p.concludeSpreads()
	p.concludeTold()
	list := &p.proof.Problems
	barred := 2*p.proof.Usable < p.proof.PassedOver // most numbers fail: not an accident
	for i, s := range p.e.Structures {
		switch {
		case p.usable[i] > 0:
		case p.faulty[i]:
			barred = true
		default:
			list.Addf(s.at, CodeDraw, "no numbers can be drawn%s, because the conditions never hold", named(s)).Repair = "loosen the conditions under where"
		}
	}
	for _, d := range p.passed {
		if !barred && (d.Code == CodeSlip || d.Code == CodeDraw) {
			d.Severity = source.Note
			d.Message = fmt.Sprintf("%d of %d sets of numbers are left out: %s", p.seen[key(d)], p.proof.Tried, d.Message)
		}
		*list = append(*list, d)
	}
	if n := p.proof.Combinations; len(p.e.Structures[0].Given) > 0 && n.Cmp(big.NewInt(fewVariants)) < 0 {
		message := fmt.Sprintf("there are only %s different sets of numbers here, so neighbours will share them", n)
		if n.Cmp(big.NewInt(1)) == 0 {
			message = "everyone gets the same numbers here"
		}
		list.Notef(source.Span{Text: p.e.Text}, CodeDraw, "%s", message).
			Repair = "draw some values: {from: 30 mm, to: 40 mm, by: 2 mm}"
	}
}

func named(s *Structure) string {
	if s.Name == "" {
		return ""
	}
	return " for the structure " + s.Name
}
