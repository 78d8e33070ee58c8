package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
)

// Wrong passwords make an account wait, told in words and to programs; the wait
// ends by itself, and a right password ends the counting.
func TestWrongPasswordsWait(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	now := schoolTime
	s.site.Clock = func() time.Time { return now }
	wrong := func() (*http.Response, string) {
		return s.at("", "POST", "/sign-in", "name", "s01", "password", "a wrong password")
	}
	for range 5 {
		r, body := wrong()
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
	}
	r, body := s.at("", "POST", "/sign-in", "name", "S01", "password", goodPassword, "next", "/derivation", "own", "yes")
	wantStatus(t, r, body, http.StatusTooManyRequests)
	wantWords(t, body, "Wait 2 seconds", "ask your instructor", `value="/derivation"`, "checked")
	if got := r.Header.Get("Retry-After"); got != "2" {
		t.Errorf("Retry-After %q", got)
	}
	r, body = s.at("", "POST", "/sign-in", "name", "s02", "password", "a wrong password")
	wantStatus(t, r, body, http.StatusUnprocessableEntity) // another account waits for nothing
	for range 20 {
		wait := 1000 * time.Hour
		if r, _ := wrong(); r.StatusCode == http.StatusTooManyRequests {
			seconds, _ := strconv.Atoi(r.Header.Get("Retry-After"))
			wait = time.Duration(seconds) * time.Second
			now = now.Add(wait)
		}
		if wait > 15*time.Minute && wait != 1000*time.Hour {
			t.Fatalf("a wait of %v", wait)
		}
	}
	r, _ = wrong()
	for r.StatusCode == http.StatusTooManyRequests {
		now = now.Add(15 * time.Minute)
		r, _ = wrong()
	}
	_, body = wrong()
	wantWords(t, body, "about 1", "minutes")
	now = now.Add(15 * time.Minute)
	r, body = s.at("", "POST", "/sign-in", "name", "s01", "password", goodPassword)
	wantStatus(t, r, body, http.StatusSeeOther)
	for range 5 {
		r, body = wrong()
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
	}
}

// Codes, links and the present password cannot be guessed faster.
func TestOtherDoorsWait(t *testing.T) {
	s := openSchool(t)
	s.password("I1", goodPassword)
	r, _ := s.at("", "POST", "/sign-in", "name", "teach1", "password", goodPassword)
	token := tokenOf(t, r)
	for _, c := range []struct {
		name, token, method, path string
		fields                    []string
		tries                     int // until one has to wait
	}{
		{"a join code", "", "POST", "/join", []string{"code", "ABCD-EFGI", "who", "s02", "password", goodPassword}, 5},
		{"the present password", token, "POST", "/account/password", []string{"old", "a wrong password", "password", goodPassword}, 5},
		{"a link", "", "GET", "/link/none", nil, 100},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i := range c.tries {
				r, body := s.at(c.token, c.method, c.path, c.fields...)
				if r.StatusCode == http.StatusTooManyRequests {
					t.Fatalf("try %d: %s", i, body)
				}
			}
			for range 20 { // the failures before count against this address too
				r, body := s.at(c.token, c.method, c.path, c.fields...)
				if r.StatusCode == http.StatusTooManyRequests {
					if r.Header.Get("Retry-After") == "" {
						t.Errorf("nobody is told how long to wait: %s", body)
					}
					return
				}
			}
			t.Error("it goes on")
		})
	}
}

// A class of 40 signs in within a minute from one address, as a school has it,
// each with a wrong password first; no one waits.
func TestAClassSignsInAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("hashes the passwords of a class")
	}
	s := openSchool(t)
	encoded, err := password.NewHasher().Hash(t.Context(), goodPassword)
	s.must(err)
	for i := range 40 {
		s.must(s.store.AddPerson(t.Context(), class.Person{ID: fmt.Sprint("C", i), Name: fmt.Sprint("Student ", i), SignIn: fmt.Sprint("c", i), Password: encoded}))
	}
	var all sync.WaitGroup
	var in atomic.Int32
	for i := range 40 {
		all.Go(func() {
			name := fmt.Sprint("c", i)
			r, _ := s.at("", "POST", "/sign-in", "name", name, "password", "a wrong password")
			if r.StatusCode != http.StatusUnprocessableEntity {
				t.Errorf("%s: a wrong password: %d", name, r.StatusCode)
			}
			if r, _ = s.at("", "POST", "/sign-in", "name", name, "password", goodPassword); r.StatusCode == http.StatusSeeOther {
				in.Add(1)
			}
		})
	}
	all.Wait()
	if in.Load() != 40 {
		t.Errorf("%d of 40 are in", in.Load())
	}
}

// One reader who asks without end has to wait; others are not.
func TestRequestsOfOnePersonAreLimited(t *testing.T) {
	s := openSchool(t)
	ask := func(token string) *httptest.ResponseRecorder {
		q := httptest.NewRequest("GET", "/account", nil)
		q.AddCookie(&http.Cookie{Name: "shaftbook", Value: token})
		w := httptest.NewRecorder()
		s.http.Handler.ServeHTTP(w, q)
		return w
	}
	for i := range 2000 {
		w := ask("S1")
		if w.Code != http.StatusTooManyRequests {
			continue
		}
		if i < 300 {
			t.Errorf("request %d has to wait", i)
		}
		if w.Header().Get("Retry-After") == "" || !strings.Contains(w.Body.String(), "Wait a few seconds") {
			t.Errorf("it is told %v", w)
		}
		if w := ask("S2"); w.Code != http.StatusOK {
			t.Errorf("somebody else gets %d", w.Code)
		}
		return
	}
	t.Error("2000 requests are let through")
}
