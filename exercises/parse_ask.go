package exercises

import (
	"strings"

	"gopkg.in/yaml.v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

const mostHints = 3

func newAsk() *Part { return &Part{Tolerance: defaultTolerance, Points: 1} }

// askKeys are the keys of one part.
func (r *reader) askKeys(a *Part) map[string]func(*yaml.Node) {
	return map[string]func(*yaml.Node){
		"name":      r.name(&a.Name, "a part"),
		"text":      r.words(&a.Text, "text"),
		"kind":      func(n *yaml.Node) { r.kind(a, n) },
		"answer":    r.into(&a.answer, "answer"),
		"check":     r.into(&a.route, "check"),
		"unit":      func(n *yaml.Node) { a.unit = r.unit(n) },
		"tolerance": r.tolerance(&a.Tolerance),
		"bounds":    func(n *yaml.Node) { r.bounds(a, n) },
		"slips":     func(n *yaml.Node) { a.slips = r.slips(n) },
		"hints":     func(n *yaml.Node) { r.hints(a, n) },
		"points": func(n *yaml.Node) {
			if v, ok := r.number(n, "points", 0, 1000); ok {
				a.Points = v
			}
		},
		"options": func(n *yaml.Node) { a.Options = r.options(n) },
		"rough":   r.truth(&a.rough, "rough"),
		"why":     r.words(&a.why, "why"),
	}
}

// asks reads ask: one sentence with its answer beside it, one part, or a list.
func (r *reader) asks(s *setting, n *yaml.Node) {
	s.hasAsk = true
	if n.Kind == yaml.ScalarNode {
		s.isShort, s.ask.at = true, r.span(n)
		r.words(&s.ask.Text, "ask")(n)
		return
	}
	if n.Kind == yaml.SequenceNode && len(n.Content) > mostAsks {
		r.list.Addf(r.span(n), CodeValue, "this asks for more than %d things", mostAsks).Repair = "divide the exercise"
		return
	}
	for i, item := range r.items(n) {
		a := newAsk()
		a.Name, a.at = numbered("part", i), r.span(item)
		found := r.fields(item, "a part", r.askKeys(a))
		r.finishAsk(a, found)
		s.asks = append(s.asks, a)
	}
}

// shortAsk finishes the part whose keys stand beside ask itself.
func (r *reader) shortAsk(s *setting, found map[string]*yaml.Node) {
	if s.isShort {
		s.ask.Name = "part-1"
		r.finishAsk(s.ask, found)
		s.asks = []*Part{s.ask}
		return
	}
	for key := range r.askKeys(newAsk()) {
		if n := found[key]; n != nil && key != "text" && key != "name" {
			r.list.Addf(r.span(n), CodeKey, "%s belongs to a part, and ask is no single sentence here", key).
				Repair = "move it below the part that it is about"
		}
	}
}

// finishAsk reports what a part lacks or cannot have.
func (r *reader) finishAsk(a *Part, found map[string]*yaml.Node) {
	if a.Text == "" {
		r.list.Addf(a.at, CodeKey, "this part asks nothing").Repair = "write text: By how much does the far end turn?"
	}
	refuse := func(reason string, keys ...string) {
		for _, key := range keys {
			if n := found[key]; n != nil {
				r.list.Addf(r.span(n), CodeKey, "%s has no meaning here: %s", key, reason).Repair = "leave it out"
			}
		}
	}
	if a.Kind == Pick {
		refuse("one of several sentences is picked", "answer", "check", "unit", "tolerance", "bounds", "slips", "rough")
		r.checkOptions(a)
		return
	}
	refuse("it belongs to a part of kind pick", "options")
	if a.Kind == Formula {
		refuse("a formula is judged by its meaning", "tolerance", "bounds", "rough")
	}
	if found["answer"] == nil {
		r.list.Addf(a.at, CodeKey, "this part has no answer").Repair = "write answer: with the expression that is right, or a field of the shaft such as S.twist"
	}
}

func (r *reader) kind(a *Part, n *yaml.Node) {
	s, ok := r.scalar(n, "kind")
	if !ok {
		return
	}
	for k, word := range kindWords {
		if s == word {
			a.Kind = Kind(k)
			return
		}
	}
	r.list.Addf(r.span(n), CodeValue, "“%s” is not a kind of part", s).Repair = "write number, formula or pick"
}

func (r *reader) unit(n *yaml.Node) *unit.Unit {
	s, ok := r.scalar(n, "unit")
	if !ok {
		return nil
	}
	u, err := unit.Parse(s)
	if err != nil {
		r.list.Addf(r.span(n), CodeValue, "“%s” is not a unit: %s", s, err).Repair = "write one such as deg, mm or N·m"
		return nil
	}
	return &u
}

func (r *reader) bounds(a *Part, n *yaml.Node) {
	found := r.fields(n, "bounds", map[string]func(*yaml.Node){
		"low":     r.into(&a.low, "low"),
		"high":    r.into(&a.high, "high"),
		"low is":  r.words(&a.lowIs, "low is"),
		"high is": r.words(&a.highIs, "high is"),
	})
	if found["low"] == nil || found["high"] == nil {
		r.list.Addf(r.span(n), CodeKey, "bounds need a low and a high end").Repair = "write low: with what is certainly too small and high: with what is certainly too large"
	}
}

func (r *reader) hints(a *Part, n *yaml.Node) {
	items := r.items(n)
	if len(items) > mostHints {
		r.list.Addf(r.span(n), CodeValue, "a part has at most %d hints", mostHints).Repair = "say the principle, then where to look, then a worked step"
	}
	for _, item := range items {
		var hint string
		r.words(&hint, "a hint")(item)
		a.Hints = append(a.Hints, hint)
	}
}

func (r *reader) options(n *yaml.Node) []Option {
	var list []Option
	for i, item := range r.items(n) {
		o := Option{Name: numbered("option", i)}
		found := r.fields(item, "an option", map[string]func(*yaml.Node){
			"name":  r.name(&o.Name, "an option"),
			"text":  r.words(&o.Text, "text"),
			"right": r.truth(&o.right, "right"),
			"says":  r.words(&o.says, "says"),
		})
		if found["text"] == nil || found["says"] == nil {
			r.list.Addf(r.span(item), CodeKey, "an option has a text and says why it is right or wrong").
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
		if o.right {
			right++
		}
		name, text := strings.ToLower(o.Name), strings.ToLower(o.Text)
		if taken[name] || taken[text] {
			r.list.Addf(a.at, CodeName, "two options read the same: %s", o.Text).Repair = "keep one of the two"
		}
		taken[name], taken[text] = true, true
	}
	if len(a.Options) < 2 || right != 1 {
		r.list.Addf(a.at, CodeValue, "a part of kind pick has two options or more, one of them right").Repair = "write right: yes under the one that is right"
	}
}

// spanOf returns where an expression of the exercise stands in the block.
func (e *Exercise) spanOf(x notation.Expr) source.Span { return moved(x.Span(), e.places) }
