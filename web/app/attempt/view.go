package attempt

import (
	"context"
	"errors"
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/words"
	"shaftbook/web/page"
)

// Newest means the latest series in which a learner has answered.
const Newest = -1

// View returns an exercise as it is for a learner, without the addresses,
// which are web's. Where the store cannot be read it shows the question and
// says so, and returns the error beside it, for the log.
func (d *Service) View(ctx context.Context, p Place) (page.Exercise, Place, error) {
	known, failed := d.standing(ctx, p)
	if p.Series == Newest {
		p.Series = known.newest()
	}
	if d.mayWork(ctx, p, &known) != nil {
		p.Series = known.newest()
	}
	view := page.Exercise{ID: p.Cell.ID, FormToken: d.FormToken(p.Learner), Series: p.Series}
	err := d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		view.FormToken = tokenWith(view.FormToken, v)
		return d.fill(ctx, &view, v, p, &known)
	})
	var unset *Unset
	switch {
	case errors.As(err, &unset):
		view.Title, view.Question = unsetTitle, unset.question()
	case err != nil:
		return view, p, err
	}
	if failed != nil {
		view.Notice = "Your answers cannot be shown right now. Reload the page in a moment; nothing is lost."
		view.Guesses = nil
		for i := range view.Parts {
			view.Parts[i].Open, view.Parts[i].NextHint, view.Parts[i].Tries = false, 0, ""
		}
	}
	return view, p, failed
}

func (d *Service) fill(ctx context.Context, view *page.Exercise, v *exercises.Variant, p Place, known *standing) error {
	view.Title = v.Exercise.Title
	view.Question = question(ctx, v, fmt.Sprintf("%s-%d", p.Cell.ID, p.Series), known.done(p, v))
	if p.Series > 0 {
		view.Practice = fmt.Sprintf("Practice numbers, set %d. They carry no marks.", p.Series)
	}
	for _, q := range v.Structure.Predictions {
		if p.closed(known.now) && known.guess(p, q.Name) == nil {
			continue // there is nothing to commit any more
		}
		g, err := d.guessView(ctx, v, q, p, known)
		if err != nil {
			return err
		}
		view.Guesses = append(view.Guesses, g)
	}
	for _, a := range v.Structure.Parts {
		st := known.part(p, v.Exercise, a.Name)
		part := d.partView(v, a, p, st, known.hintsAt(p, a.Name))
		if err := readings(ctx, v, &part, st.all); err != nil {
			return err
		}
		if err := d.worked(ctx, v, &part, p, known); err != nil {
			return err
		}
		view.Parts = append(view.Parts, part)
	}
	if p.Series == 0 && !known.done(p, v) && d.MayPractise(p) == nil {
		view.Practises = v.Exercise.Varies()
		view.OneSet = !view.Practises && len(v.Given) > 0
	}
	known.fold(view, p, v)
	p.score(view, v, known)
	return nil
}

// readings gives a part the ways to mean its last answer that are to be chosen from.
// After the choice the field has the reading that was chosen.
func readings(ctx context.Context, v *exercises.Variant, part *page.Part, all []store.Attempt) error {
	if !part.Open || len(all) == 0 {
		return nil
	}
	last := all[len(all)-1]
	isTry := marking.VerdictKind(last.Verdict).IsTry()
	if isTry && (last.Reading == "" || last.Reading == last.Answer) {
		return nil
	}
	r, err := v.Read(ctx, part.Name, last.Answer)
	if err != nil {
		return err
	}
	switch {
	case slices.ContainsFunc(r.Choices, func(c marking.Choice) bool { return c.Text == last.Reading }):
		part.Answer = last.Reading
	case !isTry:
		part.Choices = choices(r.Choices)
	}
	return nil
}

func choices(list []marking.Choice) []page.Choice {
	var all []page.Choice
	for _, c := range list {
		all = append(all, page.Choice{Text: c.Text, Reason: c.Reason})
	}
	return all
}

const unsetTitle = "This exercise cannot be set"

// question explains in the place of a question why there is none.
func (u *Unset) question() template.HTML {
	return template.HTML("<p>" + html.EscapeString(u.Err.Error()) + ". The command shaftbook check shows where.</p>")
}

// Again returns the series that comes after a place, if it may be worked at.
func (d *Service) Again(ctx context.Context, p Place) (series int, ok bool) {
	known, err := d.standing(ctx, p)
	if err != nil {
		return 0, false
	}
	next := p
	next.Series++
	err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		ok = v.Exercise.Varies() && known.done(p, v)
		return nil
	})
	return next.Series, ok && err == nil
}

func (d *Service) partView(v *exercises.Variant, a *exercises.Part, p Place, st partState, hints int) page.Part {
	part := page.Part{
		Name: a.Name, Label: a.Text, LabelHTML: page.Inline(a.Text), Sign: page.Inline(a.Sign), Help: helpFor(a),
		Open: !st.done(), Submission: d.nextID(p.at(a.Name), len(st.all)), Tries: triesWords(st),
	}
	if p.Series == 0 {
		part.Points = words.Amount(a.Points, "point")
	}
	for _, o := range a.Options {
		part.Options = append(part.Options, page.Option{Name: o.Name, Text: page.Inline(o.Text)})
	}
	for _, attempt := range slices.Backward(st.all) {
		said := saidOf(&attempt, a, p.Series == 0)
		if part.Said == nil {
			part.Said = &said
			continue
		}
		part.Earlier = append(part.Earlier, said)
	}
	if part.Open && part.Said != nil {
		part.Answer = st.all[len(st.all)-1].Answer
	}
	for i, o := range part.Options {
		part.Options[i].Picked = o.Name == part.Answer
	}
	for _, h := range a.Hints[:min(hints, len(a.Hints))] {
		part.Hints = append(part.Hints, page.Inline(h))
	}
	if n := len(part.Hints); part.Open && n < len(a.Hints) {
		part.NextHint, part.HintLabel = n+1, fmt.Sprintf("Show a hint (%d of %d)", n+1, len(a.Hints))
	}
	if !part.Open && !st.right {
		part.Solution = solution(v, a.Name)
	}
	return part
}

func saidOf(a *store.Attempt, ask *exercises.Part, graded bool) page.Said {
	word := marking.VerdictKind(a.Verdict).Word()
	said := page.Said{
		Verdict: a.Verdict, Word: word, Message: Told(a),
		Number: a.Number, Answer: ask.Said(a.Answer),
	}
	if a.Points > 0 && graded {
		said.Points = words.Amount(a.Points, "point")
	}
	return said
}

// Told is what the learner was told beside the word of the verdict.
func Told(a *store.Attempt) string {
	return withoutWord(a.Message, marking.VerdictKind(a.Verdict).Word())
}

// withoutWord takes a verdict's word off a message that begins with it, since
// the word is before it already.
func withoutWord(message, word string) string {
	rest, found := strings.CutPrefix(message, word)
	rest = strings.TrimLeft(rest, ":. ")
	if !found || rest == "" {
		return message
	}
	return marking.Capital(rest)
}

func triesWords(st partState) string {
	switch left := st.tries - st.used; {
	case st.right:
		return "Answered"
	case st.closed:
		return "Closed"
	case left <= 0:
		return "No tries left"
	case st.tries == 1:
		return "One try"
	case left == 1:
		return fmt.Sprintf("Last of %d tries", st.tries)
	default:
		return fmt.Sprintf("%d of %d tries left", left, st.tries)
	}
}

func helpFor(a *exercises.Part) string {
	if a.Kind == marking.Line {
		return "What the line above is equal to, without its reason. Greek letters can be spelled out: theta for θ."
	}
	if a.Kind == marking.Formula {
		return "A formula in the given symbols. Greek letters can be spelled out: theta for θ."
	}
	return "A number with its unit, or a formula in the given symbols. Greek letters can be spelled out: theta for θ."
}

// solution returns the right answer, after the last try.
func solution(v *exercises.Variant, part string) template.HTML {
	s, err := v.Solution(part)
	if err != nil {
		return ""
	}
	text := page.Inline(s.Value)
	if s.Formula != nil {
		text = formula(s.Formula)
	}
	out := "The answer is <strong>" + text + "</strong>."
	if s.Why != "" {
		out += " " + page.Inline(s.Why)
	}
	return out
}

// guessView shows a prediction. What came out is held back while it would give
// an open part away.
func (d *Service) guessView(ctx context.Context, v *exercises.Variant, q *exercises.Prediction, p Place, known *standing) (page.Prediction, error) {
	g := page.Prediction{Name: q.Name, Label: page.Inline(q.Text), Bracket: q.Kind == exercises.Bracket, Submission: d.nextID(p.at(q.Name), 0)}
	kept := known.guess(p, q.Name)
	if kept == nil {
		return g, nil
	}
	judged, ok, err := v.Predict(ctx, q.Name, kept.Text)
	if err != nil {
		return g, err
	}
	g.Committed = kept.Text
	if ok {
		g.Committed = judged.Guess
	}
	held, err := v.GivesAway(ctx, q.Name)
	if err != nil {
		return g, err
	}
	for _, name := range held {
		if !known.part(p, v.Exercise, name).done() {
			g.Message = "Saved. You will see the result when you finish the exercise."
			return g, nil
		}
	}
	g.Result, g.Message = judged.Result, judged.Message
	return g, nil
}
