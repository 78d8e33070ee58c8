package web

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// openMarked opens a school in which MILL has, beside A1, the assignment B1 that
// was due the evening before schoolTime and is taken late for three more days, at
// 10 % off for a wrong try and 20 % for a day. Its exercises give 3 points
// (twist 2, section 1) and 1.
func openMarked(t testing.TB) *school {
	t.Helper()
	s := openSchool(t)
	b := givenIn("MILL", "B1")
	b.Title, b.Opens, b.Due, b.Closes, b.TryOff, b.LateOff = "Was due", schoolTime.AddDate(0, 0, -7), markedDue, markedDue.AddDate(0, 0, 3), 10, 20
	s.assign(b)
	return s
}

var markedDue = time.Date(2026, 11, 24, 22, 59, 0, 0, time.UTC)

// keep keeps an answer of S1 to B1, as marking would.
func (s *school) keep(person, exercise, part, answer, verdict string, points float64, at time.Time) {
	s.t.Helper()
	s.kept++
	_, _, err := s.store.Submit(context.Background(), store.Attempt{
		Submission: fmt.Sprintf("kept-%016d", s.kept), Place: store.Place{Learner: person, Lesson: "wheel~B1", Exercise: exercise, Part: part},
		Answer: answer, Verdict: verdict, Slip: map[bool]string{true: "bending-for-torsion"}[verdict == "slip"], Message: "Told so.", Points: points,
		Variant: json.RawMessage(`{"given":[{"name":"T","text":"420 N·m","si":420}]}`), Program: "test", At: at,
	}, 0)
	s.must(err)
}

// answerMarked has Student 01 answer B1, by hand: twist 2·(1 − 0.1) = 1.8 after
// one slip, section a second late 1·(1 − 0.2) = 0.8, together 2.6 of 3, and with
// nothing of the exercise drawn 2.6 of 4, which is 65 %.
func answerMarked(s *school) {
	s.t.Helper()
	s.keep("S1", "exercise-twist", "twist", "=1.52 deg", "slip", 0, markedDue.Add(-time.Hour))
	s.keep("S1", "exercise-twist", "twist", "0.7598 deg", "right", 2, markedDue)
	s.keep("S1", "exercise-twist", "section", "521 mm^4", "right", 1, markedDue.Add(time.Second))
}

func TestMarksSheet(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	s.admit(class.Person{ID: "S6", Name: "Student 06", SignIn: "s06", Password: "x"})
	s.enrol(class.Member{Class: "MILL", Person: "S6", Role: class.Student, Left: true})
	r, body := s.get("I1", "/class/MILL/marks")
	wantStatus(t, r, body, 200)
	wantWords(t, body, `<a href="/class/MILL/marks/B1/S1">2.6</a><sup aria-hidden="true">l</sup><span class="sr"> late</span>`,
		`<td class="n total">65</td>`, `<a href="/class/MILL/marks/A1/S1">0</a>`, `<tbody class="left">`, "Student 06",
		// Nothing is aligned by what is not there: 0 under 2.6 lacks ".0".
		`<a href="/class/MILL/marks/B1/S6">0</a><span data-free=".0"></span><sup aria-hidden="true">n</sup><span class="sr"> no work</span>`,
		"due Tue\u00a024\u00a0Nov\u00a022:59</span> <span class=\"note\">of 4</span>", "due Mon\u00a030\u00a0Nov\u00a022:59</span> <span class=\"note\">of 4 · not due yet</span>",
		"<dt><sup>l</sup> late</dt>", "<dt><sup>n</sup> no work</dt>")
	if n := strings.Count(body, "not due yet</span>"); n != 1 {
		t.Errorf("“not due yet” stands %d times, want it once, in the heading", n)
	}
	if strings.Contains(body, "<dt><sup>h</sup>") {
		t.Error("the legend explains a sign that no cell has")
	}
	// With an extension nothing is late and nothing is due yet.
	s.must(s.store.SetExtension(t.Context(), class.Extension{Assignment: "B1", Person: "S1", Due: schoolTime.AddDate(0, 0, 1), By: "I1", At: schoolTime}, class.Entry{}))
	_, body = s.get("I1", "/class/MILL/marks?assignment=B1")
	wantWords(t, body, ">The wheel shaft</bdi>", "A shaft of one’s own", `<a href="/class/MILL/marks/B1/S1#exercise-twist">2.8</a>`, "of 3</span>",
		`<sup aria-hidden="true">de</sup><span class="sr"> not due yet extension</span>`)
	for _, other := range []string{"A9", "A2"} {
		if other == "A2" {
			s.assign(givenIn("WEIR", "A2"))
		}
		if r, _ := s.get("I1", "/class/MILL/marks?assignment="+other); r.StatusCode != 404 {
			t.Errorf("assignment %s: status %d", other, r.StatusCode)
		}
	}
}

func TestMarksSheetLeavesOutWhatWasWithdrawn(t *testing.T) {
	s := openSchool(t)
	gone := givenIn("WEIR", "W1")
	gone.Title, gone.Withdrawn = "Taken back", true
	s.assign(gone)
	_, body := s.get("I2", "/class/WEIR/marks")
	wantWords(t, body, `id="marks-none"`, "Taken back")
	_, body = s.get("I2", "/class/WEIR/marks?assignment=W1")
	wantWords(t, body, `<a href="/class/WEIR/marks/W1/S1">0</a>`, "· withdrawn</p>")
}

func TestMarksSheetOfNothing(t *testing.T) {
	s := openSchool(t)
	r, body := s.get("I2", "/class/WEIR/marks")
	wantStatus(t, r, body, 200)
	wantWords(t, body, `id="marks-none"`)
}

// read parses a file as any program would, and says what each row has under the
// names of the first.
func (s *school) readCSV(path string) []map[string]string {
	s.t.Helper()
	r, body := s.post("I1", path)
	wantStatus(s.t, r, body, 200)
	if got := r.Header.Get("Content-Type"); got != "text/csv; charset=utf-8; header=present" {
		s.t.Errorf("type %q", got)
	}
	if strings.Count(body, "\n") != strings.Count(body, "\r\n") {
		s.t.Error("lines end without a carriage return: RFC 4180, 2.1")
	}
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	s.must(err)
	var list []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		list = append(list, m)
	}
	return list
}

func wantCells(t *testing.T, row map[string]string, cells ...string) {
	t.Helper()
	for i := 0; i < len(cells); i += 2 {
		if got, ok := row[cells[i]]; !ok || got != cells[i+1] {
			t.Errorf("%s: %q (%v), want %q", cells[i], got, ok, cells[i+1])
		}
	}
}

func TestMarksAsCSV(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	rows := s.readCSV("/class/MILL/marks.csv")
	if len(rows) != 2 {
		t.Fatalf("%d rows", len(rows))
	}
	mine, other := rows[1], rows[0] // by name: "=<script…" comes before "Student 01"
	wantCells(t, mine, "account id", "S1", "student number", "u01", "username", "s01", "name", "Student 01", "group", "A", "left", "",
		"Was due points", "2.6", "Was due full", "4", "First twist points", "", "First twist full", "4", "total percent", "65")
	wantCells(t, other, "name", "'"+hostile, "Was due points", "0", "total percent", "0")
	if got := s.lastEntry(); got.Action != "export" {
		t.Errorf("logged %+v", got)
	}
	r, _ := s.post("I1", "/class/MILL/marks.csv")
	if got := r.Header.Get("Content-Disposition"); got != "attachment; filename=marks-mill-b-a-b-autumn.csv" {
		t.Errorf("named %q", got)
	}
	// Two of one title are told apart.
	twin := givenIn("MILL", "C1")
	twin.Due, twin.Closes, twin.Title = markedDue, markedDue, "Was due"
	s.assign(twin)
	wantCells(t, s.readCSV("/class/MILL/marks.csv")[1], "Was due B1 points", "2.6", "Was due C1 points", "0", "total percent", "32.5")
}

func TestAttemptsAsCSV(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	rows := s.readCSV("/class/MILL/attempts.csv")
	if len(rows) != 3 {
		t.Fatalf("%d rows", len(rows))
	}
	wantCells(t, rows[0], "account id", "S1", "assignment id", "B1", "assignment", "Was due", "exercise", "exercise-twist", "part", "twist",
		"series", "0", "number", "1", "time", "2026-11-24T21:59:00Z", "answer", "'=1.52 deg", "verdict", "slip", "slips", "bending-for-torsion",
		"points", "0", "free", "", "late days", "0", "after closing", "", "counted", "")
	wantCells(t, rows[1], "number", "2", "points", "2", "late days", "0", "counted", "yes")
	wantCells(t, rows[2], "part", "section", "late days", "1", "counted", "yes")
	for _, row := range rows {
		if _, named := row["name"]; named {
			t.Error("the file names students")
		}
	}
}

func TestMarkPage(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	s.must(s.store.Reveal(t.Context(), store.Hint{Place: store.Place{Learner: "S1", Lesson: "wheel~B1", Exercise: "exercise-twist", Part: "twist"}, Level: 1, At: markedDue}))
	_, _, err := s.store.AddPrediction(t.Context(), store.Prediction{Submission: "guess-of-student-01", Place: store.Place{Learner: "S1", Lesson: "wheel~B1", Exercise: "exercise-twist", Part: "stiff"}, Kind: store.Bracket, Text: "0.5 deg to 1 deg", Low: 0.008, High: 0.018, At: markedDue})
	s.must(err)
	practice := store.Attempt{Submission: "practice-of-student-01", Place: store.Place{Learner: "S1", Lesson: "wheel~B1", Exercise: "exercise-twist", Part: "twist", Series: 1}, Answer: "1", Verdict: "off", Variant: json.RawMessage("{}"), At: markedDue}
	_, _, err = s.store.Submit(t.Context(), practice, 0)
	s.must(err)
	s.must(s.store.Regrade(t.Context(), "B1", givenText, []class.Regrade{{Person: "S1", Exercise: "exercise-twist", Submission: "kept-0000000000000001", Verdict: "rounded-early", Message: "Told anew.", Points: 1, Program: "test"}}, class.Entry{Class: "MILL", At: schoolTime}))
	r, body := s.get("I1", "/class/MILL/marks/B1/S1")
	wantStatus(t, r, body, 200)
	wantWords(t, body, "<strong>2.6</strong> of 4 points", "Due 24 November 2026, 22:59 UTC", "27 November 2026",
		"10 %", ": 1.8", "20 %", "1 day late</span>",
		"<bdi>=1.52 deg</bdi>", "24 Nov 2026, 21:59 UTC", `data-before="0"`, "bending for torsion",
		`<a href="/class/MILL/answers/B1?student=S1">`, "Hint 1", "24 Nov 2026", "Between which angles does it lie?", "0.5 deg to 1 deg", `data-practice="1"`, "counts</span>",
		"No points yet", "Given: <math", "420")
}

func TestSetMarkByHand(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	const path, points, reason = "/class/MILL/marks/B1/S1", "points-exercise-twist", "reason-exercise-twist"
	for _, c := range []struct{ name, points, reason, want string }{
		{"no number", "much", "on paper", `data-wrong="points-exercise-twist"`},
		{"more than it gives", "3.1", "on paper", `data-wrong="points-exercise-twist"`},
		{"below 0", "-1", "on paper", `data-wrong="points-exercise-twist"`},
		{"not a number", "NaN", "on paper", `data-wrong="points-exercise-twist"`},
		{"no reason", "2", " ", `data-wrong="reason-exercise-twist"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.post("I1", path, "exercise", "exercise-twist", points, c.points, reason, c.reason)
			wantStatus(t, r, body, 422)
			wantWords(t, body, c.want, "<details open>")
		})
	}
	if all, _ := s.store.Overrides(t.Context(), "B1"); len(all) != 0 {
		t.Fatalf("kept what it refused: %+v", all)
	}
	r, body := s.post("I1", path, "exercise", "exercise-twist", points, "2,5", reason, "The sketch <b>was</b> right.")
	wantStatus(t, r, body, 303)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, `role="status"`, "<strong>2.5</strong> of 3", `data-marking="2.6"`, "The sketch &lt;b&gt;was&lt;/b&gt; right.", "<bdi>Instructor 1</bdi>, 25 Nov 2026, 09:00 UTC", "<strong>2.5</strong> of 4")
	if got := s.logged(); !strings.Contains(got, "The wheel shaft") || !strings.Contains(got, "2.6 to 2.5 (out of 3)") || !strings.HasSuffix(got, "The sketch <b>was</b> right.") {
		t.Errorf("logged %q", got)
	}
	log, err := s.store.Log(t.Context(), "MILL", "S1", 0, 1)
	if err != nil || len(log) != 1 || log[0].Action != "override" || log[0].Assignment != "B1" || log[0].Exercise != "exercise-twist" || log[0].By != "I1" {
		t.Errorf("%+v, %v", log, err)
	}
	_, body = s.get("I1", "/class/MILL/marks")
	wantWords(t, body, `2.5</a><sup aria-hidden="true">lh</sup><span class="sr"> late by hand</span>`)
	r, body = s.post("I1", path, "exercise", "exercise-twist", "do", "withdraw")
	wantStatus(t, r, body, 303)
	_, body = s.get("I1", path)
	wantWords(t, body, "<strong>2.6</strong> of 3 points</p>", "<li data-withdrawn>", `class="mark-history" data-count="2"`)
	s.post("I1", path, "exercise", "exercise-twist", "do", "withdraw") // nothing is left to withdraw
	if all, _ := s.store.Overrides(t.Context(), "B1"); len(all) != 2 || !strings.Contains(s.logged(), "2.5 to 2.6") {
		t.Errorf("%+v, logged %q", all, s.logged())
	}
	if r, _ := s.post("I1", path, "exercise", "exercise-none", points, "1", reason, "x"); r.StatusCode != 404 {
		t.Errorf("an exercise that is not there: %d", r.StatusCode)
	}
}

// Work that is not open yet has no points, nothing to follow and a due time on the page
// of a student; work that is closed has points and nothing to follow.
func TestWorkThatIsNotOpen(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	later := givenIn("MILL", "C1")
	later.Title, later.Opens, later.Due, later.Closes = "Not before Monday", schoolTime.AddDate(0, 0, 2), schoolTime.AddDate(0, 0, 9), schoolTime.AddDate(0, 0, 9)
	s.assign(later)
	_, body := s.get("I1", "/class/MILL/marks")
	wantWords(t, body, "not open yet</span>")
	if strings.Contains(body, "/marks/C1/S1") {
		t.Error("work that is not open shows points")
	}
	_, body = s.get("I1", "/class/MILL/student/S1")
	wantWords(t, body, `Not before Monday</bdi></a></th><td class="moment">`, `<td class="n"></td><td class="n">not open yet</td>`, `<td class="n">2.6 of 4</td><td class="n">65`)
	for _, path := range []string{"/class/MILL", "/class/MILL/assign", "/class/MILL/assignment/C1"} {
		if _, body := s.get("I1", path); strings.Contains(body, "/class/MILL/room/C1") || path != "/class/MILL/assignment/C1" && !strings.Contains(body, "/class/MILL/room/A1") {
			t.Errorf("%s: the live view is offered where nobody can work, or not where they can", path)
		}
	}
}
