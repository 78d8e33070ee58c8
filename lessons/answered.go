package lessons

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/lessons/guess"
)

// An answerSearch looks for what gives the answer of one guess away above it.
type answerSearch struct {
	l    *Lesson
	w    *kernel.Working
	c    *Covering
	g    *guess.Guess
	own  Cell
	list source.List

	truths []kernel.Result
	shafts map[string]bool // whose twist is an answer, and which the guess does not cover
}

// answeredAbove reports results and numbers above a guess from which its answer can be
// read, and what would grow above the reader's place when it is uncovered. A shaft may
// stand there, since it is what the question is about: its lines are open, and the line
// that is covered stays as high as it is. What can be the same by chance is noted, and
// all else is an error.
func (l *Lesson) answeredAbove(w *kernel.Working, c *Covering, g *guess.Guess) source.List {
	own, _ := l.Cell(g.ID)
	s := &answerSearch{l: l, w: w, c: c, g: g, own: own, shafts: map[string]bool{}}
	if g.Kind != guess.Sketch { // its curve is none of these; the places of its points are open
		s.truths = s.secret(w.Results(g.ID))
	}
	s.findShafts()
	for _, cell := range l.Cells {
		if cell.Line > own.Line {
			continue
		}
		switch {
		case cell.ID == own.ID:
			s.text(source.Span{Text: cell.Text, End: len(cell.Text.Content)}, g.Ask, true, "this number of the question answers it")
		case cell.Kind == Calc || cell.Kind == Shaft:
			for _, r := range w.Results(cell.ID) {
				s.result(cell, &r)
			}
		default:
			s.block(cell)
		}
	}
	s.prose()
	s.text(source.Span{Text: l.Text, End: len(l.Text.Content)}, l.Summary, true, s.says("this number of the summary"))
	return s.list
}

// secret leaves out the values of an order that are given: in the words of the item, or by a
// statement that shows only what is written.
func (s *answerSearch) secret(truths []kernel.Result) []kernel.Result {
	if s.g.Kind != guess.Order || len(truths) != len(s.g.Items) {
		return truths
	}
	var kept []kernel.Result
	for i, t := range truths {
		said := slices.ContainsFunc(claimsOfText(s.g.Items[i].Text), func(c claim) bool { return answers(c, truths[i:i+1]) })
		if !said && !s.l.isGiven(s.w, s.g.Items[i].Value) {
			kept = append(kept, t)
		}
	}
	return kept
}

// isGiven reports whether an answer is the name of a written number.
func (l *Lesson) isGiven(w *kernel.Working, x notation.Expr) bool {
	n, ok := notation.Unparen(x).(*notation.Name)
	if !ok {
		return false
	}
	for _, c := range l.working {
		for _, r := range w.Results(c.ID) {
			if r.Name == n.Ident {
				return showsNothing(&r)
			}
		}
	}
	return false
}

func (s *answerSearch) says(what string) string {
	return what + " answers the guess " + s.own.Name + ", which stands below it"
}

// found reports a place; sure is false where it may be the same by chance.
func (s *answerSearch) found(at source.Span, sure bool, message, repair string) {
	if slices.ContainsFunc(s.list, func(d source.Diagnostic) bool { return d.Span == at }) {
		return
	}
	if sure {
		s.list.Addf(at, guess.CodeAbove, "%s", message).Repair = repair
		return
	}
	s.list.Notef(at, guess.CodeAbove, "%s, unless it is the same by chance", message).Repair = repair
}

// findShafts reports shafts whose twist is an answer and is not covered. Below the guess
// they stand covered or open as their author wants, but what shows them above it does not.
func (s *answerSearch) findShafts() {
	for _, cell := range s.l.CellsOf(Shaft) {
		for _, r := range s.w.Results(cell.ID) {
			_, twist, _ := strings.Cut(r.Text, "twist ")
			if slices.Contains(s.c.Of(&r), s.g.ID) || !slices.ContainsFunc(claimsOfText(twist), s.answers) {
				continue
			}
			s.shafts[cell.Name] = true
			if cell.Line < s.own.Line {
				s.found(firstLine(r.Span), true, s.says("the twist of this shaft"), "list "+cell.Name+" under covers")
			}
		}
	}
}

// result looks at a statement above the guess.
func (s *answerSearch) result(cell Cell, r *kernel.Result) {
	const repair = "move the guess above this cell, or leave what this line uses out of its covers"
	at := firstLine(r.Span)
	if r.Kind != kernel.KindShaft && slices.Contains(s.c.Of(r), s.g.ID) || s.l.equals(r, s.truths) || plotsCurve(r, s.g) || s.showsShaft(r) {
		s.found(at, true, s.says("the result of this line"), repair)
		return
	}
	if sure, is := s.inTable(r); is {
		s.found(at, sure, s.says("a number in this table"), repair)
	}
	if r.Kind == kernel.KindValue && r.Value != nil && !showsNothing(r) && s.showsSame(r.Value.Number, r.Value.Dim) {
		s.found(at, false, s.says("the result of this line"), repair)
	}
	if r.Figure != nil && r.Figure.Data() != nil && r.Table == nil {
		if s.endsAt(r) {
			s.found(at, false, s.says("an end of a curve in this figure"), repair)
		}
	}
	if r.Kind == kernel.KindShaft {
		return // its sizes and loads are what is asked about
	}
	start := r.Span.Start
	line := source.Span{Text: r.Span.Text, Start: start, End: lineEnd(r.Span.Text.Content, r.Span.End)}
	_, isExpect := r.Node.(*notation.Expect)
	for _, c := range s.claimsAt(line) {
		isComment := c.at.Start >= r.Span.End
		if s.answers(c) {
			s.found(c.at, isExpect || isComment, s.says("this number"), "move the guess above it, or leave the number out")
		}
	}
}

// showsShaft reports whether a line above the guess shows a shaft whose twist answers it.
func (s *answerSearch) showsShaft(r *kernel.Result) bool {
	if r.Kind == kernel.KindShaft || r.Node == nil || showsNothing(r) {
		return false
	}
	switch r.Node.(type) {
	case *notation.Draw, *notation.SegmentTable:
		return slices.ContainsFunc(notation.Uses(r.Node), func(n *notation.Name) bool { return s.shafts[n.Ident] })
	}
	return false
}

// inTable reports whether a table has a number that is an answer, and whether surely. The
// first column has what was chosen, so it is left out.
func (s *answerSearch) inTable(r *kernel.Result) (sure, is bool) {
	if r.Table == nil {
		return false, false
	}
	for _, row := range r.Table.Numbers {
		for i, x := range row {
			if i == 0 || math.IsNaN(x) {
				continue
			}
			dim := r.Table.Headers[i].Dim
			sure = sure || s.isSame(x, dim, exactly)
			is = is || s.isSame(x, dim, shownSame)
		}
	}
	return sure, is || sure
}

// endsAt reports whether a curve of a figure begins or ends at an answer.
func (s *answerSearch) endsAt(r *kernel.Result) bool {
	d := r.Figure.Data()
	for k, h := range d.Headers {
		if k == 0 || len(d.Rows) == 0 {
			continue
		}
		symbol := ""
		if i := strings.LastIndex(h, "/("); i >= 0 && strings.HasSuffix(h, ")") {
			symbol = strings.TrimSuffix(h[i+2:], ")")
		} else if i := strings.LastIndexByte(h, '/'); i >= 0 {
			symbol = strings.TrimSpace(h[i+1:])
		}
		for _, row := range [][]string{d.Rows[0], d.Rows[len(d.Rows)-1]} {
			if k < len(row) && slices.ContainsFunc(claimsOfText(row[k]+" "+symbol), s.answers) {
				return true
			}
		}
	}
	return false
}

// What is the same: worked out by another route, or in the figures that are shown.
const (
	exactly   = 1e-9
	shownSame = 5e-5
)

func (s *answerSearch) isSame(x float64, dim unit.Dimension, within float64) bool {
	if isCount(x, dim) {
		return false
	}
	return slices.ContainsFunc(s.truths, func(t kernel.Result) bool {
		return t.Value != nil && t.Value.Dim == dim && math.Abs(math.Abs(t.Value.Number)-math.Abs(x)) <= within*math.Abs(t.Value.Number)
	})
}

func (s *answerSearch) showsSame(x float64, dim unit.Dimension) bool {
	return s.isSame(x, dim, shownSame)
}

// isCount reports whether a number is a small whole one, which many things are.
func isCount(x float64, dim unit.Dimension) bool {
	return x == 0 || dim.IsNumber() && x == math.Trunc(x) && math.Abs(x) < 100
}

func (s *answerSearch) answers(c claim) bool {
	return !c.isRough() && !isCount(c.si, c.dim) && answers(c, s.truths)
}

// block looks at the words of an exercise, a derivation or an earlier guess. What an earlier
// guess says of its answer is read before this one; the numbers of an exercise may be the
// same by chance.
func (s *answerSearch) block(cell Cell) {
	what := "this number of the exercise"
	switch cell.Kind {
	case Guess:
		what = "this number of the guess " + cell.Name
	case Derive:
		what = "this number of the derivation"
	}
	whole := source.Span{Text: cell.Text, End: len(cell.Text.Content)}
	for _, c := range s.claimsAt(whole) {
		if s.answers(c) {
			s.found(c.at, cell.Kind == Guess, s.says(what), "move the guess above it, or leave the number out")
		}
	}
}

// text looks at words that stand somewhere in a place.
func (s *answerSearch) text(in source.Span, words string, sure bool, message string) {
	if start := strings.Index(in.Content(), words); start >= 0 && words != "" {
		in.Start += start
		in.End = in.Start + len(words)
	} else if words == "" {
		return
	}
	for _, c := range s.claimsAt(in) {
		if s.answers(c) {
			s.found(c.at, sure, message, "leave the number out")
		}
	}
}

// prose looks at the text above the guess, with what is in code and in formulas.
func (s *answerSearch) prose() {
	const repair = "move the guess above it, or the number below"
	brought := map[int]bool{}
	for _, claim := range s.l.claims() {
		if s.l.isBrought(claim) {
			brought[claim.at.Start] = true
			continue
		}
		if s.l.lineOf(claim.at.Start) >= s.own.Line || claim.isRough() {
			continue
		}
		if answers(claim, s.truths) || slices.ContainsFunc(s.c.all, func(n CoveredNumber) bool {
			return n.Start == claim.at.Start && slices.Contains(n.Guesses, s.g.ID)
		}) {
			s.found(claim.at, true, s.says("this number"), repair)
		}
	}
	for _, at := range s.l.proseLines(s.own.Line) {
		for _, c := range s.claimsAt(at) {
			if s.answers(c) && !brought[c.at.Start] {
				s.found(c.at, !strings.Contains(c.at.Content(), ","), s.says("this number"), repair)
			}
		}
	}
}

// proseLines returns the lines above a line that are in no cell and not in the front matter.
func (l *Lesson) proseLines(before int) []source.Span {
	var spans []source.Span
	start, inside, head := 0, false, false
	for number, line := range strings.SplitAfter(l.Text.Content, "\n") {
		bare := strings.TrimSpace(line)
		at := source.Span{Text: l.Text, Start: start, End: start + len(line)}
		start += len(line)
		switch {
		case number+1 >= before:
			return spans
		case bare == "---" && (number == 0 || head):
			head = !head
		case strings.HasPrefix(bare, "```") || strings.HasPrefix(bare, "~~~"):
			inside = !inside
		case !inside && !head:
			spans = append(spans, at)
		}
	}
	return spans
}

// claimsAt finds the numbers of a piece of text, however they are dressed: in code, in a
// formula, with a comma for the point.
func (s *answerSearch) claimsAt(in source.Span) []claim {
	var found []claim
	for _, c := range claimsOfText(in.Content()) {
		c.at = source.Span{Text: in.Text, Start: in.Start + c.at.Start, End: in.Start + c.at.End}
		found = append(found, c)
		if s.g.Unit != nil && c.dim.IsNumber() && strings.HasPrefix(in.Text.Content[c.at.End:], "$") {
			c.si, c.half, c.dim = c.si*s.g.Unit.Factor, c.half*s.g.Unit.Factor, s.g.Unit.Dim
			found = append(found, c)
		}
	}
	return found
}

var decimalComma = pattern.New(`(\d),(\d)`)

// asText writes the marks of a formula and of code as the text has them, with as many
// bytes.
var asText = strings.NewReplacer(
	`^{\circ}`, "°      "[:len(`^{\circ}`)], `^\circ`, "°     "[:len(`^\circ`)],
	`\,`, "  ", `\;`, "  ", `\ `, "  ", `~`, " ",
	`\mathrm{`, "        ", `\text{`, "      ", "`", " ", "}", " ",
)

// claimsOfText finds the numbers of some text; their places are offsets in it.
func claimsOfText(text string) []claim {
	plain := asText.Replace(text)
	plain = decimalComma().ReplaceAllString(plain, "$1.$2")
	l := &Lesson{Text: source.NewText("", plain)}
	found := l.claimsIn(0, len(plain))
	for i := range found {
		at := &found[i].at
		for _, degree := range []string{`^\circ`, `^{\circ}`} {
			if from := at.End - len("°"); from >= 0 && strings.HasPrefix(text[from:], degree) {
				at.End = from + len(degree)
			}
		}
	}
	return found
}

// lineEnd returns the end of the line in which a place lies.
func lineEnd(text string, at int) int {
	if i := strings.IndexByte(text[at:], '\n'); i >= 0 {
		return at + i
	}
	return len(text)
}
