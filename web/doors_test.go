package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// Wrong passwords make an account wait, told in words and to programs; the wait
// ends by itself, and a right password ends the counting.
func TestWrongPasswordsWait(t *testing.T) {
	s := openSchool(t)
	s.password("S1", goodPassword)
	now := schoolTime
	s.clock = func() time.Time { return now }
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
	r, body = wrong()
	for r.StatusCode == http.StatusTooManyRequests {
		now = now.Add(15 * time.Minute)
		r, body = wrong()
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
					wantWords(t, body, "There were too many", "Wait ")
					return
				}
			}
			t.Error("it goes on")
		})
	}
}

// A class of 40 signs in within a minute from one address, as a school has it,
// each with a wrong password first; nobody waits.
func TestAClassSignsInAtOnce(t *testing.T) {
	s := openSchool(t)
	encoded, err := s.passwords.Hash(t.Context(), goodPassword)
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

// Right passwords over and over are bounded too: each costs a hashing.
func TestArrivalsAreLimited(t *testing.T) {
	s := openSchool(t)
	right := func() (*knock, time.Duration) {
		return s.knock(httptest.NewRequest("POST", "/sign-in", nil), "sign-in", "s01")
	}
	for i := range 1000 {
		k, wait := right()
		if wait == 0 {
			k.right()
			continue
		}
		if i < 20 {
			t.Errorf("number %d waits %v", i, wait)
		}
		s.clock = func() time.Time { return schoolTime.Add(wait) }
		if _, more := right(); more != 0 {
			t.Errorf("after %v it is %v more", wait, more)
		}
		return
	}
	t.Error("1000 are let through")
}

// One reader who asks without end is told to wait; others are not.
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

func TestClientAddress(t *testing.T) {
	s := &Server{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}}
	for _, c := range []struct {
		name, from string
		said       []string
		want       string
	}{
		{"straight", "192.0.2.7:5000", nil, "192.0.2.7"},
		{"straight, with a header of one’s own", "192.0.2.7:5000", []string{"198.51.100.1"}, "192.0.2.7"},
		{"through a proxy", "10.0.0.1:5000", []string{"192.0.2.7"}, "192.0.2.7"},
		{"through two", "10.0.0.1:5000", []string{"192.0.2.7, 10.9.9.9"}, "192.0.2.7"},
		{"with an address invented in front", "10.0.0.1:5000", []string{"198.51.100.1, 192.0.2.7"}, "192.0.2.7"},
		{"in two headers", "10.0.0.1:5000", []string{"198.51.100.1", "192.0.2.7"}, "192.0.2.7"},
		{"with a port", "10.0.0.1:5000", []string{"192.0.2.7:4000"}, "192.0.2.7"},
		{"a proxy that says nothing", "10.0.0.1:5000", nil, "10.0.0.1"},
		{"a proxy that says nonsense", "10.0.0.1:5000", []string{"192.0.2.7, unknown"}, "10.0.0.1"},
		{"proxies only", "10.0.0.1:5000", []string{"10.0.0.3, 10.0.0.2"}, "10.0.0.3"},
		{"an address of IPv6 is its network", "[2001:db8:1:2:3:4:5:6]:5000", nil, "2001:db8:1:2::/64"},
		{"IPv4 written as IPv6", "[::ffff:192.0.2.7]:5000", nil, "192.0.2.7"},
		{"a proxy by IPv6", "[fd00::1]:5000", []string{"[2001:db8::1]:443"}, "2001:db8::/64"},
		{"no address", "@", []string{"192.0.2.7"}, "@"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "/", nil)
			r.RemoteAddr = c.from
			r.Header["X-Forwarded-For"] = c.said
			if got := s.clientOf(r); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

// Whatever a proxy passes on, what counts is an address of the list or the peer.
func FuzzClientAddress(f *testing.F) {
	f.Add("192.0.2.7, 10.9.9.9")
	f.Add(",,")
	f.Add("[::1%x]:7")
	s := &Server{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}}
	f.Fuzz(func(t *testing.T, said string) {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = "10.0.0.1:5000"
		r.Header.Set("X-Forwarded-For", said)
		got := s.clientOf(r)
		if _, err := netip.ParseAddr(got); err == nil {
			return
		}
		if _, err := netip.ParsePrefix(got); err != nil {
			t.Errorf("%q gives %q", said, got)
		}
	})
}

func TestIsSecure(t *testing.T) {
	s := &Server{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}, Origins: []string{"http://plain.example", "https://twist.example"}}
	for _, c := range []struct {
		name, from, host, said string
		want                   bool
	}{
		{"plain", "192.0.2.7:5000", "x.example", "", false},
		{"under an https origin", "192.0.2.7:5000", "Twist.example", "", true},
		{"under an http origin", "192.0.2.7:5000", "plain.example", "", false},
		{"somebody says so", "192.0.2.7:5000", "x.example", "https", false},
		{"a proxy says so", "10.0.0.1:5000", "x.example", "https", true},
		{"a proxy says no", "10.0.0.1:5000", "twist.example", "http", false},
		{"the last proxy counts", "10.0.0.1:5000", "x.example", "http", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "http://"+c.host+"/", nil)
			r.RemoteAddr = c.from
			if c.said != "" {
				r.Header.Set("X-Forwarded-Proto", c.said)
			}
			if got := s.isSecure(r); got != c.want {
				t.Errorf("%v", got)
			}
		})
	}
}
