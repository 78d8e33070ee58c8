package web

import (
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

// What the first view of a lesson may weigh on the way: with its style sheet and
// scripts, without the fonts, and these by themselves.
const (
	weightLimit  = 150_000
	styleLimit   = 14_000
	scriptsLimit = 40_000
)

var staticFiles = regexp.MustCompile(`(?:href|src)="(/static/[^"]+)"`)

func TestAFirstViewIsLight(t *testing.T) {
	shelf, _ := lessons.Load(fs.FS(text.Files))
	s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close(t.Context()) }()
	sent := func(path, coding string) (n int, body string) {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("Accept-Encoding", coding)
		w := httptest.NewRecorder()
		s.http.Handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: status %d", path, w.Code)
		}
		return w.Body.Len(), w.Body.String()
	}
	heaviest, where, most := 0, "", 0
	for _, l := range shelf.Lessons {
		path := lessons.Path(l.Slug)
		_, html := sent(path, "")
		total, _ := sent(path, "br")
		seen := map[string]bool{}
		styles, scripts := 0, 0
		for _, m := range staticFiles.FindAllStringSubmatch(html, -1) {
			if seen[m[1]] || strings.HasSuffix(m[1], ".otf") {
				continue
			}
			seen[m[1]] = true
			n, _ := sent(m[1], "br")
			total += n
			switch filepath.Ext(m[1]) {
			case ".css":
				styles += n
			case ".js":
				scripts += n
			}
		}
		if len(seen) < 10 {
			t.Errorf("%s names %d static files, so something is not counted", path, len(seen))
		}
		if styles > styleLimit || scripts > scriptsLimit {
			t.Errorf("%s: %d bytes of style, limit %d; %d of scripts, limit %d", path, styles, styleLimit, scripts, scriptsLimit)
		}
		most = max(most, styles)
		if total > heaviest {
			heaviest, where = total, l.Slug
		}
		if total > weightLimit {
			t.Errorf("%s weighs %d bytes, above %d", path, total, weightLimit)
		}
	}
	t.Logf("the heaviest is %s with %d bytes; styles %d", where, heaviest, most)
}
