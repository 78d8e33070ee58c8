package web

import (
	"context"
	"io"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

// A walkFake is a roomFake that notes what is written to it.
type walkFake struct {
	*roomFake
	mu     sync.Mutex
	writes []string
}

func (f *walkFake) wrote(what string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.writes = append(f.writes, what)
}

// taken returns what was written since it was last asked.
func (f *walkFake) taken() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	list := f.writes
	f.writes = nil
	return list
}

// The methods of class.Store that write, but for a session's last use and
// presence. Each notes itself and changes nothing, so that a walk over all
// routes leaves the school as it is.

func (f *walkFake) AddPerson(context.Context, class.Person) error {
	f.wrote("AddPerson")
	return nil
}
func (f *walkFake) UpdatePerson(context.Context, class.Person) error {
	f.wrote("UpdatePerson")
	return nil
}
func (f *walkFake) SetPassword(context.Context, string, string) error {
	f.wrote("SetPassword")
	return nil
}
func (f *walkFake) OpenSession(context.Context, class.Session) error {
	f.wrote("OpenSession")
	return nil
}
func (f *walkFake) EndSession(context.Context, string) error {
	f.wrote("EndSession")
	return nil
}
func (f *walkFake) EndSessions(context.Context, string) error {
	f.wrote("EndSessions")
	return nil
}
func (f *walkFake) PutLink(context.Context, class.Link) error {
	f.wrote("PutLink")
	return nil
}
func (f *walkFake) Redeem(context.Context, string, class.Person, time.Time) (class.Person, error) {
	f.wrote("Redeem")
	return class.Person{}, class.ErrSpent
}
func (f *walkFake) Claim(context.Context, string, string, string) error {
	f.wrote("Claim")
	return nil
}
func (f *walkFake) AddClass(context.Context, class.Class, []string, []class.Assignment, class.Entry) error {
	f.wrote("AddClass")
	return nil
}
func (f *walkFake) UpdateClass(context.Context, class.Class, class.Entry) error {
	f.wrote("UpdateClass")
	return nil
}
func (f *walkFake) Enrol(context.Context, []class.Person, []class.Person, []class.Member, class.Entry) error {
	f.wrote("Enrol")
	return nil
}
func (f *walkFake) AddAssignment(context.Context, class.Assignment, class.Frozen, class.Entry) error {
	f.wrote("AddAssignment")
	return nil
}
func (f *walkFake) UpdateAssignment(context.Context, class.Assignment, class.Entry) error {
	f.wrote("UpdateAssignment")
	return nil
}
func (f *walkFake) SetExtension(context.Context, class.Extension, class.Entry) error {
	f.wrote("SetExtension")
	return nil
}
func (f *walkFake) Override(context.Context, class.Override, class.Entry) error {
	f.wrote("Override")
	return nil
}
func (f *walkFake) Remark(context.Context, string, class.Frozen, []class.Remark, class.Entry) error {
	f.wrote("Remark")
	return nil
}
func (f *walkFake) Note(context.Context, class.Entry) error {
	f.wrote("Note")
	return nil
}
func (f *walkFake) Erase(context.Context, string, class.Entry) error {
	f.wrote("Erase")
	return nil
}

// openWalk opens a school with somebody of each role and an assignment A2 of
// the other class. The lessons of both are there, so that it is the class and
// not a missing lesson for which A2 is refused.
func openWalk(t *testing.T) (*school, *walkFake) {
	t.Helper()
	s := openRoles(t)
	a := s.fake.assigned[0]
	a.ID, a.Class = "A2", "WEIR"
	s.fake.assigned = append(s.fake.assigned, a)
	f := &walkFake{roomFake: &roomFake{classFake: s.fake}}
	s.Class = f
	for _, key := range []string{"wheel~A1", "wheel~A2"} {
		if s.book.pages[key] != nil {
			continue
		}
		lesson, list := lessons.Parse("wheel.md", []byte(askedText))
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		lesson.Slug = key
		s.book.add(lesson)
	}
	return s, f
}

// A GET may be sent by anything: a link, a mail scanner, a browser that looks
// ahead. So none may change what is kept.
func TestAccessGetsChangeNothing(t *testing.T) {
	s, f := openWalk(t)
	values := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1", "slug": "wheel", "cell": "exercise-twist"}
	for _, rt := range s.routes() {
		method, path := addressOf(rt.pattern, values)
		if method != http.MethodGet {
			continue
		}
		for _, who := range []string{"I1", "S1"} {
			r, _ := s.get(who, path)
			if writes := f.taken(); len(writes) > 0 {
				t.Errorf("GET %s by %s calls %v of the store; what changes something is a POST", path, who, writes)
			}
			if r.StatusCode == http.StatusInternalServerError {
				t.Errorf("GET %s by %s answers 500, so it was not seen what it does; if it asks the store for more, give classFake or roomFake the method", path, who)
			}
		}
	}
}

// Staff of one class who write another's student or assignment into an address
// under their own class get what somebody gets who asks for nothing.
func TestAccessStopsAtTheClassOfTheAddress(t *testing.T) {
	s, f := openWalk(t)
	own := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1"}
	for _, rt := range s.routes() {
		method, path := addressOf(rt.pattern, own)
		if method != http.MethodGet || !strings.Contains(rt.pattern, "{class}") {
			continue
		}
		if r, body := s.get("I1", path); r.StatusCode == http.StatusNotFound {
			t.Errorf("GET %s: 404 for the class’s own, so that the refusals below say nothing\n%.300s", path, body)
		}
	}
	for _, c := range []struct {
		name, wildcard string
		values         map[string]string
	}{
		{"a student of another class", "{person}", map[string]string{"class": "MILL", "person": "S4", "assignment": "A1"}},
		{"an instructor of another class", "{person}", map[string]string{"class": "MILL", "person": "I2", "assignment": "A1"}},
		{"a person who is not there", "{person}", map[string]string{"class": "MILL", "person": "S9", "assignment": "A1"}},
		{"an assignment of another class", "{assignment}", map[string]string{"class": "MILL", "person": "S1", "assignment": "A2"}},
		{"an assignment that is not there", "{assignment}", map[string]string{"class": "MILL", "person": "S1", "assignment": "A9"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, rt := range s.routes() {
				if !strings.Contains(rt.pattern, c.wildcard) || !strings.Contains(rt.pattern, "{class}") {
					continue
				}
				method, path := addressOf(rt.pattern, c.values)
				r, body := s.do("I1", method, path, formType(method), nil)
				if r.StatusCode != http.StatusNotFound {
					t.Errorf("%s %s: status %d, want 404; look up what the address names within the class of the address\n%.300s", method, path, r.StatusCode, body)
				}
				if writes := f.taken(); len(writes) > 0 {
					t.Errorf("%s %s: calls %v of the store", method, path, writes)
				}
			}
		})
	}
}

// answer sends a request and reads all of its answer; it follows no redirect.
func (s *school) answer(q *http.Request) (*http.Response, string) {
	s.t.Helper()
	r, err := http.DefaultTransport.RoundTrip(q)
	if err != nil {
		s.t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return r, string(body)
}

func formType(method string) string {
	if method == http.MethodPost {
		return "application/x-www-form-urlencoded"
	}
	return ""
}

// What one student kept in a lesson is not what another sees, whatever the
// other writes into the address, a form or the cookie of an open server.
func TestAccessKeepsStudentsApart(t *testing.T) {
	s, _ := openWalk(t)
	// As long as real ones, or the cookie below would be turned away for its form.
	owner := strings.Repeat("A", 26)
	s.admit(class.Person{ID: owner, Name: "Student 05", SignIn: "s05", Password: "x"})
	const path = "/lesson/wheel/kept"
	keep := `{"base":0,"edits":{"calc-1":"T = 999 N·m"},"varied":{}}`
	if r, body := s.do(owner, "POST", path, "application/json", strings.NewReader(keep)); r.StatusCode != http.StatusOK {
		t.Fatalf("keeping: status %d\n%s", r.StatusCode, body)
	}
	if _, body := s.get(owner, path); !strings.Contains(body, "999") {
		t.Fatalf("the student’s own text is not there: %s", body)
	}
	for _, who := range []string{"S2", "S4", "I1"} {
		for _, query := range []string{"", "?learner=" + owner, "?person=" + owner} {
			q, err := http.NewRequest("GET", strings.TrimSuffix(s.URL(), "/")+path+query, nil)
			if err != nil {
				t.Fatal(err)
			}
			q.AddCookie(&http.Cookie{Name: "shaftbook", Value: who})
			q.AddCookie(&http.Cookie{Name: learnerCookie, Value: owner})
			r, body := s.answer(q)
			if r.StatusCode != http.StatusOK || strings.Contains(body, "999") {
				t.Errorf("%s at %s: status %d, %s", who, path+query, r.StatusCode, body)
			}
		}
	}
}

// A page of another site can make a browser send a form with its cookies; no
// route takes one, whoever is signed in.
func TestAccessRefusesPostsOfOtherSites(t *testing.T) {
	s, f := openWalk(t)
	values := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1", "slug": "wheel", "cell": "exercise-twist"}
	from := []map[string]string{
		{"Sec-Fetch-Site": "cross-site", "Origin": "https://weir.example"},
		{"Sec-Fetch-Site": "same-site", "Origin": "https://weir.example"},
		{"Origin": "https://weir.example"}, // a browser without fetch metadata
		{"Origin": "null"},
	}
	posts := 0
	for _, rt := range s.routes() {
		method, path := addressOf(rt.pattern, values)
		if method != http.MethodPost {
			continue
		}
		posts++
		for _, headers := range from {
			q, err := http.NewRequest(method, strings.TrimSuffix(s.URL(), "/")+path, strings.NewReader("name=x"))
			if err != nil {
				t.Fatal(err)
			}
			q.AddCookie(&http.Cookie{Name: "shaftbook", Value: "I1"})
			q.Header.Set("Content-Type", formType(method))
			for name, value := range headers {
				q.Header.Set(name, value)
			}
			if r, _ := s.answer(q); r.StatusCode != http.StatusForbidden {
				t.Errorf("POST %s with %v: status %d, want 403", path, headers, r.StatusCode)
			}
		}
	}
	if writes := f.taken(); len(writes) > 0 {
		t.Errorf("the store was written to: %v", slices.Compact(writes))
	}
	if posts == 0 {
		t.Error("no route takes a POST")
	}
}
