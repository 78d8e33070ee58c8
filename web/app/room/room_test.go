package room

import (
	"context"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// lessonText asks every student for the twist of a shaft with other numbers.
const lessonText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

Before the first heading.

## Read

` + "```calc\nT = 420 N·m\n```" + `

### A smaller heading

## Work

` + "```exercise twist" + `
title: The twist
given:
  T: {from: 300 N·m, to: 500 N·m, by: 10 N·m}
  L: 1.3 m
  G: 79 GPa
  d: {from: 40 mm, to: 60 mm, by: 1 mm}
predict:
  - name: stiff
    text: Between which angles does it lie?
    result: T·L/(G·π/32·d^4)
  - name: thicker
    text: With a thicker shaft, is it more, less or the same?
    before: T·L/(G·π/32·d^4)
    result: T·L/(G·π/32·(1.1·d)^4)
ask:
  - name: twist
    text: By how much does it turn?
    answer: T·L/(G·π/32·d^4)
    unit: deg
    tolerance: 0.5 %
    bounds: {low: T·L/(G·π/32·(1.3·d)^4), high: 4·T·L/(G·π/32·d^4)}
    slips: [bending-for-torsion]
    hints: [Begin with the section., Then the length.]
` + "```\n"

// What students write: a formula in the given names is right, or wrong in the
// same way, whatever their numbers are.
const (
	rightTwist   = "32·T·L/(π·G·d^4)"
	bendingTwist = "64·T·L/(π·G·d^4)" // π/64·d⁴ in place of π/32·d⁴: twice the twist
	otherTwist   = "52·T·L/(π·G·d^4)"
)

// school is a class in memory with a real service.
type school struct {
	t        testing.TB
	service  *attempt.Service
	lesson   *lessons.Lesson
	people   []class.Person
	members  []class.Member
	attempts []store.Attempt
	guesses  []store.Prediction
	hints    []store.Hint
	present  []class.Presence
	now      time.Time
	view     *View
}

func (s *school) Members(context.Context, string) ([]class.Person, []class.Member, error) {
	return s.people, s.members, nil
}
func (s *school) AttemptsIn(context.Context, string) ([]store.Attempt, error) {
	return s.attempts, nil
}
func (s *school) PredictionsIn(context.Context, string) ([]store.Prediction, error) {
	return s.guesses, nil
}
func (s *school) HintsIn(context.Context, string) ([]store.Hint, error) { return s.hints, nil }
func (s *school) Present(_ context.Context, _ string, since time.Time) ([]class.Presence, error) {
	return slices.DeleteFunc(slices.Clone(s.present), func(p class.Presence) bool { return p.At.Before(since) }), nil
}

// newSchool opens a class with so many students, named in the order of the
// roster, and their instructor.
func newSchool(t testing.TB, students int) *school {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	service, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	lesson, list := lessons.Parse("wheel.md", []byte(lessonText))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	a := class.Assignment{ID: "A1", Class: "MILL", Lesson: "wheel", Title: "First twist"}
	lesson = lesson.WithKey(a.Key())
	s := &school{t: t, service: service, lesson: lesson, now: time.Now()}
	s.view = &View{Assignment: a, Lesson: lesson, Path: func(e string) string { return "/?at=" + e }}
	for i, h := range [][2]string{{"", "The wheel shaft"}, {"read", "Read"}, {"a-smaller-heading", "A smaller heading"}, {"work", "Work"}} {
		line := 1 + slices.IndexFunc(strings.Split(lessonText, "\n"), func(l string) bool { return strings.HasSuffix(l, "# "+h[1]) })
		s.view.Sections = append(s.view.Sections, Section{h[0], h[1], []int{1, 2, 3, 2}[i], line})
	}
	s.add("I1", "Instructor Mill", class.Staff)
	for i := range students {
		s.add(fmt.Sprintf("S%02d", i+1), fmt.Sprintf("Student %02d", i+1), class.Student)
	}
	return s
}

func (s *school) add(id, name string, role class.Role) {
	s.people = append(s.people, class.Person{ID: id, Name: name})
	s.members = append(s.members, class.Member{Class: "MILL", Person: id, Role: role})
}

func (s *school) cell() lessons.Cell { return s.lesson.CellsOf(lessons.Exercise)[0] }

// answer has an answer marked as it would be for the student.
func (s *school) answer(person, text string, ago time.Duration) {
	s.t.Helper()
	p := attempt.Place{Learner: person, Lesson: s.lesson, Cell: s.cell()}
	kept, err := s.service.Submit(s.t.Context(), attempt.Submission{
		Place: p, FormToken: s.service.FormToken(person), ID: fmt.Sprintf("%s-%020d", person, len(s.attempts)), Part: "twist", Text: text})
	if err != nil {
		s.t.Fatal(err)
	}
	kept.At = s.now.Add(-ago)
	s.attempts = append(s.attempts, kept)
}

func (s *school) guess(person, part, text string, kind store.PredictionKind, low, high float64) {
	s.guesses = append(s.guesses, store.Prediction{
		Place: store.Place{Learner: person, Lesson: s.lesson.Slug, Exercise: s.cell().ID, Part: part},
		Kind:  kind, Text: text, Low: low, High: high, At: s.now.Add(-time.Minute)})
}

func (s *school) here(person, place string, ago time.Duration) {
	s.present = append(s.present, class.Presence{Person: person, Lesson: s.lesson.Slug, Place: place, At: s.now.Add(-ago)})
}

// read returns the pieces by id.
func (s *school) read() map[string]string {
	s.t.Helper()
	pieces, err := New(s, s.service).Pieces(s.t.Context(), s.view, s.now)
	if err != nil {
		s.t.Fatal(err)
	}
	by := map[string]string{}
	for _, p := range pieces {
		by[p.ID] = string(p.HTML)
	}
	return by
}

var tags = regexp.MustCompile(`<[^>]*>`)

// words is what a piece says, spaces single.
func wordsOf(html string) string {
	return strings.Join(strings.Fields(tags.ReplaceAllString(html, " ")), " ")
}

func want(t *testing.T, html string, sentences ...string) {
	t.Helper()
	said := wordsOf(html)
	for _, s := range sentences {
		if !strings.Contains(said, s) {
			t.Errorf("%q is missing in %q", s, said)
		}
	}
}

func TestWhoIsWhere(t *testing.T) {
	s := newSchool(t, 6)
	s.here("S01", "calc-1", time.Second)
	s.here("S02", "exercise-twist", time.Second)
	s.here("S03", "a-smaller-heading", time.Second) // belongs to the section above
	s.here("S04", "gone-from-the-lesson", time.Second)
	s.here("S05", "work", presentFor+time.Second) // has aged
	s.here("I1", "work", time.Second)             // an instructor is none of the class
	s.answer("S02", rightTwist, 4*time.Minute)
	s.members[6].Left = true // Student 06
	want(t, s.read()["room-here"], "4 of 5 here",
		"The wheel shaft 1 Student 04", "Read 2 Student 01 Student 03", "Work 1 Student 02 4 min",
		"Not in the lesson now: 1 Student 05")
}

// What many are stuck at comes first, and who is there before the others; sections
// in which nobody is stand apart.
func TestWhatStallsComesFirst(t *testing.T) {
	s := newSchool(t, 4)
	for _, person := range []string{"S01", "S02", "S03"} {
		s.answer(person, bendingTwist, 2*time.Minute)
		s.answer(person, otherTwist, time.Minute)
		s.here(person, "exercise-twist", time.Second)
	}
	s.here("S04", "read", time.Second)
	want(t, s.read()["room-here"], "4 of 4 here", "Who Work many stuck 3 Student 01", "Read 1 Student 04", "Sections with nobody: 1 The wheel shaft")
}

func TestManyNamesAreFolded(t *testing.T) {
	s := newSchool(t, 30)
	for i := range 30 {
		s.here(fmt.Sprintf("S%02d", i+1), "read", time.Second)
	}
	want(t, s.read()["room-here"], "Read 30 Student 01", "Student 24 and 6 more Student 25", "Student 30")
}

func TestWhichExerciseStalls(t *testing.T) {
	s := newSchool(t, 5)
	s.answer("S01", bendingTwist, 2*time.Minute)
	s.answer("S01", otherTwist, time.Minute)
	s.answer("S02", otherTwist, 11*time.Minute)
	s.answer("S03", rightTwist, time.Minute)
	s.hints = []store.Hint{{Place: store.Place{Learner: "S04", Exercise: s.cell().ID, Part: "twist"}, Level: 2, At: s.now}}
	want(t, s.read()["room-stalls"], " 4 1 0 3", "Student 01 2 wrong answers", "Student 02 working for 11 min", "Student 04 all hints used")
}

func TestAnswersBesideTheRightValue(t *testing.T) {
	s := newSchool(t, 5)
	s.view.Chosen = s.cell().ID
	s.answer("S01", bendingTwist, time.Minute)
	s.answer("S01", rightTwist, 0)
	s.answer("S02", bendingTwist, 0)
	s.answer("S03", otherTwist, 0)
	s.answer("S04", "12 mm", 0) // another quantity: nothing to draw
	part := s.read()["room-part-twist"]
	want(t, part, "4 of 5 students", "5 answers", "1 answer without",
		"Right 1", marking.SlipMade.Word()+" 1", "Not yet 1", "Wrong quantity 1",
		"a bending for torsion 1 2", // one takes it now, two ever did
		// From outside: π/64·d⁴ is half of π/32·d⁴ (Roark's Formulas for Stress
		// and Strain, section properties, from memory), so the twist is double.
		"1 right", "2 bending for torsion", "1.625 not right")
	// The bounds are 1/1.3⁴ and 4 times the right twist, whatever the numbers.
	want(t, part, "0.35 and 4 times")
}

func TestPredictionsBesideTheResult(t *testing.T) {
	s := newSchool(t, 4)
	s.view.Chosen = s.cell().ID
	s.guess("S01", "stiff", "between 0 deg and 90 deg", store.Bracket, 0, 1.57)
	s.guess("S02", "stiff", "between 80 deg and 90 deg", store.Bracket, 1.4, 1.57)
	s.guess("S01", "thicker", "less", store.Less, 0, 0)
	s.guess("S02", "thicker", "more", store.More, 0, 0)
	got := s.read()
	want(t, got["room-guess-stiff"], "2 of 4 students", "1 holds the", "0 lie below", "1 lies above", "Student 01", "too high")
	want(t, got["room-guess-thicker"], "more 1", "less 1", "same 0", "1 of 2 ")
}

func TestNobodyYet(t *testing.T) {
	s := newSchool(t, 0)
	got := s.read()
	want(t, got["room-here"], "0 of 0 here")
	want(t, got["room-stalls"], "The twist 0 0 0 0")
	s.view.Chosen = s.cell().ID
	if text := s.read()["room-part-twist"]; strings.Contains(text, " 0 ") || text == "" {
		t.Errorf("of nobody’s answers it says %q", text)
	}
}

// TestHiddenNames holds that a room for a projector has no name and no account
// in it, and that the codes stay as they are while the key does.
func TestHiddenNames(t *testing.T) {
	s := newSchool(t, 30)
	for i := range 30 {
		id := fmt.Sprintf("S%02d", i+1)
		s.here(id, "exercise-twist", 0)
		s.answer(id, bendingTwist, time.Minute)
		s.answer(id, otherTwist, 0)
		s.guess(id, "stiff", "between 0 deg and 90 deg", store.Bracket, 0, 1.57)
	}
	s.view.HideNames = "one sign-in"
	for _, chosen := range []string{"", s.cell().ID} {
		s.view.Chosen = chosen
		for id, html := range s.read() {
			for _, p := range s.people {
				if strings.Contains(html, p.Name) || strings.Contains(html, p.ID) {
					t.Errorf("%s names %s", id, p.Name)
				}
			}
		}
	}
	first := namesOf(s.people, "one sign-in")
	later := slices.Clone(s.people)
	slices.Reverse(later)
	for id, code := range namesOf(append(later, class.Person{ID: "new"}), "one sign-in") {
		if id != "new" && first[id] != code {
			t.Errorf("%s was %s and is %s after somebody joined", id, first[id], code)
		}
	}
	other := namesOf(s.people, "another sign-in")
	codes, same := map[string]bool{}, 0
	var inOrder []string
	for _, p := range s.people {
		codes[first[p.ID]] = true
		inOrder = append(inOrder, first[p.ID])
		if other[p.ID] == first[p.ID] {
			same++
		}
	}
	if len(codes) != len(s.people) || same > 3 || slices.IsSorted(inOrder) {
		t.Errorf("%d codes for %d people, %d the same under another key: %v", len(codes), len(s.people), same, inOrder)
	}
}

func TestMoreNamesThanCodes(t *testing.T) {
	var people []class.Person
	for i := range codes + 1 {
		people = append(people, class.Person{ID: fmt.Sprint(i)})
	}
	if got := namesOf(people, "key"); len(got) != codes+1 {
		t.Errorf("%d of %d people have a code", len(got), codes+1)
	}
}
