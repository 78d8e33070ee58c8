package exercises

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"shaftbook/kernel/notation"
)

// slips reads a list of names of the catalogue and of slips of the exercise's
// own.
func (r *reader) slips(n *yaml.Node) []*Slip {
	var list []*Slip
	for _, item := range r.items(n) {
		s := r.slip(item)
		if s == nil {
			continue
		}
		if slices.ContainsFunc(list, func(o *Slip) bool { return o.Name == s.Name }) {
			r.list.Addf(s.at, CodeName, "the slip %s stands here twice", s.Name).Repair = "keep one, or give the other a name of its own"
			continue
		}
		list = append(list, s)
	}
	for _, s := range list {
		for _, other := range s.shares {
			if !slices.ContainsFunc(list, func(o *Slip) bool { return o.Name == other }) {
				r.list.Addf(s.at, CodeName, "the slip %s shares its value with %s, which is not in this list", s.Name, other).Repair = "add it to the list"
			}
		}
	}
	return list
}

func (r *reader) slip(n *yaml.Node) *Slip {
	s := &Slip{at: r.span(n)}
	switch n.Kind {
	case yaml.ScalarNode:
		r.name(&s.Name, "a slip")(n)
	default:
		r.fields(n, "a slip", map[string]func(*yaml.Node){
			"name":    r.name(&s.Name, "a slip"),
			"formula": r.into(&s.formula, "formula"),
			"factor":  r.into(&s.factor, "factor"),
			"says":    r.words(&s.says, "says"),
			"next":    r.words(&s.next, "next"),
			"of":      func(n *yaml.Node) { s.of = r.namesOf(n) },
			"shares":  func(n *yaml.Node) { s.shares = r.strings(n) },
		})
	}
	if s.Name == "" {
		return nil
	}
	return r.finishSlip(s)
}

// finishSlip takes what is not written from the catalogue.
func (r *reader) finishSlip(s *Slip) *Slip {
	g, known := catalogue[s.Name]
	if !known {
		if s.formula == nil || s.says == "" {
			r.list.Addf(s.at, CodeSlip, "the slip “%s” is not in the catalogue", s.Name).
				Repair = "write its formula: and what it says:, or take one of the catalogue: " + strings.Join(Catalogue(), ", ")
			return nil
		}
		if s.next == "" {
			s.next = "Go back to that step and work it out again."
		}
		return s
	}
	if s.says == "" {
		s.says = g.says
	}
	if s.next == "" {
		s.next = g.next
	}
	switch {
	case s.formula != nil:
		return s // the catalogue's words with a value of the exercise's own
	case g.values == nil && !g.takesFactor:
		r.list.Addf(s.at, CodeSlip, "what %s comes to depends on the exercise", s.Name).Repair = "write {name: " + s.Name + ", formula: …} with the wrong formula"
		return nil
	case g.takesFactor && s.factor == nil:
		r.list.Addf(s.at, CodeSlip, "%s needs the factor by which the wrong value is off", s.Name).Repair = "write {name: " + s.Name + ", factor: 3}"
		return nil
	}
	s.general = g
	return s
}

func (r *reader) strings(n *yaml.Node) []string {
	var list []string
	for _, item := range r.items(n) {
		if s, ok := r.scalar(item, "a name"); ok {
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
