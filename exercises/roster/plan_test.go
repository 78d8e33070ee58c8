package roster

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shaftbook/exercises/class"
)

var now = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

// counted makes identifiers that a test can read.
func counted() func() string {
	n := 0
	return func() string { n++; return fmt.Sprintf("NEW%d", n) }
}

// mill is a class with a student for each case.
func mill() School {
	people := []class.Person{
		{ID: "P1", Name: "Student 01", SignIn: "s01", Email: "s01@mill.example", SourcedID: "u01"},
		{ID: "P2", Name: "Student 02", SignIn: "s02@mill.example", Email: "s02@mill.example"},
		{ID: "P3", Name: "Student 03", SignIn: "s03", SourcedID: "u03"},
		{ID: "P4", Name: "Other class", SignIn: "s04", SourcedID: "u04"},
		{ID: "P9", Name: "Instructor 1", SignIn: "teach", SourcedID: "t1", Instructor: true},
	}
	return School{Class: "MILL", People: people, Members: []class.Member{
		{Class: "MILL", Person: "P1", Role: class.Student, Section: "A"},
		{Class: "MILL", Person: "P2", Role: class.Student},
		{Class: "MILL", Person: "P3", Role: class.Student, Left: true},
		{Class: "MILL", Person: "P9", Role: class.Staff},
	}}
}

func TestPlanOfOneLine(t *testing.T) {
	for _, c := range []struct {
		name string
		line Line
		kind Kind   // "" for nothing
		who  string // ID
		said string // the changes, or a part of why the line is bad
	}{
		{"as it was", Line{SourcedID: "u01", Name: "Student 01", SignIn: "s01", Section: "A"}, "", "", ""},
		{"another name", Line{SourcedID: "u01", Name: "Student One"}, Changes, "P1", "name: Student 01 → Student One"},
		{"another section", Line{SignIn: "S01", Name: "Student 01", Section: "B"}, Changes, "P1", "username: s01 → S01; group: A → B"},
		{"found by e-mail that is a sign-in name", Line{Email: "S02@MILL.example", Name: "Student 02", SourcedID: "u02"}, Changes, "P2", "e-mail: s02@mill.example → S02@MILL.example; student number:  → u02"},
		{"found by e-mail alone", Line{Email: "s01@mill.example", Name: "Student 01"}, "", "", ""},
		{"came back", Line{SourcedID: "u03", Name: "Student 03"}, Returns, "P3", ""},
		{"from another class", Line{SourcedID: "u04", Name: "Other class"}, Joins, "P4", ""},
		{"new", Line{Email: "new@mill.example", Name: "New"}, Adds, "NEW1", ""},
		{"a brother with the same e-mail", Line{SourcedID: "u77", SignIn: "s77", Email: "s01@mill.example", Name: "Brother"}, Adds, "NEW1", ""},
		{"out", Line{SourcedID: "u01", Name: "Student 01", Out: true}, Leaves, "P1", ""},
		{"out of another class", Line{SourcedID: "u04", Name: "Other class", Out: true}, "", "", ""},
		{"out and never in", Line{SourcedID: "u99", Name: "Nobody", Out: true}, "", "", ""},
		{"out already", Line{SourcedID: "u03", Name: "Student 03", Out: true}, "", "", ""},
		{"two people", Line{SourcedID: "u01", SignIn: "s03", Name: "Who"}, "", "", "bad: Student 03"},
		{"another identifier", Line{SourcedID: "u55", SignIn: "s01", Name: "Who"}, "", "", "bad: u01"},
		{"an instructor", Line{SourcedID: "t1", Name: "Taken over"}, "", "", "bad: instructor"},
		{"an instructor by sign-in name", Line{SignIn: "TEACH", Name: "Taken over"}, "", "", "bad: instructor"},
		{"an enrolment of nobody", Line{SourcedID: "u66"}, "", "", "bad: users.csv"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.line.Number = 2
			r := &Roster{Lines: []Line{c.line}}
			p := r.Plan(mill(), Terms{Now: now, NewID: counted()})
			if want, isBad := strings.CutPrefix(c.said, "bad: "); isBad {
				if len(p.Bad) != 1 || !strings.Contains(p.Bad[0].Why, want) || len(p.Steps) > 0 {
					t.Fatalf("bad %+v, want %q", p.Bad, want)
				}
				return
			}
			if len(p.Bad) > 0 {
				t.Fatalf("bad: %+v", p.Bad)
			}
			if c.kind == "" {
				if len(p.Steps) > 0 || p.Same != 1 {
					t.Fatalf("does %+v, want nothing", p.Steps)
				}
				return
			}
			if len(p.Steps) != 1 {
				t.Fatalf("%d steps", len(p.Steps))
			}
			s := p.Steps[0]
			var said []string
			for _, ch := range s.Changes {
				said = append(said, ch.Field+": "+ch.Old+" → "+ch.New)
			}
			if got := strings.Join(said, "; "); s.Kind != c.kind || s.Person.ID != c.who || got != c.said {
				t.Errorf("%s %s %q, want %s %s %q", s.Kind, s.Person.ID, got, c.kind, c.who, c.said)
			}
			if s.Member.Person != s.Person.ID || s.Member.Class != "MILL" || s.Member.Left != (c.kind == Leaves) {
				t.Errorf("member %+v", s.Member)
			}
		})
	}
}

// Of a student whose account another class looks after, a list changes the
// section alone, and reports of whom it would have changed more.
func TestPlanKeepsAccountsOfOtherClasses(t *testing.T) {
	there := mill()
	there.Elsewhere = map[string]bool{"P1": true}
	for _, c := range []struct {
		name    string
		line    Line
		changes []Change
		kept    int
	}{
		{"as it is", Line{SourcedID: "u01", Name: "Student 01"}, nil, 0},
		{"another name", Line{SourcedID: "u01", Name: "Taken over"}, nil, 1},
		{"another section", Line{SourcedID: "u01", Section: "Z"}, []Change{{"group", "A", "Z"}}, 0},
		{"both", Line{SourcedID: "u01", SignIn: "mine", Section: "Z"}, []Change{{"group", "A", "Z"}}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := &Roster{Lines: []Line{c.line}}
			p := r.Plan(there, Terms{Now: now})
			var changes []Change
			for _, s := range p.Steps {
				changes = append(changes, s.Changes...)
			}
			_, changed, _ := p.Enrolment()
			if len(p.Bad) > 0 || !slices.Equal(changes, c.changes) || len(p.Elsewhere) != c.kept || changed != nil {
				t.Errorf("changes %v of %v, %d kept, bad %v", changes, changed, len(p.Elsewhere), p.Bad)
			}
		})
	}
}

func TestPlanOfAWholeRoster(t *testing.T) {
	r := &Roster{Lines: []Line{{Number: 2, SourcedID: "u01", Name: "Student 01"}}}
	if p := r.Plan(mill(), Terms{Now: now}); len(p.Steps) != 0 {
		t.Errorf("a part of a roster does %+v", p.Steps)
	}
	p := r.Plan(mill(), Terms{Whole: true, Now: now})
	if len(p.Steps) != 1 || p.Steps[0].Kind != Leaves || p.Steps[0].Person.ID != "P2" {
		t.Errorf("a whole roster does %+v; only Student 02 leaves", p.Steps)
	}
	r.Partial = true
	if p := r.Plan(mill(), Terms{Whole: true, Now: now}); len(p.Steps) != 0 {
		t.Errorf("a list of changes alone does %+v", p.Steps)
	}
	r.Partial = false
	r.Bad = []Bad{{Number: 3}}
	if p := r.Plan(mill(), Terms{Whole: true, Now: now}); len(p.Steps) != 0 || !p.Held {
		t.Errorf("with a bad line that may be Student 02 it does %+v", p.Steps)
	}
}

// apply does to a school what the store does.
func apply(there School, p *Plan) School {
	added, changed, members := p.Enrolment()
	there.People, there.Members = slices.Clone(there.People), slices.Clone(there.Members)
	there.People = append(there.People, added...)
	for _, c := range changed {
		i := slices.IndexFunc(there.People, func(q class.Person) bool { return q.ID == c.ID })
		there.People[i] = c
	}
	for _, m := range members {
		if i := slices.IndexFunc(there.Members, func(o class.Member) bool { return o.Person == m.Person }); i >= 0 {
			there.Members[i] = m
		} else {
			there.Members = append(there.Members, m)
		}
	}
	return there
}

func TestPlanIsDoneOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		there, id := mill(), counted()
		one := func(prefix string) *rapid.Generator[string] {
			return rapid.SampledFrom([]string{"", prefix + "01", prefix + "02", prefix + "03", prefix + "04", prefix + "05"})
		}
		for round := range 3 {
			var r Roster
			for i := range rapid.IntRange(0, 6).Draw(t, "lines") {
				l := Line{
					Number: i + 2, Name: rapid.SampledFrom([]string{"Student 01", "Student 02", "Another"}).Draw(t, "name"),
					SourcedID: one("u").Draw(t, "id"), SignIn: one("s").Draw(t, "sign-in"),
					Section: rapid.SampledFrom([]string{"", "A", "B"}).Draw(t, "section"), Out: rapid.IntRange(0, 9).Draw(t, "out") == 0,
				}
				if e := one("s").Draw(t, "e-mail"); e != "" {
					l.Email = e + "@mill.example"
				}
				r.add(l, true)
			}
			r.onceEach()
			terms := Terms{Whole: rapid.Bool().Draw(t, "whole"), Now: now, NewID: id}
			p := r.Plan(there, terms)
			if again := r.Plan(there, terms); again.Fingerprint() != p.Fingerprint() {
				t.Fatal("two plans of the same differ")
			}
			before := there
			there = apply(there, p)
			if len(p.Bad) == 0 {
				if again := r.Plan(there, terms); len(again.Steps) > 0 || len(again.Bad) > 0 {
					t.Fatalf("round %d: once more it does %+v, bad %+v", round, again.Steps, again.Bad)
				}
			}
			if len(there.People)-len(before.People) > len(r.Lines) {
				t.Fatal("two people of one line")
			}
			names, sourced := map[string]bool{}, map[string]bool{}
			for i, q := range there.People {
				if n := class.FoldSignIn(q.SignIn); names[n] || sourced[q.SourcedID] && q.SourcedID != "" {
					t.Fatalf("two people are %s, %s: %+v", q.SignIn, q.SourcedID, there.People)
				} else {
					names[n], sourced[q.SourcedID] = true, true
				}
				if i < len(before.People) && before.People[i].ID != q.ID {
					t.Fatal("an ID changed")
				}
			}
			for _, m := range there.Members {
				if m.Person == "P9" && (m.Role != class.Staff || m.Left) {
					t.Fatal("an instructor was touched")
				}
			}
		}
	})
}

func TestWords(t *testing.T) {
	r := &Roster{Lines: []Line{{Number: 2, SourcedID: "u01", Name: "Student 01"}, {Number: 3, Email: "n@mill.example", Name: "New"}}}
	if got, want := r.Plan(mill(), Terms{Whole: true, Now: now, NewID: counted()}).Words(), "1 new, 1 left, 1 "; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestCarriedTrustsNothing(t *testing.T) {
	bad := Roster{Lines: []Line{{Number: 2, Name: "x"}}} // no particular person
	text, err := bad.Carry()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"a line without an identifier": text, "no base64": "*", "no gzip": "YWJj", "nothing": ""} {
		if _, err := Carried(text); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}
