package markdown

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

// TestEveryCommand typesets each command that authors may use: the typesetter
// must know it, and the result must be well-formed and free of styles.
func TestEveryCommand(t *testing.T) {
	var formulas []string
	for name := range texPlain {
		formulas = append(formulas, `a \`+name+` b`)
	}
	for name, count := range texArguments {
		formulas = append(formulas, `\`+name+strings.Repeat("{ab}", count))
	}
	for _, sign := range texSigns {
		formulas = append(formulas, `a\`+string(sign)+`b`)
	}
	for _, formula := range formulas {
		if strings.ContainsAny(formula, "{}") && strings.Count(formula, "{") != strings.Count(formula, "}") {
			formula = `\{ a \}`
		}
		for _, block := range []bool{false, true} {
			markup, fault := typesetTeX(formula, block)
			if fault != nil {
				t.Errorf("%s: %s", formula, fault.message)
				continue
			}
			if strings.Contains(markup, " style=") || strings.Contains(markup, "&amp;") {
				t.Errorf("%s: %s", formula, markup)
			}
			decoder := xml.NewDecoder(strings.NewReader(markup))
			for {
				if _, err := decoder.Token(); err == io.EOF {
					break
				} else if err != nil {
					t.Errorf("%s: %v in %s", formula, err, markup)
					break
				}
			}
		}
	}
}

// TestFaultPlaces gives the piece of each formula that cannot be typeset.
func TestFaultPlaces(t *testing.T) {
	for _, test := range []struct{ name, tex, piece string }{
		{"no braces", `1+\tfrac12`, `\tfrac`},
		{"sign in upright word", `\mathrm{N\cdot m}`, `\`},
		{"two digits raised", `x^10`, `^10`},
		{"two subscripts", `a_1_2`, `_`},
		{"unknown command", `\mathbb R`, `\mathbb`},
		{"unknown environment", `\begin{matrix}a\end{matrix}`, `\begin`},
		{"column outside a table", `a & b`, `&`},
		{"line end outside a table", `a \\ b`, `\\`},
		{"open brace", `\frac{a}{b`, `{`},
		{"stray brace", `a}`, `}`},
		{"right without left", `a\right)`, `\right`},
		{"left without bracket", `\left a`, `\left`},
		{"comment", `50%`, `%`},
		{"nothing raised", `x^`, `^`},
		{"nothing to raise", `^2`, `^`},
		{"empty words", `\text{}`, `\text`},
	} {
		t.Run(test.name, func(t *testing.T) {
			fault := checkTeX(test.tex)
			if fault == nil {
				t.Fatalf("%s passed", test.tex)
			}
			if got := test.tex[fault.at : fault.at+fault.length]; got != test.piece {
				t.Errorf("%s: %s at %q, want %q", test.tex, fault.message, got, test.piece)
			}
			if fault.repair == "" {
				t.Errorf("%s: no way out", test.tex)
			}
		})
	}
}

// TestFunctionsKeepTheirDistance follows The TeXbook, chapter 18, table of
// spacing between atoms (from memory): a thin space between an operator name
// and an ordinary symbol, none before a bracket.
func TestFunctionsKeepTheirDistance(t *testing.T) {
	const space = `<mspace width="0.1667em"></mspace>`
	for _, test := range []struct{ tex, want string }{
		{`\sin x`, `<mi>sin</mi>` + space + `<mi>x</mi>`},
		{`2\ln x`, `<mn>2</mn>` + space + `<mi>ln</mi>` + space + `<mi>x</mi>`},
		{`\sin^2 x`, `<msup><mi>sin</mi><mn>2</mn></msup>` + space + `<mi>x</mi>`},
		{`\sin(x)`, `<mi>sin</mi><mo form="prefix" stretchy="false">(</mo>`},
		{`a b`, `<mi>a</mi><mi>b</mi>`},
	} {
		markup, fault := typesetTeX(test.tex, false)
		if fault != nil || !strings.Contains(markup, test.want) {
			t.Errorf("%s: got %s, want %s", test.tex, markup, test.want)
		}
	}
}
