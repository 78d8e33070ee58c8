package exercises

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

const mostHints = 3

func newPart() *Part {
	return &Part{Scheme: marking.Scheme{Tolerance: marking.DefaultTolerance, Points: 1}}
}

// partKeys are the keys of one part.
func (r *reader) partKeys(a *Part) map[string]func(*yaml.Node) {
	return map[string]func(*yaml.Node){
		"name":      r.name(&a.Name, "a part"),
		"text":      r.Words(&a.Text, "text"),
		"kind":      func(n *yaml.Node) { r.kind(a, n) },
		"answer":    r.into(&a.Answer, "answer"),
		"check":     r.into(&a.route, "check"),
		"unit":      func(n *yaml.Node) { a.Unit = r.unit(n) },
		"symbol":    func(n *yaml.Node) { a.Symbol = r.symbol(n) },
		"sign":      r.Words(&a.Sign, "sign"),
		"tolerance": func(n *yaml.Node) { a.toleranceAt = r.Span(n); r.tolerance(&a.Tolerance)(n) },
		"bounds":    func(n *yaml.Node) { r.bounds(a, n) },
		"slips":     func(n *yaml.Node) { a.Slips = r.slips(n) },
		"hints":     func(n *yaml.Node) { r.hints(a, n) },
		"points": func(n *yaml.Node) {
			if v, ok := r.number(n, "points", 0, 1000); ok {
				a.Points = v
			}
		},
		"options": func(n *yaml.Node) { a.Options = r.options(n) },
		"rough":   r.Truth(&a.Rough, "rough"),
		"why":     r.Words(&a.Why, "why"),
		"line": func(n *yaml.Node) {
			r.Words(&a.Line, "line")(n)
			a.Line = oneFill(a.Line)
		},
		"without":  r.without(a),
		"solution": func(n *yaml.Node) { a.solution = r.solution(n) },
	}
}

// parts reads ask: one sentence with its answer beside it, one part, or a list.
func (r *reader) parts(s *setting, n *yaml.Node) {
	s.hasParts = true
	if n.Kind == yaml.ScalarNode {
		s.isShort, s.part.at = true, r.Span(n)
		r.Words(&s.part.Text, "ask")(n)
		return
	}
	if n.Kind == yaml.SequenceNode && len(n.Content) > mostParts {
		r.List.Addf(r.Span(n), CodeValue, "an exercise has at most %d parts", mostParts).Repair = "split the exercise"
		return
	}
	for i, item := range r.Items(n) {
		a := newPart()
		a.Name, a.at = numbered("part", i), r.Span(item)
		found := r.Fields(item, "a part", r.partKeys(a))
		r.finishPart(a, found)
		s.parts = append(s.parts, a)
	}
}

// shortPart finishes the part whose keys are beside ask itself.
func (r *reader) shortPart(s *setting, found map[string]*yaml.Node) {
	if s.isShort {
		s.part.Name = "part-1"
		r.finishPart(s.part, found)
		s.parts = []*Part{s.part}
		return
	}
	for key := range r.partKeys(newPart()) {
		if n := found[key]; n != nil && key != "text" && key != "name" && key != "solution" {
			r.List.Addf(r.Span(n), CodeKey, "%s belongs to a part, and ask is a list of parts here", key).
				Repair = "move it to the part it belongs to"
		}
	}
}

// finishPart reports what a part lacks or cannot have.
func (r *reader) finishPart(a *Part, found map[string]*yaml.Node) {
	a.Question = a.Text
	if a.Text == "" {
		r.List.Addf(a.at, CodeKey, "this part has no question").Repair = "write text: By how much does the far end turn?"
	}
	refuse := func(reason string, keys ...string) {
		for _, key := range keys {
			if n := found[key]; n != nil {
				r.List.Addf(r.Span(n), CodeKey, "%s has no meaning here: %s", key, reason).Repair = "leave it out"
			}
		}
	}
	if a.Kind == marking.Pick {
		refuse("an option is picked", "answer", "check", "unit", "tolerance", "bounds", "slips", "rough", "symbol", "sign")
		r.checkOptions(a)
		return
	}
	refuse("it belongs to a part of kind pick", "options")
	if a.Kind == marking.Line {
		refuse("a line is judged by whether it follows", "answer", "check", "unit", "tolerance", "bounds", "slips", "rough", "symbol", "sign", "solution")
		if a.Line == "" {
			r.List.Addf(a.at, CodeKey, "this part has no line").Repair = "write line: with what you would write there"
		}
		return
	}
	refuse("it belongs to a part of kind line", "line", "without")
	if a.Kind == marking.Formula {
		refuse("a formula is judged by its meaning", "tolerance", "bounds", "rough")
	}
	if found["answer"] == nil {
		r.List.Addf(a.at, CodeKey, "this part has no answer").Repair = "write answer: with the expression that is right, or a field of the shaft such as S.twist"
	}
}

// symbol reads the name of what is asked.
func (r *reader) symbol(n *yaml.Node) string {
	s, ok := r.Scalar(n, "symbol")
	if !ok {
		return ""
	}
	if m := givenHead().FindStringSubmatch(s); m == nil || m[2] != "" || notation.IsReserved(m[1]) {
		r.List.Addf(r.Span(n), CodeName, "“%s” cannot be the symbol of what is asked", s).Repair = "write one name, such as θ or T_a"
		return ""
	}
	return notation.Canonical(s)
}

func (r *reader) kind(a *Part, n *yaml.Node) {
	s, ok := r.Scalar(n, "kind")
	if !ok {
		return
	}
	if k, ok := marking.ParseKind(s); ok {
		a.Kind = k
		return
	}
	r.List.Addf(r.Span(n), CodeValue, "“%s” is not a kind of part", s).Repair = "write number, formula, pick or line"
}

func (r *reader) unit(n *yaml.Node) *unit.Unit {
	s, ok := r.Scalar(n, "unit")
	if !ok {
		return nil
	}
	u, err := unit.Parse(s)
	if err != nil {
		r.List.Addf(r.Span(n), CodeValue, "“%s” is not a unit: %s", s, err).Repair = "write one such as deg, mm or N·m"
		return nil
	}
	return &u
}

func (r *reader) bounds(a *Part, n *yaml.Node) {
	found := r.Fields(n, "bounds", map[string]func(*yaml.Node){
		"low":     r.into(&a.Low, "low"),
		"high":    r.into(&a.High, "high"),
		"low is":  r.Words(&a.LowIs, "low is"),
		"high is": r.Words(&a.HighIs, "high is"),
	})
	if found["low"] == nil || found["high"] == nil {
		r.List.Addf(r.Span(n), CodeKey, "bounds need a low and a high end").Repair = "write low: with what is certainly too small and high: with what is certainly too large"
	}
}

func (r *reader) hints(a *Part, n *yaml.Node) {
	items := r.Items(n)
	if len(items) > mostHints {
		r.List.Addf(r.Span(n), CodeValue, "a part has at most %d hints", mostHints).Repair = "say the principle, then where to look, then a worked step"
	}
	for _, item := range items {
		var hint string
		r.Words(&hint, "a hint")(item)
		a.Hints = append(a.Hints, hint)
	}
}

func (r *reader) options(n *yaml.Node) []marking.Option {
	var list []marking.Option
	for i, item := range r.Items(n) {
		o := marking.Option{Name: numbered("option", i)}
		found := r.Fields(item, "an option", map[string]func(*yaml.Node){
			"name":  r.name(&o.Name, "an option"),
			"text":  r.Words(&o.Text, "text"),
			"right": r.Truth(&o.Right, "right"),
			"says":  r.Words(&o.Reason, "says"),
		})
		if found["text"] == nil || found["says"] == nil {
			r.List.Addf(r.Span(item), CodeKey, "an option has a text and says why it is right or wrong").
				Repair = "write text: the sentence to pick, and says: the reason that is given for it"
		}
		list = append(list, o)
	}
	return list
}

func (r *reader) checkOptions(a *Part) {
	right := 0
	taken := map[string]bool{}
	for _, o := range a.Options {
		if o.Right {
			right++
		}
		name, text := strings.ToLower(o.Name), strings.ToLower(o.Text)
		if taken[name] || taken[text] {
			r.List.Addf(a.at, CodeName, "two options read the same: %s", o.Text).Repair = "keep one of the two"
		}
		taken[name], taken[text] = true, true
	}
	if len(a.Options) < 2 || right != 1 {
		r.List.Addf(a.at, CodeValue, "a part of kind pick has two options or more, one of them right").Repair = "write right: yes under the one that is right"
	}
}

// spanOf returns the place of an expression of the exercise in the block.
func (e *Exercise) spanOf(x notation.Expr) source.Span { return e.places.Span(x.Span()) }

// tolerance reads 1 %, 0.01 deg or 3 figures.
func (r *reader) tolerance(into *marking.Tolerance) func(*yaml.Node) {
	return func(n *yaml.Node) {
		s, ok := r.Scalar(n, "tolerance")
		if !ok {
			return
		}
		t, ok := marking.ParseTolerance(s)
		if !ok {
			r.List.Addf(r.Span(n), CodeValue, "“%s” is not a tolerance", s).
				Repair = "write a share of the answer (1 %), an amount with its unit (0.01 deg), or a rounding (3 figures)"
			return
		}
		*into = t
	}
}
