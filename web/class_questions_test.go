package web

import (
	"fmt"
	"strings"
	"testing"

	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
)

// Ten students answer B1. Of the first part six are right at once and four are
// not, three by the same slip; the shares of the other two parts add up to 2, 2,
// 2, 1, 1, 1 for the six and 1, 0, 0, 0 for the four. Worked out by hand:
//
//   - Wilson's interval of 6 of 10, with z² = 3.8415: (0.6 + 0.1921)/1.3841 ±
//     1.9600/1.3841·√(0.024 + 0.0096) = 0.572 ± 0.260, 31 to 83 %.
//   - The correlation with the rest by the point-biserial formula: the means are
//     1.5 and 0.25, the standard deviation over all ten √0.6 = 0.7746, and
//     (1.5 − 0.25)/0.7746·√(0.6·0.4) = 0.79.
func TestItemsPage(t *testing.T) {
	s := openMarked(t)
	early := markedDue.Add(-1)
	for i, rest := range []int{2, 2, 2, 1, 1, 1, 1, 0, 0, 0} {
		id := fmt.Sprintf("T%02d", i+1)
		s.admit(class.Person{ID: id, Name: "Student " + id[1:], SignIn: id, Password: "x"})
		s.enrol(class.Member{Class: "MILL", Person: id, Role: class.Student})
		switch {
		case i < 6:
			s.keep(id, "exercise-twist", "twist", "0.76 deg", "right", 2, early)
		case i < 9:
			s.keep(id, "exercise-twist", "twist", "1.52 deg", "slip", 0, early)
		default:
			s.keep(id, "exercise-twist", "twist", "3 deg", "off", 0, early)
		}
		if rest > 0 {
			s.keep(id, "exercise-twist", "section", "521 mm^4", "right", 1, early)
		}
		if rest > 1 {
			s.keep(id, "exercise-drawn", "part-1", "20 MPa", "right", 1, early)
		}
	}
	// Who has left, and what is not graded, counts nothing.
	s.admit(class.Person{ID: "T11", Name: "Student 11", SignIn: "T11", Password: "x"})
	s.enrol(class.Member{Class: "MILL", Person: "T11", Role: class.Student, Left: true})
	s.keep("T11", "exercise-twist", "twist", "3 deg", "off", 0, early)

	r, body := s.get("I1", "/class/MILL/items") // B1 is the latest that is due
	wantStatus(t, r, body, 200)
	wantWords(t, body, "<bdi>Was due</bdi></span></h1>", `data-begun="10" data-students="12"`, "6 of 10: 60\u00a0%", "31 to 83\u00a0%", "0.79",
		"bending for torsion</bdi></th><td class=\"n\">3</td>", marking.SlipMade.Word()+"</bdi></th><td class=\"n\">3</td>", "Right</bdi></th><td class=\"n\">6</td>",
		`data-slips="0"`, `data-least="10"`, `cx="60.0"`, `x1="31.3"`, `width="30.0"`, `<a href="/class/MILL/room/B1?at=exercise-twist">`)
	if strings.Contains(body, "style=") || strings.Contains(body, "NaN") {
		t.Error("a style attribute, which the policy does not allow, or no number")
	}
	_, body = s.get("I1", "/class/MILL/items?assignment=A1")
	wantWords(t, body, `data-begun="0" data-students="12"`, `data-answers="0"`)
	one := givenIn("MILL", "C1")
	one.Exercises, one.Title = []string{"exercise-drawn"}, "One part"
	s.assign(one)
	_, body = s.get("I1", "/class/MILL/items?assignment=C1")
	wantWords(t, body, "only one part")
	if r, _ := s.get("I1", "/class/MILL/items?assignment=A9"); r.StatusCode != 404 {
		t.Errorf("an assignment that is not there: %d", r.StatusCode)
	}
	// Students who were asked different things are not told of as if it were one.
	text := strings.Replace(askedText, "ask: The greatest shear stress\nanswer: 16·T/(π·d^3)\nunit: MPa\ntolerance: 1 %\n",
		"structures:\n  - {name: stress, ask: The greatest shear stress, answer: 16·T/(π·d^3), unit: MPa}\n  - {name: section, ask: The section modulus, answer: π/16·d^3, unit: mm³}\n", 1)
	ways := givenIn("MILL", "D1")
	ways.Text = class.HashText(text)
	s.must(s.store.AddAssignment(t.Context(), ways, class.Frozen{Hash: ways.Text, Name: "wheel.md", Text: text}, class.Entry{}))
	_, body = s.get("I1", "/class/MILL/items?assignment=D1")
	wantWords(t, body, "2 versions", "The greatest shear stress")
	_, body = s.get("I2", "/class/WEIR/items")
	wantWords(t, body, `id="assigned-none"`)
}
