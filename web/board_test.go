package web

import (
	"net/http"
	"strings"
	"testing"
)

// TestBoardShowsWhatIsAsked compares the board with the lesson of a reader who
// has no try left: the same numbers, but neither a field nor the answer.
func TestBoardShowsWhatIsAsked(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), t.Output()))
	for _, answer := range []string{"1 deg", "2 deg", "3 deg"} {
		if status, said := v.hand("twist", answer); status != http.StatusOK {
			t.Fatalf("handing in %s: %d %s", answer, status, said)
		}
	}
	const solution = `class="solution"`
	if !strings.Contains(v.page(""), solution) {
		t.Fatal("the lesson does not tell the answer after the last try")
	}
	r, body := v.do("GET", "/lesson/wheel/board", byForm, nil)
	if r.StatusCode != http.StatusOK {
		t.Fatalf("status %d: %s", r.StatusCode, body)
	}
	for _, want := range []string{
		"The wheel shaft", "Between which angles does it lie?", "By how much does it turn?", "The greatest shear stress",
		`class="given"`, "data-unkept", "js-next", "js-leave",
	} {
		if !strings.Contains(body, want) {
			t.Errorf("the board lacks %q", want)
		}
	}
	_, main, _ := strings.Cut(body, `<main id="main"`)
	main, _, _ = strings.Cut(main, "</main>")
	for _, not := range []string{solution, "0.7598", "<form", `name="answer"`, "Mark it", "Hint", "You answered"} {
		if strings.Contains(main, not) {
			t.Errorf("the board has %q", not)
		}
	}
	for _, given := range []string{"T", "d"} { // of the exercise that is drawn for each reader
		mine := givenOf(t, v.page(""), given)
		if board := givenOf(t, main, given); board != mine {
			t.Errorf("%s is %s on the board and %s in the lesson", given, board, mine)
		}
	}
	if r, body := v.do("GET", "/lesson/none/board", byForm, nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("the board of a lesson that is not there: status %d\n%s", r.StatusCode, body)
	}
}

// givenOf reads one given value of the last exercise of a page.
func givenOf(t *testing.T, body, name string) string {
	t.Helper()
	_, last, _ := strings.Cut(body, `id="exercise-drawn"`)
	_, value, found := strings.Cut(last, "<mi>"+name+"</mi>")
	value, _, _ = strings.Cut(value, "</li>")
	if !found {
		t.Fatalf("%s is not given", name)
	}
	return value
}

// TestBoardLeadsStaffToTheRoom asks for the board of an assignment.
func TestBoardLeadsStaffToTheRoom(t *testing.T) {
	s := openSchool(t)
	const link = `href="/class/MILL/room/A1"`
	for _, c := range []struct {
		name, person, path string
		want               bool
	}{
		{"its instructor", "I1", "/lesson/wheel~A1/board", true},
		{"a student", "S1", "/lesson/wheel~A1/board", false},
		{"its instructor, the lesson as it stands on the shelf", "I1", "/lesson/wheel/board", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.get(c.person, c.path)
			wantStatus(t, r, body, http.StatusOK)
			if got := strings.Contains(body, link); got != c.want {
				t.Errorf("a link to the room is there: %v, want %v", got, c.want)
			}
		})
	}
}

// TestBoardStandsWithoutScripts reads the board as a browser without scripts
// does: nothing is hidden, and there is a way back.
func TestBoardStandsWithoutScripts(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), t.Output()))
	_, body := v.do("GET", "/lesson/wheel/board", byForm, nil)
	if strings.Contains(body, "data-ahead") {
		t.Error("a step is hidden before any script has run")
	}
	if !strings.Contains(body, `href="/lesson/wheel"`) {
		t.Error("there is no way back to the lesson")
	}
	if _, lesson := v.do("GET", "/lesson/wheel", byForm, nil); strings.Contains(lesson, "board.js") || strings.Contains(lesson, "board.css") {
		t.Error("the page of a lesson carries what only the board needs")
	}
}
