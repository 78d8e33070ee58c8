package derive_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

var (
	chainCount = flag.Int("chains", 200, "how many generated chains are judged")
	chainOpen  = flag.Bool("chainsopen", false, "show the steps that are left open")
	chainSeed  = flag.Uint64("chainseed", 1, "what the chains are drawn from")
)

// What is true of a step.
type truth int

const (
	isTrue    truth = iota
	isFalse         // the lines differ at a point of the domain
	isPartial       // they are equal where both have a value, and this one has none somewhere
	isUnknown
)

func (t truth) String() string { return [...]string{"true", "false", "true in part", "unknown"}[t] }

// A chainStep is a line with what is true of it.
type chainStep struct {
	text  string
	truth truth
}

// A chain is a generated derivation.
type chain struct {
	title, head string
	steps       []chainStep
	text        string
}

// newChain builds a chain of true steps, and in half of the chains one that is
// wrong. The steps after it go on from it and are true.
func newChain(t *testing.T, r *rand.Rand) chain {
	s := pick(r, scenarios...)(r)
	c := chain{title: s.title, steps: s.before}
	line := s.start
	first := "Y = " + s.start.String() + "\n"
	var lines strings.Builder
	count := 3 + r.IntN(3)
	wrong := -1
	if r.IntN(2) == 0 {
		wrong = r.IntN(count)
	}
	for i := range count {
		step, next := nextStep(t, r, s, line, i == wrong)
		c.steps = append(c.steps, step)
		lines.WriteString("  " + step.text + "\n")
		if step.truth != isTrue && !s.fits(line, next) {
			break
		}
		line = next
	}
	c.head = s.given() + s.head
	c.text = c.head
	for _, step := range s.before {
		c.text += "  " + step.text + "\n"
	}
	c.text += first + lines.String()
	return c
}

func nextStep(t *testing.T, r *rand.Rand, s *scenario, line *term, wrong bool) (chainStep, *term) {
	if wrong {
		if step, next := wrongStep(r, s, line); next != nil {
			return step, next
		}
	}
	if step, next := boundStep(r, s, line); next != nil {
		return step, next
	}
	next := rewritten(r, s, line)
	label := isTrue
	switch seen := compareTerms(r, s, line, next); {
	case seen.apart > 0:
		t.Fatalf("the generator made a false step: %s\n%s\n= %s", s.title, line, next)
	case seen.firstOnly > 0:
		label = isPartial
	}
	return chainStep{"= " + next.String(), label}, next
}

// wrongStep breaks a line so that it is certainly another one, or has no value
// where the line has one.
func wrongStep(r *rand.Rand, s *scenario, line *term) (chainStep, *term) {
	for range 8 {
		next := broken(r, s, rewritten(r, s, line))
		if next == nil {
			continue
		}
		switch seen := compareTerms(r, s, line, next); {
		case seen.apart > 0:
			return chainStep{"= " + next.String(), isFalse}, next
		case seen.firstOnly > 0:
			return chainStep{"= " + next.String(), isPartial}, next
		}
	}
	return chainStep{}, nil
}

// boundStep makes a step to a larger value, or claims that it is a smaller one,
// every tenth time it can.
func boundStep(r *rand.Rand, s *scenario, line *term) (chainStep, *term) {
	if r.IntN(8) > 0 {
		return chainStep{}, nil
	}
	if s.falls && line.op == "int" && line == s.start && r.IntN(2) == 0 {
		body := line.kids[0].with(line.text, pick(r, line.kids[1], line.kids[2]))
		next := tInt(line.text, body, line.kids[1], line.kids[2]).clone()
		next.dropAntis()
		seen := compareTerms(r, s, line, next)
		op, label := pick(r, "≤ ", "≥ "), isFalse
		if (op == "≤ ") == (seen.less > 0) {
			label = isTrue
		}
		return chainStep{op + next.String(), label}, next
	}
	if line.isCostly() || !s.isPositive(line) {
		return chainStep{}, nil
	}
	next := line.clone()
	places := next.places()
	at := places[r.IntN(len(places))]
	*at = *pick(r, tMul(at.clone(), tAdd(tNum("1"), tDiv(tNum("1"), tNum("4")))), tMul(at.clone(), tNum("3"))).clone()
	next.dropAntis()
	seen := compareTerms(r, s, line, next)
	switch {
	case seen.less > 0 && seen.greater > 0:
		return chainStep{pick(r, "≤ ", "≥ ", "< ", "> ") + next.String(), isFalse}, next
	case seen.less > 6: // a positive term of sums, products and powers: monotone
		return chainStep{pick(r, "≤ ", "< ") + next.String(), isTrue}, next
	case seen.less > 0:
		return chainStep{pick(r, "≥ ", "> ") + next.String(), isFalse}, next
	case seen.greater > 0:
		return chainStep{pick(r, "≤ ", "< ") + next.String(), isFalse}, next
	}
	return chainStep{}, nil
}

// A chainTally counts what was said of the steps.
type chainTally struct {
	chains, steps, open, agrees, errors int
	of                                  map[truth]int
	why                                 map[string]int
}

func (c *chainTally) String() string {
	var list []string
	for why, n := range c.why {
		list = append(list, fmt.Sprintf("%5d %s", n, why))
	}
	slices.Sort(list)
	slices.Reverse(list)
	return fmt.Sprintf("%d chains, %d steps (%d true, %d false, %d true in part); open %d (%.2f %%), agrees %d (%.1f %% of true)\n%s", c.chains, c.steps, c.of[isTrue], c.of[isFalse], c.of[isPartial],
		c.open, 100*float64(c.open)/float64(max(c.steps, 1)), c.agrees, 100*float64(c.agrees)/float64(max(c.of[isTrue], 1)), strings.Join(list[:min(len(list), 40)], "\n"))
}

// True steps never fail, and broken ones neither follow nor agree. Each chain is
// judged as a whole, as a reader sends it. -chains=10000 for the long run.
func TestChains(t *testing.T) {
	seen := chainTally{why: map[string]int{}, of: map[truth]int{}}
	count := *chainCount
	if testing.Short() {
		count = min(count, 20)
	}
	for i := range count {
		r := rand.New(rand.NewPCG(*chainSeed, uint64(i)))
		c := newChain(t, r)
		judgeChain(t, c, &seen)
		if t.Failed() && seen.errors > 30 {
			break
		}
	}
	t.Log(seen.String())
}

func judgeChain(t *testing.T, c chain, seen *chainTally) {
	t.Helper()
	report := judgeText(t, c.text)
	if report.Diagnostics.HasErrors() {
		seen.errors++
		t.Errorf("%s\n%s", report.Diagnostics.FirstError().Render(), c.text)
		return
	}
	if len(report.Verdicts) != len(c.steps) {
		seen.errors++
		t.Errorf("%d verdicts of %d steps\n%s", len(report.Verdicts), len(c.steps), c.text)
		return
	}
	seen.chains++
	for i, v := range report.Verdicts {
		step := c.steps[i]
		if step.truth == isUnknown {
			continue
		}
		seen.steps++
		seen.of[step.truth]++
		switch {
		case v.Kind == derive.Open:
			seen.open++
			if *chainOpen {
				t.Logf("open: step %d of %s: %s\n%s", i+1, c.title, v.Why, c.text)
			}
			seen.why[step.truth.String()+" "+c.title+": "+v.Why]++
		case step.truth == isPartial && v.Kind == derive.Agrees:
		case v.Kind == derive.Agrees && step.truth == isTrue:
			seen.agrees++
			seen.why[c.title+" agrees: "+v.Why[:min(len(v.Why), 40)]]++
		case (step.truth == isTrue) != (v.Kind == derive.Follows), step.truth == isPartial:
			seen.errors++
			t.Errorf("%s: step %d, which is %v, %s: %s\n%s", c.title, i+1, step.truth, v.Kind, v.Reason(), c.text)
		}
	}
}
