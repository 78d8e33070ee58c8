package web

import (
	"io"
	"log/slog"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

// TestOwnLessonsOnTheShelf wants lessons beside the built-in ones under a heading of their
// own, with numbers that go on, and the page as it was where there are none.
func TestOwnLessonsOnTheShelf(t *testing.T) {
	file := func(order, more string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\ntitle: " + more + "\nsummary: S.\nminutes: 5\norder: " + order + "\n---\n\nText.\n")}
	}
	builtIn := fstest.MapFS{"wheel.md": file("1", "The wheel"), "spindle.md": file("2", "The spindle")}
	own := fstest.MapFS{"tube.md": file("1", "The tube\nneeds: [wheel]"), "wire.md": file("2", "The wire\ngroup: Wires & ropes")}
	for _, c := range []struct {
		name      string
		want, not []string
		shelf     func() (*lessons.Catalog, []lessons.FileDiagnostics)
	}{
		{"alone", []string{`<h2><a href="/lesson/wheel">`, `start="1"`}, []string{"More lessons", "The lessons</bdi>", "<h3>"},
			func() (*lessons.Catalog, []lessons.FileDiagnostics) { return lessons.Load(builtIn) }},
		{"beside", []string{`<bdi>The lessons</bdi></h2>`, `<bdi>More lessons</bdi></h2>`, `<bdi>Wires &amp; ropes</bdi></h2>`, `start="3"`, `start="4"`, `<h3><a href="/lesson/tube">`, `Needs <a href="/lesson/wheel">1 The wheel`}, []string{"<h2><a"},
			func() (*lessons.Catalog, []lessons.FileDiagnostics) { return lessons.Load(builtIn, own) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			shelf, found := c.shelf()
			if len(found) > 0 {
				t.Fatal(found[0].List)
			}
			s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
			if err := s.Open("127.0.0.1:0"); err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = s.Close(t.Context()) })
			_, body := get(t, s.URL())
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("no %s in\n%s", want, body)
				}
			}
			for _, not := range c.not {
				if strings.Contains(body, not) {
					t.Errorf("%s in\n%s", not, body)
				}
			}
		})
	}
}
