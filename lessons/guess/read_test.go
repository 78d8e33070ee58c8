package guess

import (
	"math"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// truthOf evaluates a guess beside the lines of a lesson.
func truthOf(t *testing.T, g *Guess, lines string) Truth {
	truth, list := tryTruth(t, g, lines)
	if list != "" {
		t.Fatal(list)
	}
	return truth
}

func tryTruth(t *testing.T, g *Guess, lines string) (Truth, string) {
	truth, list := tryTruthList(t, g, lines)
	if list.HasErrors() {
		return truth, list.Error()
	}
	return truth, ""
}

func tryTruthList(t *testing.T, g *Guess, lines string) (Truth, source.List) {
	w := kernel.NewWorking(kernel.Limits{})
	cells := []kernel.Cell{{ID: "calc-1", Text: source.NewText("calc-1", lines)}}
	if own, ok := g.Cell(); ok {
		cells = append(cells, own)
	}
	w.SetCells(cells)
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	return g.Truth(w.Results(g.ID))
}

const lesson = "T = 300 N·m\nL = 0.8 m\nθ = 0.6867 deg\na = 3 mm\nb = 2 mm\nc = 2 mm\nk = 16"

func TestTruth(t *testing.T) {
	for name, c := range map[string]struct{ text, want, fault string }{
		"an angle":             {"ask: a\nanswer: θ\nunit: deg\n", "0.6867 deg", ""},
		"in another unit":      {"ask: a\nanswer: T/L\nunit: N\n", "375 N", ""},
		"a pure number":        {"ask: a\nanswer: k\n", "16", ""},
		"an order":             {"ask: a\nkind: order\norder: largest first\nitems: [{text: B, value: b}, {text: A, value: a}]\n", "A (3 mm), then B (2 mm)", ""},
		"the other way":        {"ask: a\nkind: order\norder: smallest first\nitems: [{text: A, value: a}, {text: B, value: b}]\n", "B (2 mm), then A (3 mm)", ""},
		"an order by words":    {"ask: a\nkind: order\norder: largest first\nby: the length\nitems: [{text: B, value: b}, {text: A, value: a}]\n", "A (3 mm), then B (2 mm); in brackets: the length", ""},
		"in order already":     {"ask: a\nkind: order\norder: largest first\nitems: [{text: A, value: a}, {text: B, value: b}]\n", "", "in their right order already"},
		"no unit":              {"ask: a\nanswer: T\n", "", "needs a unit"},
		"an angle, no unit":    {"ask: a\nanswer: θ\n", "", "needs a unit"},
		"a unit of another":    {"ask: a\nanswer: T\nunit: deg\n", "", ""},
		"a name of nothing":    {"ask: a\nanswer: φ\nunit: deg\n", "", "φ"},
		"a bracket":            {"ask: a\nanswer: between 1 mm and 2 mm\nunit: mm\n", "", "must be one number"},
		"two equal values":     {"ask: a\nkind: order\norder: largest first\nitems: [{text: B, value: b}, {text: C, value: c}]\n", "", "two items have the same value, 2 mm: “B” and “C”"},
		"items of two kinds":   {"ask: a\nkind: order\norder: largest first\nitems: [{text: A, value: a}, {text: T, value: T}]\n", "", "torque"},
		"an option that's set": {"ask: a\nkind: pick\noptions: [{text: A}, {text: B, right: yes}]\n", "B", ""},
	} {
		t.Run(name, func(t *testing.T) {
			g := guessOf(t, "guess-g", c.text)
			truth, fault := tryTruth(t, g, lesson)
			if c.want == "" {
				if fault == "" || !strings.Contains(fault, c.fault) {
					t.Errorf("fault %q, want %q", fault, c.fault)
				}
				return
			}
			if got := g.TruthInWords(truth); fault != "" || got != c.want {
				t.Errorf("%q, %s; want %q", got, fault, c.want)
			}
		})
	}
}

func TestRead(t *testing.T) {
	angle := guessOf(t, "guess-g", "ask: How far?\nanswer: θ\nunit: deg\nsymbol: θ\n")
	order := guessOf(t, "guess-o", "ask: a\nkind: order\norder: largest first\nitems: [{text: B, value: b}, {text: A, value: a}]\n")
	pick := guessOf(t, "guess-p", "ask: a\nkind: pick\noptions: [{text: A}, {text: B, right: yes}]\n")
	for name, c := range map[string]struct {
		g              *Guess
		typed, reading string
		want           string // as it is kept
		value          float64
		doubt          string
		choices        int
	}{
		"with its unit":     {angle, "0.7 deg", "", "0.7 deg", 0.7 * math.Pi / 180, "", 0},
		"a decimal comma":   {angle, "0,7 deg", "", "0.7 deg", 0.7 * math.Pi / 180, "", 0},
		"with its symbol":   {angle, "θ = 0.7°", "", "", 0.7 * math.Pi / 180, "", 0},
		"another unit":      {angle, "0.012 rad", "", "0.012 rad", 0.012, "", 0},
		"no unit":           {angle, "0.7", "", "", 0, "“0.7” has no unit. Which do you mean?", 2},
		"no unit, chosen":   {angle, "0.7", "0.7 deg", "0.7 deg", 0.7 * math.Pi / 180, "", 0},
		"of another kind":   {angle, "3 N·m", "", "", 0, "torque", 0},
		"nothing":           {angle, "", "", "", 0, "Write a number with its unit", 0},
		"a name":            {angle, "θ_n", "", "", 0, "no value in this", 0},
		"words":             {angle, "quite a lot", "", "", 0, "no value in this", 0},
		"an option":         {pick, "b", "", "b", 0, "", 0},
		"no option":         {pick, "c", "", "", 0, "Choose one", 0},
		"an order":          {order, "b a", "", "b a", 0, "", 0},
		"an order cut":      {order, "b", "", "", 0, "a place of its own", 0},
		"an order too long": {order, "b a a", "", "", 0, "one place", 0},
	} {
		t.Run(name, func(t *testing.T) {
			made, doubt, err := c.g.Read(t.Context(), truthOf(t, c.g, lesson), c.typed, c.reading)
			if err != nil {
				t.Fatal(err)
			}
			if c.doubt != "" {
				if doubt == nil || !strings.Contains(doubt.Message, c.doubt) || len(doubt.Choices) != c.choices {
					t.Errorf("doubt %+v, want %q with %d choices", doubt, c.doubt, c.choices)
				}
				return
			}
			if doubt != nil || c.want != "" && made.Text != c.want || math.Abs(made.Value-c.value) > 1e-15 {
				t.Errorf("read as %+v, %+v; want %q, %g", made, doubt, c.want, c.value)
			}
		})
	}
}

// The ratios are worked out by hand: 0.7/0.6867 = 1.0194, 0.35/0.6867 = 0.5097,
// 0.1/0.6867 = 1/6.867, 1.4/0.6867 = 2.039.
func TestCompare(t *testing.T) {
	angle := guessOf(t, "guess-g", "ask: How far?\nanswer: θ\nunit: deg\n")
	order := guessOf(t, "guess-o", "ask: a\nkind: order\norder: largest first\nitems: [{text: B, value: b}, {text: A, value: a}, {text: T, value: 1 mm}]\n")
	pick := guessOf(t, "guess-p", "ask: a\nkind: pick\noptions: [{text: A, says: No.}, {text: B, right: yes}]\n")
	for name, c := range map[string]struct {
		g           *Guess
		text        string
		degrees     float64
		guess, says string
	}{
		"the same":         {angle, "0.6867 deg", 0.6867, "0.6867 deg", "Your guess is the same, to the figures shown."},
		"a little more":    {angle, "0.700 deg", 0.7, "0.700 deg", "Your guess is 1.9 % more."},
		"less":             {angle, "0.35 deg", 0.35, "0.35 deg", "Your guess is 49 % less."},
		"next to nothing":  {angle, "1e-320 deg", 1e-320, "1e-320 deg", "Your guess is less than a millionth of the true value."},
		"beyond all":       {angle, "1e300 deg", 1e300, "1e300 deg", "Your guess is more than a million times as much."},
		"much less":        {angle, "0.1 deg", 0.1, "0.1 deg", "Your guess is the true value divided by 6.9."},
		"double":           {angle, "1.4 deg", 1.4, "1.4 deg", "Your guess is 2.0 times as much."},
		"nothing":          {angle, "0 deg", 0, "0 deg", "Your guess is nothing at all."},
		"the other way":    {angle, "-0.7 deg", -0.7, "-0.7 deg", "Your guess has the opposite sign and is 1.9 % more."},
		"the right option": {pick, "b", 0, "B", "As you guessed."},
		"another option":   {pick, "a", 0, "A", ""},
		"an option gone":   {pick, "f", 0, "not one of these options", ""},
		"the right order":  {order, "b a c", 0, "A, then B, then T", "As you guessed."},
		"two changed":      {order, "a b c", 0, "B, then A, then T", "These belong in another place: B, A."},
		"an order gone":    {order, "a b", 0, "an order of other items", ""},
	} {
		t.Run(name, func(t *testing.T) {
			got := c.g.Compare(truthOf(t, c.g, lesson), c.text, c.degrees*math.Pi/180)
			if got.Guess != c.guess || got.Words != c.says {
				t.Errorf("%q, %q; want %q, %q", got.Guess, got.Words, c.guess, c.says)
			}
		})
	}
}

// The differences are taken by hand: 60 − 30.65 = 29.35, 30.65 − 29.65 = 1.
func TestSharesAreComparedInPoints(t *testing.T) {
	share := guessOf(t, "guess-g", "ask: Which share?\nanswer: 0.3065\nunit: \"%\"\n")
	for name, c := range map[string]struct {
		guess float64
		want  string
	}{
		"more":        {0.60, "Your guess is 29 percentage points more."},
		"less":        {0.2965, "Your guess is 1 percentage point less."},
		"the same":    {0.3065, "Your guess is the same, to the figures shown."},
		"none of it":  {0, "Your guess is nothing at all."},
		"a bit below": {0.30, "Your guess is 0.65 percentage points less."},
	} {
		t.Run(name, func(t *testing.T) {
			if got := share.Compare(Truth{Value: 0.3065}, "", c.guess).Words; got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// 33 % is 33.33 % rounded to two figures; 1 is 1.4 rounded to one, but no good guess.
func TestRoundGuessIsRight(t *testing.T) {
	for name, c := range map[string]struct {
		guess string
		value float64
		truth float64
		want  string
	}{
		"a rounded share":     {"33 %", 0.33, 0.3333333, "Your guess is right to the figures you gave."},
		"a rounded number":    {"6.9", 6.9, 6.867, "Your guess is right to the figures you gave."},
		"more figures":        {"6.90", 6.9, 6.867, "Your guess is 0.48 % more."},
		"one figure":          {"1", 1, 1.4, "Your guess is 29 % less."},
		"of the other sign":   {"-7", -7, 6.867, "Your guess has the opposite sign and is 1.9 % more."},
		"a negative one":      {"−7", -7, -6.867, "Your guess is right to the figures you gave."},
		"a share to one more": {"33.0 %", 0.33, 0.3333333, "Your guess is 0.33 percentage points less."},
	} {
		t.Run(name, func(t *testing.T) {
			text := "ask: How much?\nanswer: 1\n"
			if strings.HasSuffix(c.guess, "%") {
				text += "unit: \"%\"\n"
			}
			g := guessOf(t, "guess-g", text)
			if got := g.Compare(Truth{Value: c.truth}, c.guess, c.value).Words; got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

func TestCountIsNotComparedInShares(t *testing.T) {
	g := guessOf(t, "guess-g", "ask: Which reading is it?\nanswer: 9\ncount: yes\n")
	for guess, want := range map[string]string{"5": "It is 9.", "9": "As you guessed.", "8": "It is 9."} {
		made, doubt, err := g.Read(t.Context(), Truth{Value: 9, Text: "9"}, guess, "")
		if err != nil || doubt != nil {
			t.Fatal(doubt, err)
		}
		if got := g.Compare(Truth{Value: 9, Text: "9"}, made.Text, made.Value).Words; got != want {
			t.Errorf("%s: %q, want %q", guess, got, want)
		}
	}
	if _, fault := tryTruth(t, guessOf(t, "guess-g", "ask: a\nanswer: 2.5\ncount: yes\n"), ""); !strings.Contains(fault, "but a count is a whole number") {
		t.Errorf("a count of two and a half: %q", fault)
	}
}
