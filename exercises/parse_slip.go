package exercises

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
)

// slips reads a list of names of the catalogue and of slips of the exercise's
// own.
func (r *reader) slips(n *yaml.Node) []*marking.Slip {
	var list []*marking.Slip
	for _, item := range r.Items(n) {
		s := r.slip(item)
		if s == nil {
			continue
		}
		if slices.ContainsFunc(list, func(o *marking.Slip) bool { return o.Name == s.Name }) {
			r.List.Addf(s.At, CodeName, "the slip %s is listed twice", s.Name).Repair = "keep one, or give the other a name of its own"
			continue
		}
		list = append(list, s)
	}
	for _, s := range list {
		for _, other := range s.Shares {
			if !slices.ContainsFunc(list, func(o *marking.Slip) bool { return o.Name == other }) {
				r.List.Addf(s.At, CodeName, "the slip %s shares its value with %s, which is not in this list", s.Name, other).Repair = "add it to the list"
			}
		}
	}
	return list
}

func (r *reader) slip(n *yaml.Node) *marking.Slip {
	s := &marking.Slip{At: r.Span(n)}
	switch n.Kind {
	case yaml.ScalarNode:
		r.name(&s.Name, "a slip")(n)
	default:
		r.Fields(n, "a slip", map[string]func(*yaml.Node){
			"name":    r.name(&s.Name, "a slip"),
			"formula": r.into(&s.Formula, "formula"),
			"factor":  r.into(&s.Factor, "factor"),
			"says":    r.Words(&s.Says, "says"),
			"next":    r.Words(&s.Next, "next"),
			"of":      func(n *yaml.Node) { s.Of = r.namesOf(n) },
			"shares":  func(n *yaml.Node) { s.Shares = r.strings(n) },
		})
	}
	if s.Name == "" {
		return nil
	}
	return r.finishSlip(s)
}

// finishSlip takes what is not written from the catalogue.
func (r *reader) finishSlip(s *marking.Slip) *marking.Slip {
	g, known := marking.LookupSlip(s.Name)
	if !known {
		if s.Formula == nil || s.Says == "" {
			r.List.Addf(s.At, CodeSlip, "the slip “%s” is not in the catalogue", s.Name).
				Repair = "write its formula: and what it says:, or use one from the catalogue: " + strings.Join(marking.Catalogue(), ", ")
			return nil
		}
		if s.Next == "" {
			s.Next = "Go back to that step and work it out again."
		}
		return s
	}
	if s.Says == "" {
		s.Says = g.Says
	}
	if s.Next == "" {
		s.Next = g.Next
	}
	switch {
	case s.Formula != nil:
		return s // the catalogue's words with a value of the exercise's own
	case !g.HasValue():
		r.List.Addf(s.At, CodeSlip, "the value of %s depends on the exercise", s.Name).Repair = "write {name: " + s.Name + ", formula: …} with the wrong formula"
		return nil
	case g.TakesFactor && s.Factor == nil:
		r.List.Addf(s.At, CodeSlip, "%s needs the factor by which the wrong value is off", s.Name).Repair = "write {name: " + s.Name + ", factor: 3}"
		return nil
	}
	s.General = g
	return s
}

func (r *reader) strings(n *yaml.Node) []string {
	var list []string
	for _, item := range r.Items(n) {
		if s, ok := r.Scalar(item, "a name"); ok {
			list = append(list, s)
		}
	}
	return list
}

func (r *reader) namesOf(n *yaml.Node) []string {
	list := r.strings(n)
	for i := range list {
		list[i] = notation.Canonical(list[i])
	}
	return list
}
