package web

import (
	"io"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

// TestCheckedAgainst finds the sources of a lesson at the foot of its page and at the
// end of its working, with what is only remembered marked as such.
func TestCheckedAgainst(t *testing.T) {
	sources := "checked:\n  - source: Roark & Young, table 10\n    what: a < square\n    memory: yes\n  - source: Hütte\n    what: a bar\n---\n"
	shelf, found := lessons.Load(fstest.MapFS{
		"mill.md":  {Data: []byte(strings.Replace(millText, "minutes: 5\n---\n", "minutes: 5\n"+sources, 1))},
		"plain.md": {Data: []byte(strings.Replace(millText, "order: 1", "order: 2", 1))},
	})
	if len(found) > 0 {
		t.Fatal(found[0].List[0].Render())
	}
	s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	for _, c := range []struct{ name, path, want string }{
		{"the page, after the text", "lesson/mill", "<h2>Checked against</h2>\n<ul>\n<li><cite>Roark &amp; Young, table 10</cite>: a &lt; square (from memory, the source was not at hand)</li>\n<li><cite>Hütte</cite>: a bar</li>\n</ul>"},
		{"the working as text", "lesson/mill/working/text", "\n\nChecked against\n\n  Roark & Young, table 10: a < square (from memory, the source was not at hand)\n  Hütte: a bar\n"},
		{"the working as TeX", "lesson/mill/working/tex", "\\subsection*{Checked against}\n\n\\begin{itemize}\n\\item \\emph{Roark \\& Young, table 10}: a < square (from memory, the source was not at hand)\n\\item \\emph{Hütte}: a bar\n\\end{itemize}\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := get(t, s.URL()+c.path)
			at := strings.Index(body, c.want)
			if r.StatusCode != http.StatusOK || at < 0 || at < strings.Index(body, "Later") {
				t.Errorf("status %d; %q is not after the lesson:\n%s", r.StatusCode, c.want, body)
			}
		})
	}
	for _, path := range []string{"lesson/plain", "lesson/plain/working/text", "lesson/plain/working/tex", "lesson/mill/working/text?cell=calc-1"} {
		if _, body := get(t, s.URL()+path); strings.Contains(body, "Checked against") {
			t.Errorf("%s names sources and has none", path)
		}
	}
}
