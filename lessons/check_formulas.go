package lessons

import (
	"math"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"shaftbook/kernel"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/lessons/markdown"
)

// CodeFormula: a formula of the prose gives a result that a guess covers (a note).
const CodeFormula source.Code = "covered-formula"

// checkFormulas notes the numbers in formulas of the prose that only covered results bear
// out: a formula is set as a whole, so that nothing of it is covered.
func (l *Lesson) checkFormulas(w *kernel.Working) source.List {
	if len(l.Guesses) == 0 {
		return nil
	}
	c, _ := l.covering(w)
	open, shut := l.coverFacts(w, c)
	var list source.List
	for _, claim := range l.formulaClaims() {
		ids := l.gives(claim, open, shut)
		if len(ids) == 0 || claim.isRough() {
			continue
		}
		cell, _ := l.Cell(ids[0])
		list.Notef(claim.at, CodeFormula, "this number gives a result that the guess %s covers, and a formula is not covered", cell.Name).
			Repair = "write the number outside the formula, where it is covered"
	}
	return list
}

// formulaClaims finds the numbers in the formulas of the prose: quantities, and decimals
// without a unit.
func (l *Lesson) formulaClaims() []claim {
	var found []claim
	at := 0
	_ = ast.Walk(l.doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		tex := ""
		switch n := n.(type) {
		case *ast.CodeSpan, *markdown.FrontMatter:
			return ast.WalkSkipChildren, nil
		case *markdown.Cell:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			at = max(at, n.Segment.Stop) // a formula stands behind the text before it
		case *markdown.Math:
			tex = n.TeX
		case *markdown.MathBlock:
			tex = n.TeX
		}
		if tex == "" {
			return ast.WalkContinue, nil
		}
		if i := strings.Index(l.Text.Content[at:], tex); i >= 0 {
			found = append(found, l.claimsInTeX(at+i, tex)...)
			at += i + len(tex)
		}
		return ast.WalkContinue, nil
	})
	return found
}

// texNumber is a number of TeX, perhaps with a power of ten, that is no index, exponent or
// argument, and what may be its unit: a degree, or words in upright letters.
var texNumber = pattern.New(`(?:^|[^\w.^{\\])(\d+(?:\.\d+)?)(?:\s*\\(?:times|cdot)\s*10\^(?:\{(-?\d+)\}|(\d)))?((?:\\[,;: ]|[\s~])*)(\^\{?\\circ\}?|(?:(?:\\(?:mathrm|text)\{[^{}]*\}(?:\^(?:\{-?\d+\}|\d))?|\\cdot|/|\\,|\s)*\\(?:mathrm|text)\{[^{}]*\}(?:\^(?:\{-?\d+\}|\d))?))?`)

// texUnit turns the TeX of a unit into its symbol.
var texUnit = strings.NewReplacer(`\mathrm`, "", `\text`, "", `\cdot`, "·", `\,`, "·", "{", "", "}", "", "~", "", " ", "")

func (l *Lesson) claimsInTeX(start int, tex string) []claim {
	var found []claim
	group := func(m []int, i int) string {
		if m[2*i] < 0 {
			return ""
		}
		return tex[m[2*i]:m[2*i+1]]
	}
	for _, m := range texNumber().FindAllStringSubmatchIndex(tex, -1) {
		digits, symbol := group(m, 1), group(m, 5)
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			continue
		}
		c := claim{at: source.Span{Text: l.Text, Start: start + m[2], End: start + m[3]}}
		c.si, c.half = v, halfDigit(digits, v)
		if power, err := strconv.Atoi(group(m, 2) + group(m, 3)); err == nil {
			scale := math.Pow(10, float64(power))
			c.si, c.half = c.si*scale, c.half*scale
		}
		u, err := unit.Parse(texUnit.Replace(symbol))
		switch {
		case strings.HasSuffix(strings.Trim(symbol, "}"), `\circ`):
			u, err = unit.Parse("deg")
		case symbol == "":
			u, err = unit.Unit{Factor: 1}, nil
		}
		if err != nil || symbol == "" && !strings.Contains(digits, ".") {
			continue
		}
		c.dim, c.si, c.half = u.Dim, c.si*u.Factor, c.half*u.Factor
		found = append(found, c)
	}
	return found
}
