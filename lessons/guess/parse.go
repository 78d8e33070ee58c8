package guess

import (
	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Codes of the diagnostics of guesses. Those of an expression are the kernel's.
const (
	// CodeYAML: the block cannot be read as YAML.
	CodeYAML source.Code = "guess-yaml"
	// CodeKey: a key that is not known here, occurs twice, or is needed.
	CodeKey source.Code = "guess-key"
	// CodeValue: a value of the wrong kind, or one that the truth cannot be.
	CodeValue source.Code = "guess-value"
	// CodeCovers: a covered name that the working does not have.
	CodeCovers source.Code = "guess-covers"
	// CodeAbove: what is to be guessed stands above the guess.
	CodeAbove source.Code = "guess-above"
)

const (
	mostOptions = 8
	mostItems   = 8
	mostCovers  = 64
)

var symbolPattern = pattern.New(`^\p{L}[\p{L}\p{N}_]*$`)

// Parse reads the text of a guess cell, whose ID is id. The guess is never nil; it
// cannot be shown if the list holds an error. What can be found only with the values of
// the lesson, Check reports.
func Parse(id string, text *source.Text) (*Guess, source.List) {
	r := newReader(text)
	g := &Guess{ID: id, Text: text, at: r.Line(1), places: r.Places}
	if root := r.Document(); root != nil {
		r.guess(g, root)
	}
	r.List.Sort()
	return g, r.List
}

func (r *reader) guess(g *Guess, root *yaml.Node) {
	largest := ""
	found := r.Fields(root, "a guess", map[string]func(*yaml.Node){
		"ask":      r.Words(&g.Ask, "ask"),
		"says":     r.Words(&g.Says, "says"),
		"kind":     func(n *yaml.Node) { r.kind(g, n) },
		"covers":   func(n *yaml.Node) { r.covers(g, n) },
		"answer":   func(n *yaml.Node) { g.Answer = r.expr(n, "answer") },
		"unit":     func(n *yaml.Node) { r.unit(g, n) },
		"symbol":   func(n *yaml.Node) { r.symbol(g, n) },
		"count":    r.Truth(&g.Count, "count"),
		"options":  func(n *yaml.Node) { r.options(g, n) },
		"items":    func(n *yaml.Node) { r.items(g, n) },
		"order":    r.Words(&largest, "order"),
		"by":       r.Words(&g.By, "by"),
		"curve":    func(n *yaml.Node) { r.curve(g, n) },
		"scale":    func(n *yaml.Node) { r.scale(g, n) },
		"stations": func(n *yaml.Node) { r.stations(g, n) },
		"jumps":    r.Truth(&g.Jumps, "jumps"),
	})
	if found["ask"] == nil {
		r.List.Addf(g.at, CodeKey, "this guess has no question").Repair = "write ask: Will the twist be more or less than 1°?"
	}
	r.keysOfKind(g, found)
	if g.Count && g.Unit != nil {
		r.List.Addf(r.Span(found["unit"]), CodeKey, "a count has no unit").Repair = "leave out unit, or count"
	}
	switch g.Kind {
	case Pick:
		r.checkOptions(g, found)
	case Order:
		r.checkItems(g, found, largest)
	case Sketch:
		r.checkJumps(g, found)
	}
}

// kindKeys are the keys that belong to one kind; the first is needed.
var kindKeys = [...][]string{
	Number: {"answer", "unit", "symbol", "count"},
	Pick:   {"options"},
	Order:  {"items", "order", "by"},
	Sketch: {"curve", "scale", "stations", "jumps"},
}

// needs says how the key that a kind needs is written.
var needs = [...]string{
	Number: "write answer: with an expression of the lesson, such as θ_n, and unit: deg",
	Pick:   "write options: with a list of “- text: …”, one of them with right: yes",
	Order:  "write items: with a list of “- text: …”, each with value:, and order: largest first",
	Sketch: "write curve: T(x) in N·m for x from 0 m to L",
}

// keysOfKind reports a missing key of the guess's kind, and keys of the others.
func (r *reader) keysOfKind(g *Guess, found map[string]*yaml.Node) {
	for kind, keys := range kindKeys {
		for i, key := range keys {
			n := found[key]
			switch {
			case Kind(kind) == g.Kind && i == 0 && n == nil:
				r.List.Addf(g.at, CodeKey, "a guess of kind %s needs %s", g.Kind, key).Repair = needs[kind]
			case Kind(kind) != g.Kind && n != nil:
				r.List.Addf(r.Span(n), CodeKey, "%s has no meaning here: it belongs to a guess of kind %s", key, Kind(kind)).
					Repair = "leave it out, or write kind: " + Kind(kind).String()
			}
		}
	}
}

func (r *reader) kind(g *Guess, n *yaml.Node) {
	s, ok := r.Scalar(n, "kind")
	if !ok {
		return
	}
	for k, word := range kindWords {
		if s == word {
			g.Kind = Kind(k)
			return
		}
	}
	r.List.Addf(r.Span(n), CodeValue, "“%s” is not a kind of guess", s).Repair = "write number, pick, order or sketch"
}

func (r *reader) covers(g *Guess, n *yaml.Node) {
	nodes := r.Items(n)
	if len(nodes) > mostCovers {
		r.List.Addf(r.Span(n), CodeValue, "a guess covers at most %d names", mostCovers).Repair = "name what the others follow from; what uses a covered name is covered too"
		return
	}
	for _, item := range nodes {
		if s, ok := r.Scalar(item, "a covered name"); ok {
			g.Covers = append(g.Covers, Cover{notation.Canonical(s), r.Span(item)})
		}
	}
}

func (r *reader) unit(g *Guess, n *yaml.Node) {
	s, ok := r.Scalar(n, "unit")
	if !ok {
		return
	}
	u, err := unit.Parse(s)
	if err != nil {
		r.List.Addf(r.Span(n), CodeValue, "“%s” is not a unit: %s", s, err).Repair = "write one such as deg, mm or N·m"
		return
	}
	g.Unit = &u
}

func (r *reader) symbol(g *Guess, n *yaml.Node) {
	s, ok := r.Scalar(n, "symbol")
	if !ok {
		return
	}
	if !symbolPattern().MatchString(s) || notation.IsReserved(s) {
		r.List.Addf(r.Span(n), CodeValue, "“%s” cannot be the symbol of what is asked", s).Repair = "write one name, such as θ or T_a"
		return
	}
	g.Symbol = notation.Canonical(s)
}

func (r *reader) options(g *Guess, n *yaml.Node) {
	for _, item := range r.Items(n) {
		var o Option
		found := r.Fields(item, "an option", map[string]func(*yaml.Node){
			"text":  r.Words(&o.Text, "text"),
			"right": r.Truth(&o.Right, "right"),
			"says":  r.Words(&o.Says, "says"),
		})
		if found["text"] == nil {
			r.List.Addf(r.Span(item), CodeKey, "an option has a text").Repair = "write “- text: half-way”"
		}
		g.Options = append(g.Options, o)
	}
}

func (r *reader) checkOptions(g *Guess, found map[string]*yaml.Node) {
	n := found["options"]
	if n == nil {
		return
	}
	right, texts := 0, map[string]bool{}
	for _, o := range g.Options {
		if o.Right {
			right++
		}
		if texts[o.Text] && o.Text != "" {
			r.List.Addf(r.Span(n), CodeValue, "two options read the same: %s", o.Text).Repair = "keep one of the two"
		}
		texts[o.Text] = true
	}
	switch {
	case len(g.Options) < 2 || len(g.Options) > mostOptions:
		r.List.Addf(r.Span(n), CodeValue, "a guess of kind pick has from 2 to %d options", mostOptions).Repair = "write each as “- text: …”"
	case right != 1:
		r.List.Addf(r.Span(n), CodeValue, "a guess of kind pick has one right option; this one has %d", right).
			Repair = "write right: yes under the one that is right"
	}
}

func (r *reader) items(g *Guess, n *yaml.Node) {
	for _, node := range r.Items(n) {
		item := Item{at: r.Span(node)}
		found := r.Fields(node, "an item", map[string]func(*yaml.Node){
			"text":  r.Words(&item.Text, "text"),
			"value": func(n *yaml.Node) { item.at, item.Value = r.Span(n), r.expr(n, "value") },
		})
		if found["text"] == nil || found["value"] == nil {
			r.List.Addf(r.Span(node), CodeKey, "an item has a text and a value").Repair = "write “- text: the thin end” and below it value: θ_1"
		}
		g.Items = append(g.Items, item)
	}
}

func (r *reader) checkItems(g *Guess, found map[string]*yaml.Node, order string) {
	if n := found["items"]; n != nil && (len(g.Items) < 2 || len(g.Items) > mostItems) {
		r.List.Addf(r.Span(n), CodeValue, "a guess of kind order has from 2 to %d items", mostItems).Repair = "write each as “- text: …” with value: below it"
	}
	at := g.at
	if n := found["order"]; n != nil {
		at = r.Span(n)
	}
	switch order {
	case "largest first":
		g.Largest = true
	case "smallest first":
	default:
		r.List.Addf(at, CodeValue, "a guess of kind order says which item comes first").Repair = "write order: largest first, or order: smallest first"
	}
}
