package gradebook

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// lessonText has an exercise of two parts, 2 and 1 points, one that is set in
// two ways, which give 2 and 3 points, and one that cannot be set.
const lessonText = "---\ntitle: The wheel shaft\norder: 1\nsummary: One shaft.\nminutes: 5\n---\n\n## Work\n\n" +
	"```exercise twist\n" + `title: The twist
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask:
  - {name: twist, text: The angle of twist, answer: T·L/(G·π/32·d^4), unit: deg, points: 2}
  - {name: section, text: The second moment of area, answer: π/32·d^4, unit: mm⁴}
` + "```\n\n```exercise ways\n" + `title: Solid or hollow
structures:
  - name: solid
    given: {d: 48 mm}
    ask: [{name: section, text: The second moment, answer: π/32·d^4, unit: mm⁴, points: 2}]
  - name: hollow
    given: {d: 48 mm, b: 20 mm}
    ask: [{name: section, text: The second moment, answer: π/32·(d^4 - b^4), unit: mm⁴, points: 3}]
` + "```\n\n```exercise unset\ntitle: Unset\n```\n"

// due is when every assignment of a test is due.
var due = time.Date(2026, 11, 20, 22, 59, 0, 0, time.UTC)

// A school is a class MILL in a database, with students S01, S02 … and a service.
type school struct {
	t       testing.TB
	store   contract.Store
	service *attempt.Service
	*Reader
	answers int
}

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
	parsed := map[string]*lessons.Lesson{}
	s := &school{t: t, store: store, service: service}
	s.Reader = New(store, service, func(_ context.Context, a class.Assignment) (*lessons.Lesson, error) {
		if parsed[a.ID] == nil {
			l, _ := lessons.Parse("wheel.md", []byte(lessonText)) // one exercise cannot be set
			parsed[a.ID] = l.WithKey(a.Key())
		}
		return parsed[a.ID], nil
	})
	s.no(store.AddPerson(t.Context(), class.Person{ID: "I1", Name: "Instructor 1", SignIn: "teach", Feed: "I1", MadeAt: due}))
	s.no(store.AddClass(t.Context(), class.Class{ID: "MILL", Name: "Mill", Zone: "UTC", JoinCode: "code", MadeAt: due}, []string{"I1"}, nil, class.Entry{}))
	var people []class.Person
	var members []class.Member
	for i := range students {
		id := fmt.Sprintf("S%02d", i+1)
		people = append(people, class.Person{ID: id, Name: "Student " + id[1:], SignIn: id, Feed: id, MadeAt: due})
		members = append(members, class.Member{Class: "MILL", Person: id, Role: class.Student, Since: due})
	}
	s.no(store.Enrol(t.Context(), people, nil, members, class.Entry{}))
	return s
}

func (s *school) no(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

// assign gives the class an assignment: 10 % off for a wrong try, 20 % for each
// day late, taken until four days after it is due.
func (s *school) assign(id string, change func(a *class.Assignment)) class.Assignment {
	s.t.Helper()
	text := class.Frozen{Hash: class.HashText(lessonText), Name: "wheel.md", Text: lessonText}
	a := class.Assignment{
		ID: id, Class: "MILL", Title: "Sheet " + id, Lesson: "wheel", Text: text.Hash, Opens: due.AddDate(0, 0, -7),
		Due: due, Closes: due.AddDate(0, 0, 4), Zone: "UTC", LateOff: 20, TryOff: 10, Weight: 1, MadeAt: due, ChangedAt: due,
	}
	change(&a)
	s.no(s.store.AddAssignment(s.t.Context(), a, text, class.Entry{}))
	return a
}

// answer keeps an answer that marking gave some points for.
func (s *school) answer(a class.Assignment, person, exercise, part, verdict string, points float64, at time.Time) {
	s.t.Helper()
	s.answers++
	_, _, err := s.store.Submit(s.t.Context(), store.Attempt{
		Submission: fmt.Sprintf("submission-%08d", s.answers), Place: store.Place{Learner: person, Lesson: a.Key(), Exercise: exercise, Part: part},
		Answer: "0.97 deg", Verdict: verdict, Points: points, Free: verdict == "unreadable", Variant: json.RawMessage("{}"), Program: "test", At: at,
	}, 0)
	s.no(err)
}
