package derive

import "shaftbook/kernel/notation"

// domainOf returns what for says of a step. In d_0 ≤ d(x) ≤ d_1 for 0 ≤ x ≤ L it
// says it of both halves: of all that stands on a line that begins with a comparison
// of its own.
func (j *judge) domainOf(line *notation.DeriveStep) *notation.Compare {
	if line.Domain != nil {
		return line.Domain
	}
	at := line.Span().Position().Line
	begins := false // with a comparison of its own
	var domain *notation.Compare
	for _, other := range j.cell.Lines {
		s, ok := other.(*notation.DeriveStep)
		if !ok || s.Span().Position().Line != at {
			continue
		}
		begins = begins || s.Left != nil && s.Op != notation.OpEqual
		if begins && s.Domain != nil {
			domain = s.Domain
		}
	}
	return domain
}
