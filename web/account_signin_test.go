package web

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"shaftbook/web/app/token"
)

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
				wantWords(t, body, `class="entry-wrong"`)
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

// The token is new at each sign-in and is in the store as a hash; the one
// that the browser had, whichever it was, opens nothing any more.
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
	s.Origins, s.site.Origins = []string{"https://twist.example"}, []string{"https://twist.example"}
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

// A browser that comes by TLS after it was signed in without still sends the old
// token, and neither signing in nor signing out leaves it open.
func TestTheTokenOfTheOtherSchemeEnds(t *testing.T) {
	for _, path := range []string{"sign-in", "sign-out"} {
		t.Run(path, func(t *testing.T) {
			s := openSchool(t)
			s.password("S1", goodPassword)
			s.Origins, s.site.Origins = []string{"https://twist.example"}, []string{"https://twist.example"}
			r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
			plain := tokenOf(t, r)
			if !s.isIn(plain, "Student 01") {
				t.Fatal("not signed in without TLS")
			}
			form := url.Values{"name": {"s01"}, "password": {goodPassword}}
			q, err := http.NewRequest("POST", s.URL()+path, strings.NewReader(form.Encode()))
			s.must(err)
			q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			q.Host = "twist.example"
			q.AddCookie(&http.Cookie{Name: "shaftbook", Value: plain})
			r, body := s.answer(q)
			wantStatus(t, r, body, http.StatusSeeOther)
			if s.isIn(plain, "Student 01") {
				t.Error("the token from before is still good")
			}
			taken := false
			for _, c := range r.Cookies() {
				taken = taken || c.Name == "shaftbook" && c.MaxAge < 0
			}
			if !taken {
				t.Errorf("the browser keeps the old token: %v", r.Cookies())
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
			secret := tokenOf(t, r)
			at := func(d time.Duration) { s.site.Clock = func() time.Time { return schoolTime.Add(d) } }
			for _, d := range c.open {
				at(d)
				s.account.Sessions.Refresh(t.Context(), token.Hash(secret))
			}
			if at(c.ends - time.Minute); !s.isIn(secret, "Student 01") {
				t.Error("it ended too early")
			}
			if at(c.ends + time.Minute); s.isIn(secret, "Student 01") {
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
	secret := tokenOf(t, r)
	for d := time.Duration(0); d < 40*24*time.Hour; d += 8 * time.Hour {
		s.site.Clock = func() time.Time { return schoolTime.Add(d) }
		if !s.account.Sessions.Refresh(t.Context(), token.Hash(secret)) {
			if d != 30*24*time.Hour {
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
	secret := tokenOf(t, r)
	r, body := s.at(secret, "POST", "/sign-out")
	s.wantGone(r, body, "/sign-in?said=out")
	if c := r.Cookies()[0]; c.MaxAge >= 0 || c.Value != "" {
		t.Errorf("the browser keeps %v", c)
	}
	if s.isIn(secret, "Student 01") {
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
	for _, secret := range tokens {
		if s.isIn(secret, "Student 01") {
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
	wantWords(t, body, `data-problem="sign-in"`)
}

// A hash of a lower cost is replaced when its owner signs in, and no one is
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
	s.Origins, s.site.Origins = []string{"https://twist.example"}, []string{"https://twist.example"}
	h := s.handler()
	for origin, status := range map[string]int{
		"https://twist.example": http.StatusUnprocessableEntity, "http://twist.example": http.StatusForbidden, "https://weir.example": http.StatusForbidden,
	} {
		q := httptest.NewRequest("POST", s.URL()+"sign-in", nil)
		q.RemoteAddr = "127.0.0.1:9" // of the proxy
		q.Header.Set("Origin", origin)
		w := httptest.NewRecorder()
		if h.ServeHTTP(w, q); w.Code != status {
			t.Errorf("%s: %d, want %d", origin, w.Code, status)
		}
	}
}
