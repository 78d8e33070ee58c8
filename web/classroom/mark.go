package classroom

import (
	"fmt"
	"html"
	"html/template"
	"maps"
	"net/http"
	"slices"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
)

// A marked is one student's work in one assignment of the class of an address.
type marked struct {
	a      class.Assignment
	person class.Person
	member class.Member
	*gradebook.Work
	*gradebook.Standing
}

// marked looks the assignment and the student of an address up within its
// class.
func (h *marks) marked(r *http.Request) (m marked, err error) {
	if m.a, err = h.assignmentOf(r); err != nil {
		return m, err
	}
	if m.person, m.member, err = h.memberOf(r, class.Student); err != nil {
		return m, err
	}
	m.Work, m.Standing, err = h.gradebook().Student(r.Context(), m.person.ID, m.a, h.Now())
	return m, err
}

// showMark shows how one student's points in an assignment came about.
func (h *marks) showMark(w http.ResponseWriter, r *http.Request) {
	m, err := h.marked(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendMark(w, r, http.StatusOK, m, func(*page.MarkExercise) {})
}

// sendMark sends the page of a mark; change has the last word on each exercise.
func (h *marks) sendMark(w http.ResponseWriter, r *http.Request, status int, m marked, change func(*page.MarkExercise)) {
	view := page.MarkPage{
		ClassFrame: h.classFrame(r, m.person.Name+": "+m.a.Title, "Marks"),
		Student:    m.person.Name, StudentPath: page.StudentPath(m.member), Left: m.member.Left, Heading: m.a.Title,
		Table: page.ChosenPath("/class/"+m.a.Class+"/marks", m.a.ID), Lesson: lessons.Path(m.a.Key()), Path: page.MarkPath(&m.a, m.person.ID),
		Points: class.Shown(m.Sum.Points), Full: class.Shown(m.Sum.Full), Share: shareWords(&m.a, m.Standing, h.Now()),
		Due: page.Zoned(m.Terms.Due, m.a.Zone),
	}
	if m.Sum.Full > 0 {
		view.Answers = page.HandoutsPath(&m.a, "answers", m.person.ID)
	}
	if m.Terms.Closes.After(m.Terms.Due) {
		view.Closes = page.Zoned(m.Terms.Closes, m.a.Zone)
	}
	if m.Extension != nil {
		view.Own = m.Extension.Reason
		if view.Own == "" {
			view.Own = "no reason given"
		}
	}
	more, err := h.markMore(r, &m)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for i := range m.Exercises {
		e, err := h.markExercise(r, &m, i, more)
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		change(&e)
		view.Exercises = append(view.Exercises, e)
	}
	h.SendPage(w, r, status, "class-mark", view)
}

// A markMore is what the page of a mark shows beside what the points come from.
type markMore struct {
	guesses []store.Prediction
	before  map[gradebook.AnswerKey][]store.Attempt // as marking saw them before
	names   map[string]string                       // of those who set marks by hand
}

func (h *marks) markMore(r *http.Request, m *marked) (more markMore, err error) {
	ctx, key := r.Context(), m.a.Key()
	if more.guesses, err = h.Attempts.Store().Predictions(ctx, m.person.ID, key); err != nil {
		return more, err
	}
	old, err := h.Store.Regraded(ctx, key)
	if err != nil {
		return more, err
	}
	more.before = map[gradebook.AnswerKey][]store.Attempt{}
	for _, t := range old {
		if t.Learner == m.person.ID {
			more.before[gradebook.Key(&t)] = append(more.before[gradebook.Key(&t)], t)
		}
	}
	var by []string
	for _, o := range m.Overrides {
		by = append(by, o.By)
	}
	more.names, err = h.namesOf(r, by)
	return more, err
}

// markExercise is one exercise of the page.
func (h *marks) markExercise(r *http.Request, m *marked, i int, more markMore) (page.MarkExercise, error) {
	e, mark := &m.Exercises[i], &m.Marks[i]
	hints, err := h.Attempts.Store().Hints(r.Context(), m.person.ID, m.a.Key(), e.Cell.ID)
	if err != nil {
		return page.MarkExercise{}, err
	}
	view := page.MarkExercise{
		ID: e.Cell.ID, Title: e.Title, Points: class.Shown(mark.Points), Full: class.Shown(mark.Full), Fault: e.Fault,
		Marking: class.Shown(mark.Marking), Form: overrideForm(e.Cell.ID, mark, "", ""),
	}
	for _, o := range slices.Backward(m.Overrides) {
		if o.Exercise != e.Cell.ID {
			continue
		}
		shown := page.MarkOverride{
			Points: class.Shown(o.Points), Reason: o.Reason, By: more.names[o.By], When: page.Brief(o.At, m.a.Zone), Withdrawn: o.Withdrawn,
		}
		if len(view.History) == 0 && mark.Override != nil {
			view.Override = &shown
		}
		view.History = append(view.History, shown)
	}
	by := map[string][]store.Attempt{}
	for _, t := range m.Attempts {
		switch {
		case t.Exercise != e.Cell.ID:
		case t.Series > 0:
			view.Practice++
		default:
			by[t.Part] = append(by[t.Part], t)
			var given []exercises.Value
			view.Way, given = attempt.Numbers(t.Variant)
			view.Numbers = view.Numbers[:0]
			for _, g := range given {
				view.Numbers = append(view.Numbers, page.Given(g))
			}
		}
	}
	for _, p := range more.guesses {
		if p.Exercise == e.Cell.ID && p.Series == 0 {
			view.Guesses = append(view.Guesses, page.MarkPrediction{Label: guessLabel(m.Predict(i, p.Part), p.Part), Text: p.Text, When: page.Brief(p.At, m.a.Zone)})
		}
	}
	for _, p := range mark.Parts {
		part := page.MarkPart{Label: partLabel(m.Ask(i, p.Part), p.Part), Points: class.Shown(p.Points), Full: class.Shown(p.Full), Steps: p.Steps()}
		for _, h := range hints {
			if h.Part == p.Part && h.Series == 0 {
				part.Hints = append(part.Hints, fmt.Sprintf("Hint %d opened on %s", h.Level, page.Brief(h.At, m.a.Zone)))
			}
		}
		part.Attempts = m.attempts(m.Ask(i, p.Part), by[p.Part], more.before)
		delete(by, p.Part)
		view.Parts = append(view.Parts, part)
	}
	// What was answered before the exercise was mended is not hidden.
	for _, name := range slices.Sorted(maps.Keys(by)) {
		view.Parts = append(view.Parts, page.MarkPart{
			Label: template.HTML("Answers to “" + html.EscapeString(name) + "”, a part that is no longer in the exercise"), Attempts: m.attempts(nil, by[name], more.before),
		})
	}
	return view, nil
}

// attempts are the answers to one part, in their order.
func (m *marked) attempts(ask *exercises.Part, list []store.Attempt, before map[gradebook.AnswerKey][]store.Attempt) []page.MarkAttempt {
	counted := m.Counted()
	var views []page.MarkAttempt
	for _, t := range list {
		view := page.MarkAttempt{
			Number: t.Number, When: page.Brief(t.At, m.a.Zone), Answer: ask.Said(t.Answer), Verdict: marking.VerdictKind(t.Verdict).Word(),
			Slip: ask.SlipWords(t.Slip), Message: attempt.Told(&t), Points: class.Shown(t.Points), Counts: counted[gradebook.Key(&t)], Free: t.Free,
		}
		switch days, closed := m.Terms.Late(t.At); {
		case closed:
			view.Late = "after closing"
		case days > 0:
			view.Late = words.CountOf(days, "day late", "days late")
		}
		for _, b := range before[gradebook.Key(&t)] {
			view.Before = append(view.Before, page.MarkBefore{
				Verdict: marking.VerdictKind(b.Verdict).Word(), Slip: ask.SlipWords(b.Slip), Message: attempt.Told(&b), Points: class.Shown(b.Points),
			})
		}
		views = append(views, view)
	}
	return views
}

// partLabel is what a part asks, or its name where that is not known.
func partLabel(ask *exercises.Part, name string) template.HTML {
	if ask != nil && ask.Text != "" {
		return page.Inline(ask.Text)
	}
	return template.HTML(html.EscapeString(name))
}

func guessLabel(q *exercises.Prediction, name string) template.HTML {
	if q != nil {
		return page.Inline(q.Text)
	}
	return template.HTML(html.EscapeString(name))
}
