package web

import (
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/gorilla/websocket"

	"shaftbook/lessons"
	"shaftbook/web/live"
)

const lessonText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

## The numbers

` + "```calc\nT = 420 N·m\nL = 1.3 m\nG = 79 GPa\nd = 48 mm\nJ = π/32·d^4\nθ = T·L/(G·J) in deg\nplot T·x/(G·J) in deg for x from 0 m to L\n```\n\n```exercise twist\ntitle: One\n```\n"

func open(t *testing.T) *Server {
	t.Helper()
	shelf, _ := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(lessonText)}})
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = s.Close(context.Background())
	})
	return s
}

func get(t *testing.T, url string) (*http.Response, string) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r, string(body)
}

func TestEveryAnswerIsSecured(t *testing.T) {
	s := open(t)
	base := strings.TrimSuffix(s.URL(), "/")
	for _, c := range []struct {
		method, path string
		status       int
	}{
		{"GET", "/", 200},
		{"GET", "/lesson/wheel", 200},
		{"HEAD", "/lesson/wheel", 200},
		{"GET", "/lesson/none", 404},
		{"GET", "/lesson/wheel/../../etc/passwd", 404},
		{"GET", "/lesson/wheel/wheel.md", 404},
		{"GET", "/lesson/wheel/figure/calc-1/6/png", 200},
		{"GET", "/lesson/wheel/figure/calc-1/6/pdf", 200},
		{"GET", "/lesson/wheel/figure/calc-1/6/exe", 404},
		{"GET", "/lesson/wheel/figure/calc-1/0/png", 404},
		{"GET", "/lesson/wheel/figure/calc-1/-1/png", 404},
		{"GET", "/static/none.js", 404},
		{"GET", s.site.Assets.Stylesheet, 200},
		{"GET", s.site.Assets.Main, 200},
		{"GET", s.site.Assets.Words, 200},
		{"GET", s.site.Assets.Icon, 200},
		{"GET", s.site.Assets.Fonts[0], 200},
		{"GET", "/live", 426},
		{"GET", "/nothing/here", 404},
		{"DELETE", "/", 404},
	} {
		t.Run(c.method+" "+c.path, func(t *testing.T) {
			q, err := http.NewRequest(c.method, base+c.path, nil)
			if err != nil {
				t.Fatal(err)
			}
			r, err := http.DefaultClient.Do(q)
			if err != nil {
				t.Fatal(err)
			}
			r.Body.Close()
			if r.StatusCode != c.status {
				t.Errorf("status %d, want %d", r.StatusCode, c.status)
			}
			for name, want := range map[string]string{
				"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff",
				"Referrer-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
			} {
				if got := r.Header.Get(name); got != want {
					t.Errorf("%s is %q, want %q", name, got, want)
				}
			}
			if strings.HasPrefix(c.path, "/static/") && c.status == 200 && !strings.Contains(r.Header.Get("Cache-Control"), "immutable") {
				t.Error("a static file may not be kept for ever")
			}
		})
	}
}

func TestLessonReadsWithoutAScript(t *testing.T) {
	s := open(t)
	_, body := get(t, s.URL()+"lesson/wheel")
	// 32·420·1.3/(79e9·π·0.048⁴) rad by hand: 0.013261… rad = 0.7598 deg.
	for _, want := range []string{"<h1>The wheel shaft</h1>", "<math", "0.7598 deg", "<svg", "J = π/32·d^4", `class="foot"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, never := range []string{" style=", "<style", "onclick", "javascript:"} {
		if strings.Contains(body, never) {
			t.Errorf("the page holds %q, which the policy forbids", never)
		}
	}
}

func TestFigureIsDrawnWithTheReadersChanges(t *testing.T) {
	s := open(t)
	address := s.URL() + "lesson/wheel/figure/calc-1/6/png"
	_, as := get(t, address)
	changed := strings.Replace(strings.SplitN(strings.SplitN(lessonText, "```calc\n", 2)[1], "\n```", 2)[0], "48 mm", "30 mm", 1)
	body := `{"edits":{"calc-1":` + quote(changed) + `},"varied":{}}`
	r, err := http.Post(address, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	picture, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	if r.StatusCode != 200 || r.Header.Get("Content-Type") != "image/png" || string(picture) == as {
		t.Errorf("status %d, type %s, the same picture: %v", r.StatusCode, r.Header.Get("Content-Type"), string(picture) == as)
	}
}

func quote(s string) string { return `"` + strings.ReplaceAll(s, "\n", `\n`) + `"` }

func TestOtherSitesMayNotPost(t *testing.T) {
	s := open(t)
	q, err := http.NewRequest(http.MethodPost, s.URL()+"lesson/wheel/exercise/exercise-twist", strings.NewReader("answer=1"))
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Sec-Fetch-Site", "cross-site")
	q.Header.Set("Origin", "https://mill.example")
	r, err := http.DefaultClient.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusForbidden {
		t.Errorf("status %d, want 403", r.StatusCode)
	}
}

func TestProblemsForScriptsAreObjects(t *testing.T) {
	s := open(t)
	q, err := http.NewRequest(http.MethodGet, s.URL()+"lesson/none", nil)
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Accept", "application/json")
	r, err := http.DefaultClient.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != 404 || r.Header.Get("Content-Type") != "application/problem+json" {
		t.Errorf("status %d, type %q", r.StatusCode, r.Header.Get("Content-Type"))
	}
}

func TestAPanicIsAPageAndALineInTheLog(t *testing.T) {
	s := open(t)
	var log strings.Builder
	s.site.Log = slog.New(slog.NewTextHandler(&log, nil))
	w := httptest.NewRecorder()
	s.recovered(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("the secret of the mill") })).
		ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	if w.Code != 500 || strings.Contains(w.Body.String(), "secret") || !strings.Contains(log.String(), "secret") {
		t.Errorf("status %d; the fault belongs into the log (%q), not on the page", w.Code, log.String())
	}
}

func TestABusyPortIsAnErrorAtOnce(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	s := &Server{Catalog: &lessons.Catalog{}, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	err = s.Open(taken.Addr().String())
	if err == nil || !strings.Contains(err.Error(), "cannot listen on "+taken.Addr().String()) || !strings.Contains(err.Error(), "in use") {
		t.Errorf("error %v, want one that names the address and the reason", err)
	}
}

func TestCloseTellsOpenPages(t *testing.T) {
	s := open(t)
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(s.URL(), "http")+"live", http.Header{"Origin": {strings.TrimSuffix(s.URL(), "/")}})
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	ended := make(chan error, 1)
	go func() {
		ended <- s.Close(context.Background())
	}()
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseGoingAway) {
		t.Errorf("the page saw %v, want 1001", err)
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func TestOwnOrigins(t *testing.T) {
	for _, c := range []struct {
		address string
		want    string
		not     string
	}{
		{"127.0.0.1:8930", "http://localhost:8930", "http://0.0.0.0:8930"},
		{"[::1]:8930", "http://[::1]:8930", "http://example:8930"},
		{"0.0.0.0:80", "http://127.0.0.1", "http://127.0.0.1:80"},
		{"0.0.0.0:443", "https://127.0.0.1", "https://127.0.0.1:443"},
		{"0.0.0.0:80", "https://127.0.0.1:80", "https://127.0.0.1"},
		{"192.0.2.7:8930", "http://192.0.2.7:8930", "http://localhost:8930"},
	} {
		address, err := net.ResolveTCPAddr("tcp", c.address)
		if err != nil {
			t.Fatal(err)
		}
		scheme, _, _ := strings.Cut(c.want, ":")
		got := " " + strings.Join(ownOrigins(scheme, address), " ") + " "
		if !strings.Contains(got, " "+c.want+" ") || strings.Contains(got, " "+c.not+" ") {
			t.Errorf("%s: origins %s; want %s and not %s", c.address, got, c.want, c.not)
		}
	}
}

// A server that was told its origins answers under no other name, and takes forms from
// no page of the same name that came unencrypted.
func TestHostAndSchemeOfARequest(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	s.site.Origins = []string{"https://twist.example"}
	own := s.listener.Addr().String()
	for _, c := range []struct {
		name, method, host, from, origin string
		want                             int
	}{
		{"the origin", "GET", "twist.example", "192.0.2.1:9", "", 200},
		{"a name that was made to lead here", "GET", "mill.example", "127.0.0.1:9", "", 421},
		{"the own address from this machine", "GET", own, "127.0.0.1:9", "", 200},
		{"the own address from elsewhere", "GET", own, "192.0.2.1:9", "", 421},
		{"a form of the encrypted page", "POST", "twist.example", "192.0.2.1:9", "https://twist.example", 404},
		{"a form of the unencrypted page", "POST", "twist.example", "192.0.2.1:9", "http://twist.example", 403},
		{"a form of another site", "POST", "twist.example", "192.0.2.1:9", "https://mill.example", 403},
		{"a form of the own address", "POST", own, "127.0.0.1:9", "http://" + own, 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			address := "/"
			if c.method == "POST" {
				address = "/lesson/none/kept"
			}
			r := httptest.NewRequest(c.method, address, strings.NewReader("{}"))
			r.Host, r.RemoteAddr = c.host, c.from
			if c.origin != "" {
				r.Header.Set("Origin", c.origin)
			}
			w := httptest.NewRecorder()
			s.http.Handler.ServeHTTP(w, r)
			if w.Code != c.want {
				t.Errorf("status %d, want %d\n%.200s", w.Code, c.want, w.Body)
			}
		})
	}
}
