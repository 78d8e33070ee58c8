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

// openBeside opens a server with lessons and what stands beside them.
func openBeside(t *testing.T, beside map[string]string) *Server {
	t.Helper()
	files := fstest.MapFS{"mill.md": {Data: []byte(millText)}, "wheel.md": {Data: []byte(strings.Replace(lessonText, "order: 1", "order: 2", 1))}}
	for name, text := range beside {
		files[name] = &fstest.MapFile{Data: []byte(text)}
	}
	shelf, _ := lessons.Load(files)
	s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

var besideTheMill = map[string]string{
	"glossary.yaml": "- word: lag\n  also: [twist, delay]\n  means: How far, $\\theta$ & more.\n  see: [mill.md#later, gone.md]\n- word: quill\n  means: A *short* shaft.\n",
	"symbols.yaml": "groups:\n  - title: Loads\n    symbols:\n      - {symbol: T_in(x), means: inside, unit: [N·m, lbf·in], see: mill.md#gone}\n      - {symbol: ν, means: a share}\n" +
		"materials:\n  - {name: steel, from: 75 GPa, to: 80 GPa, note: carbon}\nsources:\n  - {source: A book, what: all, memory: yes}\n",
	"paths.yaml": "- title: A day\n  for: You.\n  steps:\n    - {title: Morning, lessons: [wheel.md, gone.md], note: Slowly.}\n    - {title: Noon, lessons: mill.md}\n",
}

func TestPagesBesideTheLessons(t *testing.T) {
	s := openBeside(t, besideTheMill)
	for _, c := range []struct {
		name, path  string
		want, never []string
	}{
		{"the glossary", "glossary", []string{
			"<h2 id=\"L\">L</h2>\n<dl>\n<div id=\"lag\"><dt>lag <span class=\"meta\">also twist, delay</span></dt>\n<dd>How far, <math>", "&amp; more.",
			`Explained in <a href="/lesson/mill#later">Two shafts</a></span>`, "A <em>short</em> shaft.</dd>", `<a href="#Q">Q</a>`, `href="/symbols"`}, []string{"gone"}},
		{"the symbols", "symbols", []string{
			"<dt><math", `<span class="unit">N·m</span>, <span class="unit">lbf·in</span>`, `<a href="/lesson/mill">Two shafts</a>`, `a share; <span class="unit">a pure number</span>`,
			`<th scope="row">steel <span class="meta">carbon</span></th><td>75 GPa to 80 GPa</td>`, "<cite>A book</cite>: all (from memory, the source was not at hand)", `href="/glossary"`}, []string{"#gone"}},
		{"links of a lesson", "lesson/mill", []string{`<a href="/glossary">Glossary</a> <a href="/symbols">Symbols</a>`}, nil},
		{"links at the top of a lesson", "lesson/mill", []string{"<a href=\"/glossary?from=mill\">Glossary</a>\n<a href=\"/symbols?from=mill\">Symbols</a>"}, nil},
		{"the glossary from a lesson", "glossary?from=mill", []string{`<a href="/lesson/mill">← Back to Two shafts</a>`, `href="/symbols?from=mill"`}, nil},
		{"the symbols from an assigned lesson", "symbols?from=mill~a1", []string{`<a href="/lesson/mill~a1">← Back to Two shafts</a>`, `href="/glossary?from=mill~a1"`}, nil},
		{"the glossary from elsewhere", "glossary?from=//other.example", []string{`href="/symbols"`}, []string{"Back to", "other.example"}},
		{"the shelf", "", []string{
			`<summary>A day <span class="meta">2 lessons, about 10 minutes</span></summary>`, "<p>You.</p>", "<h3>Morning", `<a href="/lesson/wheel">`, `<p class="meta">Slowly.</p>`, `href="#paths"`,
			`<a href="/glossary">Glossary</a>: the words`, `<a href="/symbols">Symbols</a>: what`}, []string{"/lesson/gone", "· next"}},
		{"a search for a word", "?q=lag", []string{`<h2 id="terms-title">In the glossary</h2>`, `<a href="/glossary#lag">lag</a>`}, []string{"Nothing found"}},
		{"a search for another word of a term, in another form", "?q=delays", []string{`<a href="/glossary#lag">lag</a>`}, []string{"Nothing found", "#quill"}},
		{"a search for a word of the lessons only", "?q=numbers", []string{"The numbers"}, []string{"In the glossary"}},
		{"a search for nothing", "?q=zebra", []string{"Nothing found"}, []string{"In the glossary"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := get(t, s.URL()+c.path)
			if r.StatusCode != http.StatusOK {
				t.Fatalf("status %d", r.StatusCode)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("it lacks %q:\n%s", want, body)
				}
			}
			for _, never := range c.never {
				if strings.Contains(body, never) {
					t.Errorf("it holds %q:\n%s", never, body)
				}
			}
		})
	}
}

// A folder without the files has neither the pages nor links to them.
func TestNothingBesideTheLessons(t *testing.T) {
	s := openBeside(t, nil)
	for path, says := range map[string]string{"glossary": "There is no glossary", "symbols": "There is no page of symbols"} {
		if r, body := get(t, s.URL()+path); r.StatusCode != http.StatusNotFound || !strings.Contains(body, says) {
			t.Errorf("%s: status %d, not %q", path, r.StatusCode, says)
		}
	}
	for _, path := range []string{"", "lesson/mill", "?q=lag"} {
		_, body := get(t, s.URL()+path)
		for _, never := range []string{`href="/glossary"`, `href="/symbols"`, `id="paths"`, "In the glossary"} {
			if strings.Contains(body, never) {
				t.Errorf("/%s holds %q", path, never)
			}
		}
	}
}
