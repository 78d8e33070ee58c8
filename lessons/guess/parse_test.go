package guess

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

const number = "ask: How far?\nanswer: θ_n\nunit: deg\nsymbol: θ\ncovers: [theta_n, quill]\nsays: So far.\n"

func TestParse(t *testing.T) {
	g, list := Parse("guess-how-far", source.NewText("guess-how-far", number))
	if len(list) > 0 {
		t.Fatal(list)
	}
	if g.ID != "guess-how-far" || g.Kind != Number || g.Ask != "How far?" || g.Says != "So far." || g.Symbol != "θ" || g.Unit.Text != "deg" {
		t.Errorf("read as %+v", g)
	}
	if len(g.Covers) != 2 || g.Covers[0].Name != "θ_n" || g.Covers[1].At.Content() != "quill" {
		t.Errorf("covers %+v; names are canonical, with their places", g.Covers)
	}
	pick, list := Parse("guess-p", source.NewText("", "ask: Which?\nkind: pick\noptions:\n  - text: one\n  - {text: two, right: yes, says: Since it is.}\n"))
	if len(list) > 0 || len(pick.Options) != 2 || !pick.Options[1].Right || pick.Options[1].Says != "Since it is." {
		t.Errorf("pick: %+v, %v", pick.Options, list)
	}
	order, list := Parse("guess-o", source.NewText("", "ask: Which?\nkind: order\norder: largest first\nitems:\n  - {text: one, value: a}\n  - {text: two, value: 2·b}\n"))
	if len(list) > 0 || len(order.Items) != 2 || !order.Largest || order.Items[1].Text != "two" {
		t.Errorf("order: %+v, %v", order.Items, list)
	}
	sketch, list := Parse("guess-s", source.NewText("", "ask: Draw it.\nkind: sketch\ncurve: T(x) in N·m for x from 0 m to L\n"))
	if len(list) > 0 || sketch.Curve == nil || sketch.Curve.Range.Var.Ident != "x" {
		t.Errorf("sketch: %+v, %v", sketch.Curve, list)
	}
}

func TestFaults(t *testing.T) {
	for name, c := range map[string]struct {
		text, at, says string
		code           source.Code
	}{
		"nothing":            {"", "", "empty", CodeYAML},
		"not YAML":           {"ask: [", "", "cannot be read as YAML", CodeYAML},
		"a list":             {"- ask\n", "", "a list of keys", CodeYAML},
		"no question":        {"answer: θ\nunit: deg\n", "answer: θ", "no question", CodeKey},
		"an unknown key":     {number + "points: 3\n", "points", "no key “points”", CodeKey},
		"a key twice":        {number + "says: Again.\n", "says", "a second time", CodeKey},
		"no answer":          {"ask: How far?\n", "ask: How far?", "needs answer", CodeKey},
		"an unknown kind":    {"ask: How?\nkind: poll\nanswer: θ\n", "poll", "not a kind", CodeValue},
		"a key of another":   {"ask: Which?\nkind: pick\nunit: deg\noptions: [{text: a}, {text: b, right: yes}]\n", "deg", "belongs to a guess of kind number", CodeKey},
		"a wrong unit":       {"ask: How far?\nanswer: θ\nunit: degs\n", "degs", "not a unit", CodeValue},
		"a reserved symbol":  {"ask: How far?\nanswer: θ\nsymbol: sum\n", "sum", "cannot be the symbol", CodeValue},
		"no right option":    {"ask: Which?\nkind: pick\noptions: [{text: a}, {text: b}]\n", "[{text: a}, {text: b}]", "this one has 0", CodeValue},
		"two right options":  {"ask: Which?\nkind: pick\noptions: [{text: a, right: yes}, {text: b, right: yes}]\n", "", "this one has 2", CodeValue},
		"one option":         {"ask: Which?\nkind: pick\noptions: [{text: a, right: yes}]\n", "", "from 2 to 8", CodeValue},
		"options alike":      {"ask: Which?\nkind: pick\noptions: [{text: a, right: yes}, {text: a}]\n", "", "read the same", CodeValue},
		"no order":           {"ask: Which?\nkind: order\nitems: [{text: a, value: x}, {text: b, value: y}]\n", "", "which item comes first", CodeValue},
		"an item, no value":  {"ask: Which?\nkind: order\norder: largest first\nitems: [{text: a}, {text: b, value: y}]\n", "", "a text and a value", CodeKey},
		"a curve of nothing": {"ask: Draw.\nkind: sketch\ncurve: T(x) in N·m\n", "", "", ""},
		"two curves":         {"ask: Draw.\nkind: sketch\ncurve: T(x), J(x) for x from 0 to L\n", "T(x), J(x) for x from 0 to L", "one expression", CodeValue},
	} {
		t.Run(name, func(t *testing.T) {
			_, list := Parse("guess-g", source.NewText("guess-g", c.text))
			for _, d := range list {
				if (c.code == "" || d.Code == c.code) && strings.Contains(d.Message, c.says) && (c.at == "" || d.Span.Content() == c.at) {
					return
				}
			}
			t.Errorf("found %v, want %s with “%s” at “%s”", list, c.code, c.says, c.at)
		})
	}
}

func TestExpressionsHaveTheirPlaceInTheBlock(t *testing.T) {
	text := source.NewText("guess-g", "ask: How far?\nanswer: θ +\n")
	_, list := Parse("guess-g", text)
	if !list.HasErrors() || list[0].Span.Text != text || list[0].Span.Position().Line != 2 {
		t.Errorf("found %v, want an error in line 2 of the block", list)
	}
}

// FuzzParse: whatever a block holds, reading it gives a guess and a list, and every place
// lies in the block. A guess without an error has what its kind needs.
func FuzzParse(f *testing.F) {
	f.Add(number)
	f.Add("ask: Which?\nkind: pick\noptions:\n  - text: one\n  - {text: two, right: yes}\n")
	f.Add("ask: Which?\nkind: order\norder: smallest first\nitems: [{text: a, value: x}, {text: b, value: 'y + 1'}]\n")
	f.Add("ask: |\n  Draw\n  it\nkind: sketch\ncurve: >\n  T(x) for x\n  from 0 m to L\n")
	f.Add("&a [*a]")
	f.Fuzz(func(t *testing.T, content string) {
		text := source.NewText("guess-g", content)
		g, list := Parse("guess-g", text)
		for _, d := range list {
			if d.Span.Text != text || d.Span.Start < 0 || d.Span.End > len(content) || d.Span.Start > d.Span.End {
				t.Errorf("%q: a message outside of the block: %+v", content, d)
			}
		}
		if list.HasErrors() {
			return
		}
		switch {
		case g.Ask == "", g.Kind == Number && g.Answer == nil, g.Kind == Pick && len(g.Options) < 2,
			g.Kind == Order && len(g.Items) < 2, g.Kind == Sketch && g.Curve == nil:
			t.Errorf("%q: read without error as %+v", content, g)
		}
		g.Cell()
	})
}
