package web

import (
	"encoding/json"
	"io"
	"log/slog"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

// solvedText has an exercise with a written solution: J = π/32·0.048⁴ m⁴ =
// 521153 mm⁴ and θ = 420·1.3/(79e9·J) rad = 0.7598 deg, by hand.
const solvedText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise twist" + `
title: The wheel shaft
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask: By how much does it turn?
answer: T·L/(G·π/32·d^4)
unit: deg
symbol: θ
tolerance: 0.5 %
solution:
  - J = π/32·d^4 because the *section* is solid and round
  - θ = T·L/(G·J) in deg because the torque is the same all along
` + "```" + `

` + "```exercise parts" + `
title: In parts
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask:
  - name: section
    text: The section
    answer: π/32·d^4
    unit: mm^4
  - name: twist
    text: The twist
    answer: T·L/(G·π/32·d^4)
    unit: deg
attempts: 1
` + "```\n"

func openSolved(t *testing.T) *client {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(solvedText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return visit(t, s)
}

// TestWorkedSolutionAfterTheLastTry wants no line of the solution anywhere before the
// last try, and after it each line with its numbers and reason, and each slip at its line.
func TestWorkedSolutionAfterTheLastTry(t *testing.T) {
	v := openSolved(t)
	early := regexp.MustCompile(`worked|solid and round|5\.21|0\.7598|same all along`)
	for i, answer := range []string{"12.16 deg", "1.52 deg", "1.01 deg"} { // 16 times, twice, nothing known
		if body := v.page(""); early.MatchString(body) {
			t.Fatalf("before try %d the page holds %q", i+1, early.FindString(body))
		}
		status, body := v.hand("part-1", answer)
		if status != 200 || i < 2 && early.MatchString(body) {
			t.Fatalf("try %d: status %d, %q", i+1, status, early.FindString(body))
		}
	}
	body := v.page("")
	_, solution, found := strings.Cut(body, `<details class="worked" open>`)
	solution, _, _ = strings.Cut(solution, "</details>")
	lines := strings.Split(solution, "<li>")
	if !found || len(lines) != 3 {
		t.Fatalf("no open solution of two lines: %s", solution)
	}
	for i, wants := range [][]string{
		{"<em>section</em> is solid and round", "Your answer 12.16 deg went wrong in this line.", "d = 24 mm in place of 48 mm", "J then comes out 16 times too small", "Your answer 1.52 deg", "J then comes out 2 times too small"},
		{"the torque is the same all along", "0.7598"},
	} {
		for _, want := range wants {
			if !strings.Contains(lines[i+1], want) {
				t.Errorf("line %d lacks %q: %s", i+1, want, lines[i+1])
			}
		}
	}
	if strings.Contains(lines[2], "went wrong") || strings.Contains(solution, "1.01 deg") {
		t.Error("a slip stands at a line where it was not made")
	}
}

// TestWorkedSolutionAfterARightAnswer wants it to open on request, with what went wrong
// before.
func TestWorkedSolutionAfterARightAnswer(t *testing.T) {
	v := openSolved(t)
	v.hand("part-1", "1.52 deg")
	_, body := v.hand("part-1", "0.76 deg")
	var got struct{ HTML string }
	if err := json.Unmarshal([]byte(body), &got); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<details class="worked"><summary>`, "J then comes out 2 times too small"} {
		if !strings.Contains(got.HTML, want) {
			t.Errorf("no %s in %s", want, got.HTML)
		}
	}
}

// TestWorkedSolutionWaitsForOtherParts wants no lines while another part is open.
func TestWorkedSolutionWaitsForOtherParts(t *testing.T) {
	v := openSolved(t)
	answer := func(part, text string) {
		form := v.form("exercise-parts", part)
		form.Set("answer", text)
		if r, body := v.do("POST", "/lesson/wheel/exercise/exercise-parts", byScript, form); r.StatusCode != 200 {
			t.Fatal(r.StatusCode, body)
		}
	}
	answer("twist", "0.9 deg")
	if body := v.page(""); strings.Contains(body, `class="worked"`) || !strings.Contains(body, "when the other parts are finished") {
		t.Error("the solution does not wait for the other part, or does not say so")
	}
	answer("section", "521000 mm^4")
	if n := strings.Count(v.page(""), `class="worked"`); n != 2 {
		t.Errorf("%d solutions when both parts are done, want 2", n)
	}
}

const linesText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise twist" + `
title: An evenly spread torque
derivation: |
  given q: N > 0 N, L: length > 0 m, G: shear modulus > 0 Pa, J: second moment of area > 0 m⁴
  θ = ∫_0^L q·(L − x)/(G·J) dx   because the torque at x is what acts beyond it
    = ?                          because L − x grows evenly from 0 to L
ask:
  - {name: twist, kind: line, text: Work out the integral, line: "q·L^2/(2·G·J)", without: [integral]}
` + "```\n"

// TestLinesAreFilled fills a line wrongly and then rightly: each is kept as an answer is,
// and the line stands in the derivation when it is done, not before.
func TestLinesAreFilled(t *testing.T) {
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(linesText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	v := visit(t, s)
	for _, c := range []struct{ answer, verdict, tries string }{
		{"q·L^2/(G·J)", "slip", "2 of 3 tries left"},
		{"∫_0^L q·(L − x)/(G·J) dx", "unreadable", "2 of 3 tries left"},
		{"L²·q/(2·G·J)", "right", "Answered"},
	} {
		if body := v.page(""); !strings.Contains(body, `class="gap"`) {
			t.Fatal("the line is filled before it is answered")
		}
		if status, body := v.hand("twist", c.answer); status != 200 || !strings.Contains(body, `data-verdict=\"`+c.verdict) && !strings.Contains(body, `data-verdict=\u0022`+c.verdict) {
			t.Errorf("%s: status %d, %s", c.answer, status, body)
		}
		if body := v.page(""); !strings.Contains(body, c.tries) {
			t.Errorf("%s: no %q", c.answer, c.tries)
		}
	}
	if strings.Contains(v.page(""), `class="gap"`) {
		t.Error("the line is still open when it is done")
	}
}

// TestLinesOnPaper wants the derivation on the sheet, with its line left open.
func TestLinesOnPaper(t *testing.T) {
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(linesText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	v := visit(t, s)
	_, body := v.do("GET", "/lesson/wheel/sheet", byForm, nil)
	_, lines, found2 := strings.Cut(body, `<div class="paper-lines">`)
	lines, _, _ = strings.Cut(lines, "</div>")
	if !found2 || !strings.Contains(lines, "∫") || !strings.Contains(lines, "= ? (line 1 to fill, because L − x grows evenly from 0 to L)") {
		t.Errorf("the sheet has %q", lines)
	}
}
