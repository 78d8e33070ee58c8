package lessons

import (
	"context"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// Codes of what is said of derivations.
const (
	// CodeStepFails: a step does not follow from the line above it.
	CodeStepFails source.Code = "step-fails"
	// CodeStepOpen: nothing can be said about a step (a note).
	CodeStepOpen source.Code = "step-open"
)

// checkDerivation returns what an author should know of a derivation. A gap is
// fine: it is there to be filled in.
func checkDerivation(ctx context.Context, c Cell) source.List {
	report := derive.JudgeText(ctx, c.Text, derive.Settings{})
	var list source.List
	for _, d := range report.Diagnostics {
		if d.Code != derive.CodeCondition { // nothing that an author need look at
			list = append(list, d)
		}
	}
	for _, v := range report.Verdicts {
		switch v.Kind {
		case derive.Fails:
			list.Addf(v.Span, CodeStepFails, "this step does not follow: %s", v.Reason()).
				Repair = "correct it, or make it a gap with = ?"
		case derive.Open:
			list.Notef(v.Span, CodeStepOpen, "it cannot be decided whether this step follows: %s", v.Why)
		}
	}
	return list
}
