package web

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

const goodPassword = "quill before lay shaft"

// password gives a person of a school a password.
func (s *school) password(person, chosen string) {
	s.t.Helper()
	encoded, err := s.passwords.Hash(context.Background(), chosen)
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

func TestSignIn(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	s.password("I1", goodPassword)
	for _, c := range []struct{ name, signIn, password, next, to string }{
		{"a student", "s01", goodPassword, "", "/"},
		{"with capitals and spaces in the name", "  S01 ", goodPassword, "", "/"},
		{"an instructor", "teach1", goodPassword, "", "/classes"},
		{"to where the student was going", "s01", goodPassword, "/lesson/wheel~A1?at=x#exercise-twist", "/lesson/wheel~A1?at=x#exercise-twist"},
		{"not to another host", "s01", goodPassword, "//weir.example/", "/"},
		{"a wrong password", "s01", goodPassword + "s", "", ""},
		{"with other capitals", "s01", strings.ToUpper(goodPassword), "", ""},
		{"no password", "s01", "", "", ""},
		{"nobody", "s99", goodPassword, "", ""},
		{"nobody at all", "", "", "", ""},
		{"who has not come in yet", "s02", "", "", ""},
		{"the identifier in place of the name", "u01", goodPassword, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.at("", "POST", "/sign-in", "name", c.signIn, "password", c.password, "next", c.next)
			if c.to == "" {
				wantStatus(t, r, body, http.StatusUnprocessableEntity)
				wantWords(t, body, "The sign-in name or the password is not right.")
				if len(r.Cookies()) > 0 || c.password != "" && strings.Contains(body, c.password) {
					t.Errorf("cookies %v, or the page gives the password back", r.Cookies())
				}
				return
			}
			s.wantGone(r, body, c.to)
			if name := s.person(map[bool]string{true: "I1", false: "S1"}[c.signIn == "teach1"]).Name; !s.isIn(tokenOf(t, r), name) {
				t.Error("the session is not that person’s")
			}
		})
	}
}

// The token is new at each sign-in and stands in the store as a hash; the one
// that the browser had, whoever put it there, opens nothing any more.
func TestSignInMakesANewSession(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	r, _ := s.at("I1", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	first := tokenOf(t, r)
	if len(first) < 43 || first == "I1" { // 32 bytes in base 64
		t.Errorf("the token is %q", first)
	}
	if s.isIn("I1", "Instructor 1") {
		t.Error("the session before is still open")
	}
	r, _ = s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	if tokenOf(t, r) == first {
		t.Error("the same token twice")
	}
	content, err := os.ReadFile(s.file)
	s.must(err)
	log, _ := os.ReadFile(s.file + "-wal")
	for _, secret := range []string{first, goodPassword} {
		if bytes.Contains(content, []byte(secret)) || bytes.Contains(log, []byte(secret)) {
			t.Errorf("the store holds %s", secret)
		}
	}
}

func TestSessionCookie(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	s.Origins = []string{"https://twist.example"}
	for _, c := range []struct {
		name, host, own, want string
	}{
		{"a shared device", "", "", "shaftbook=; Path=/; HttpOnly; SameSite=Lax"},
		{"one’s own device", "", "yes", "shaftbook=; Path=/; Max-Age=2592000; HttpOnly; SameSite=Lax"},
		{"under TLS", "twist.example", "", "__Host-shaftbook=; Path=/; HttpOnly; Secure; SameSite=Lax"},
	} {
		t.Run(c.name, func(t *testing.T) {
			form := url.Values{"name": {"s01"}, "password": {goodPassword}, "own": {c.own}}
			q, err := http.NewRequest("POST", s.URL()+"sign-in", strings.NewReader(form.Encode()))
			s.must(err)
			q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			q.Host = c.host
			r, body := s.answer(q)
			wantStatus(t, r, body, http.StatusSeeOther)
			cookie := r.Cookies()[0]
			got := strings.Replace(cookie.Raw, cookie.Value, "", 1)
			if got != c.want {
				t.Errorf("%s\nwant %s", got, c.want)
			}
		})
	}
}

func TestSessionsEnd(t *testing.T) {
	for _, c := range []struct {
		name string
		own  string
		open []time.Duration // at which a lesson is open
		ends time.Duration
	}{
		{"shared", "", nil, 12 * time.Hour},
		{"shared, with a lesson open", "", []time.Duration{6 * time.Hour, 14 * time.Hour}, 26 * time.Hour},
		{"shared, a lesson open too late", "", []time.Duration{13 * time.Hour}, 12 * time.Hour},
		{"one’s own", "yes", []time.Duration{6 * time.Hour, 29 * 24 * time.Hour}, 30 * 24 * time.Hour},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openSchool(t)
			s.password("S1", goodPassword)
			r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword, "own", c.own)
			token := tokenOf(t, r)
			at := func(d time.Duration) { s.clock = func() time.Time { return schoolTime.Add(d) } }
			for _, d := range c.open {
				at(d)
				s.signedOut(t.Context(), hashToken(token))
			}
			if at(c.ends - time.Minute); !s.isIn(token, "Student 01") {
				t.Error("it ended too early")
			}
			if at(c.ends + time.Minute); s.isIn(token, "Student 01") {
				t.Error("it did not end")
			}
		})
	}
}

// However long a lesson is open, 30 days after the sign-in it is over.
func TestNoSessionLastsForEver(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	token := tokenOf(t, r)
	for d := time.Duration(0); d < 40*24*time.Hour; d += 8 * time.Hour {
		s.clock = func() time.Time { return schoolTime.Add(d) }
		if s.signedOut(t.Context(), hashToken(token)) {
			if d != ownSessionFor {
				t.Errorf("it ended after %v", d)
			}
			return
		}
	}
	t.Error("it never ends")
}

func TestSignOut(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	token := tokenOf(t, r)
	r, body := s.at(token, "POST", "/sign-out")
	s.wantGone(r, body, "/sign-in?said=out")
	if c := r.Cookies()[0]; c.MaxAge >= 0 || c.Value != "" {
		t.Errorf("the browser keeps %v", c)
	}
	if s.isIn(token, "Student 01") {
		t.Error("the session is still open")
	}
	if r, body = s.at("", "POST", "/sign-out"); r.StatusCode != http.StatusSeeOther {
		t.Errorf("with a session that has ended: %d %s", r.StatusCode, body)
	}
	_, body = s.at("", "GET", "/sign-in?said=out")
	wantWords(t, body, "You are signed out.")
}

func TestSignOutEverywhere(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	var tokens []string
	for range 2 {
		r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
		tokens = append(tokens, tokenOf(t, r))
	}
	r, body := s.at(tokens[0], "POST", "/account/sessions")
	s.wantGone(r, body, "/sign-in?said=everywhere")
	for _, token := range tokens {
		if s.isIn(token, "Student 01") {
			t.Error("a session is still open")
		}
	}
	if !s.isIn("I1", "Instructor 1") {
		t.Error("somebody else’s session ended too")
	}
}

// A page that needs a session says where to get one, and goes on from there.
func TestSignInGoesOn(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	r, body := s.at("", "GET", "/lesson/wheel~A1?at=x")
	s.wantGone(r, body, "/sign-in?next=%2Flesson%2Fwheel~A1%3Fat%3Dx")
	_, body = s.at("", "GET", r.Header.Get("Location"))
	wantWords(t, body, `name="next" value="/lesson/wheel~A1?at=x"`)
	r, body = s.at("", "POST", "/lesson/wheel~A1/exercise/exercise-twist", "answer", "1 deg")
	wantStatus(t, r, body, http.StatusUnauthorized)
	wantWords(t, body, "go back to what you wrote")
}

var localPaths = []struct{ name, address, want string }{
	{"a page", "/lesson/wheel", "/lesson/wheel"},
	{"a page with a query", "/lesson/wheel?at=%2F%2Fweir.example", "/lesson/wheel?at=%2F%2Fweir.example"},
	{"the shelf", "/", "/"},
	{"nothing", "", ""},
	{"another host", "https://weir.example/", ""},
	{"another host, the scheme left out", "//weir.example/", ""},
	{"with a backslash", `/\weir.example/`, ""},
	{"with two", `\\weir.example/`, ""},
	{"with a tab that browsers take out", "/\t/weir.example/", ""},
	{"with a line end", "/\n/weir.example/", ""},
	{"with a space in front", " //weir.example/", ""},
	{"a script", "javascript:alert(1)", ""},
	{"a page beside", "lesson/wheel", ""},
	{"a host that is no host", "/%zz", ""},
}

func TestLocalPath(t *testing.T) {
	for _, c := range localPaths {
		t.Run(c.name, func(t *testing.T) {
			if got := localPath(c.address); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// Wherever somebody is sent after signing in, it is a page of this server, as a
// browser reads addresses: it takes out tabs and line ends and reads a backslash
// as a slash (WHATWG URL Standard, basic URL parser).
func FuzzLocalPath(f *testing.F) {
	for _, c := range localPaths {
		f.Add(c.address)
	}
	f.Fuzz(func(t *testing.T, address string) {
		got := localPath(address)
		if got == "" {
			return
		}
		read := strings.NewReplacer("\t", "", "\n", "", "\r", "", `\`, "/").Replace(strings.TrimSpace(got))
		base, _ := url.Parse("https://twist.example/sign-in")
		u, err := base.Parse(read)
		if err != nil || u.Host != base.Host || u.Scheme != base.Scheme || strings.HasPrefix(read, "//") {
			t.Errorf("%q leads to %v (%v)", address, u, err)
		}
	})
}

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
		{"no code", "", "s06", goodPassword, "Please fill this in."},
		{"another code", "ABCD-EFGI", "s06", goodPassword, "do not go together"},
		{"a code with something behind it", code + "x", "s06", goodPassword, "do not go together"},
		{"nobody on the roster", code, "s99", goodPassword, "do not go together"},
		{"no name", code, "", goodPassword, "Please fill this in."},
		{"who has a password", code, "s01", goodPassword, "do not go together"},
		{"who has left", code, "s07", goodPassword, "do not go together"},
		{"who is in another class", code, "s08", goodPassword, "do not go together"},
		{"an instructor of the class", code, "teach5", goodPassword, "do not go together"},
		{"an address that two have", code, "home@mill.example", goodPassword, "do not go together"},
		{"a short password", code, "s06", "short", "at least 8"},
		{"the name as the password", code, "s06@mill.example", "S06@mill.example", "your name"},
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
			if got := s.logged(); got != "came in with the join code" {
				t.Errorf("the log says %q", got)
			}
			r, body = s.at("", "POST", "/sign-in", "name", "s06", "password", c.password)
			s.wantGone(r, body, "/")
			r, body = s.at("", "POST", "/join", "code", c.code, "who", c.who, "password", "another fine password")
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
		})
	}
}

// putLink makes a link with a token.
func (s *school) putLink(token string, l class.Link) {
	s.t.Helper()
	l.Hash, l.MadeAt, l.EndsAt = hashToken(token), schoolTime, schoolTime.Add(time.Hour)
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
	wantWords(t, body, "at least 8")
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
		wantWords(t, body, "ask whoever gave it to you")
	}
	r, body = s.at("", "GET", "/link/none")
	wantStatus(t, r, body, http.StatusGone)
}

func TestLinksRunOut(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForEntry, Person: "S1"})
	s.clock = func() time.Time { return schoolTime.Add(2 * time.Hour) }
	r, body := s.at("", "POST", "/link/token", "password", goodPassword)
	wantStatus(t, r, body, http.StatusGone)
}

func TestColleagueLink(t *testing.T) {
	s := openSchool(t)
	s.putLink("token", class.Link{Purpose: class.ForColleague, Class: "MILL", MadeBy: "I1"})
	r, body := s.at("", "POST", "/link/token", "name", "Instructor 9", "signin", "S01", "password", goodPassword)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	wantWords(t, body, "has this sign-in name", `value="Instructor 9"`)
	r, body = s.at("", "POST", "/link/token", "name", "", "signin", "teach9", "password", goodPassword)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	r, body = s.at("", "POST", "/link/token", "name", "Instructor 9", "signin", "teach9", "password", goodPassword)
	s.wantGone(r, body, "/class/MILL")
	r, body = s.at(tokenOf(t, r), "GET", "/class/MILL")
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, "Instructor 9")
}

// Whoever has an account of an instructor already brings it along.
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
	wantWords(t, body, "Nobody has an account here yet.")
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
	wantWords(t, body, "no instructor yet")
	r, body = s.at("", "POST", path, "name", "Instructor 1", "signin", "teach1", "password", goodPassword)
	s.wantGone(r, body, "/classes")
	if _, body := s.at("", "GET", "/sign-in"); strings.Contains(body, "Nobody has an account") {
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

func TestAccount(t *testing.T) {
	s := openSchool(t)
	_, body := s.get("S1", "/account")
	wantWords(t, body, "Student 01", "s01", "Weir", "as the roster of your class has them")
	r, body := s.post("S1", "/account", "name", "Instructor 1", "signin", "s01")
	wantStatus(t, r, body, http.StatusForbidden)
	_, body = s.get("I1", "/account")
	wantWords(t, body, `href="/class/MILL"`, "as an instructor")
	for _, c := range []struct{ name, chosen, signIn, want string }{
		{"no name", "", "teach1", "Please fill this in."},
		{"no sign-in name", "Instructor 1", " ", "Please fill this in."},
		{"somebody’s", "Instructor 1", "TEACH2", "Somebody else here has this sign-in name"},
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
		{"not the old one", "another fine password", "a third fine password", "This is not your present password."},
		{"too short", goodPassword, "short", "at least 8"},
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
	wantWords(t, body, "Make an address")
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

// A hash of a lower cost is replaced when its owner signs in, and nobody is
// signed out by it.
func TestOldHashesAreMadeNew(t *testing.T) {
	s := openSchool(t)
	// "password" by the reference implementation: see package password.
	old := "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"
	s.must(s.store.SetPassword(t.Context(), "S1", old))
	s.must(s.store.OpenSession(t.Context(), sessionOf("S1")))
	r, body := s.at("", "POST", "/sign-in", "name", "s01", "password", "password")
	s.wantGone(r, body, "/")
	if now := s.person("S1").Password; now == old || !strings.HasPrefix(now, "$argon2id$v=19$m=19456,") {
		t.Errorf("the hash is %s", now)
	}
	if !s.isIn("S1", "Student 01") {
		t.Error("another session ended")
	}
}

// Behind a proxy that asks by another name, pages of an origin that the server was
// told of may send forms; others may not.
func TestFormsOfNamedOrigins(t *testing.T) {
	s := openSchool(t)
	s.Origins = []string{"https://twist.example"}
	h := s.handler()
	for origin, status := range map[string]int{
		"https://twist.example": http.StatusUnprocessableEntity, "http://twist.example": http.StatusForbidden, "https://weir.example": http.StatusForbidden,
	} {
		q := httptest.NewRequest("POST", "http://127.0.0.1:8930/sign-in", nil)
		q.Header.Set("Origin", origin)
		w := httptest.NewRecorder()
		if h.ServeHTTP(w, q); w.Code != status {
			t.Errorf("%s: %d, want %d", origin, w.Code, status)
		}
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
