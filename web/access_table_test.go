package web

import (
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/token"
	"shaftbook/web/request"
	"shaftbook/web/static"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// A role is someone who asks, by their place in the class MILL.
type role struct{ name, person string }

var roles = []role{
	{"nobody", ""},
	{"student", "S1"},
	{"left", "S3"},            // a student of MILL who has left
	{"elsewhere", "S4"},       // a student of WEIR
	{"staff", "I1"},           // of MILL
	{"staff-left", "I4"},      // was of MILL
	{"staff-elsewhere", "I2"}, // of WEIR
	{"instructor", "I3"},      // without a class
}

// openRoles opens a school in which there is someone of each role.
func openRoles(t *testing.T) *school {
	t.Helper()
	s := openSchool(t)
	for _, p := range []class.Person{
		{ID: "S3", Name: "Student 03", SignIn: "s03", Password: "x"}, {ID: "S4", Name: "Student 04", SignIn: "s04", Password: "x"},
		{ID: "I3", Name: "Instructor 3", SignIn: "teach3", Instructor: true, Password: "x"},
		{ID: "I4", Name: "Instructor 4", SignIn: "teach4", Instructor: true, Password: "x"},
	} {
		s.admit(p)
	}
	s.enrol(
		class.Member{Class: "MILL", Person: "S3", Role: class.Student, Left: true},
		class.Member{Class: "WEIR", Person: "S4", Role: class.Student},
		class.Member{Class: "MILL", Person: "I4", Role: class.Staff, Left: true},
	)
	return s
}

var wildcard = regexp.MustCompile(`\{[^}]*\}`)

// addressOf returns a method and an address that a pattern matches. The values
// stand for the wildcards by name; any other wildcard gets "x".
func addressOf(pattern string, values map[string]string) (method, path string) {
	method, path, found := strings.Cut(pattern, " ")
	if !found {
		method, path = http.MethodGet, pattern
	}
	return method, wildcard.ReplaceAllStringFunc(path, func(w string) string {
		name := strings.TrimSuffix(strings.Trim(w, "{}"), "...")
		if name == "$" {
			return ""
		}
		if v, ok := values[name]; ok {
			return v
		}
		return "x"
	})
}

// The person who adds a route reads here, in the difference, who may use it. The
// handlers are left out: what is tested is the rule of each route and nothing
// behind it.
func TestAccessTable(t *testing.T) {
	s := openRoles(t)
	var b strings.Builder
	fmt.Fprint(&b, "# Who may use which route: go test ./web -run AccessTable -update, then read the difference.\n"+
		"# yes, or what is answered in place of the page. MILL is the class of each address.\n")
	fmt.Fprintf(&b, "%-62s", "# route")
	for _, who := range roles {
		fmt.Fprintf(&b, " %-15s", who.name)
	}
	b.WriteString("\n")
	routes := s.routes()
	slices.SortStableFunc(routes, func(a, b request.Route) int {
		_, pathA, _ := strings.Cut(a.Pattern, " ")
		_, pathB, _ := strings.Cut(b.Pattern, " ")
		return strings.Compare(pathA+a.Pattern, pathB+b.Pattern)
	})
	for _, rt := range routes {
		rt.Handle = answered
		mux := http.NewServeMux()
		mux.HandleFunc(rt.Pattern, s.guarded(rt))
		fmt.Fprintf(&b, "%-62s", rt.Pattern)
		for _, who := range roles {
			fmt.Fprintf(&b, " %-15s", answerTo(mux, rt.Pattern, who))
		}
		b.WriteString("\n")
	}
	got := regexp.MustCompile(` +\n`).ReplaceAllString(b.String(), "\n")
	golden := filepath.Join("testdata", "access.golden")
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	missing, extra := differing(string(want), got)
	for _, line := range extra {
		t.Errorf("the table of routes has a row that %s has not:\n%s", golden, line)
	}
	for _, line := range missing {
		t.Errorf("%s has a row that the table of routes has not:\n%s", golden, line)
	}
	if t.Failed() {
		t.Log("If you meant to add, change or take out a route: go test ./web -run AccessTable -update, read who may now use it, and commit the file with the route.")
	}
}

// answered is a handler that was reached.
func answered(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }

// answerTo returns in a word what someone gets at a route.
func answerTo(h http.Handler, pattern string, who role) string {
	method, path := addressOf(pattern, map[string]string{"class": "MILL"})
	r := httptest.NewRequest(method, path, nil)
	if who.person != "" {
		r.AddCookie(&http.Cookie{Name: "shaftbook", Value: who.person})
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	switch {
	case w.Code == http.StatusNoContent:
		return "yes"
	case w.Code == http.StatusSeeOther && strings.HasPrefix(w.Header().Get("Location"), "/sign-in?"),
		w.Code == http.StatusUnauthorized:
		return "sign-in"
	}
	return fmt.Sprint(w.Code)
}

// differing returns the lines that only one of two texts has.
func differing(want, got string) (missing, extra []string) {
	wanted, gotten := strings.Split(want, "\n"), strings.Split(got, "\n")
	for _, line := range wanted {
		if !slices.Contains(gotten, line) {
			missing = append(missing, line)
		}
	}
	for _, line := range gotten {
		if !slices.Contains(wanted, line) {
			extra = append(extra, line)
		}
	}
	return missing, extra
}

// The rules that hold for every row, whatever the golden file says.
func TestAccessRulesHoldForEveryRoute(t *testing.T) {
	s := openSchool(t)
	open := map[string]bool{
		"/": true,
		// A program that fetches a calendar cannot sign in; the secret in the
		// address lets it in.
		"GET /calendar/{feed}": true,
		// How someone without a session comes in.
		"GET /sign-in": true, "POST /sign-in": true, "POST /sign-out": true, "GET /join": true, "POST /join": true,
		"GET /link/{token}": true, "POST /link/{token}": true,
		// A page that its owner shares with a link: what lets anybody in is the secret in
		// the address.
		"GET /shared/{token}": true, "GET /shared/{token}/live": true,
		"GET /shared/{token}/figure/{cell}/{index}/{format}": true, "POST /shared/{token}/figure/{cell}/{index}/{format}": true,
		"GET /shared/{token}/working/{format}": true, "POST /shared/{token}/working/{format}": true,
	}
	for _, rt := range s.routes() {
		inClass := strings.Contains(rt.Pattern, "{class}")
		switch {
		case inClass && rules[rt.Pattern] != staff && rules[rt.Pattern] != members:
			t.Errorf("%s names a class and must ask for a member or its staff", rt.Pattern)
		case !inClass && (rules[rt.Pattern] == staff || rules[rt.Pattern] == members):
			t.Errorf("%s asks for a member of the class of the address, and the address names none", rt.Pattern)
		case strings.Contains(rt.Pattern, "{person}") && rules[rt.Pattern] != staff:
			t.Errorf("%s names a person and must ask for staff", rt.Pattern)
		case rules[rt.Pattern] == staticFile && rt.Pattern != "GET "+static.Prefix:
			t.Errorf("%s is no static file", rt.Pattern)
		case rules[rt.Pattern] == machines && !strings.HasPrefix(rt.Pattern, "GET "+healthPrefix):
			t.Errorf("%s does not tell how the server is", rt.Pattern)
		case rules[rt.Pattern] == anybody && !open[rt.Pattern]:
			t.Errorf("%s is open to the world; if it must be, name it in this test and say why in web/access.go", rt.Pattern)
		}
	}
}

// Each rule by itself, so that one is tested before the first route has it.
func TestAccessLevels(t *testing.T) {
	s := openRoles(t)
	for _, c := range []struct {
		name   string
		access access
		want   string // in the order of roles
	}{
		{"nobody", nobody, "404 404 404 404 404 404 404 404"},
		{"an access that is not known", staff + 1, "404 404 404 404 404 404 404 404"},
		{"staticFile", staticFile, "yes yes yes yes yes yes yes yes"},
		{"machines", machines, "yes yes yes yes yes yes yes yes"},
		{"anybody", anybody, "yes yes yes yes yes yes yes yes"},
		{"readers", readers, "sign-in yes yes yes yes yes yes yes"},
		{"signedIn", signedIn, "sign-in yes yes yes yes yes yes yes"},
		{"instructors", instructors, "sign-in 403 403 403 yes yes yes yes"},
		{"members", members, "sign-in yes 404 404 yes 404 404 404"},
		{"staff", staff, "sign-in 404 404 404 yes 404 404 404"},
	} {
		t.Run(c.name, func(t *testing.T) {
			const pattern = "GET /class/{class}/tested"
			mux := http.NewServeMux()
			mux.HandleFunc(pattern, s.guard(c.access, answered))
			var got []string
			for _, who := range roles {
				got = append(got, answerTo(mux, pattern, who))
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("got  %s\nwant %s", strings.Join(got, " "), c.want)
			}
		})
	}
}

// A route without a rule cannot be reached: the rule that is not there refuses,
// on a server with classes and on an open one.
func TestARouteWithoutARuleIsRefused(t *testing.T) {
	forgotten := request.Route{Pattern: "GET /forgotten", Handle: answered}
	var none access
	if rule := rules[forgotten.Pattern]; rule != none || none != nobody {
		t.Fatalf("the rule of a route without one is %v, want nobody", rule)
	}
	open := openAsked(t, newDesk(t), io.Discard)
	for _, s := range []*Server{openRoles(t).Server, open} {
		mux := http.NewServeMux()
		mux.HandleFunc(forgotten.Pattern, s.guarded(forgotten))
		for _, who := range roles {
			if got := answerTo(mux, forgotten.Pattern, who); got != "404" {
				t.Errorf("%s gets %s, want 404", who.name, got)
			}
		}
	}
}

// Each route has a rule, and each rule a route.
func TestRulesAndRoutesAreTheSame(t *testing.T) {
	s := openSchool(t)
	s.reader.Gallery = true
	there := map[string]bool{}
	for _, rt := range s.routes() {
		if there[rt.Pattern] = true; rules[rt.Pattern] == nobody {
			t.Errorf("%s has no rule in web/access.go, so that nobody can use it", rt.Pattern)
		}
	}
	for pattern := range rules {
		if !there[pattern] {
			t.Errorf("web/access.go has a rule for %s, which is no route", pattern)
		}
	}
}

// A session that is over, or a token that never was, is no one's.
func TestAccessEndsWithTheSession(t *testing.T) {
	s := openRoles(t)
	const pattern = "GET /class/{class}/tested"
	mux := http.NewServeMux()
	mux.HandleFunc(pattern, s.guard(staff, answered))
	for _, c := range []struct{ name, token, want string }{
		{"open", "I1", "yes"},
		{"never was", "I9", "sign-in"},
		{"the hash of the store in place of the token", token.Hash("I1"), "sign-in"},
		{"none", "", "sign-in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := answerTo(mux, pattern, role{c.name, c.token}); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
	opened := s.site.Now()
	s.site.Clock = func() time.Time { return opened.Add(time.Hour) }
	if got := answerTo(mux, pattern, role{"ended", "I1"}); got != "sign-in" {
		t.Errorf("after its end: %s, want sign-in", got)
	}
}
