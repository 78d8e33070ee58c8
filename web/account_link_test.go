package web

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/token"
)

func TestJoin(t *testing.T) {
	const code = "ABCD-EFGH"
	for _, c := range []struct {
		name, code, who, password string
		want                      string // what the page says; empty for who has come in
	}{
		{"by the sign-in name", code, "s06", goodPassword, ""},
		{"by the e-mail address", code, "S06@mill.example", goodPassword, ""},
		{"by the student number", code, "u06", goodPassword, ""},
		{"a code that was read out", "abcd efgh", "s06", goodPassword, ""},
		{"no code", "", "s06", goodPassword, "data-wrong="},
		{"another code", "ABCD-EFGI", "s06", goodPassword, `class="entry-wrong"`},
		{"a code with something behind it", code + "x", "s06", goodPassword, `class="entry-wrong"`},
		{"nobody on the roster", code, "s99", goodPassword, `class="entry-wrong"`},
		{"no name", code, "", goodPassword, "data-wrong="},
		{"who has a password", code, "s01", goodPassword, `class="entry-wrong"`},
		{"who has left", code, "s07", goodPassword, `class="entry-wrong"`},
		{"who is in another class", code, "s08", goodPassword, `class="entry-wrong"`},
		{"an instructor of the class", code, "teach5", goodPassword, `class="entry-wrong"`},
		{"an address that two have", code, "home@mill.example", goodPassword, `class="entry-wrong"`},
		{"a short password", code, "s06", "weir 7", `data-wrong="password"`},
		{"the name as the password", code, "s06@mill.example", "S06@mill.example", `data-wrong="password"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openSchool(t)
			for _, p := range []class.Person{
				{ID: "S6", Name: "Student 06", SignIn: "s06", Email: "s06@mill.example", SourcedID: "u06"},
				{ID: "S7", Name: "Student 07", SignIn: "s07"}, {ID: "S8", Name: "Student 08", SignIn: "s08"},
				{ID: "S9", Name: "Student 09", SignIn: "s09", Email: "home@mill.example"}, {ID: "S10", Name: "Student 10", SignIn: "s10", Email: "home@mill.example"},
				{ID: "I5", Name: "Instructor 5", SignIn: "teach5", Instructor: true},
			} {
				s.must(s.store.AddPerson(t.Context(), p))
			}
			s.enrol(class.Member{Class: "MILL", Person: "S6", Role: class.Student}, class.Member{Class: "MILL", Person: "S7", Role: class.Student, Left: true},
				class.Member{Class: "WEIR", Person: "S8", Role: class.Student}, class.Member{Class: "MILL", Person: "I5", Role: class.Staff},
				class.Member{Class: "MILL", Person: "S9", Role: class.Student}, class.Member{Class: "MILL", Person: "S10", Role: class.Student})
			r, body := s.at("", "POST", "/join", "code", c.code, "who", c.who, "password", c.password)
			if c.want != "" {
				wantStatus(t, r, body, http.StatusUnprocessableEntity)
				wantWords(t, body, c.want)
				if strings.Contains(body, "Student 0") || strings.Contains(body, c.password) {
					t.Error("the page names somebody of the roster, or gives the password back")
				}
				return
			}
			s.wantGone(r, body, "/")
			if !s.isIn(tokenOf(t, r), "Student 06") {
				t.Error("the session is not the student’s")
			}
			if got := s.lastEntry(); got.Action != "entry" || got.About != "S6" {
				t.Errorf("the log has %+v", got)
			}
			r, body = s.at("", "POST", "/sign-in", "name", "s06", "password", c.password)
			s.wantGone(r, body, "/")
			r, body = s.at("", "POST", "/join", "code", c.code, "who", c.who, "password", "another fine password")
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
		})
	}
}

// putLink makes a link with a token.
func (s *school) putLink(secret string, l class.Link) {
	s.t.Helper()
	l.Hash, l.MadeAt, l.EndsAt = token.Hash(secret), schoolTime, schoolTime.Add(time.Hour)
	s.must(s.store.PutLink(context.Background(), l))
}

func TestEntryLink(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForEntry, Person: "S1", Class: "MILL", MadeBy: "I1"})
	for range 2 { // looking uses nothing up
		r, body := s.at("", "GET", "/link/token")
		wantStatus(t, r, body, http.StatusOK)
		wantWords(t, body, "Student 01", `value="s01"`)
		if r.Header.Get("Referrer-Policy") != "no-referrer" || r.Header.Get("Cache-Control") != "no-store" {
			t.Error("the address of a link may be handed on or kept")
		}
	}
	r, body := s.at("", "POST", "/link/token", "password", "short")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	wantWords(t, body, `data-wrong="password"`)
	r, body = s.at("", "POST", "/link/token", "password", goodPassword, "signin", "other", "name", "Other")
	s.wantGone(r, body, "/")
	if !s.isIn(tokenOf(t, r), "Student 01") {
		t.Error("the session is not the student’s")
	}
	if s.isIn("S1", "Student 01") {
		t.Error("a session from before is still open")
	}
	if p := s.person("S1"); p.SignIn != "s01" || p.Name != "Student 01" {
		t.Errorf("the link changed %+v", p)
	}
	for _, method := range []string{"GET", "POST"} {
		r, body = s.at("", method, "/link/token", "password", goodPassword)
		wantStatus(t, r, body, http.StatusGone)
		wantWords(t, body, `<a href="/sign-in">Sign in</a>`)
		wantWords(t, body, `data-problem="spent"`)
	}
	r, body = s.at("", "GET", "/link/none")
	wantStatus(t, r, body, http.StatusGone)
}

func TestLinksRunOut(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForEntry, Person: "S1"})
	s.site.Clock = func() time.Time { return schoolTime.Add(2 * time.Hour) }
	r, body := s.at("", "POST", "/link/token", "password", goodPassword)
	wantStatus(t, r, body, http.StatusGone)
}

func TestColleagueLink(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForColleague, Class: "MILL", MadeBy: "I1"})
	r, body := s.at("", "POST", "/link/token", "name", "Instructor 9", "signin", "S01", "password", goodPassword)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	wantWords(t, body, `data-wrong="signin"`, `value="Instructor 9"`)
	r, body = s.at("", "POST", "/link/token", "name", "", "signin", "teach9", "password", goodPassword)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	r, body = s.at("", "POST", "/link/token", "name", "Instructor 9", "signin", "teach9", "password", goodPassword)
	s.wantGone(r, body, "/class/MILL")
	r, body = s.at(tokenOf(t, r), "GET", "/class/MILL")
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, "Instructor 9")
}

// The person who has an account of an instructor already brings it along.
func TestColleagueLinkOfAnInstructor(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForColleague, Class: "MILL", MadeBy: "I1"})
	_, body := s.at("I2", "GET", "/link/token")
	wantWords(t, body, "You are signed in as Instructor 2.", "Join as an instructor")
	r, body := s.at("I2", "POST", "/link/token")
	s.wantGone(r, body, "/class/MILL")
	if m := s.member("MILL", "I2"); m.Role != class.Staff || m.Left {
		t.Errorf("%+v", m)
	}
	if !s.isIn("I2", "Instructor 2") {
		t.Error("the account or its session changed")
	}
}

func TestSetUpLink(t *testing.T) {
	store, file := openCopy(t, emptyStore)
	s := openSchoolOn(t, store)
	s.file = file
	_, body := s.at("", "GET", "/sign-in")
	wantWords(t, body, `id="entry-text"`)
	first, err := s.SetUpLink(t.Context())
	s.must(err)
	second, err := s.SetUpLink(t.Context())
	s.must(err)
	base := strings.TrimSuffix(s.URL(), "/")
	if !strings.HasPrefix(second, base+"/link/") {
		t.Errorf("the link is %s", second)
	}
	r, body := s.at("", "GET", strings.TrimPrefix(first, base))
	wantStatus(t, r, body, http.StatusGone) // the later start ended it
	path := strings.TrimPrefix(second, base)
	_, body = s.at("", "GET", path)
	wantWords(t, body, `name="signin"`)
	r, body = s.at("", "POST", path, "name", "Instructor 1", "signin", "teach1", "password", goodPassword)
	s.wantGone(r, body, "/classes")
	if _, body := s.at("", "GET", "/sign-in"); strings.Contains(body, `id="entry-text"`) {
		t.Error("there is an instructor, and the page says there is none")
	}
	for _, page := range []string{"/classes", "/account"} { // of somebody who is in no class
		if _, body := s.at(tokenOf(t, r), "GET", page); !strings.Contains(body, `<a href="/account">`) {
			t.Errorf("%s: no way to the account at the top", page)
		}
	}
	r, body = s.at(tokenOf(t, r), "POST", "/classes", "name", "Mill", "zone", "UTC")
	wantStatus(t, r, body, http.StatusSeeOther)
	r, body = s.at("", "POST", path, "name", "Instructor 2", "signin", "teach2", "password", goodPassword)
	wantStatus(t, r, body, http.StatusGone)
	if _, err := s.SetUpLink(t.Context()); err == nil {
		t.Error("a set-up link where there is an instructor")
	}
	link, err := s.EntryLink(t.Context(), "Teach1")
	s.must(err)
	r, body = s.at("", "POST", strings.TrimPrefix(link, base), "password", "another fine password")
	s.wantGone(r, body, "/classes")
}
