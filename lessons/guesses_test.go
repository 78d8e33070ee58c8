package lessons

import (
	"io"
	"strings"
	"testing"
)

const guessHead = `---
title: T
order: 1
summary: S.
minutes: 1
---

`

const guessBars = "```calc\nprefer deg\nT = 300 N·m\nG = 79 GPa\nL = 0.8 m\nd = 36 mm\n```\n\n"

const guessTwist = "```calc\nθ = T·L/(G·π/32·d^4) in deg to 4 figures\n```\n\n"

const guessAsk = "```guess how-far\nask: How far?\nanswer: θ\nunit: deg\ncovers: [θ]\n```\n\n"

const guessBar = "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n"

const guessTorque = "```calc\nt(x) = T·(1 − x/L)\n```\n\n"

const guessSketch = "```guess torque\nask: Draw it.\nkind: sketch\ncurve: t(x) in N·m for x from 0 m to L\nscale: from -500 N·m to 500 N·m\nstations: [L/2]\n```\n\n"

// The twist of the bar is 1.056 deg: 32·300·0.8/(π·79e9·0.036⁴) rad.
func TestAGuessIsNotAnsweredAbove(t *testing.T) {
	for name, c := range map[string]struct{ text, at, says string }{
		"below":                       {guessBars + guessAsk + guessTwist + "It is 1.056 deg.\n", "", ""},
		"the result above":            {guessBars + guessTwist + guessAsk, "θ = T·L/(G·π/32·d^4) in deg to 4 figures", "answers the guess how-far"},
		"a table above":               {guessBars + "```calc\ntable x, θ for x from 1 to 2\n```\n\n" + guessAsk + guessTwist, "table x, θ for x from 1 to 2", "answers the guess"},
		"the value by another name":   {guessBars + "```calc\nturn = T·L/(G·π/32·d^4) in deg\n```\n\n" + guessAsk + guessTwist, "turn = T·L/(G·π/32·d^4) in deg", "answers the guess"},
		"a number of the text above":  {guessBars + "It turns by 1.06 deg.\n\n" + guessAsk + guessTwist, "1.06 deg", "this number answers"},
		"in a formula":                {guessBars + guessAsk + guessTwist + "So $\\theta = 1.056^\\circ$ here.\n", "1.056", "a formula is not covered"},
		"in a formula, in radians":    {guessBars + guessAsk + guessTwist + "On 0.8 m, $\\theta = 0.01842\\,\\mathrm{rad}$ and $L = 0.8\\,\\mathrm{m}$.\n", "0.01842", "covers"},
		"in a formula, by a power":    {guessBars + guessAsk + guessTwist + "So $\\theta = 1.842\\times 10^{-2}\\,\\text{rad}$.\n", "1.842", "covers"},
		"in a formula of its own":     {guessBars + guessAsk + guessTwist + "$$\n\\theta = 1.06^{\\circ}\n$$\n", "1.06", "covers"},
		"what is given, in a formula": {guessBars + guessAsk + guessTwist + "With $T = 300\\,\\mathrm{N}\\cdot\\mathrm{m}$, $d = 36\\,\\mathrm{mm}$, $x_{1.06}$, $k^{1.056}$ and $1\\,\\mathrm{m}$.\n", "", ""},
		"a number of one figure":      {guessBars + "Is it more than 1 deg?\n\n" + guessAsk + guessTwist, "", ""},
		"a shaft above":               {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "", ""},
		"the drawing of it above":     {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw bar\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw bar", "answers the guess g"},
		"its section above":           {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw section of bar at L/2\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw section of bar at L/2", "answers the guess g"},
		"its free bodies above":       {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw cut of bar at L/2\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw cut of bar at L/2", "answers the guess g"},
		"it before and after above":   {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw bar before and after\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw bar before and after", "answers the guess g"},
		"its companions above":        {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw bar between uniform companions\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw bar between uniform companions", "answers the guess g"},
		"the drawing alone above":     {guessBars + "```shaft bar\nG = G\nsolid d for L\nhold at 0 m\ntorque T at L\n```\n\n```calc\ndraw bar alone\n```\n\n```guess g\nask: How far?\nanswer: θ\nunit: deg\ncovers: [bar]\n```\n\n" + guessTwist, "draw bar alone", "answers the guess g"},
		"the curve plotted above":     {guessBars + guessTorque + "```calc\nplot t(x) in N·m for x from 0 m to L\n```\n\n" + guessSketch, "plot t(x) in N·m for x from 0 m to L", "answers the guess torque"},
		"another curve above":         {guessBars + guessTorque + "The gear is at 400 mm.\n\n```calc\nm = L/2\nplot 2·t(x) in N·m for x from 0 m to L\n```\n\n" + guessSketch, "", ""},
		"a sketch off its scale":      {guessBars + guessTorque + strings.Replace(guessSketch, "500 N·m to 500", "500 N·m to 200", 1), "from -500 N·m to 200 N·m", "leaves this scale"},
		"a name of nothing":           {guessBars + strings.Replace(guessAsk, "[θ]", "[θ, φ]", 1) + guessTwist, "φ", "does not define φ"},
		"an answer of nothing":        {guessBars + strings.Replace(guessAsk, "answer: θ", "answer: φ", 1) + guessTwist, "φ", "φ"},
		"the value in a table":        {guessBars + "```calc\ntable x, (T·x·(1 m)/(G·π/32·d^4)) in deg for x from 0.4 to 0.8 by 0.4\n```\n\n" + guessAsk + guessTwist, "table x, (T·x·(1 m)/(G·π/32·d^4)) in deg for x from 0.4 to 0.8 by 0.4", "in this table answers"},
		"the value turned round":      {guessBars + "```calc\nback = −T·L/(G·π/32·d^4) in deg\n```\n\n" + guessAsk + guessTwist, "back = −T·L/(G·π/32·d^4) in deg", "answers the guess"},
		"nearly the value":            {guessBars + "```calc\nnear = T·L/(G·π/32·d^4)·1.000001 in deg\n```\n\n" + guessAsk + guessTwist, "near = T·L/(G·π/32·d^4)·1.000001 in deg", "by chance"},
		"a shaft that is open":        {guessBars + guessBar + guessAsk + guessTwist, "G = G", "the twist of this shaft answers"},
		"its segments":                {guessBars + guessBar + "```calc\ntable of bar in 2 segments\n```\n\n" + guessAsk + guessTwist, "table of bar in 2 segments", "answers the guess"},
		"its drawing, above it":       {guessBars + "```calc\ndraw bar\n```\n\n" + guessAsk + guessTwist + guessBar, "draw bar", "answers the guess"},
		"a check":                     {guessBars + "```calc\nexpect θ ≈ 1.056 deg within 1 %\n```\n\n" + strings.Replace(guessAsk, "[θ]", "[turn]", 1) + "```calc\nturn = 2·θ\n```\n\n" + guessTwist, "expect θ ≈ 1.056 deg within 1 %", "answers the guess"},
		"a written number":            {guessBars + "```calc\nq = 1.056 deg\n```\n\n" + guessAsk + guessTwist, "1.056 deg", "by chance"},
		"the start of a slider":       {guessBars + "```calc\nvary q from 1 deg to 2 deg by 0.001 deg starting at 1.056 deg\n```\n\n" + guessAsk + guessTwist, "1.056 deg", "by chance"},
		"a comment":                   {guessBars + "```calc\nm = 3  # not 1.056 deg\n```\n\n" + guessAsk + guessTwist, "1.056 deg", "this number answers"},
		"a code span":                 {guessBars + "Type `1.056 deg` in.\n\n" + guessAsk + guessTwist, "1.056 deg", "this number answers"},
		"a formula":                   {guessBars + "It is $1.056^\\circ$ then.\n\n" + guessAsk + guessTwist, "1.056^\\circ", "this number answers"},
		"a bare number in a formula":  {guessBars + "It is $1.056$ then.\n\n" + guessAsk + guessTwist, "1.056", "this number answers"},
		"a comma":                     {guessBars + "It is 1,056 deg then.\n\n" + guessAsk + guessTwist, "1,056 deg", "this number answers"},
		"its own question":            {guessBars + strings.Replace(guessAsk, "How far?", "Is it 1.056 deg?", 1) + guessTwist, "1.056 deg", "this number of the question"},
		"an earlier guess":            {guessBars + "```guess e\nask: Which?\nkind: pick\noptions:\n  - text: yes\n    right: yes\n    says: It is 1.056 deg.\n  - text: no\n```\n\n" + guessAsk + guessTwist, "1.056 deg", "this number of the guess e"},
	} {
		t.Run(name, func(t *testing.T) {
			l, list := Parse("t.md", []byte(guessHead+c.text))
			found, err := Check(t.Context(), l, false)
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, found...)
			if c.says == "" {
				if len(list) > 0 {
					t.Errorf("found %v", list)
				}
				return
			}
			for _, d := range list {
				if strings.Contains(d.Message, c.says) && d.Span.Content() == c.at {
					return
				}
			}
			t.Errorf("found %v, want “%s” at “%s”", list, c.says, c.at)
		})
	}
}

func TestNumbersOfTheTextAreCovered(t *testing.T) {
	text := guessBars + guessAsk + guessTwist +
		"It turns by 1.056 deg, or 0.01842 rad, on 0.8 m. Half of 36 mm is not 18 mm.\n\n- As said: 1.06 deg.\n"
	l, list := Parse("t.md", []byte(guessHead+text))
	if list.HasErrors() {
		t.Fatal(list)
	}
	c, list, err := l.Covering(t.Context())
	if err != nil || list.HasErrors() {
		t.Fatal(list, err)
	}
	var got []string
	for _, n := range c.Numbers {
		got = append(got, l.Text.Content[n.Start:n.End]+" "+strings.Join(n.Guesses, " "))
	}
	if want := "1.056 deg guess-how-far, 0.01842 rad guess-how-far, 1.06 deg guess-how-far"; strings.Join(got, ", ") != want {
		t.Errorf("covered: %q, want %q", strings.Join(got, ", "), want)
	}
	var passages []string
	for _, p := range c.Passages(l) {
		passages = append(passages, p.Text())
	}
	all := strings.Join(passages, "\n")
	if strings.Contains(all, "1.056") || !strings.Contains(all, "It turns by (covered until you guess), or (covered until you guess), on 0.8 m.") || strings.Contains(all, "How far?") {
		t.Errorf("passages:\n%s", all)
	}
	var page strings.Builder
	hooks := Hooks{Covering: c, Hide: func(w io.Writer, n int, open string) error {
		_, err := w.Write([]byte("[" + open + "]"))
		return err
	}}
	if err := Render(&page, l, hooks); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(page.String(), "It turns by [1.056\u00a0deg], or [0.01842\u00a0rad], on 0.8\u00a0m.") {
		t.Errorf("page:\n%s", page.String())
	}
}

// A number of the text is covered also where another number is the same by chance, and
// where it is a whole one that is too large to be a count.
func TestNumbersThatAreTheSameByChanceAreCovered(t *testing.T) {
	for _, c := range []struct{ name, cells, text, want string }{
		{"a whole number", "ratio = 6400/3 to 4 figures\n", "It twists 2133 times as far, in 12 steps.", "2133"},
		{"a ratio and the number of a length", "r = 80 mm\nratio = 240/3 to 3 figures\n", "It is 80.0 times as large as one, with 80 mm.", "80.0"},
		{"a ratio and a place of a slider in degrees", "vary φ from 0 deg to 90 deg by 5 deg\nratio = 2.96/2 to 3 figures\n", "It makes 1.48 of it.", "1.48"},
		{"an angle and a place of a slider without a unit", "vary q from 0 to 1 by 0.05\nratio = 28.6 deg/2 in deg to 3 figures\n", "It went back by 14.3°.", "14.3°"},
		{"a unit with brackets", "ratio = 2 deg/(10 N·m) in deg/(N·m)\n", "The slope is 0.2 deg/(N·m).", "0.2 deg/(N·m)"},
		{"a year", "ratio = 3800/2\n", "He found it in 1896.", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := guessHead + "```guess g\nask: How?\nkind: pick\noptions:\n  - text: so\n    right: yes\n  - text: not so\ncovers: [ratio]\n```\n\n```calc\n" + c.cells + "```\n\n" + c.text + "\n"
			l, list := Parse("t.md", []byte(page))
			if list.HasErrors() {
				t.Fatal(list)
			}
			covering, list, err := l.Covering(t.Context())
			if err != nil || list.HasErrors() {
				t.Fatal(list, err)
			}
			var got []string
			for _, n := range covering.Numbers {
				got = append(got, l.Text.Content[n.Start:n.End])
			}
			if strings.Join(got, ", ") != c.want {
				t.Errorf("covered: %q, want %q", got, c.want)
			}
		})
	}
}

func TestASummaryDoesNotAnswerAGuess(t *testing.T) {
	l, _ := Parse("t.md", []byte(strings.Replace(guessHead, "summary: S.", "summary: It turns by 1.056 deg.", 1)+guessBars+guessAsk+guessTwist))
	found, err := Check(t.Context(), l, false)
	if err != nil || len(found) != 1 || !strings.Contains(found[0].Message, "number of the summary") || found[0].Span.Content() != "1.056 deg" {
		t.Errorf("found %v, %v", found, err)
	}
}

// A given value, and one that an item names itself, are not secret.
func TestGivenItemsOfAnOrderMayStandAbove(t *testing.T) {
	l, _ := Parse("t.md", []byte(guessHead+guessBars+"```guess g\nask: Order.\nkind: order\norder: largest first\nitems:\n  - text: 200 N·m\n    value: S\n  - text: the torque\n    value: T\n```\n\n```calc\nS = 200 N·m\n```\n"))
	found, err := Check(t.Context(), l, false)
	if err != nil || len(found) > 0 {
		t.Errorf("found %v, %v", found, err)
	}
}
