package exercises

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// mostDerivationLines bounds a derivation with lines to fill.
const mostDerivationLines = 60

// gapLine is a line of a derivation that the learner fills: its beginning, and what
// follows the question mark.
var gapLine = pattern.New(`(?m)^([ \t]*=[ \t]*)\?(.*)$`)

// withFills puts lines into the gaps of a derivation, in their order; an empty one leaves
// its gap. The reason of a gap stays with what fills it.
func withFills(text string, fills []string) string {
	n := -1
	return gapLine().ReplaceAllStringFunc(text, func(line string) string {
		if n++; n >= len(fills) || fills[n] == "" {
			return line
		}
		m := gapLine().FindStringSubmatch(line)
		return m[1] + fills[n] + " " + strings.TrimLeft(m[2], " \t")
	})
}

// oneFill takes the sign of equality off what fills a gap, and its line ends.
func oneFill(text string) string {
	return strings.TrimLeft(strings.Join(strings.Fields(text), " "), "= ")
}

// behindLine finds the words that begin what may stand behind a step; boundFor is the
// "for x from" of sums and integrals and the "for x at" of derivatives, which belong to the step.
var (
	behindLine = pattern.New(`(?:^|\s|\))(because|with|given|for)(?:$|\s)`)
	boundFor   = pattern.New(`\bfor\s+\S+\s+(?:from|at)\b`)
)

// without reads what a line must be free of, such as integral.
func (r *reader) without(a *Part) func(*yaml.Node) {
	return func(n *yaml.Node) {
		for _, word := range r.strings(n) {
			if _, known := freeOf[word]; !known {
				r.List.Addf(r.Span(n), CodeValue, "a line cannot be free of “%s”", word).Repair = "write integral, sum, derivative, limit or change"
				continue
			}
			a.without = append(a.without, word)
		}
	}
}

// freeOf are the forms that a line may have to be free of.
var freeOf = map[string][]notation.BindKind{
	"integral": {notation.Integral, notation.Antiderivative}, "sum": {notation.Sum},
	"derivative": {notation.Derivative}, "limit": {notation.Limit}, "change": {notation.Change},
}

// checkLines compares the gaps of a derivation with the parts that fill them.
func (r *reader) checkLines(s *Structure) {
	lines := 0
	for _, a := range s.Parts {
		if a.Kind == marking.Line {
			lines++
		}
	}
	switch {
	case s.derivation == nil && lines > 0:
		r.List.Addf(s.at, CodeKey, "a part of kind line fills a gap, and there is no derivation").Repair = "write derivation: | with the lines below, and = ? where one is to be filled"
	case s.derivation != nil:
		if gaps := len(gapLine().FindAllString(s.derivation.Content, -1)); gaps != lines {
			r.List.Addf(s.at, CodeValue, "the derivation has %d lines to fill and there are %d parts of kind line", gaps, lines).Repair = "write one part of kind line for each = ?, in their order"
		}
		if strings.Count(s.derivation.Content, "\n") > mostDerivationLines {
			r.List.Addf(s.at, CodeValue, "a derivation has at most %d lines here", mostDerivationLines).Repair = "split the exercise"
		}
	}
}

// fillsOf returns the author's lines for the gaps of a structure, in their order.
func (s *Structure) fillsOf() []string {
	var fills []string
	for _, a := range s.Parts {
		if a.Kind == marking.Line {
			fills = append(fills, a.Line)
		}
	}
	return fills
}

// A DerivationLine is one line of a derivation as it is set.
type DerivationLine struct {
	Node   notation.DeriveLine
	Gap    int    // which line to fill it is, from 1; else 0
	Reason string // of a line to fill
}

// Derivation returns the lines of the derivation of a structure, with the lines to fill
// left open or as their author fills them; none where there is no derivation.
func (s *Structure) Derivation(filled bool) []DerivationLine {
	if s.derivation == nil {
		return nil
	}
	text := s.derivation.Content
	if filled {
		text = withFills(text, s.fillsOf())
	}
	cell, _ := notation.ParseDerivation(source.NewText("derivation", text))
	var lines []DerivationLine
	gap := 0
	for _, node := range cell.Lines {
		line := DerivationLine{Node: node}
		if step, ok := node.(*notation.DeriveStep); ok && step.Gap {
			gap++
			line.Gap, line.Reason = gap, step.Reason
		}
		lines = append(lines, line)
	}
	return lines
}

// Words say which line to fill it is, and why it follows.
func (l DerivationLine) Words() string {
	words := fmt.Sprintf("line %d to fill", l.Gap)
	if l.Reason != "" {
		words += ", because " + l.Reason
	}
	return words
}

// markLine judges what a learner writes into the gap of a part: whether it follows from
// the line above, with the author's lines in the other gaps. Any line that follows is
// right, unless it only says again what stands above or below it, or holds what the line
// must be free of.
func (s *Structure) markLine(ctx context.Context, a *Part, answer string) marking.Verdict {
	fill := oneFill(answer)
	refused := func(words string) marking.Verdict {
		return marking.Verdict{Kind: marking.Unreadable, Message: words}
	}
	if strings.Trim(fill, "? ") == "" {
		return refused("There is no line yet. Write what follows from the line above.")
	}
	if behindLine().MatchString(boundFor().ReplaceAllString(fill, "")) {
		return refused("Write the right side of the line alone, without its reason.")
	}
	fills := s.fillsOf()
	gap := slices.Index(s.gapParts(), a)
	at := s.lineOfGap(gap)
	fill = s.withoutName(fill, at)
	fills[gap] = fill
	text := source.NewText("derivation", withFills(s.derivation.Content, fills))
	if steps := stepsAt(text, at); steps > 1 {
		return refused("Write one expression, what the line above is equal to, without another sign of equality.")
	}
	report := derive.JudgeText(ctx, text, derive.Settings{})
	for _, d := range report.Diagnostics {
		if d.Severity == source.Error && d.Span.Position().Line == at {
			return *marking.Refuse(source.List{d}, "")
		}
	}
	if words := s.refuseForm(text, at, a); words != "" {
		return refused(words)
	}
	for i := range report.Verdicts {
		if v := &report.Verdicts[i]; v.Line == at {
			return lineVerdict(v, a, fill)
		}
	}
	return refused("This line is not a step of the derivation. Write what the line above is equal to.")
}

// withoutName takes the name of what is worked out, and the sign of equality behind it,
// off what fills the gap on a line.
func (s *Structure) withoutName(fill string, at int) string {
	left, right, found := strings.Cut(fill, "=")
	if !found || strings.TrimSpace(right) == "" {
		return fill
	}
	_, around := stepAt(source.NewText("derivation", withFills(s.derivation.Content, s.fillsOf())), at)
	x, list := notation.ParseExpr(source.NewText("name", strings.TrimSpace(left)))
	if list.HasErrors() {
		return fill
	}
	switch x := notation.Unparen(x).(type) {
	case *notation.Name:
		if x.Ident == around.name {
			return oneFill(right)
		}
	case *notation.Call:
		if x.Fun.Ident == around.name {
			return oneFill(right)
		}
	}
	return fill
}

// stepsAt counts the steps that stand on a line.
func stepsAt(text *source.Text, at int) int {
	n := 0
	for _, line := range linesOfDerivation(text) {
		if _, ok := line.(*notation.DeriveStep); ok && line.Span().Position().Line == at {
			n++
		}
	}
	return n
}

// lineVerdict is what marking says of a judged step.
func lineVerdict(v *derive.Verdict, a *Part, fill string) marking.Verdict {
	out := marking.Verdict{Read: fill, Text: fill, Message: marking.Sentence(v.ReasonWith())}
	switch v.Kind {
	case derive.Follows, derive.Agrees:
		out.Kind, out.Points, out.Message = marking.Right, a.Points, marking.Sentence("Right. "+a.Why)
		if a.Why == "" {
			out.Message = "Right: it follows from the line above."
		}
	case derive.Fails:
		out.Kind = marking.Off
		if v.Slip != derive.NoSlip {
			out.Kind, out.Slips = marking.SlipMade, []string{string(v.Slip)}
		}
		out.Message = "This does not follow from the line above: " + out.Message
		if v.Slip != derive.NoSlip && v.Slip != derive.Dimensions && v.Slip != derive.WrongFactor {
			out.Message += " A slip that is named here would give this line; yours may be another."
		}
	default:
		out.Kind, out.Compared = marking.Unreadable, true
		out.Message = "Whether this follows cannot be decided: " + out.Message + " No try was used."
	}
	return out
}

func (s *Structure) gapParts() []*Part {
	var parts []*Part
	for _, a := range s.Parts {
		if a.Kind == marking.Line {
			parts = append(parts, a)
		}
	}
	return parts
}

// lineOfGap returns the line of a gap in the derivation, from 1.
func (s *Structure) lineOfGap(gap int) int {
	found := gapLine().FindAllStringIndex(s.derivation.Content, -1)
	return 1 + strings.Count(s.derivation.Content[:found[gap][0]], "\n")
}

// refuseForm returns why a line is not taken although it may follow: it says nothing
// new, or holds what it must be free of. It is empty for a line that is taken.
func (s *Structure) refuseForm(text *source.Text, at int, a *Part) string {
	own, around := stepAt(text, at)
	if own == nil {
		return ""
	}
	author, _ := stepAt(source.NewText("derivation", withFills(s.derivation.Content, s.fillsOf())), at)
	if words := saysAgain(around, own, author); words != "" {
		return words
	}
	held := ""
	notation.Inspect(own, func(n notation.Node) bool {
		if b, ok := n.(*notation.Bind); ok {
			for _, word := range a.without {
				if slices.Contains(freeOf[word], b.Kind) {
					held = word
				}
			}
		}
		return true
	})
	if held != "" {
		return fmt.Sprintf("This line still holds the sign of the %s. Go one step further.", held)
	}
	return ""
}

// stepAt returns the right side of the step that stands alone on a line, with what stands
// around it; nil where there is none or more than one.
func stepAt(text *source.Text, at int) (notation.Expr, chain) {
	lines := linesOfDerivation(text)
	var found []int
	for i, line := range lines {
		if line.Span().Position().Line == at {
			found = append(found, i)
		}
	}
	if len(found) != 1 {
		return nil, chain{}
	}
	step, ok := lines[found[0]].(*notation.DeriveStep)
	if !ok || step.X == nil {
		return nil, chain{}
	}
	return step.X, chainAt(lines, found[0])
}

func linesOfDerivation(text *source.Text) []notation.DeriveLine {
	cell, _ := derive.ChooseReadings(notation.ParseDerivation(text))
	return cell.Lines
}

// sideOf returns the right side of a line of a derivation, or nil.
func sideOf(line notation.DeriveLine) notation.Expr {
	switch line := line.(type) {
	case *notation.DeriveStep:
		return line.X
	case *notation.DeriveDefine:
		return line.Expr
	}
	return nil
}

// bare writes an expression without what does not change it: spaces and brackets.
func bare(x notation.Expr) string {
	return strings.NewReplacer(" ", "", "(", "", ")", "").Replace(notation.Print(x))
}

// proveLines judges a derivation with the author's lines in its gaps.
func (p *prover) proveLines(s *Structure) source.List {
	var list source.List
	if s.derivation == nil {
		return nil
	}
	filled := withFills(s.derivation.Content, s.fillsOf())
	report := derive.JudgeText(p.ctx, source.NewText("derivation", filled), derive.Settings{})
	for _, d := range report.Diagnostics {
		if d.Severity == source.Error {
			list.Addf(s.at, d.Code, "line %d of the derivation: %s", d.Span.Position().Line, d.Message).Repair = d.Repair
		}
	}
	for i := range report.Verdicts {
		if v := &report.Verdicts[i]; v.Kind != derive.Follows && v.Kind != derive.Agrees {
			list.Addf(s.at, CodeSolution, "line %d of the derivation %s: %s", v.Line, v.Kind, v.Reason()).Repair = "correct the line, or the part that fills it"
		}
	}
	for _, a := range s.gapParts() {
		if got := s.markLine(p.ctx, a, a.Line); got.Kind != marking.Right {
			list.Addf(a.at, CodeSolution, "the line of this part is not taken: %s", got.Message).Repair = "correct line: or without:"
		}
	}
	return list
}
