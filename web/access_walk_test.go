package web

import (
	"net/http"
	"strings"
	"testing"

	"shaftbook/exercises/class"
)

// openWalk opens a school with someone of each role and an assignment A2 of
// the other class.
func openWalk(t *testing.T) *school {
	t.Helper()
	s := openRoles(t)
	s.assign(givenIn("WEIR", "A2"))
	s.addPage("S1", "P1")
	s.must(s.store.ShowPage(t.Context(), class.ShownPage{Class: "MILL", Person: "S1", Page: "P1", At: schoolTime}, 5, class.Entry{}))
	return s
}

// A GET may be sent by anything: a link, a mail scanner, a browser that looks
// ahead. So none may change what is kept.
func TestAccessGetsChangeNothing(t *testing.T) {
	s := openWalk(t)
	values := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1", "slug": "wheel", "cell": "exercise-twist"}
	before := s.contents()
	for _, rt := range s.routes() {
		method, path := addressOf(rt.Pattern, values)
		if method != http.MethodGet {
			continue
		}
		for _, who := range []string{"I1", "S1"} {
			r, _ := s.get(who, path)
			if changed := s.changedSince(before); changed != nil {
				t.Errorf("GET %s by %s changes %v; what changes something is a POST", path, who, changed)
				before = s.contents()
			}
			if r.StatusCode == http.StatusInternalServerError {
				t.Errorf("GET %s by %s answers 500, so it was not seen what it does", path, who)
			}
		}
	}
}

// Staff of one class who write another's student or assignment into an address
// under their own class get what someone gets who asks for nothing.
func TestAccessStopsAtTheClassOfTheAddress(t *testing.T) {
	s := openWalk(t)
	own := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1", "page": "P1", "cell": "calc-1", "index": "3"}
	for _, rt := range s.routes() {
		own["format"] = "text"
		if strings.Contains(rt.Pattern, "/figure/") {
			own["format"] = "png"
		}
		method, path := addressOf(rt.Pattern, own)
		if method != http.MethodGet || !strings.Contains(rt.Pattern, "{class}") {
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
		{"a page that is shown to another class", "{page}", map[string]string{"class": "WEIR", "person": "S1", "assignment": "A1", "page": "P1"}},
		{"a page of another student", "{page}", map[string]string{"class": "MILL", "person": "S2", "assignment": "A1", "page": "P1"}},
		{"an assignment of another class", "{assignment}", map[string]string{"class": "MILL", "person": "S1", "assignment": "A2"}},
		{"an assignment that is not there", "{assignment}", map[string]string{"class": "MILL", "person": "S1", "assignment": "A9"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := s.contents()
			for _, rt := range s.routes() {
				if !strings.Contains(rt.Pattern, c.wildcard) || !strings.Contains(rt.Pattern, "{class}") {
					continue
				}
				method, path := addressOf(rt.Pattern, c.values)
				r, body := s.do("I1", method, path, formType(method), nil)
				if r.StatusCode != http.StatusNotFound {
					t.Errorf("%s %s: status %d, want 404; look up what the address names within the class of the address\n%.300s", method, path, r.StatusCode, body)
				}
				if changed := s.changedSince(before); changed != nil {
					t.Errorf("%s %s: changes %v", method, path, changed)
					before = s.contents()
				}
			}
		})
	}
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
	s := openWalk(t)
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
			q.AddCookie(&http.Cookie{Name: "shaftbook_learner", Value: owner})
			r, body := s.answer(q)
			if r.StatusCode != http.StatusOK || strings.Contains(body, "999") {
				t.Errorf("%s at %s: status %d, %s", who, path+query, r.StatusCode, body)
			}
		}
	}
}

// A page of another site can make a browser send a form with its cookies; no
// route takes one, for every person who is signed in.
func TestAccessRefusesPostsOfOtherSites(t *testing.T) {
	s := openWalk(t)
	values := map[string]string{"class": "MILL", "person": "S1", "assignment": "A1", "slug": "wheel", "cell": "exercise-twist"}
	from := []map[string]string{
		{"Sec-Fetch-Site": "cross-site", "Origin": "https://weir.example"},
		{"Sec-Fetch-Site": "same-site", "Origin": "https://weir.example"},
		{"Origin": "https://weir.example"}, // a browser without fetch metadata
		{"Origin": "null"},
	}
	posts, before := 0, s.contents()
	for _, rt := range s.routes() {
		method, path := addressOf(rt.Pattern, values)
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
	if changed := s.changedSince(before); changed != nil {
		t.Errorf("the store was written to: %v", changed)
	}
	if posts == 0 {
		t.Error("no route takes a POST")
	}
}

// A page of one's own opens to nobody else, whatever the other writes into the
// address or the cookie of an open server; nothing of it is changed.
func TestAccessKeepsPagesApart(t *testing.T) {
	s := openWalk(t)
	owner := strings.Repeat("A", 26)
	s.admit(class.Person{ID: owner, Name: "Student 05", SignIn: "s05", Password: "x"})
	r, body := s.do(owner, "POST", "/derivation", "application/x-www-form-urlencoded", strings.NewReader("text=MARKER+%3D+1"))
	path := r.Header.Get("Location")
	if r.StatusCode != http.StatusSeeOther || !strings.HasPrefix(path, "/page/") {
		t.Fatalf("status %d, %s\n%s", r.StatusCode, path, body)
	}
	if _, body := s.get(owner, path); !strings.Contains(body, "MARKER") {
		t.Fatalf("the student’s own page lacks the text: %s", body)
	}
	before := s.contents()
	values := map[string]string{"page": strings.TrimPrefix(path, "/page/"), "format": "markdown"}
	asked := 0
	for _, rt := range s.routes() {
		if !strings.Contains(rt.Pattern, "{page}") {
			continue
		}
		asked++
		method, path := addressOf(rt.Pattern, values)
		for _, who := range []string{"S1", "S2", "I1"} {
			sent, kind := "text=stolen&base=1&name=stolen&revision=1", formType(method)
			if method == http.MethodPost && strings.HasSuffix(path, "/kept") {
				sent, kind = `{"base":1,"text":"stolen"}`, "application/json"
			}
			q, err := http.NewRequest(method, strings.TrimSuffix(s.URL(), "/")+path, strings.NewReader(sent))
			if err != nil {
				t.Fatal(err)
			}
			q.AddCookie(&http.Cookie{Name: "shaftbook", Value: who})
			q.AddCookie(&http.Cookie{Name: "shaftbook_learner", Value: owner})
			q.Header.Set("Content-Type", kind)
			if r, body := s.answer(q); r.StatusCode != http.StatusNotFound || strings.Contains(body, "MARKER") {
				t.Errorf("%s %s by %s: status %d, want 404\n%.300s", method, path, who, r.StatusCode, body)
			}
		}
	}
	if changed := s.changedSince(before); changed != nil {
		t.Errorf("the store was written to: %v", changed)
	}
	if asked < 10 {
		t.Errorf("%d routes of pages", asked)
	}
}
