package exercises

import (
	"context"
	"slices"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

// A Worked is the worked solution of a part with one learner's numbers. It gives the
// answer away.
type Worked struct {
	Lines []WorkedLine
	Shaft []string // lines of the shaft that derived lines take values from
}

// A WorkedLine is one line of it: formula with letters, with the numbers put in, its
// value, and the reason beside it.
type WorkedLine struct {
	Step
	Reason string // Markdown within one line; empty where no solution is written
}

// Worked returns the worked solution of a part: as it is written, or else derived from
// the statements under work and the answer. A pick without a written solution has no
// lines. The error is for a part that does not exist, a line without a value, and ctx.
func (v *Variant) Worked(ctx context.Context, part string) (Worked, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return Worked{}, err
	}
	a := v.Structure.Parts[i]
	if w, ok := v.worked[a.Name]; ok {
		return w, nil
	}
	s := v.solutionOf(a)
	if s == nil {
		return Worked{}, nil
	}
	results, list, err := v.follow(ctx, s)
	if err == nil {
		err = list.Err()
	}
	if err != nil {
		return Worked{}, err
	}
	w := Worked{Shaft: s.shaftLines}
	for n, l := range s.Lines {
		w.Lines = append(w.Lines, v.workedLine(l, s.Lines[:n], results))
	}
	if k := v.markers[i].Key; k != nil {
		last := &w.Lines[len(w.Lines)-1]
		last.Result = k.Shown(&a.Scheme, k.Value)
		if last.Symbol == "" {
			last.Symbol = a.Symbol
		}
	}
	if v.worked == nil {
		v.worked = map[string]Worked{}
	}
	v.worked[a.Name] = w
	return w, nil
}

// workedLine sets one line, with the values of given names and of the lines above.
func (v *Variant) workedLine(l *SolutionLine, above []*SolutionLine, results []kernel.Result) WorkedLine {
	r := results[len(above)]
	w := WorkedLine{Reason: l.Reason}
	w.Symbol, w.Formula, w.Result = l.name, l.formula(), r.Text
	if f, ok := l.stmt.(*notation.DefineFunc); ok {
		w.Symbol, _, _ = strings.Cut(notation.Print(f), " = ")
		w.Result = ""
	}
	lookup := func(ident string) (string, bool) {
		for n, other := range above {
			if other.name == ident && results[n].Text != "" {
				return results[n].Text, true
			}
		}
		return v.givenText(ident)
	}
	if with, changed := typeset.WithNumbers(l.stmt, lookup); changed {
		w.Numbers = with
	}
	return w
}

// givenText returns the value of a given name as the learner sees it.
func (v *Variant) givenText(ident string) (string, bool) {
	i := slices.IndexFunc(v.Structure.Given, func(g *Given) bool { return g.Name == ident && !g.IsFunc })
	if i < 0 {
		return "", false
	}
	return v.Given[i].Text, true
}

// solutionOf returns the written solution of a part, or one that is derived from the
// answer. It is nil for a pick without a written one.
func (v *Variant) solutionOf(a *Part) *Solution {
	if s := v.Structure.solutions[a.Name]; s != nil && len(s.Lines) > 0 {
		return s
	}
	if a.Kind == marking.Pick || a.Kind == marking.Line {
		return nil
	}
	var e Expected
	e.setSteps(v, a.Answer)
	s := &Solution{at: a.at, needsShaft: len(e.Shaft) > 0, shaftLines: e.Shaft}
	for _, r := range v.eval.results(workCell) {
		if _, isValue := r.Node.(*notation.Define); !isValue {
			if _, isFunc := r.Node.(*notation.DefineFunc); !isFunc {
				continue
			}
		}
		if slices.ContainsFunc(e.Steps, func(step Step) bool { return step.Symbol == r.Name || strings.HasPrefix(step.Symbol, r.Name+"(") }) {
			s.Lines = append(s.Lines, lineOf(r.Node.(notation.Stmt)))
		}
	}
	answer := notation.Unparen(a.Answer)
	if n, ok := answer.(*notation.Name); ok {
		if i := slices.IndexFunc(s.Lines, func(l *SolutionLine) bool { return l.name == n.Ident }); i >= 0 {
			named := s.Lines[i]
			s.Lines = append(slices.Delete(s.Lines, i, i+1), named)
			return s
		}
	}
	s.Lines = append(s.Lines, lineOf(&notation.Show{Expr: answer}))
	return s
}
