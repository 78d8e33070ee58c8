package marking

import (
	"context"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Reading is an answer as it is understood, before it is marked: what a
// learner checks before handing it in.
type Reading struct {
	OK      bool
	Message string        // why it cannot be read, if it is not OK
	Text    string        // the answer in the notation; marking that gives the same verdict
	Note    string        // what was taken for what, in sentences; may be empty
	Choices []Choice      // as of the Verdict
	Formula notation.Expr // what was typed; nil for a pick
	Value   string        // of a number, "0.971 deg"; the sentence of a pick
	Kind    string        // what it is: "an angle"
}

// Read returns how an answer is understood, and nothing about whether it is
// right. The error is ctx's.
func (m *Marker) Read(ctx context.Context, answer string) (Reading, error) {
	a := m.Scheme
	answer = strings.TrimSpace(answer)
	switch {
	case answer == "":
		return Reading{Message: "There is no answer yet."}, nil
	case len([]rune(answer)) > MaxAnswer:
		return Reading{Message: "This is too long. Give the result in one line."}, nil
	case a.Kind == Pick:
		for _, o := range a.Options {
			if strings.EqualFold(o.Name, answer) || strings.EqualFold(o.Text, answer) {
				return Reading{OK: true, Value: o.Text}, nil
			}
		}
		return Reading{Message: "This is not one of the options."}, nil
	}
	if a.Kind == Line {
		return m.readLine(answer), ctx.Err()
	}
	readings, refused := m.understand(ctx, answer)
	switch {
	case refused != nil:
		return Reading{Message: refused.Message, Choices: refused.Choices}, ctx.Err()
	case len(readings) > 1:
		v := ask(answer, readings)
		return Reading{Message: v.Message, Choices: v.Choices}, ctx.Err()
	}
	one := &readings[0]
	r := Reading{OK: true, Text: one.text, Note: one.said(answer), Formula: one.expr, Choices: one.choices}
	if a.Kind == Formula {
		return r, ctx.Err()
	}
	got, x := one.got, one.expr
	kind := "a pure number"
	if !got.Value.Dim.IsNumber() {
		kind = unit.Describe(got.Value.Dim)
	} else if HasAngleUnit(x) {
		kind = Describe(got.Value.Dim, true)
	}
	if strings.HasSuffix(got.Text, "Hz") {
		kind = "a frequency"
	}
	r.Value, r.Kind = got.Text, kind
	if !m.fits(ctx, one) {
		r.Note = strings.TrimSpace(r.Note + " The question asks for " + m.wanted() + ", so this does not fit.")
	}
	return r, ctx.Err()
}

// readLine returns how a line of a derivation is read.
func (m *Marker) readLine(answer string) Reading {
	text := strings.TrimLeft(strings.Join(strings.Fields(answer), " "), "= ")
	cell, list := notation.ParseDerivation(source.NewText("line", "given a\na\n  = "+text))
	for _, line := range cell.Lines {
		if step, ok := line.(*notation.DeriveStep); ok && step.X != nil && !list.HasErrors() {
			return Reading{OK: true, Text: text, Formula: step.X}
		}
	}
	if list.HasErrors() {
		return Reading{Message: Refuse(list, "").Message}
	}
	return Reading{Message: "This cannot be read as a line of a derivation."}
}

// A Solution is the right answer to a part with this learner's numbers. It is
// for showing after the last try only.
type Solution struct {
	Formula notation.Expr // of a formula part, else nil
	Value   string        // of a number, or the sentence of a pick
	Why     string        // the reason that the author gives, or empty
}

// Solution returns the right answer.
func (m *Marker) Solution() Solution {
	a := m.Scheme
	switch a.Kind {
	case Formula:
		return Solution{Formula: a.Answer, Why: a.Why}
	case Line:
		return Solution{Value: "`" + a.Line + "`", Why: a.Why}
	case Pick:
		for _, o := range a.Options {
			if o.Right {
				return Solution{Value: o.Text, Why: o.Reason}
			}
		}
	}
	return Solution{Value: m.Key.Shown(a, m.Key.Value), Why: a.Why}
}
