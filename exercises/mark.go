package exercises

import (
	"context"
	"fmt"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// MaxAnswer is the longest answer that is read, in characters.
const MaxAnswer = 2000

// Mark judges an answer to a part. The error is for a part that does not exist,
// an exercise that Prove refuses, and ctx; whatever the answer is, there is a
// verdict on it.
func (v *Variant) Mark(ctx context.Context, part, answer string) (Verdict, error) {
	i, err := v.askIndex(part)
	if err != nil {
		return Verdict{}, err
	}
	a := v.Structure.Asks[i]
	answer = strings.TrimSpace(answer)
	switch {
	case answer == "":
		return Verdict{Kind: Unreadable, Message: "Nothing is written here. Type your answer, then have it marked."}, nil
	case utf8.RuneCountInString(answer) > MaxAnswer:
		return Verdict{Kind: Unreadable, Message: fmt.Sprintf("This is longer than %d characters. Give the result in one line.", MaxAnswer)}, nil
	case a.Kind == Pick:
		return markPick(a, answer), nil
	}
	x, refused := v.read(answer)
	if refused != nil {
		return *refused, nil
	}
	if a.Kind == Formula {
		return v.markFormula(ctx, i, x)
	}
	verdict := v.markNumber(ctx, a, v.keys[i], x)
	return verdict, ctx.Err()
}

// read turns the answer into an expression in names that a learner may use.
func (v *Variant) read(answer string) (notation.Expr, *Verdict) {
	t := source.NewText("answer", answer)
	x, list := notation.ParseAnswer(t)
	if strings.ContainsRune(answer, '=') && list.HasErrors() {
		// What stands after the name is what the learner needs to hear about.
		if _, inCell := notation.ParseCell(t); inCell.HasErrors() {
			list = inCell
		}
	}
	if list.HasErrors() {
		return nil, unreadable(list, "This cannot be read")
	}
	for _, n := range notation.FreeNames(x) {
		if !v.mayUse(n.Ident) {
			refused := &Verdict{Kind: Unreadable, At: n.Span().Position()}
			refused.Message = fmt.Sprintf("“%s” is not among the given names (%s). %s", n.Span().Content(), v.names(), v.nameHelp(n.Ident))
			return nil, refused
		}
	}
	return x, nil
}

func (v *Variant) nameHelp(ident string) string {
	if ident == shaftName {
		return "Work the answer out from the given numbers."
	}
	if u, ok := unit.Lookup(ident); ok {
		return fmt.Sprintf("For the unit %s, write a number directly before it.", u.Text)
	}
	return "Write a number with its unit, or a formula in the given names."
}

func (v *Variant) mayUse(ident string) bool {
	if _, builtin := notation.LookupBuiltin(ident); builtin || ident == "π" {
		return true
	}
	for _, g := range v.Structure.Given {
		if g.Name == ident {
			return true
		}
	}
	return false
}

func (v *Variant) names() string {
	list := make([]string, len(v.Given))
	for i, g := range v.Given {
		list[i] = g.Name
	}
	return strings.Join(list, ", ")
}

// unreadable words the first error of a list.
func unreadable(list source.List, opening string) *Verdict {
	d := list.FirstError()
	verdict := &Verdict{Kind: Unreadable, At: d.Span.Position()}
	verdict.Message = opening + ": " + d.Message + "."
	if piece := d.Span.Content(); piece != "" && !strings.Contains(d.Message, piece) {
		verdict.Message = fmt.Sprintf("%s at “%s”: %s.", opening, piece, d.Message)
	}
	if d.Repair != "" {
		verdict.Message += " " + capital(d.Repair) + "."
	}
	return verdict
}

func capital(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(r)) + s[size:]
}

// evaluate gives an answer its value, or says why it has none.
func (v *Variant) evaluate(ctx context.Context, x notation.Expr) (kernel.Evaluated, *Verdict) {
	got, list := v.desk.w.EvalExpr(ctx, x)
	if d := list.FirstError(); d != nil {
		if d.Code == check.CodeDimension {
			refused := unreadable(list, "The dimensions do not go together")
			refused.Kind = WrongDimension
			return got, refused
		}
		return got, unreadable(list, "This has no value")
	}
	switch {
	case got.Value.IsBracket:
		return got, &Verdict{Kind: Unreadable, Read: got.Text,
			Message: "This is a bracket, and one value is asked: a bracket wide enough would always hold the answer. Give the value that you stand for, with its unit."}
	case got.Value.IsTruth:
		return got, &Verdict{Kind: Unreadable, Message: "This compares two values, which is true or false. Give the value itself, with its unit."}
	}
	return got, nil
}

// wrongDimension says what was given and what is wanted.
func wrongDimension(got kernel.Evaluated, wanted unit.Dimension, angle bool, example string) Verdict {
	if got.Value.Dim.IsNumber() {
		return Verdict{Kind: UnitMissing, Read: got.Text, Message: fmt.Sprintf(
			"This is a pure number, and %s is asked. Write the unit after the number, such as %s.", describe(wanted, angle), example)}
	}
	return Verdict{Kind: WrongDimension, Read: got.Text, Message: fmt.Sprintf(
		"This is %s, and %s is asked. Put each factor in with its unit, and see what is left when they cancel.",
		describe(got.Value.Dim, got.Type.Angle == check.IsAngle), describe(wanted, angle))}
}

func describe(d unit.Dimension, angle bool) string {
	if angle && d.IsNumber() {
		return "an angle"
	}
	return unit.Describe(d)
}

func markPick(a *Part, answer string) Verdict {
	for _, o := range a.Options {
		if !strings.EqualFold(o.Name, answer) && !strings.EqualFold(o.Text, answer) {
			continue
		}
		if o.right {
			return Verdict{Kind: Right, Points: a.Points, Read: o.Text, Message: "Right. " + sentence(o.says)}
		}
		return Verdict{Kind: SlipMade, Slips: []string{o.Name}, Read: o.Text, Message: sentence(o.says) + " Think it through once more and pick another."}
	}
	return Verdict{Kind: Unreadable, Message: "This is none of the sentences to pick. Pick one of those that are offered."}
}

// sentence ends a text with a full stop.
func sentence(s string) string {
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}
