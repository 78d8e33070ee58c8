package demo

import (
	"crypto/sha256"
	"encoding/hex"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// A reader is a browser that someone is signed in with.
type reader struct {
	t      *testing.T
	base   string
	cookie string
	seen   map[string]map[string]bool // the ids of each page that was read, by its address
	wrong  map[string]bool            // what has been told
	forms  []form                     // of the pages that were read
}

// serveClass serves a small class.
func serveClass(t *testing.T) (*School, contract.Store, string) {
	t.Helper()
	s, store := filledAt(t, 1, time.Now) // as the server's clock
	service, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	server := &web.Server{Catalog: s.shelf, Attempts: service, Classes: store, Log: slog.New(slog.NewTextHandler(t.Output(), nil))}
	if err := server.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Close(t.Context()) })
	return s, store, strings.TrimSuffix(server.URL(), "/")
}

// signedIn returns the browser of a person.
func signedIn(t *testing.T, store contract.Store, base string, p class.Person) *reader {
	t.Helper()
	sum := sha256.Sum256([]byte(p.SignIn))
	now := time.Now()
	session := class.Session{Hash: hex.EncodeToString(sum[:]), Person: p.ID, MadeAt: now, SeenAt: now, EndsAt: now.Add(time.Hour)}
	if err := store.OpenSession(t.Context(), session); err != nil {
		t.Fatal(err)
	}
	return &reader{t: t, base: base, cookie: p.SignIn, seen: map[string]map[string]bool{}, wrong: map[string]bool{}}
}

var (
	linkOf = regexp.MustCompile(`<(?:a|link|img|script|source)\b[^>]*?\s(?:href|src)="([^"]*)"`)
	idOf   = regexp.MustCompile(`\sid="([^"]*)"`)
	names  = regexp.MustCompile(`[A-Z2-7]{12,26}|\d+|/(?:lesson|practice)/[a-z-]+|(?:after=[a-z-]+%2Fexercise-[a-z-]+&?)+|[/=]exercise-[a-z-]+`)
)

// mostAlike is how many addresses of a kind are read, such as the pages of
// students: a reader may ask for some hundred things at once, and no more.
const mostAlike = 5

// kind is what an address has in common with those like it.
func kind(path string) string { return names.ReplaceAllString(path, "…") }

// get reads an address, without following where it leads on to.
func (r *reader) get(path string) (status int, body string, header http.Header) {
	r.t.Helper()
	request, err := http.NewRequestWithContext(r.t.Context(), http.MethodGet, r.base+path, nil)
	if err != nil {
		r.t.Fatalf("%s: %v", path, err)
	}
	return r.send(request)
}

// send asks the server as the person.
func (r *reader) send(request *http.Request) (status int, body string, header http.Header) {
	r.t.Helper()
	request.AddCookie(&http.Cookie{Name: "shaftbook", Value: r.cookie})
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		r.t.Fatalf("%s: %v", request.URL, err)
	}
	defer answer.Body.Close()
	content, err := io.ReadAll(answer.Body)
	if err != nil {
		r.t.Fatalf("%s: %v", request.URL, err)
	}
	return answer.StatusCode, string(content), answer.Header
}

// crawl follows every link of every page from some addresses on. Each leads to
// something that is there, and to the place on it that it names.
func (r *reader) crawl(from ...string) (pages []string) {
	type link struct{ on, to string }
	var queue, places []link
	for _, f := range from {
		queue = append(queue, link{"the start", f})
	}
	asked, alike := map[string]bool{}, map[string]int{}
	for len(queue) > 0 {
		l := queue[0]
		queue = queue[1:]
		path, fragment, _ := strings.Cut(l.to, "#")
		if fragment != "" {
			places = append(places, link{l.on, l.to})
		}
		if asked[path] || alike[kind(path)] >= mostAlike {
			continue
		}
		asked[path] = true
		alike[kind(path)]++
		status, body, header := r.get(path)
		if next := header.Get("Location"); status == http.StatusSeeOther && next != "" {
			queue = append(queue, link{l.on, next})
			continue
		}
		if status != http.StatusOK {
			if k := kind(l.on + " " + path); !r.wrong[k] { // of many alike one is enough
				r.wrong[k] = true
				r.t.Errorf("%s leads to %s, which answers %d", l.on, path, status)
			}
			continue
		}
		if !strings.HasPrefix(header.Get("Content-Type"), "text/html") {
			continue
		}
		pages = append(pages, path)
		r.forms = append(r.forms, formsOf(path, body)...)
		r.seen[path] = map[string]bool{}
		for _, m := range idOf.FindAllStringSubmatch(body, -1) {
			r.seen[path][html.UnescapeString(m[1])] = true
		}
		here, err := url.Parse(path)
		if err != nil {
			r.t.Fatal(err)
		}
		for _, m := range linkOf.FindAllStringSubmatch(body, -1) {
			to, err := here.Parse(html.UnescapeString(m[1]))
			if err != nil {
				r.t.Errorf("%s has a link %q that is none: %v", path, m[1], err)
				continue
			}
			if to.Scheme == "" && to.Host == "" {
				queue = append(queue, link{path, to.String()})
			}
		}
	}
	for _, l := range places {
		path, fragment, _ := strings.Cut(l.to, "#")
		if name, err := url.PathUnescape(fragment); err == nil && r.seen[path] != nil && !r.seen[path][name] {
			r.t.Errorf("%s leads to a place %s that is not on the page", l.on, l.to)
		}
	}
	return pages
}

// Every link of every page leads somewhere, and whatever can be pressed is
// answered: by a page that says what was done, or by one that says what is wrong.
func TestEveryLinkAndEveryButton(t *testing.T) {
	if testing.Short() {
		t.Skip("follows every link of a class")
	}
	s, store, base := serveClass(t)
	in := "/class/" + s.Class.ID
	const shown = "/page/BRACKETSOFTHEPLAINSPINDLEA"
	for _, c := range []struct {
		name   string
		person class.Person
		want   []string // pages that are found from the shelf
		not    []string // pressed, since one cannot leave twice, and the instructor reads the page that is shown
	}{
		{"a student", s.Students[1], []string{"/mine", "/account", "/lesson/" + s.Open.Key(), "/lesson/" + s.Closed.Key()}, []string{"/account/sessions", shown + "/delete", shown + "/hide"}},
		{"an instructor", s.Instructor, []string{ // last, since much is gone after it
			in, in + "/roster", in + "/assign", in + "/assignment/" + s.Closed.ID, in + "/room/" + s.Open.ID, in + "/marks",
			in + "/marks/" + s.Closed.ID + "/" + s.Students[0].ID, in + "/items", in + "/log", in + "/sheets/" + s.Open.ID, in + "/copy",
			in + "/student/" + s.Students[1].ID + shown,
		}, []string{"/sign-out"}},
	} {
		r := signedIn(t, store, base, c.person)
		t.Run("links for "+c.name, func(t *testing.T) {
			r.t = t
			pages := r.crawl("/")
			for _, w := range c.want {
				if !slices.Contains(pages, w) {
					t.Errorf("no way leads to %s", w)
				}
			}
			t.Logf("%d pages\n%s", len(pages), strings.Join(pages, "\n"))
		})
		t.Run("buttons for "+c.name, func(t *testing.T) {
			r.t = t
			r.pressAll(c.not...)
		})
	}
}
