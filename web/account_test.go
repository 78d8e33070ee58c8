package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"shaftbook/web/account/password"
)

const goodPassword = "quill before lay shaft"

// password gives a person of a school a password.
func (s *school) password(person, chosen string) {
	s.t.Helper()
	encoded, err := password.NewHasher().Hash(context.Background(), chosen)
	s.must(err)
	s.must(s.store.SetPassword(context.Background(), person, encoded))
}

// at sends a request with the session of a token, as a browser that has a cookie
// does; without one if the token is empty.
func (s *school) at(token, method, path string, fields ...string) (*http.Response, string) {
	s.t.Helper()
	form := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	q, err := http.NewRequest(method, strings.TrimSuffix(s.URL(), "/")+path, strings.NewReader(form.Encode()))
	s.must(err)
	q.Header.Set("Content-Type", formType(method))
	if token != "" {
		q.AddCookie(&http.Cookie{Name: "shaftbook", Value: token})
	}
	return s.answer(q)
}

// tokenOf returns the session that an answer gives the browser.
func tokenOf(t *testing.T, r *http.Response) string {
	t.Helper()
	for _, c := range r.Cookies() {
		if c.Name == "shaftbook" && c.MaxAge >= 0 {
			return c.Value
		}
	}
	t.Fatalf("%s %s gives no session", r.Request.Method, r.Request.URL)
	return ""
}

// isIn reports whether a token opens the account page of a person.
func (s *school) isIn(token, name string) bool {
	s.t.Helper()
	r, body := s.at(token, "GET", "/account")
	return r.StatusCode == http.StatusOK && strings.Contains(body, "<bdi>"+name+"</bdi>")
}

func (s *school) wantGone(r *http.Response, body, to string) {
	s.t.Helper()
	wantStatus(s.t, r, body, http.StatusSeeOther)
	if got := r.Header.Get("Location"); got != to {
		s.t.Errorf("goes on to %s, want %s", got, to)
	}
}

func TestAccount(t *testing.T) {
	s := openSchool(t)
	_, body := s.get("S1", "/account")
	wantWords(t, body, "Student 01", "s01", "Weir", `id="from-roster"`)
	r, body := s.post("S1", "/account", "name", "Instructor 1", "signin", "s01")
	wantStatus(t, r, body, http.StatusForbidden)
	_, body = s.get("I1", "/account")
	wantWords(t, body, `href="/class/MILL"`)
	for _, c := range []struct{ name, chosen, signIn, want string }{
		{"no name", "", "teach1", `data-wrong="`},
		{"no sign-in name", "Instructor 1", " ", `data-wrong="`},
		{"somebody’s", "Instructor 1", "TEACH2", `data-wrong="signin"`},
	} {
		r, body = s.post("I1", "/account", "name", c.chosen, "signin", c.signIn)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, c.want)
	}
	r, body = s.post("I1", "/account", "name", "Instructor One", "signin", "one")
	s.wantGone(r, body, "/account?said=kept")
	if p := s.person("I1"); p.Name != "Instructor One" || p.SignIn != "one" || !p.Instructor {
		t.Errorf("%+v", p)
	}
}

func TestChangePassword(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword, "own", "yes")
	here := tokenOf(t, r)
	r, _ = s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	there := tokenOf(t, r)
	for _, c := range []struct{ name, old, chosen, want string }{
		{"not the old one", "another fine password", "a third fine password", `data-wrong="old"`},
		{"too short", goodPassword, "short", `data-wrong="password"`},
	} {
		r, body := s.at(here, "POST", "/account/password", "old", c.old, "password", c.chosen)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, c.want)
	}
	r, body := s.at(here, "POST", "/account/password", "old", goodPassword, "password", "another fine password")
	s.wantGone(r, body, "/account?said=password")
	if now := tokenOf(t, r); !s.isIn(now, "Student 01") || r.Cookies()[0].MaxAge <= 0 {
		t.Error("this device is not signed in as before")
	}
	if s.isIn(here, "Student 01") || s.isIn(there, "Student 01") {
		t.Error("a session from before is still open")
	}
	r, body = s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
}

func TestOwnData(t *testing.T) {
	s := openSchool(t)
	r, body := s.get("S1", "/account/data")
	wantStatus(t, r, body, http.StatusOK)
	if !strings.Contains(body, "Student 01") || strings.Contains(body, "hash-of-s01") || strings.Contains(body, "secret-feed") {
		t.Errorf("the file is %s", body)
	}
	if r.Header.Get("Cache-Control") != "no-store" || !strings.Contains(r.Header.Get("Content-Disposition"), "attachment") {
		t.Errorf("headers %v", r.Header)
	}
}

// The address of a calendar is made, replaced and taken away by its owner.
func TestCalendarAddress(t *testing.T) {
	s := openSchool(t)
	_, body := s.get("S2", "/account")
	wantWords(t, body, `value="renew"`)
	r, body := s.post("S2", "/account/calendar", "do", "renew")
	s.wantGone(r, body, "/account?said=calendar")
	first := s.person("S2").Feed
	_, body = s.get("S2", "/account")
	wantWords(t, body, "/calendar/"+first)
	r, body = s.at("", "GET", "/calendar/"+first)
	wantStatus(t, r, body, http.StatusOK)
	s.post("S2", "/account/calendar", "do", "renew")
	second := s.person("S2").Feed
	if len(first) < 26 || second == first {
		t.Errorf("the addresses are %q and %q", first, second)
	}
	r, body = s.at("", "GET", "/calendar/"+first)
	wantStatus(t, r, body, http.StatusNotFound)
	s.post("S2", "/account/calendar", "do", "stop")
	if p := s.person("S2"); p.Feed != "" || p.SignIn != "s02" {
		t.Errorf("%+v", p)
	}
}

// The links at the top are on pages that are shared, so they are the same for
// everybody; an open server has none.
func TestLinksToTheAccount(t *testing.T) {
	s := openSchool(t)
	for _, path := range []string{"/", "/lesson/wheel", "/classes", "/derivation"} {
		_, body := s.get("S1", path)
		wantWords(t, body, `<a href="/account">Account</a>`)
	}
	_, body := get(t, open(t).URL())
	if strings.Contains(body, "/account") {
		t.Error("an open server leads to accounts")
	}
}
