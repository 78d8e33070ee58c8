package lessons

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/lessons/markdown"
)

// CodeProse: the prose gives a number that no cell of the lesson bears out.
const CodeProse source.Code = "prose-number"

// A claim is a number in the prose.
type claim struct {
	at   source.Span
	si   float64 // in SI base units
	half float64 // half a unit of its last digit, in SI base units
	dim  unit.Dimension
	bare bool // it has no unit
	turn bool // its unit is that of an angle
}

// A fact is a value that the cells of the lesson hold.
type fact struct {
	si    float64
	dim   unit.Dimension
	loose bool // a number without its unit, or a place of a slider in degrees as a number
	plain bool // a number that is written without a unit, or a place of a slider without one
}

// checkProse holds every quantity and every decimal number in the prose against
// the values of the cells: one of them must round to it. Numbers that the prose
// brings from outside are in the front matter under brings.
func (l *Lesson) checkProse(w *kernel.Working) source.List {
	facts := l.facts(w)
	var list source.List
	for _, c := range l.claims() {
		text := c.text()
		if l.isBrought(c) || slices.ContainsFunc(facts, c.borneOutBy) {
			continue
		}
		list.Addf(c.at, CodeProse, "no cell of this lesson gives %s", text).
			Repair = "correct it, add a cell that works it out, or list it under brings in the front matter"
	}
	return list
}

// text returns the number as written, with single spaces.
func (c claim) text() string { return strings.Join(strings.Fields(c.at.Content()), " ") }

// isBrought reports whether a number comes from outside the cells.
func (l *Lesson) isBrought(c claim) bool { return slices.Contains(l.Brings, c.text()) }

// borneOutBy reports whether the value rounds to the claim. The sign is left
// to the sentence: “turns back by 2 deg”.
func (c claim) borneOutBy(f fact) bool {
	return f.dim == c.dim && math.Abs(math.Abs(f.si)-math.Abs(c.si)) <= c.half*(1+1e-9)
}

// number is a number in prose, perhaps with a power of ten. What follows it,
// up to a space, may be its unit.
var number = pattern.New(`(^|[^\p{L}\p{N}.,_])(\d+(?:\.\d+)?(?:\s?[×·]\s?10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?)([ \x{00a0}\x{202f}]?)(\S*)`)

// claims finds the numbers of the prose: quantities, and decimals without a
// unit. Whole numbers without a unit count things, and are left alone.
func (l *Lesson) claims() []claim {
	return slices.DeleteFunc(l.proseNumbers(), claim.isWhole)
}

// isWhole reports whether a number is written as a whole one without a unit.
func (c claim) isWhole() bool { return c.bare && !strings.Contains(c.at.Content(), ".") }

// proseNumbers finds all numbers of the prose.
func (l *Lesson) proseNumbers() []claim {
	var found []claim
	_ = ast.Walk(l.doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.CodeSpan, *markdown.Cell, *markdown.FrontMatter:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			found = append(found, l.numbersIn(n.Segment.Start, n.Segment.Stop)...)
		}
		return ast.WalkContinue, nil
	})
	return found
}

func (l *Lesson) claimsIn(start, stop int) []claim {
	return slices.DeleteFunc(l.numbersIn(start, stop), claim.isWhole)
}

func (l *Lesson) numbersIn(start, stop int) []claim {
	var found []claim
	text := l.Text.Content[start:stop]
	for _, m := range number().FindAllStringSubmatchIndex(text, -1) {
		digits, after := text[m[4]:m[5]], text[m[8]:m[9]]
		c := claim{at: source.Span{Text: l.Text, Start: start + m[4], End: start + m[5]}}
		v, err := strconv.ParseFloat(notation.Decimal(digits), 64)
		if err != nil {
			continue
		}
		c.si, c.half = v, halfDigit(digits, v)
		if u, length, ok := markdown.UnitOf(after); ok {
			c.dim = u.Dim
			c.turn = u.Dim.IsNumber() && after[:length] != "%"
			c.si, c.half = c.si*u.Factor, c.half*u.Factor
			c.at.End = start + m[8] + length
		} else {
			c.bare = true
		}
		found = append(found, c)
	}
	return found
}

// halfDigit is half a unit of the last digit written.
func halfDigit(digits string, value float64) float64 {
	mantissa, _, scaled := strings.Cut(digits, "×")
	_, decimals, _ := strings.Cut(strings.TrimSpace(mantissa), ".")
	half := 0.5 * math.Pow(10, -float64(len(decimals)))
	if m, err := strconv.ParseFloat(strings.TrimSpace(mantissa), 64); scaled && err == nil && m != 0 {
		half *= value / m
	}
	return half
}

// facts lists the values of the cells: results, literals, tables, the ends of
// sliders, and the quantities that exercises give.
func (l *Lesson) facts(w *kernel.Working) []fact {
	var facts []fact
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			facts = append(facts, resultFacts(&r)...)
		}
	}
	for _, c := range append(l.CellsOf(Exercise), l.CellsOf(Derive)...) {
		facts = append(facts, writtenFacts(c.Text.Content)...)
	}
	return facts
}

func resultFacts(r *kernel.Result) []fact {
	var facts []fact
	if v := r.Value; v != nil && !v.IsTruth {
		facts = append(facts, fact{si: v.Number, dim: v.Dim})
		if v.IsBracket {
			facts = append(facts, fact{si: v.Low, dim: v.Dim}, fact{si: v.High, dim: v.Dim}, fact{si: v.High - v.Low, dim: v.Dim})
		}
	}
	if r.Slider != nil {
		facts = append(facts, stops(r)...)
	}
	if r.Table != nil {
		for _, row := range r.Table.Numbers {
			for i, x := range row {
				if !math.IsNaN(x) {
					facts = append(facts, fact{si: x, dim: r.Table.Headers[i].Dim})
				}
			}
		}
	}
	return append(facts, literals(r.Node)...)
}

// literals lists the numbers with which a statement is written.
func literals(n notation.Node) []fact {
	var facts []fact
	notation.Inspect(n, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Quantity:
			facts = append(facts, fact{si: n.Number.Value * n.Unit.Unit.Factor, dim: n.Unit.Unit.Dim}, fact{si: n.Number.Value, loose: true})
			return false
		case *notation.Number:
			facts = append(facts, fact{si: n.Value, plain: true})
		}
		return true
	})
	return facts
}

// stops lists the values that a slider of few steps can take: the prose may
// send the reader to any of them.
func stops(r *kernel.Result) []fact {
	const few = 2000
	s := r.Slider
	factor := 1.0
	if u, err := unit.Parse(s.Unit); err == nil && s.Unit != "" {
		factor = u.Factor
	}
	var facts []fact
	for i := 0; i <= few; i++ {
		x := s.Min + float64(i)*s.Step
		if x > s.Max+s.Step/1e6 {
			break
		}
		facts = append(facts, fact{si: x * factor, dim: r.Value.Dim, loose: r.Value.Dim.IsNumber() && s.Unit != "" && s.Unit != "%", plain: s.Unit == ""})
	}
	return facts
}

// writtenFacts finds quantities in the text of a cell that is not part of the working.
func writtenFacts(text string) []fact {
	var facts []fact
	for _, m := range number().FindAllStringSubmatch(text, -1) {
		v, err := strconv.ParseFloat(notation.Decimal(m[2]), 64)
		if err != nil {
			continue
		}
		symbol := strings.TrimRight(m[4], ".,;:)}]")
		if u, err := unit.Parse(symbol); err == nil && symbol != "" {
			facts = append(facts, fact{si: v * u.Factor, dim: u.Dim})
		}
		facts = append(facts, fact{si: v})
	}
	return facts
}
