package marking

import (
	"context"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// MaxAnswer is the longest answer that is read, in characters.
const MaxAnswer = 2000

// Mark judges an answer as a learner typed it. The error is for an exercise that
// exercises.Prove refuses, and ctx; whatever the answer is, there is a verdict
// on it.
func (m *Marker) Mark(ctx context.Context, answer string) (Verdict, error) {
	answer = strings.TrimSpace(answer)
	if v, done := m.markAsIs(answer); done {
		return v, nil
	}
	if m.Scheme.Kind == Line {
		return m.Lines(ctx, answer), ctx.Err()
	}
	readings, refused := m.understand(ctx, answer)
	switch {
	case refused != nil:
		return *refused, ctx.Err()
	case len(readings) > 1:
		return ask(answer, readings), ctx.Err()
	}
	return m.markReading(ctx, &readings[0], answer)
}

// MarkText judges an answer by its Verdict.Text, or by a Choice that the learner
// made: the notation alone says what it means. The answer is what was typed; that
// the text is a reading of it is for the caller to know. The error is as for Mark.
func (m *Marker) MarkText(ctx context.Context, text, answer string) (Verdict, error) {
	text = strings.TrimSpace(text)
	if v, done := m.markAsIs(text); done {
		return v, nil
	}
	if m.Scheme.Kind == Line {
		return m.Lines(ctx, text), ctx.Err()
	}
	readings, _ := m.understand(ctx, answer)
	for i := range readings {
		if readings[i].text == text { // it is known what was taken for what
			return m.markReading(ctx, &readings[i], answer)
		}
	}
	one, refused := m.read(ctx, spelling{text: text})
	if refused != nil {
		return refused.Verdict, ctx.Err()
	}
	one.kept = isLiteral(text)
	return m.markReading(ctx, &one, answer)
}

// lowered continues a sentence with one that begins with This.
func lowered(s string) string {
	if rest, ok := strings.CutPrefix(s, "This "); ok {
		return "this " + rest
	}
	return s
}

// markAsIs judges what need not be read.
func (m *Marker) markAsIs(answer string) (v Verdict, done bool) {
	switch {
	case answer == "":
		return Verdict{Kind: Unreadable, Message: "There is no answer yet. Type your answer, then submit it."}, true
	case utf8.RuneCountInString(answer) > MaxAnswer:
		return Verdict{Kind: Unreadable, Message: fmt.Sprintf("This is longer than %d characters. Give the result in one line.", MaxAnswer)}, true
	case m.Scheme.Kind == Pick:
		return markPick(m.Scheme, answer), true
	}
	return v, false
}

// markReading judges an answer that is read, and says how.
func (m *Marker) markReading(ctx context.Context, r *typed, answer string) (verdict Verdict, err error) {
	if m.Scheme.Kind == Formula {
		verdict, err = m.markFormula(ctx, r.expr)
	} else {
		verdict, err = m.markNumber(ctx, r), ctx.Err()
	}
	verdict.Text = r.text
	if verdict.Choices = r.choices; len(verdict.Choices) > 0 {
		verdict.Kind = Ambiguous // what is meant comes before what is wrong with the text as it stands
		verdict.Message = "Did you mean " + r.choices[0].Text + "? As it stands, " + lowered(verdict.Message)
	}
	if said := r.said(answer); said != "" && !strings.Contains(verdict.Message, "reads as "+r.text) {
		verdict.Message += " " + said
	}
	return verdict, err
}

// ReadFormula turns what a learner typed into an expression in the names that a
// learner may use, or returns the verdict Unreadable with the reason.
func ReadFormula(n Numbers, answer string) (notation.Expr, *Verdict) {
	x, refused := readExpr(n, answer)
	if refused != nil {
		return nil, &refused.Verdict
	}
	return x, nil
}

func nameHelp(ident string) string {
	if ident == ShaftName {
		return "Work the answer out from the given numbers."
	}
	// A single letter is far more often a symbol of mechanics (J, d, r) than a unit.
	if u, ok := unit.Lookup(ident); ok && utf8.RuneCountInString(ident) > 1 {
		return fmt.Sprintf("For the unit %s, write a number directly before it.", u.Text)
	}
	return "Write it in terms of these, or as a number with its unit."
}

// unknownPart returns a name without the given names in front: J of GJ.
func unknownPart(n Numbers, ident string) string {
	rest := ident
	for again := true; again; {
		again = false
		for _, g := range n.Givens() {
			after, found := strings.CutPrefix(rest, g.Name)
			if r, _ := utf8.DecodeRuneInString(after); found && unicode.IsLetter(r) {
				rest, again = after, true
			}
		}
	}
	return rest
}

func mayUse(n Numbers, ident string) bool {
	if _, builtin := notation.LookupBuiltin(ident); builtin || ident == "π" {
		return true
	}
	for _, g := range n.Givens() {
		if g.Name == ident {
			return true
		}
	}
	return false
}

// givenNames lists the given names as the learner sees them.
func givenNames(n Numbers) string {
	givens := n.Givens()
	list := make([]string, len(givens))
	for i, g := range givens {
		list[i] = g.Head
	}
	return strings.Join(list, ", ")
}

// Refuse words the first error of a list, after an opening if that is not empty.
// The piece of the answer that it is about is named unless it is the whole of it.
func Refuse(list source.List, opening string) *Verdict {
	d := list.FirstError()
	verdict := &Verdict{Kind: Unreadable, At: d.Span.Position()}
	piece := d.Span.Content()
	if whole := d.Span.Text; whole != nil && piece == strings.TrimSpace(whole.Content) || strings.Contains(d.Message, piece) {
		piece = ""
	}
	switch {
	case opening == "" && piece == "":
		verdict.Message = d.Message + "."
		if named := d.Span.Content(); named == "" || !strings.HasPrefix(d.Message, named) {
			verdict.Message = capital(d.Message) + "."
		}
	case opening == "":
		verdict.Message = fmt.Sprintf("At “%s”: %s.", piece, d.Message)
	case piece == "":
		verdict.Message = opening + ": " + d.Message + "."
	default:
		verdict.Message = fmt.Sprintf("%s at “%s”: %s.", opening, piece, d.Message)
	}
	if d.Repair != "" {
		verdict.Message += " " + capital(d.Repair) + "."
	}
	return verdict
}

func capital(s string) string { return Capital(s) }

// Capital begins a sentence with a capital letter, unless its first word is a name of the
// notation or a formula, which would be another one then: δ, d_r, T·L.
func Capital(s string) string {
	first, _, _ := strings.Cut(s, " ")
	first = strings.TrimRight(first, ",.:;!?")
	if first == "" || len(first) == 1 && first != "a" || strings.ContainsFunc(first, func(r rune) bool {
		return r != '-' && r != '\'' && r != '’' && (r < 'a' || r > 'z')
	}) {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// evaluate returns the value of an answer, or the verdict on an answer that has
// none.
func evaluate(ctx context.Context, n Numbers, x notation.Expr) (kernel.Evaluated, *Verdict) {
	got, list := n.Eval(ctx, x)
	if d := list.FirstError(); d != nil {
		if d.Code == check.CodeDimension {
			refused := Refuse(list, "The dimensions do not match")
			refused.Kind = WrongDimension
			return got, refused
		}
		return got, Refuse(list, "Has no value")
	}
	switch {
	case got.Value.IsBracket:
		return got, &Verdict{Kind: Unreadable, Read: got.Text,
			Message: fmt.Sprintf("This reads as %s, a bracket, but the question asks for one value: a wide enough bracket would always hold the answer. Give your best value, with its unit.", got.Text)}
	case got.Value.IsTruth:
		return got, &Verdict{Kind: Unreadable, Message: "This is a comparison, which is true or false. Give the value itself, with its unit."}
	}
	return got, nil
}

func Describe(d unit.Dimension, angle bool) string {
	if angle && d.IsNumber() {
		return "an angle"
	}
	return unit.Describe(d)
}

func markPick(a *Scheme, answer string) Verdict {
	for _, o := range a.Options {
		if !strings.EqualFold(o.Name, answer) && !strings.EqualFold(o.Text, answer) {
			continue
		}
		if o.Right {
			return Verdict{Kind: Right, Points: a.Points, Read: o.Text, Message: "Right. " + Sentence(o.Reason)}
		}
		return Verdict{Kind: SlipMade, Slips: []string{o.Name}, Read: o.Text, Message: Sentence(o.Reason) + " Think it through again and choose another."}
	}
	return Verdict{Kind: Unreadable, Message: "This is not one of the options. Choose one of those listed."}
}

// Sentence ends a text with a full stop.
func Sentence(s string) string {
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}
