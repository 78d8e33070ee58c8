package lessons

import (
	"context"
	"math"
	"slices"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons/guess"
	"shaftbook/lessons/markdown"
)

// A Covering says what of a lesson stays covered until which of its guesses are made, and
// what is right for each. It is not changed after it was made.
type Covering struct {
	Truths  map[string]guess.Truth // by the ID of the guess
	Numbers []CoveredNumber        // of the prose, in the order of the file

	rule *guess.CoverRule
	all  []CoveredNumber            // also those above their guesses
	kind map[string]kernel.CellKind // of the cells of the working
	name map[string]string          // of shafts, by cell
}

// A CoveredNumber is a piece of the prose.
type CoveredNumber struct {
	Start, End int      // offsets in the file
	Guesses    []string // IDs; it is open when all of them are made
}

// Covering evaluates the lesson as it is written. The list holds what is wrong with the
// answers of its guesses; a guess with such an answer has no truth. The error is ctx's.
func (l *Lesson) Covering(ctx context.Context) (*Covering, source.List, error) {
	if len(l.Guesses) == 0 {
		return &Covering{}, nil, nil
	}
	w := l.workingWithGuesses()
	if err := w.Evaluate(ctx, nil); err != nil {
		return nil, nil, err
	}
	c, list := l.covering(w)
	return c, list, nil
}

// Of returns the guesses, by ID, that cover what the row of a statement shows; none for
// an open one.
func (c *Covering) Of(r *kernel.Result) []string {
	if c.rule == nil {
		return nil
	}
	return c.rule.Of(c.statement(r))
}

// workingWithGuesses returns the working of the lesson with the answers of its guesses,
// each in a cell under the guess's ID.
func (l *Lesson) workingWithGuesses() *kernel.Working {
	cells := append([]kernel.Cell{}, l.working...)
	for _, g := range l.Guesses {
		if c, ok := g.Cell(); ok {
			cells = append(cells, c)
		}
	}
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(cells)
	return w
}

// covering reads what is covered from an evaluated working with guesses.
func (l *Lesson) covering(w *kernel.Working) (*Covering, source.List) {
	c := &Covering{Truths: map[string]guess.Truth{}, kind: map[string]kernel.CellKind{}, name: map[string]string{}}
	var list source.List
	for _, g := range l.Guesses {
		truth, found := g.Truth(w.Results(g.ID))
		list = append(list, found...)
		if !found.HasErrors() {
			c.Truths[g.ID] = truth
		}
	}
	var statements []guess.Statement
	for _, cell := range l.working {
		c.kind[cell.ID], c.name[cell.ID] = cell.Kind, cell.Name
		for _, r := range w.Results(cell.ID) {
			statements = append(statements, c.statement(&r))
		}
	}
	c.rule = guess.NewCoverRule(l.Guesses, statements)
	c.all = l.coveredNumbers(w, c)
	for _, n := range c.all {
		if n.Guesses = l.asked(n.Start, n.Guesses); len(n.Guesses) > 0 {
			c.Numbers = append(c.Numbers, n)
		}
	}
	return c, list
}

// statement is a result as the rule of covers sees it.
func (c *Covering) statement(r *kernel.Result) guess.Statement {
	s := guess.Statement{Name: r.Name, Plain: showsNothing(r)}
	if c.kind[r.Cell] == kernel.Shaft {
		s.Name = c.name[r.Cell]
	}
	if r.Node != nil && r.Kind != kernel.KindBad {
		for _, n := range notation.Uses(r.Node) {
			s.Uses = append(s.Uses, n.Ident)
		}
	}
	return s
}

// showsNothing reports whether a row shows no result of its own. A given number that is
// shown in another unit, or in other figures, has one.
func showsNothing(r *kernel.Result) bool {
	switch r.Kind {
	case kernel.KindBad, kernel.KindFunction, kernel.KindVary, kernel.KindPrefer:
		return true
	}
	if d, ok := r.Node.(*notation.Define); ok && d.Display == (notation.Display{}) {
		switch notation.Unparen(d.Expr).(type) {
		case *notation.Quantity, *notation.Number:
			return true
		}
	}
	return false
}

// asked returns those of some guesses that stand above a place.
func (l *Lesson) asked(at int, ids []string) []string {
	var above []string
	for _, id := range ids {
		if cell, ok := l.Cell(id); ok && cell.Line <= l.lineOf(at) {
			above = append(above, id)
		}
	}
	return above
}

func (l *Lesson) lineOf(at int) int {
	return source.Span{Text: l.Text, Start: at, End: at}.Position().Line
}

// A coveredFact is a value of a covered result.
type coveredFact struct {
	fact
	ids []string // of the guesses
}

// coverFacts lists what open results bear out, with all that the lines are written with,
// and what covered ones do.
func (l *Lesson) coverFacts(w *kernel.Working, c *Covering) (open []fact, shut []coveredFact) {
	for _, cell := range l.working {
		for _, r := range w.Results(cell.ID) {
			ids := c.Of(&r)
			for _, f := range resultFacts(&r) {
				if len(ids) == 0 {
					open = append(open, f)
				} else if !isWritten(&r, f) {
					shut = append(shut, coveredFact{f, ids})
				}
			}
			if len(ids) > 0 {
				open = append(open, literals(r.Node)...)
			}
		}
	}
	return open, shut
}

// gives returns the guesses whose covered results a number gives, if no open one does.
func (l *Lesson) gives(number claim, open []fact, shut []coveredFact) []string {
	if l.isBrought(number) {
		return nil
	}
	var ids []string
	for _, s := range shut {
		if number.borneOutBy(s.fact) {
			ids = guess.Joined(ids, s.ids)
		}
	}
	if anyBears(open, number) {
		return nil
	}
	return ids
}

// coveredNumbers finds the numbers of the prose that only covered results bear out, with
// the guesses that cover these, wherever they stand.
func (l *Lesson) coveredNumbers(w *kernel.Working, c *Covering) []CoveredNumber {
	open, shut := l.coverFacts(w, c)
	var found []CoveredNumber
	for _, claim := range l.proseNumbers() {
		if claim.isWhole() && isCount(claim.si, claim.dim) {
			continue
		}
		if ids := l.gives(claim, open, shut); len(ids) > 0 {
			found = append(found, CoveredNumber{claim.at.Start, claim.at.End, ids})
		}
	}
	return found
}

// anyBears reports whether one of some facts bears a number out. A number without a unit is
// not one that has lost its unit, and an angle is not a number that never had one: a ratio
// of 80.0 is not open because a radius has 80 mm, nor are 14.3° because 0.25 is written.
func anyBears(facts []fact, c claim) bool {
	for _, f := range facts {
		if c.borneOutBy(f) && !(c.bare && f.loose) && !(c.turn && f.plain) {
			return true
		}
	}
	return false
}

// isWritten reports whether a fact is one of the numbers that a statement is written with:
// its text is open.
func isWritten(r *kernel.Result, f fact) bool {
	for _, w := range literals(r.Node) {
		if w.dim == f.dim && math.Abs(w.si-f.si) <= 1e-12*math.Abs(f.si) {
			return true
		}
	}
	return false
}

// Passages returns what a reader sees of the lesson, block by block and without
// marks. The text of exercises, derivations and guesses is left out, since it holds the
// answers; in the place of a covered number are words that say so.
func (c *Covering) Passages(l *Lesson) []markdown.Passage {
	return markdown.Passages(l.doc, []byte(l.Text.Content), c.pieces())
}

// Opened returns what is still covered for a reader who has made some of the guesses.
func (c *Covering) Opened(isMade func(id string) bool) *Covering {
	left := *c
	left.Numbers = nil
	for _, n := range c.Numbers {
		if slices.ContainsFunc(n.Guesses, func(id string) bool { return !isMade(id) }) {
			left.Numbers = append(left.Numbers, n)
		}
	}
	return &left
}

// pieces returns the covered numbers as pieces of the text.
func (c *Covering) pieces() []markdown.Covered {
	if c == nil {
		return nil
	}
	var covered []markdown.Covered
	for i, n := range c.Numbers {
		covered = append(covered, markdown.Covered{Start: n.Start, End: n.End, Number: i})
	}
	return covered
}
