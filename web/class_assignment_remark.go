package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// A remarking is what changes when an assignment gets the text that its
// lesson's file has now.
type remarking struct {
	assignment class.Assignment
	people     []class.Person // of the class, those who have left included
	members    []class.Member
	old        *lessons.Lesson
	was        class.Frozen
	to         *givable

	extensions []class.Extension
	overrides  []class.Override
	attempts   []store.Attempt // at graded exercises

	remarks  []class.Regrade // what is judged otherwise
	answers  int             // judged again
	marks    []page.AssignRemarked
	kept     []page.AssignKept
	notes    []string
	students []remarkedMarks
}

// remarkedMarks are the marks of one student that change, in words for the log.
type remarkedMarks struct {
	person string
	words  []string
}

// showRemark shows what marking again would change.
func (s *Server) showRemark(w http.ResponseWriter, r *http.Request) {
	m, err := s.remarking(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendRemark(w, r, http.StatusOK, m, false)
}

func (s *Server) sendRemark(w http.ResponseWriter, r *http.Request, status int, m *remarking, stale bool) {
	a := &m.assignment
	text := m.to.frozen()
	view := page.AssignRemark{
		ClassFrame: s.assignFrame(r, "Mark "+a.Title+" again"), Heading: a.Title, Base: assignmentPath(a), File: text.Name,
		Stale: stale, Refused: m.to.view(), Same: text.Hash == a.Text, Lines: changedLines(m.was.Text, text.Text),
		Answers: m.answers, Changed: len(m.remarks), Marks: m.marks, Kept: m.kept, Notes: m.notes, Shown: m.fingerprint(),
	}
	view.Wide = true
	if len(view.Refused) > 0 {
		status = http.StatusConflict
	}
	s.sendClass(w, r, status, "class-remark", view)
}

// remark gives an assignment the text of the file and judges its answers again,
// if that changes what was shown.
func (s *Server) remark(w http.ResponseWriter, r *http.Request) {
	m, err := s.remarking(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if len(m.to.faults) > 0 || r.PostFormValue("shown") != m.fingerprint() {
		s.sendRemark(w, r, http.StatusConflict, m, true)
		return
	}
	a, text := &m.assignment, m.to.frozen()
	e := s.entry(r, actionRecompute, "", fmt.Sprintf("“%s” has the text of %s with the fingerprint %s, after %s: %s judged again, %d otherwise than before; marks of %s changed",
		a.Title, text.Name, text.Hash[:hashShown], a.Text[:hashShown], howMany(m.answers, "answer", "answers"), len(m.remarks), howMany(len(m.students), "student", "students")))
	e.Assignment = a.ID
	var about []class.Entry
	for _, st := range m.students {
		one := s.entry(r, actionRecompute, st.person, "“"+a.Title+"” marked again: "+strings.Join(st.words, ", "))
		one.Assignment = a.ID
		about = append(about, one)
	}
	if err := s.Class.Regrade(r.Context(), a.ID, text, m.remarks, e, about...); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, assignmentPath(a), "remarked")
}

// remarking works out what changes. Nothing is kept.
func (s *Server) remarking(r *http.Request) (*remarking, error) {
	ctx := r.Context()
	m := &remarking{}
	var err error
	if m.assignment, err = s.assignmentOf(r); err != nil {
		return nil, err
	}
	a := &m.assignment
	if m.to, err = s.givable(ctx, a.Lesson); err != nil {
		return nil, err
	}
	m.to.lesson.Slug = a.Key() // under which numbers are drawn
	given, err := s.book.assigned(ctx, *a)
	if err != nil {
		return nil, err
	}
	m.old = given.lesson
	if m.was, err = s.Class.Frozen(ctx, a.Text); err != nil {
		return nil, err
	}
	if m.people, m.members, err = s.Class.Members(ctx, a.Class); err != nil {
		return nil, err
	}
	if m.extensions, err = s.Class.Extensions(ctx, a.ID); err != nil {
		return nil, err
	}
	if m.overrides, err = s.Class.Overrides(ctx, a.ID); err != nil {
		return nil, err
	}
	all, err := s.Class.AttemptsIn(ctx, a.Key())
	if err != nil {
		return nil, err
	}
	m.attempts = slices.DeleteFunc(all, func(t store.Attempt) bool { return t.Series != 0 })
	if len(m.to.faults) > 0 {
		return m, nil
	}
	m.compare()
	return m, m.judge(ctx, s.Desk)
}

// compare notes exercises that come and go.
func (m *remarking) compare() {
	for _, c := range m.old.CellsOf(lessons.Exercise) {
		if m.after(c.ID) == nil {
			m.notes = append(m.notes, "The exercise "+titleOf(c)+" is no longer in the lesson. Answers to it are kept, and count no more.")
		}
	}
	for i, c := range m.to.cells {
		if _, there := m.old.Cell(c.ID); there {
			continue
		}
		counts := "It counts, since all exercises of the lesson do."
		if !m.assignment.Counts(c.ID) {
			counts = "It does not count, until you choose it in the terms."
		}
		m.notes = append(m.notes, "The exercise "+m.to.exercises[i].Title+" is new. "+counts)
	}
}

// after returns an exercise of the new text, or nil.
func (m *remarking) after(id string) *exercises.Exercise {
	i := slices.IndexFunc(m.to.cells, func(c lessons.Cell) bool { return c.ID == id })
	if i < 0 {
		return nil
	}
	return m.to.exercises[i]
}

func titleOf(c lessons.Cell) string {
	e, _ := exercises.Parse(c.Name, c.Text)
	return e.Title
}

// judge goes through everybody's work at every exercise of the text that the
// class has.
func (m *remarking) judge(ctx context.Context, desk *attempt.Service) error {
	for _, cell := range m.old.CellsOf(lessons.Exercise) {
		title := titleOf(cell)
		for i, member := range m.members {
			mine := m.of(member.Person, cell.ID)
			if len(mine) == 0 {
				continue
			}
			if err := m.judgeOne(ctx, desk, cell, title, m.people[i], mine); err != nil {
				return err
			}
		}
	}
	return nil
}

// of returns a person's attempts at an exercise.
func (m *remarking) of(person, exercise string) (list []store.Attempt) {
	for _, t := range m.attempts {
		if t.Learner == person && t.Exercise == exercise {
			list = append(list, t)
		}
	}
	return list
}

func (m *remarking) judgeOne(ctx context.Context, desk *attempt.Service, cell lessons.Cell, title string, who class.Person, mine []store.Attempt) error {
	set, err := desk.Structure(ctx, attempt.Place{Learner: who.ID, Lesson: m.old, Cell: cell})
	if err != nil {
		return err
	}
	row := page.AssignRemarked{Student: who.Name, Exercise: title, Old: m.worth(set, cell, who.ID, mine)}
	e := m.after(cell.ID)
	if e == nil {
		m.keep(who, title, "the exercise is no longer in the lesson", len(mine))
		row.New = noMark
		m.note(who.ID, row)
		return nil
	}
	set, judged, err := desk.Regrade(ctx, attempt.Place{Learner: who.ID, Lesson: m.to.lesson}, e, mine)
	if err != nil {
		return err
	}
	after := slices.Clone(mine)
	cannot := map[string]int{}
	for i, j := range judged {
		if j.Cannot != "" {
			cannot[j.Cannot]++
			continue
		}
		m.answers++
		if !j.Changed {
			continue
		}
		m.remarks = append(m.remarks, j.Regrade)
		row.Answers = append(row.Answers, judgedWords(&mine[i], &j, len(set.Parts) > 1))
		after[i].Verdict, after[i].Slip, after[i].Message, after[i].Points, after[i].Free = j.Verdict, j.Slip, j.Message, j.Points, j.Free
	}
	for _, why := range []string{attempt.OtherNumbers, attempt.NoPart, attempt.CannotBeSet} {
		m.keep(who, title, why, cannot[why])
	}
	row.New = m.worth(set, cell, who.ID, after)
	m.note(who.ID, row)
	return nil
}

// note notes what changes for a person at an exercise, if anything does.
func (m *remarking) note(person string, row page.AssignRemarked) {
	if row.Old == row.New && len(row.Answers) == 0 {
		return
	}
	m.marks = append(m.marks, row)
	if row.Old == row.New {
		return
	}
	i := slices.IndexFunc(m.students, func(st remarkedMarks) bool { return st.person == person })
	if i < 0 {
		i = len(m.students)
		m.students = append(m.students, remarkedMarks{person: person})
	}
	m.students[i].words = append(m.students[i].words, row.Exercise+" from "+row.Old+" to "+row.New)
}

func (m *remarking) keep(who class.Person, title, why string, answers int) {
	if answers > 0 {
		m.kept = append(m.kept, page.AssignKept{Student: who.Name, Exercise: title, Why: why, Answers: answers})
	}
}

func judgedWords(a *store.Attempt, j *attempt.Regraded, parts bool) string {
	at := fmt.Sprintf("answer %d", a.Number)
	if parts {
		at += " at " + a.Part
	}
	was, is := marking.VerdictKind(a.Verdict).Word(), marking.VerdictKind(j.Verdict).Word()
	switch {
	case was != is:
		return at + ": " + was + " → " + is
	case a.Points != j.Points:
		return at + ": " + is + ", " + class.Shown(a.Points) + " → " + class.Shown(j.Points) + " points"
	}
	return at + ": " + is + ", in other words"
}

const noMark = "does not count"

// worth says what attempts at an exercise are worth to a person for whom it is
// set in a certain way; nil if it cannot be set.
func (m *remarking) worth(set *exercises.Structure, cell lessons.Cell, person string, attempts []store.Attempt) string {
	if set == nil || !m.assignment.Counts(cell.ID) {
		return noMark
	}
	w := class.Worth{Exercise: cell.ID}
	for _, a := range set.Parts {
		w.Parts = append(w.Parts, class.PartWorth{Part: a.Name, Points: a.Points})
	}
	var extension *class.Extension
	if i := slices.IndexFunc(m.extensions, func(x class.Extension) bool { return x.Person == person }); i >= 0 {
		extension = &m.extensions[i]
	}
	overrides := slices.DeleteFunc(slices.Clone(m.overrides), func(o class.Override) bool { return o.Person != person })
	mark := class.MarkOf(w, m.assignment.TermsFor(extension), attempts, overrides)
	words := class.Shown(mark.Points) + " of " + class.Shown(mark.Full)
	if mark.Override != nil {
		words += ", set by hand"
	}
	return words
}

// fingerprint names everything that the page of a remarking shows, and what it
// was worked out from.
func (m *remarking) fingerprint() string {
	text := m.to.frozen()
	shown, err := json.Marshal([]any{
		m.assignment.ID, m.assignment.Text, m.assignment.Revision, text.Hash, len(m.attempts),
		m.remarks, m.answers, m.marks, m.kept, m.notes,
	})
	if err != nil {
		return "" // of which no form can have come
	}
	sum := sha256.Sum256(shown)
	return hex.EncodeToString(sum[:16])
}
