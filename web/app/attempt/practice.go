package attempt

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// MostPractice is the greatest number of a set of numbers to practise with.
const MostPractice = 1 << 30

// A Practice is an exercise with numbers to practise with, and answers to it. Nothing of
// it is kept: neither answers nor hints, and the marked numbers are not touched.
type Practice struct {
	Place                       // Series has no meaning
	Set       int               // which numbers, from 1
	FormToken string            // as the page had it; empty for a page that is asked for
	Answers   map[string]string // as typed, by part
	Readings  map[string]string // the choice among the readings that were offered, by part
	Solve     bool              // the worked solution is asked for
}

// Practise returns an exercise with numbers that are not the marked ones, and says of
// each answer what marking says. An exercise with only one set of numbers has no
// parts and says so in OneSet. The error is a *Refusal, an *Unset, or ctx's.
func (d *Service) Practise(ctx context.Context, p Practice) (page.Practice, error) {
	view := page.Practice{ID: p.Cell.ID, Set: p.Set, FormToken: d.FormToken(p.Learner)}
	if p.Set < 1 || p.Set > MostPractice {
		return view, errNoName
	}
	if p.FormToken != "" && p.FormToken != view.FormToken {
		return view, errStranger
	}
	if err := d.MayPractise(p.Place); err != nil {
		return view, err
	}
	wait, err := d.practice.Take(ctx, p.Learner, d.now())
	if err != nil {
		return view, err
	}
	if wait > 0 {
		return view, errPractice
	}
	open, err := d.openAnswers(ctx, p)
	if err != nil {
		return view, err
	}
	err = d.onPractice(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		return d.fillPractice(ctx, &view, v, p, open)
	})
	if errors.Is(err, exercises.ErrOneSet) {
		view.OneSet = "This exercise has only one set of numbers, which are the marked ones, so there are no others to practise with."
		return view, nil
	}
	return view, err
}

// MayPractise returns the refusal of practice that the terms do not offer, or nil.
func (d *Service) MayPractise(p Place) error {
	switch {
	case p.Terms == nil, p.closed(d.now()):
		return nil
	case p.Terms.Test:
		return ErrTest
	}
	return nil
}

// heldWords say why the worked solution is not shown with practice numbers.
const heldWords = "Some of what is asked here has the same answer with every set of numbers. So the worked solution is shown when your marked exercise is finished, or when all your answers here are right."

// openAnswers returns the answers of the marked exercise that are still asked for, which
// a worked solution of practice must not give away.
func (d *Service) openAnswers(ctx context.Context, p Practice) ([]exercises.OpenAnswer, error) {
	p.Series = 0
	known, err := d.standing(ctx, p.Place)
	if err != nil {
		return nil, err
	}
	var open []exercises.OpenAnswer
	err = d.on(ctx, p.Place, func(_ context.Context, v *exercises.Variant) error {
		for _, a := range v.Structure.Parts {
			if !known.part(p.Place, v.Exercise, a.Name).done() {
				open = append(open, v.OpenAnswer(a))
			}
		}
		return nil
	})
	return open, err
}

// onPractice calls f with a variant of other numbers than the marked ones.
func (d *Service) onPractice(ctx context.Context, p Practice, f func(context.Context, *exercises.Variant) error) error {
	p.Series = 0
	var marked *exercises.Variant
	err := d.on(ctx, p.Place, func(_ context.Context, v *exercises.Variant) error {
		marked = v // only its numbers are looked at, which do not change
		return nil
	})
	if err != nil {
		return err
	}
	e := marked.Exercise
	k := p.variant(e)
	k.series = -p.Set
	kept, _ := d.practised.Do(k, func() (*keptVariant, error) { return &keptVariant{}, nil })
	return kept.use(ctx, func(ctx context.Context) (*exercises.Variant, error) {
		return e.VariantBut(ctx, d.key, k.learner, k.series, marked)
	}, f)
}

func (d *Service) fillPractice(ctx context.Context, view *page.Practice, v *exercises.Variant, p Practice, open []exercises.OpenAnswer) error {
	view.Title = v.Exercise.Title
	var allRight = true
	for _, a := range v.Structure.Parts {
		part, right, err := practicePart(ctx, v, a, p)
		if err != nil {
			return err
		}
		allRight = allRight && right
		view.Parts = append(view.Parts, part)
	}
	if !allRight && slices.ContainsFunc(open, v.Gives) {
		view.Held, p.Solve = heldWords, false
	}
	view.IsDone = allRight || p.Solve
	view.Question = question(ctx, v, fmt.Sprintf("%s-practice", p.Cell.ID), view.IsDone)
	for i := range view.Parts {
		if !view.IsDone {
			break
		}
		if err := solvePractice(ctx, v, &view.Parts[i], p); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// practicePart shows one part with what marking says of its answer.
func practicePart(ctx context.Context, v *exercises.Variant, a *exercises.Part, p Practice) (part page.PracticePart, right bool, err error) {
	part = page.PracticePart{Name: a.Name, Label: page.Inline(a.Text), Sign: page.Inline(a.Sign), Help: helpFor(a)}
	part.Answer = strings.TrimSpace(p.Answers[a.Name])
	for _, o := range a.Options {
		part.Options = append(part.Options, page.Option{Name: o.Name, Text: page.Inline(o.Text), Picked: o.Name == part.Answer})
	}
	for _, h := range a.Hints {
		part.Hints = append(part.Hints, page.Inline(h))
	}
	if part.Answer == "" {
		return part, false, nil
	}
	verdict, err := judgePractice(ctx, v, a, part.Answer, p.Readings[a.Name])
	if err != nil {
		return part, false, err
	}
	word := verdict.Kind.Word()
	part.Said = &page.Said{Verdict: string(verdict.Kind), Word: word, Message: withoutWord(verdict.Message, word), Answer: a.Said(part.Answer)}
	part.Choices = choices(verdict.Choices)
	part.Slip, part.Reading = strings.Join(verdict.Slips, " "), verdict.Text
	return part, verdict.Kind == marking.Right, nil
}

// judgePractice marks an answer by the reading that was chosen, if it was one of those
// offered, else as it is typed.
func judgePractice(ctx context.Context, v *exercises.Variant, a *exercises.Part, answer, reading string) (marking.Verdict, error) {
	if reading == "" || isOffered(ctx, v, a.Name, &Submission{Text: answer, Reading: reading}) != nil {
		reading = ""
	}
	return judge(ctx, v, a.Name, answer, reading)
}

// solvePractice adds the worked solution, with what went wrong in the answer at its line.
func solvePractice(ctx context.Context, v *exercises.Variant, part *page.PracticePart, p Practice) error {
	part.Solution = solution(v, part.Name)
	w, err := v.Worked(ctx, part.Name)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil || len(w.Lines) == 0 {
		return nil
	}
	part.Worked = &page.Worked{Open: p.Solve, Shaft: w.Shaft, Lines: page.WorkedLines(w)}
	return addTurns(ctx, v, part.Worked, part.Name, []store.Attempt{{Answer: part.Answer, Reading: part.Reading, Slip: part.Slip}})
}

// NextPractice returns a set of numbers to practise with that differs from the one of p,
// where there are others. The error is as for Practise.
func (d *Service) NextPractice(ctx context.Context, p Practice) (int, error) {
	present := p.Set
	numbers := func(set int) (text string, err error) {
		p.Set = set
		err = d.onPractice(ctx, p, func(_ context.Context, v *exercises.Variant) error {
			text = v.Structure.Name
			for _, g := range v.Given {
				text += "\n" + g.Name + " = " + g.Text
			}
			return nil
		})
		return text, err
	}
	before := ""
	if present > 0 && present <= MostPractice {
		var err error
		if before, err = numbers(present); err != nil {
			return present, err
		}
	}
	set := 0
	for range mostRedraws {
		n, err := rand.Int(rand.Reader, big.NewInt(MostPractice))
		if err != nil {
			return 0, err
		}
		set = int(n.Int64()) + 1
		if before == "" {
			break
		}
		if next, err := numbers(set); err != nil || next != before {
			return set, err
		}
	}
	return set, nil
}

// mostRedraws bounds how often another set of numbers is looked for.
const mostRedraws = 6

// Varies reports whether an exercise can be set and may have other numbers than the
// marked ones.
func (d *Service) Varies(cell lessons.Cell) bool {
	e, err := d.exercise(cell)
	return err == nil && e.Varies()
}

// FreshPractice is NextPractice for an exercise that must have other numbers: its error
// is exercises.ErrOneSet where there are none.
func (d *Service) FreshPractice(ctx context.Context, p Practice) (int, error) {
	set, err := d.NextPractice(ctx, p)
	if err != nil {
		return set, err
	}
	p.Set = set
	return set, d.onPractice(ctx, p, func(context.Context, *exercises.Variant) error { return nil })
}

// An Outcome is what came of a practice.
type Outcome int

// What can come of a practice.
const (
	Undecided Outcome = iota // not all is answered, and nothing wrong
	WasRight
	WasWrong
)

// OutcomeOf returns what came of a practice: wrong with the first wrong answer to a part, and where the solution
// was asked for before all was right. An answer that cannot be read, or that is asked
// about, is neither.
func OutcomeOf(view page.Practice, solve bool) Outcome {
	right := 0
	for _, part := range view.Parts {
		if part.Said == nil {
			continue
		}
		switch kind := marking.VerdictKind(part.Said.Verdict); {
		case kind == marking.Right:
			right++
		case kind.IsTry():
			return WasWrong
		}
	}
	switch {
	case len(view.Parts) > 0 && right == len(view.Parts):
		return WasRight
	case solve:
		return WasWrong
	}
	return Undecided
}
