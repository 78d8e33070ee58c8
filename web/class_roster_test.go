package web

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"shaftbook/exercises/class"
	"shaftbook/web/classroom"
)

// preview sends a list of MILL as a file.
func (s *school) preview(list string, fields ...string) (*http.Response, string) {
	s.t.Helper()
	return s.previewAs("I1", "MILL", list, fields...)
}

func (s *school) previewAs(person, in, list string, fields ...string) (*http.Response, string) {
	s.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	w, err := m.CreateFormFile("files", "list.csv")
	if err == nil {
		_, err = io.WriteString(w, list)
	}
	for i := 0; i < len(fields); i += 2 {
		if err == nil {
			err = m.WriteField(fields[i], fields[i+1])
		}
	}
	if err != nil || m.Close() != nil {
		s.t.Fatal(err)
	}
	return s.do(person, "POST", "/class/"+in+"/roster/preview", m.FormDataContentType(), &b)
}

var carriedField = regexp.MustCompile(`name="(carried|shown|whole)" value="([^"]*)"`)

// apply presses the button of the page of a plan.
func (s *school) apply(page string) (*http.Response, string) {
	var fields []string
	for _, m := range carriedField.FindAllStringSubmatch(page, -1) {
		fields = append(fields, m[1], m[2])
	}
	return s.post("I1", "/class/MILL/roster/apply", fields...)
}

func TestClassPagesEscapeNames(t *testing.T) {
	s := openSchool(t)
	for _, path := range []string{"/classes", "/class/MILL", "/class/MILL/roster", "/class/MILL/student/S2", "/class/MILL/copy"} {
		r, body := s.get("I1", path)
		wantStatus(t, r, body, 200)
		if strings.Contains(body, "<script>alert") || strings.Contains(body, "<b>A</b>") {
			t.Errorf("%s takes a name for markup", path)
		}
		if r.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s may be kept", path)
		}
	}
	r, body := s.preview("name,id\n<script>alert(2)</script>,9\n,<i>bad</i>\n")
	wantStatus(t, r, body, 200)
	if strings.Contains(body, "<script>alert") || strings.Contains(body, "<i>bad") {
		t.Error("the preview takes a name for markup")
	}
	r, body = s.post("I1", "/class/MILL/student/S2", "name", "", "signin", "s02", "section", `"><b>x</b>`)
	wantStatus(t, r, body, 422)
	if strings.Contains(body, "<b>x</b>") {
		t.Error("a form takes what was typed for markup")
	}
}

func TestMakeAClass(t *testing.T) {
	s := openSchool(t)
	r, body := s.post("I1", "/classes", "name", "", "zone", "Local")
	wantStatus(t, r, body, 422)
	wantWords(t, body, `data-wrong="name"`, `data-wrong="zone"`, `value="Local"`)
	r, body = s.post("I1", "/classes", "name", "Sluice", "term", "Spring", "zone", "Europe/Oslo")
	wantStatus(t, r, body, 303)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, "Sluice", "Spring", `role="status"`, "Instructor 1")
	if r, _ := s.post("S1", "/classes", "name", "Mine", "zone", "UTC"); r.StatusCode != 403 {
		t.Errorf("a student makes a class: %d", r.StatusCode)
	}
	_, body = s.get("S1", "/classes")
	if strings.Contains(body, `id="new-class"`) || strings.Contains(body, `href="/class/MILL"`) {
		t.Error("a student is offered what is for instructors")
	}
}

func TestOverviewCounts(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText) // as it was given
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.9 deg")
	const counts = `First twist</bdi></a></th><td class="moment">` + "Mon\u00a030\u00a0Nov\u00a022:59" + `</td><td>open</td><td class="n">%d</td><td class="n">%d</td>`
	_, body := s.get("I1", "/class/MILL")
	wantWords(t, body, fmt.Sprintf(counts, 1, 0))
	s.hand("S1", "wheel~A1", "exercise-drawn", "", "20 MPa")
	_, body = s.get("I1", "/class/MILL")
	wantWords(t, body, fmt.Sprintf(counts, 1, 0), "ABCD-EFGH", s.URL()+"join</a>", "2 students")
	r, _ := s.post("I1", "/class/MILL/code", "do", "close")
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, `id="join-closed"`)
	s.post("I1", "/class/MILL/code", "do", "renew")
	c, err := s.store.Class(t.Context(), "MILL")
	if code := c.JoinCode; err != nil || len(code) != 9 || code == "ABCD-EFGH" {
		t.Errorf("the new code is %q", code)
	}
}

func TestImportARoster(t *testing.T) {
	s := openSchool(t)
	before := s.contents()
	list := "name,email,id,section\nStudent One,,u01,A\nNew 1,n1@mill.example,n1,B\nNobody,,,\nTaught,,,\n"
	r, page := s.preview(list, "whole", "yes")
	wantStatus(t, r, page, 200)
	wantWords(t, page, "New (1)", "Changed (1)", "<del><bdi>Student 01</bdi></del>", "list.csv 4", `id="nobody-removed"`)
	if changed := s.changedSince(before); changed != nil {
		t.Fatalf("looking changed %v", changed)
	}
	r, body := s.apply(page)
	wantStatus(t, r, body, 303)
	if got := s.lastEntry(); got.Action != "roster" || !strings.Contains(got.Detail, "1 new, 1 changed, 0 ") {
		t.Errorf("logged %+v", got)
	}
	if p := s.person("S1"); p.Name != "Student One" || p.Password != "hash-of-s01" {
		t.Errorf("changed to %+v", p)
	}
	_, page = s.preview("name,email,id,section\nStudent One,,u01,A\nNew 1,n1@mill.example,n1,B\n")
	wantWords(t, page, `id="no-changes" data-same="2"`)

	_, page = s.preview("name,id\nStudent One,u01\n", "whole", "yes")
	wantWords(t, page, "To be removed (2)")
	r, body = s.apply(page)
	wantStatus(t, r, body, 303)
	if !s.member("MILL", "S2").Left {
		t.Error("who is not on the whole roster has not left")
	}
	_, page = s.preview("name,username\nBack,s02\n")
	wantWords(t, page, "Coming back (1)")
}

func TestNothingElseIsDoneThanWasShown(t *testing.T) {
	s := openSchool(t)
	_, page := s.preview("name,id\nStudent One,u01\n")
	s.post("I1", "/class/MILL/student/S1", "name", "Student 1", "signin", "s01", "sourced", "u01", "section", "A")
	r, body := s.apply(page)
	wantStatus(t, r, body, 409)
	wantWords(t, body, `id="stale"`, "<del><bdi>Student 1</bdi></del>")
	if s.person("S1").Name != "Student 1" {
		t.Error("something was done that was not shown")
	}
	if r, _ := s.apply(body); r.StatusCode != 303 || s.person("S1").Name != "Student One" {
		t.Error("what was shown the second time was not done")
	}
	if r, _ := s.post("I1", "/class/MILL/roster/apply", "carried", "x", "shown", "y"); r.StatusCode != 400 {
		t.Errorf("a list that is none: %d", r.StatusCode)
	}
}

func TestUnreadableRoster(t *testing.T) {
	s := openSchool(t)
	for name, c := range map[string]struct{ list, words string }{
		"Windows-1252":  {"name,id\nJos\xe9,1\n", `id="import-wrong"`},
		"no header":     {"Student 01,s01\n", `id="import-wrong"`},
		"an instructor": {"name,username\nTaken over,teach1\n", `id="import-errors"`},
	} {
		r, body := s.preview(c.list)
		if r.StatusCode != 422 && name != "an instructor" {
			t.Errorf("%s: status %d", name, r.StatusCode)
		}
		wantWords(t, body, c.words)
	}
	if r, _ := s.preview("name,id\n" + strings.Repeat("x", classroom.RosterLimit)); r.StatusCode != 413 {
		t.Errorf("too long: status %d", r.StatusCode)
	}
}

func TestRosterAsCSV(t *testing.T) {
	s := openSchool(t)
	r, body := s.post("I1", "/class/MILL/roster.csv", "links", "new")
	wantStatus(t, r, body, 200)
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%v: %q", err, body)
	}
	if rows[1][0] != "'"+hostile || !strings.Contains(rows[1][5], "/link/") {
		t.Errorf("who has not come in: %q", rows[1])
	}
	if rows[2][1] != "s01" || rows[2][5] != "" {
		t.Errorf("who has come in: %q", rows[2])
	}
	if l := s.linkIn(rows[1][5]); l.Person != "S2" || l.Purpose != class.ForEntry || l.Class != "MILL" {
		t.Errorf("link %+v", l)
	}
	if got := s.lastEntry(); got.Action != "roster" || !strings.Contains(got.Detail, " 1 ") {
		t.Errorf("logged %+v", got)
	}
	if want := strings.TrimSuffix(s.URL(), "/") + "/link/"; !strings.HasPrefix(rows[1][5], want) {
		t.Errorf("link %q, want one at %s", rows[1][5], want)
	}
	_, page := s.preview(body)
	wantWords(t, page, `id="no-changes" data-same="2"`)
}

// The plain file has the identifiers of students, no links, and ends none.
func TestRosterAsCSVEndsNoLinks(t *testing.T) {
	s := openSchool(t)
	_, body := s.post("I1", "/class/MILL/roster.csv", "links", "new")
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	s.must(err)
	sent := rows[1][5]
	r, body := s.post("I1", "/class/MILL/roster.csv")
	wantStatus(t, r, body, 200)
	rows, err = csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil || len(rows) != 3 || strings.Join(rows[0], ",") != "name,username,group,e-mail,student number" || strings.Contains(body, "/link/") {
		t.Errorf("%v: %q", err, body)
	}
	q, err := http.NewRequest("GET", sent, nil)
	s.must(err)
	if r, _ := s.answer(q); r.StatusCode != 200 {
		t.Errorf("a link that was sent: status %d", r.StatusCode)
	}
	_, page := s.preview(body)
	wantWords(t, page, `id="no-changes" data-same="2"`)
}

// The address in the roster's file is opened as it is there, and leads in
// once; the file of the next time has none for who came in.
func TestRosterFileLeadsIn(t *testing.T) {
	s := openSchool(t)
	linkOfS2 := func() string {
		_, body := s.post("I1", "/class/MILL/roster.csv", "links", "new")
		rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
		if err != nil || len(rows) != 3 || rows[1][1] != "s02" {
			t.Fatalf("%v: %q", err, rows)
		}
		return rows[1][5]
	}
	earlier, link := linkOfS2(), linkOfS2()
	ask := func(address, password string) (*http.Response, string) {
		q, err := http.NewRequest("GET", address, nil)
		if password != "" {
			q, err = http.NewRequest("POST", address, strings.NewReader(url.Values{"password": {password}}.Encode()))
			q.Header.Set("Content-Type", formType("POST"))
		}
		s.must(err)
		return s.answer(q)
	}
	if r, _ := ask(earlier, ""); r.StatusCode != http.StatusGone {
		t.Errorf("the link of an earlier file: status %d", r.StatusCode)
	}
	r, body := ask(link, "")
	wantStatus(t, r, body, 200)
	wantWords(t, body, "=&lt;script&gt;", `name="password"`)
	r, body = ask(link, "a mill by the weir")
	wantStatus(t, r, body, 303)
	r, body = s.get(tokenOf(t, r), "/lesson/wheel~A1")
	wantStatus(t, r, body, 200)
	if r, _ := ask(link, ""); r.StatusCode != http.StatusGone {
		t.Errorf("the link again: status %d", r.StatusCode)
	}
	if again := linkOfS2(); again != "" {
		t.Errorf("a link for who has come in: %s", again)
	}
}

func TestAddAStudentByHand(t *testing.T) {
	s := openSchool(t)
	for name, c := range map[string]struct {
		fields []string
		words  string
	}{
		"no name":     {[]string{"signin", "x"}, `data-wrong="name"`},
		"no sign-in":  {[]string{"name", "X"}, `data-wrong="signin"`},
		"taken":       {[]string{"name", "X", "signin", "S01"}, `data-wrong="signin"`},
		"no address":  {[]string{"name", "X", "signin", "x", "email", "x"}, `data-wrong="email"`},
		"turned name": {[]string{"name", "X\u202ey", "signin", "x"}, "U+202E"},
	} {
		r, body := s.post("I1", "/class/MILL/roster", c.fields...)
		if r.StatusCode != 422 {
			t.Errorf("%s: status %d", name, r.StatusCode)
		}
		wantWords(t, body, c.words)
	}
	r, body := s.post("I1", "/class/MILL/roster", "name", "Student 03", "signin", "s03", "section", "B")
	wantStatus(t, r, body, 303)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, "Student 03", "not yet joined")
}
