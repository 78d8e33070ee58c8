package attempt

import (
	"context"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
	"shaftbook/web/page"
)

// worked gives a part that is done its worked solution, with the wrong turns of its
// answers at the lines where they were taken. It is held back until all parts are done,
// since its lines may be what another part asks for.
func (d *Service) worked(ctx context.Context, v *exercises.Variant, part *page.Part, p Place, known *standing) error {
	st := known.part(p, v.Exercise, part.Name)
	if !st.done() {
		return nil
	}
	w, err := v.Worked(ctx, part.Name)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil || len(w.Lines) == 0 {
		return nil // the answer is shown by itself; check reports what the solution lacks
	}
	if !known.done(p, v) {
		part.Worked = &page.Worked{Holding: "The worked solution is shown when the other parts are finished too."}
		return nil
	}
	view := &page.Worked{Open: !st.right, Shaft: w.Shaft, Lines: page.WorkedLines(w)}
	if err := addTurns(ctx, v, view, part.Name, st.all); err != nil {
		return err
	}
	part.Worked = view
	return nil
}

// addTurns puts what went wrong in the answers of a part at the lines of its solution.
func addTurns(ctx context.Context, v *exercises.Variant, view *page.Worked, part string, all []store.Attempt) error {
	var seen []string
	for _, a := range all {
		if a.Slip == "" || slices.Contains(seen, a.Slip) {
			continue
		}
		seen = append(seen, a.Slip)
		ask, err := v.Part(part)
		if err != nil {
			return err
		}
		if ask.Kind == marking.Pick {
			continue // its reason has been said
		}
		answer := "Your answer " + ask.Said(a.Answer)
		turn, err := turnOf(ctx, v, part, &a)
		switch {
		case err != nil:
			return err
		case turn != nil:
			line := &view.Lines[turn.Line]
			line.Slips = append(line.Slips, template.HTML(template.HTMLEscapeString(answer+" went wrong in this line. "+turnWords(turn))))
		default:
			view.Slips = append(view.Slips, template.HTML(template.HTMLEscapeString(answer+" looks like a slip: "+ask.SlipWords(a.Slip)+". Which line it was made in cannot be told from the value alone.")))
		}
	}
	return nil
}

// turnOf returns where an answer went wrong, or nil where that cannot be told.
func turnOf(ctx context.Context, v *exercises.Variant, part string, a *store.Attempt) (*exercises.WrongTurn, error) {
	if strings.Contains(a.Slip, " ") {
		return nil, nil // one of several
	}
	text := a.Reading
	if text == "" {
		text = a.Answer
	}
	relative, _, _, ok, err := v.Relative(ctx, part, text)
	if err != nil || !ok {
		return nil, err
	}
	return v.WrongTurn(ctx, part, a.Slip, relative)
}

// turnWords says what was taken wrongly in a line, and what follows.
func turnWords(w *exercises.WrongTurn) string {
	var taken []string
	for _, t := range w.Taken {
		taken = append(taken, fmt.Sprintf("%s = %s in place of %s", t.Name, t.Wrong, t.Right))
	}
	effect := ""
	switch {
	case w.Factor != 0 && w.Symbol != "":
		effect = w.Symbol + " then comes out " + timesWords(w.Factor)
	default:
		effect = "the answer then comes out " + timesWords(w.Outcome)
	}
	if len(taken) > 0 && len(taken) <= 2 {
		return w.Says + " With " + words.And(taken) + ", " + effect + "."
	}
	return w.Says + " With that, " + effect + "."
}

// timesWords says how far off a value is, by its ratio to the right one.
func timesWords(ratio float64) string {
	sense := ""
	if ratio < 0 {
		ratio, sense = -ratio, " and in the opposite sense"
	}
	figures := func(x float64) string {
		return strings.TrimSuffix(strings.TrimSuffix(unit.FormatNumber(x, unit.Rounding{Figures: 3}), ".0"), ".00")
	}
	switch {
	case math.Abs(ratio-1) < 0.0005:
		if sense != "" {
			return "in the opposite sense"
		}
		return "almost the same"
	case ratio >= 2:
		return figures(ratio) + " times as large" + sense
	case ratio > 1:
		return figures(100*(ratio-1)) + " % too large" + sense
	case ratio > 0.5:
		return figures(100*(1-ratio)) + " % too small" + sense
	}
	return figures(1/ratio) + " times too small" + sense
}
