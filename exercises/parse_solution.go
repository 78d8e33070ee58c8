package exercises

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

const (
	mostSolutionLines = 24
	because           = " because "
)

// A Solution is the worked solution of one part, as its author wrote it.
type Solution struct {
	Lines []*SolutionLine

	at         source.Span
	needsShaft bool     // of one that is derived from the answer
	shaftLines []string // of the shaft that it needs
}

// A SolutionLine is one line of a worked solution with the reason for it.
type SolutionLine struct {
	Reason string // Markdown within one line, after the word because

	text *source.Text // the statement alone
	stmt notation.Stmt
	name string // what it defines, or empty
	at   source.Span
}

// formula returns what a line works out.
func (l *SolutionLine) formula() notation.Expr {
	switch s := l.stmt.(type) {
	case *notation.Define:
		return s.Expr
	case *notation.DefineFunc:
		return s.Body
	case *notation.Show:
		return s.Expr
	}
	return nil
}

// solutions reads solution: a list of lines for the one part that there is, or the
// names of parts with a list for each.
func (r *reader) solutions(n *yaml.Node) map[string]*Solution {
	if n.Kind != yaml.MappingNode {
		return map[string]*Solution{"": r.solution(n)}
	}
	all := map[string]*Solution{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		var part string
		r.name(&part, "a part")(n.Content[i])
		if part == "" {
			continue
		}
		if all[part] != nil {
			r.List.Addf(r.Span(n.Content[i]), CodeName, "the part %s has two solutions", part).Repair = "keep one of the two"
		}
		all[part] = r.solution(n.Content[i+1])
		all[part].at = r.Span(n.Content[i])
	}
	return all
}

func (r *reader) solution(n *yaml.Node) *Solution {
	s := &Solution{at: r.Span(n)}
	items := r.Items(n)
	if n.Kind == yaml.MappingNode || len(items) > mostSolutionLines {
		r.List.Addf(s.at, CodeValue, "a solution is a list of at most %d lines", mostSolutionLines).
			Repair = "write each as “- J = π/32·d^4 because the section is solid and round”"
		return s
	}
	if len(items) == 0 {
		r.List.Addf(s.at, CodeValue, "this solution is empty").Repair = "write its lines, or remove the key"
	}
	for _, item := range items {
		if l := r.solutionLine(item); l != nil {
			s.Lines = append(s.Lines, l)
		}
	}
	return s
}

// solutionLine reads a statement and, after the word because, its reason.
func (r *reader) solutionLine(n *yaml.Node) *SolutionLine {
	content, ok := r.Scalar(n, "a line of a solution")
	if !ok {
		return nil
	}
	spaced := strings.Join(strings.Fields(content), " ")
	_, reason, found := strings.Cut(spaced, because)
	if !found || strings.TrimSpace(reason) == "" {
		r.List.Addf(r.Span(n), CodeValue, "this line of the solution has no reason").
			Repair = "write it behind the line: J = π/32·d^4 because the section is solid and round"
		return nil
	}
	whole := r.TextOf(n, "")
	cut := strings.Index(whole.Content, "because")
	l := &SolutionLine{Reason: reason, at: r.Span(n)}
	l.text = &source.Text{Name: whole.Name, Content: strings.TrimRight(whole.Content[:cut], " \t\n"), FirstLine: whole.FirstLine}
	r.Places[l.text] = r.Places[whole]
	cell, list := notation.ParseCell(l.text)
	r.List = append(r.List, r.Places.Locate(list)...)
	if list.HasErrors() {
		return nil
	}
	if len(cell.Stmts) != 1 {
		r.List.Addf(l.at, CodeValue, "a line of a solution is one statement").Repair = "write each statement as a line of its own, with its reason"
		return nil
	}
	switch s := cell.Stmts[0].(type) {
	case *notation.Define:
		l.name = s.Name.Ident
	case *notation.DefineFunc:
		l.name = s.Name.Ident
	case *notation.Show:
	default:
		r.List.Addf(l.at, CodeValue, "a line of a solution gives a name its formula, or is a formula").Repair = "write θ = T·L/(G·J) in deg because …"
		return nil
	}
	l.stmt = cell.Stmts[0]
	return l
}

// setSolutions gives each part of a structure the solution that is written for
// it: with the structure, else with the part, else with the whole exercise.
func (r *reader) setSolutions(s *Structure, common, own *setting) {
	s.solutions = map[string]*Solution{}
	for _, a := range s.Parts {
		if a.solution != nil {
			s.solutions[a.Name] = a.solution
		}
	}
	if own == nil || !own.hasParts {
		// The questions are the common ones, and so may be their solutions.
		for part, solution := range common.solutions {
			r.setSolution(s, part, solution, own != nil)
		}
	}
	if own != nil {
		for part, solution := range own.solutions {
			r.setSolution(s, part, solution, false)
		}
	}
	for _, a := range s.Parts {
		if solution := s.solutions[a.Name]; solution != nil {
			r.checkSolution(s, solution)
			r.checkNamesKnown(s, solution)
		}
	}
}

func (r *reader) setSolution(s *Structure, part string, solution *Solution, quiet bool) {
	if part == "" && len(s.Parts) == 1 {
		part = s.Parts[0].Name
	}
	for _, a := range s.Parts {
		if a.Name == part {
			s.solutions[part] = solution
			return
		}
	}
	if quiet || len(s.Parts) == 0 {
		return
	}
	names := make([]string, len(s.Parts))
	for i, a := range s.Parts {
		names[i] = a.Name
	}
	d := r.List.Addf(solution.at, CodeName, "there is no part %s", part)
	if part == "" {
		d.Message = "this exercise has several parts, and it is not said whose solution this is"
	}
	d.Repair = "write solution: with the name of a part and its lines below; the parts are " + strings.Join(names, ", ")
}

// checkSolution reports names that a solution gives another meaning than the
// learner knows, and lines that say one name twice.
func (r *reader) checkSolution(s *Structure, solution *Solution) {
	taken := map[string]bool{}
	for _, g := range s.Given {
		taken[g.Name] = true
	}
	for _, l := range solution.Lines {
		if l.name == "" {
			continue
		}
		if taken[l.name] {
			r.List.Addf(l.at, CodeName, "%s has its value already, from the given names or from a line above", l.name).Repair = "give what this line works out a name of its own"
		}
		taken[l.name] = true
	}
}

// checkNamesKnown reports names that the learner of a solution has not met: those
// of work, the shaft, and those of lines further down.
func (r *reader) checkNamesKnown(s *Structure, solution *Solution) {
	hidden := map[string]bool{}
	if s.work != nil {
		cell, _ := notation.ParseCell(s.work) // what is wrong with it is said elsewhere
		for _, stmt := range cell.Stmts {
			switch stmt := stmt.(type) {
			case *notation.Define:
				hidden[stmt.Name.Ident] = true
			case *notation.DefineFunc:
				hidden[stmt.Name.Ident] = true
			}
		}
	}
	below := map[string]bool{}
	for _, l := range solution.Lines {
		below[l.name] = true
	}
	for _, g := range s.Given {
		delete(hidden, g.Name)
	}
	for _, l := range solution.Lines {
		for _, name := range notation.Uses(l.stmt) {
			at := r.Places.Span(name.Span())
			switch {
			case below[name.Ident]:
				r.List.Addf(at, CodeName, "%s is worked out by this line or one below", name.Ident).Repair = "put the line for it first"
			case hidden[name.Ident]:
				r.List.Addf(at, CodeName, "the learner does not see %s, which is under work", name.Ident).Repair = "write a line for it above this one"
			case s.shaft != nil && name.Ident == marking.ShaftName:
				r.List.Addf(at, CodeName, "the learner cannot work with the shaft %s", name.Ident).Repair = "write the line in the given names"
			}
		}
		delete(below, l.name)
		delete(hidden, l.name)
	}
}
