package web

import (
	"crypto/rand"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/postgres"
	"shaftbook/exercises/store/postgres/pgtest"
)

// Each of two servers has its own connections to one PostgreSQL, as two machines have;
// what one does holds at the other at once.
func TestSeveralServers(t *testing.T) {
	server := pgtest.Start(t)
	for _, c := range []struct {
		name string
		test func(t *testing.T, one, two *school)
	}{
		{"the room follows", followAcross},
		{"wrong passwords count together", countAcross},
		{"answers are marked six times a minute in all", paceAcross},
		{"signing out closes lessons", signOutAcross},
		{"edits are there", editsAcross},
		{"an answer sent to both is kept once", sendTwiceAcross},
		{"a link works once", linkAcross},
		{"re-marking and withdrawing hold", remarkAcross},
	} {
		t.Run(c.name, func(t *testing.T) {
			dsn := server.Database(t)
			var stores [2]contract.Store
			for i := range stores {
				store, err := postgres.Open(t.Context(), dsn)
				if err != nil {
					t.Fatal(err)
				}
				t.Cleanup(func() { _ = store.Close() })
				stores[i] = store
			}
			if err := fillSchool(t.Context(), stores[0]); err != nil {
				t.Fatal(err)
			}
			c.test(t, openSchoolWith(t, stores[0], stores[0]), openSchoolWith(t, stores[1], stores[1]))
		})
	}
}

// untilHeard returns when each server hears what the other tells.
func untilHeard(t *testing.T, servers ...*school) {
	t.Helper()
	for _, s := range servers {
		news, err := s.store.Watch(t.Context())
		s.must(err)
		heard := make(chan struct{})
		go func() {
			defer close(heard)
			for name := range news {
				if name == "ready" {
					return
				}
			}
		}()
		for waiting := true; waiting; {
			s.must(servers[0].store.Tell(t.Context(), "ready"))
			select {
			case <-heard:
				waiting = false
			case <-time.After(5 * time.Millisecond):
			}
		}
	}
}

func countAcross(t *testing.T, one, two *school) {
	one.password("S1", goodPassword)
	try := func(s *school, secret string) int {
		r, _ := s.at("", "POST", "/sign-in", "name", "s01", "password", secret)
		return r.StatusCode
	}
	for i := range 5 {
		if got := try([]*school{one, two}[i%2], "wrong"); got != http.StatusUnprocessableEntity {
			t.Fatalf("wrong password %d: status %d", i+1, got)
		}
	}
	for i, s := range []*school{one, two} {
		if got := try(s, goodPassword); got != http.StatusTooManyRequests {
			t.Errorf("server %d, after five: status %d", i+1, got)
		}
	}
}

func paceAcross(t *testing.T, one, two *school) {
	hand := func(s *school) int {
		r, _ := s.post("S1", "/lesson/wheel~A1/exercise/exercise-twist", "sheet", s.Attempts.FormToken("S1"), "series", "0",
			"part", "twist", "submission", rand.Text(), "answer", "43 deg") // the same again uses no try, and is marked
		return r.StatusCode
	}
	for i := range 6 {
		if got := hand([]*school{one, two}[i%2]); got == http.StatusTooManyRequests {
			t.Fatalf("answer %d: status %d", i+1, got)
		}
	}
	for i, s := range []*school{one, two} {
		if got := hand(s); got != http.StatusTooManyRequests {
			t.Errorf("server %d, after six: status %d", i+1, got)
		}
	}
}

func signOutAcross(t *testing.T, one, two *school) {
	untilHeard(t, one, two)
	room, _, err := two.follow("I1", "", "own")
	if err != nil {
		t.Fatal(err)
	}
	one.post("I1", "/sign-out")
	if !isClosed(room) {
		t.Error("the room at the other server is still open")
	}
	given, other := two.read("S1", "wheel~A1"), two.read("S2", "wheel~A1")
	one.post("S1", "/sign-out")
	if !isClosed(given) {
		t.Error("the lesson at the other server is still open")
	}
	for two.hub.Len() > 1 {
		time.Sleep(5 * time.Millisecond) // until the server has put the closed one away
	}
	if two.hub.Len() != 1 {
		t.Error("the lesson of the other student is closed")
	}
	other.Close()
}

func editsAcross(t *testing.T, one, two *school) {
	r, body := one.do("S1", "POST", "/lesson/wheel/kept", "application/json", strings.NewReader(`{"base":0,"edits":{"calc-1":"d = 50 mm"},"varied":{}}`))
	wantStatus(t, r, body, http.StatusOK)
	r, body = two.do("S1", "GET", "/lesson/wheel/kept", "", nil)
	wantStatus(t, r, body, http.StatusOK)
	if !strings.Contains(body, "d = 50 mm") {
		t.Errorf("the other server has %s", body)
	}
}

func sendTwiceAcross(t *testing.T, one, two *school) {
	id := rand.Text()
	var all sync.WaitGroup
	for i := range 8 {
		s := []*school{one, two}[i%2]
		all.Go(func() {
			q := fmt.Sprintf("sheet=%s&series=0&part=twist&submission=%s&answer=0.7598+deg", s.Attempts.FormToken("S1"), id)
			r, body := s.do("S1", "POST", "/lesson/wheel~A1/exercise/exercise-twist", "application/x-www-form-urlencoded", strings.NewReader(q))
			if r.StatusCode != http.StatusSeeOther && r.StatusCode != http.StatusTooManyRequests {
				t.Errorf("status %d\n%s", r.StatusCode, body)
			}
		})
	}
	all.Wait()
	kept, err := two.store.Attempts(t.Context(), "S1", "wheel~A1", "exercise-twist")
	if err != nil || len(kept) != 1 {
		t.Errorf("%d answers are kept, %v", len(kept), err)
	}
}

func linkAcross(t *testing.T, one, two *school) {
	one.putLink("token", class.Link{Purpose: class.ForEntry, Person: "S1", Class: "MILL", MadeBy: "I1"})
	status := make([]int, 2)
	var all sync.WaitGroup
	for i, s := range []*school{one, two} {
		all.Go(func() {
			r, _ := s.at("", "POST", "/link/token", "password", goodPassword)
			status[i] = r.StatusCode
		})
	}
	all.Wait()
	if status[0]+status[1] != http.StatusSeeOther+http.StatusGone {
		t.Errorf("statuses %d, want one that works and one that does not", status)
	}
}

func remarkAcross(t *testing.T, one, two *school) {
	one.rewrite(askedText)
	two.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.78 deg")
	one.rewrite(strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: 5 %", 1))
	_, body := one.get("I1", remarkPath)
	r, body := one.post("I1", remarkPath, "shown", printOf(t, body))
	wantStatus(t, r, body, http.StatusSeeOther)
	_, body = two.get("S1", "/lesson/wheel~A1")
	if text := exerciseText(t, body, "exercise-twist"); !strings.Contains(text, "2 of 3 points") {
		t.Errorf("the student reads at the other server: %s", text)
	}
	r, body = one.post("I1", "/class/MILL/assignment/A1/withdraw", "do", "withdraw")
	wantStatus(t, r, body, http.StatusSeeOther)
	if r, _ := two.get("S1", "/lesson/wheel~A1"); r.StatusCode != http.StatusGone {
		t.Errorf("a withdrawn lesson at the other server: %d", r.StatusCode)
	}
}
