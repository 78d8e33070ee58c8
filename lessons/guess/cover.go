package guess

import (
	"slices"

	"shaftbook/kernel/notation"
)

// A Statement is what the rule of covers knows of a statement or a shaft of a working.
type Statement struct {
	Name  string   // that it defines; empty for one that only shows
	Uses  []string // the names that it needs
	Plain bool     // it shows nothing but what is written: a given number, a function, a slider
}

// A CoverRule says which results stay covered until which guesses are made.
type CoverRule struct {
	names map[string][]string // the guesses, by ID, that cover a name, in the order of the lesson
}

// NewCoverRule returns the rule for the guesses of a lesson. A guess covers the names
// under covers, and its answers where these are names of results, and not of what is given;
// further, each name that follows from a covered one.
func NewCoverRule(guesses []*Guess, statements []Statement) *CoverRule {
	rule := &CoverRule{names: map[string][]string{}}
	result := map[string]bool{}
	for _, s := range statements {
		result[s.Name] = result[s.Name] || !s.Plain
	}
	for _, g := range guesses {
		covered := map[string]bool{}
		for _, c := range g.Covers {
			covered[c.Name] = true
		}
		for _, x := range g.Answers() {
			if n, ok := notation.Unparen(x).(*notation.Name); ok && result[n.Ident] {
				covered[n.Ident] = true
			}
		}
		for again := true; again; {
			again = false
			for _, s := range statements {
				if s.Name != "" && !covered[s.Name] && slices.ContainsFunc(s.Uses, func(n string) bool { return covered[n] }) {
					covered[s.Name], again = true, true
				}
			}
		}
		for name := range covered {
			rule.names[name] = append(rule.names[name], g.ID)
		}
	}
	return rule
}

// Of returns the guesses that cover what a statement shows, by ID; none for one that is
// open.
func (r *CoverRule) Of(s Statement) []string {
	if s.Plain {
		return nil
	}
	var ids []string
	for _, name := range append([]string{s.Name}, s.Uses...) {
		ids = Joined(ids, r.names[name])
	}
	return ids
}

// Joined returns the IDs of two lists, each once.
func Joined(a, b []string) []string {
	for _, id := range b {
		if !slices.Contains(a, id) {
			a = append(slices.Clip(a), id)
		}
	}
	return a
}
