package web

import (
	"io"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/kernel"
	"shaftbook/lessons"
)

const millText = "---\ntitle: Two shafts\norder: 1\nsummary: Two.\nminutes: 5\n---\n\nFirst words on the *quill*.\n\n" +
	"## The numbers\n\nThe torque $\\theta$ stays.\n\n```calc\nT = 420 N·m\nvary d from 24 mm to 72 mm by 1 mm\nW = 2·T\nexpect W < 900 N·m\n```\n\n" +
	"```text\n## no heading\n```\n\n## Later\n\n~~~calc\nU = 3·T\n~~~\n\n" +
	"```exercise twist\ntitle: One\nanswer: secretword·T\n```\n\n```shaft S\nG = 79 GPa\nsolid d for 1 m\nhold at 0 mm\ntorque T at 1 m\n```\n"

func openMill(t *testing.T) *Server {
	t.Helper()
	shelf, _ := lessons.Load(fstest.MapFS{"mill.md": {Data: []byte(millText)}, "wheel.md": {Data: []byte(lessonText)}})
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

func post(t *testing.T, url, body string) (*http.Response, string) {
	t.Helper()
	r, err := http.Post(url, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	got, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r, string(got)
}

func TestTheWorkingIsTakenAlong(t *testing.T) {
	s := openMill(t)
	at := s.URL() + "lesson/mill/working/"
	for _, c := range []struct {
		name, path, changes string
		want, never         []string
	}{
		{"the whole lesson as text", "text", "",
			[]string{"Two shafts\n\nThe numbers\n\n  T = 420 N·m\n", "W = 2·T = 840 N·m\n", "expect W < 900 N·m   — holds: with 60.0 N·m (6.7 %) to spare", "Later\n\n  U = 3·T = 1260 N·m\n", "  solid d for 1 m\n"}, []string{"420 N·m = 420", "secretword"}},
		{"one cell as text", "text?cell=calc-2", "", []string{"  U = 3·T = 1260 N·m\n"}, []string{"Two shafts", "W ="}},
		{"with what the reader has changed", "text?cell=calc-1", `{"edits":{"calc-1":"T = 5 N·m\nvary d from 24 mm to 72 mm\nW = 2·T"},"varied":{"d":30}}`,
			[]string{"W = 2·T = 10 N·m", "— d = 30 mm"}, []string{"420"}},
		{"an error is said, not hidden", "text?cell=calc-2", `{"edits":{"calc-2":"U = T + 1 m"},"varied":{}}`, []string{"  U = T + 1 m   — "}, []string{"NaN"}},
		{"as TeX", "tex", "", []string{`\section*{Two shafts}`, `\subsection*{The numbers}`, `\begin{align*}`, `&W=2\cdot T = 840\,\mathrm{N}\cdot\mathrm{m}\\`, `\quad\text{(now $24\,\mathrm{mm}$)}`}, []string{"secretword"}},
		{"as Markdown, as it is, but for the exercise", "markdown", "", []string{strings.Split(millText, "```exercise")[0] + "> "}, []string{"secretword"}},
		{"as Markdown, the cells after the exercise", "markdown", "", []string{"\n\n```shaft S\n"}, []string{"secretword"}},
		{"as Markdown, with the changes in their places", "markdown", `{"edits":{"calc-2":"U = 4·T\n\nV = 1"},"varied":{"d":30}}`,
			[]string{"vary d from 24 mm to 72 mm by 1 mm starting at 30 mm\n", "~~~calc\nU = 4·T\n\nV = 1\n~~~\n\n", "```shaft S\n"}, []string{"3·T"}},
		{"as Markdown, fences that the text cannot close", "markdown", `{"edits":{"calc-1":"T = 1 N·m\n\u0060\u0060\u0060\nx"},"varied":{}}`,
			[]string{"````calc\nT = 1 N·m\n```\nx\n````\n"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var r *http.Response
			var body string
			if c.changes == "" {
				r, body = get(t, at+c.path)
			} else {
				r, body = post(t, at+c.path, c.changes)
			}
			if r.StatusCode != http.StatusOK {
				t.Fatalf("status %d: %s", r.StatusCode, body)
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

// TestMarkdownReadsBack reads what was taken along as a lesson again and finds
// the reader's values in it.
func TestMarkdownReadsBack(t *testing.T) {
	s := openMill(t)
	_, body := post(t, s.URL()+"lesson/mill/working/markdown", `{"edits":{"calc-1":"T = 500 N·m\nvary d from 24 mm to 72 mm by 1 mm starting at 48 mm # now"},"varied":{"d":30}}`)
	l, list := lessons.Parse("mill.md", []byte(body))
	if len(list) > 0 {
		t.Fatalf("%v\n%s", list, body)
	}
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(l.WorkingCells())
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	if got := w.Results("calc-1")[1].Slider.Value; got != 30 {
		t.Errorf("the slider stands at %v, want the reader's 30", got)
	}
	if got := strings.ReplaceAll(w.Results("calc-2")[0].Text, "\u00a0", " "); got != "1500 N·m" {
		t.Errorf("U is %q, want 3·T of the reader's T", got)
	}
}

func TestTakingAlongWhatIsNotThere(t *testing.T) {
	s := openMill(t)
	for _, c := range []struct {
		name, path, changes string
		status              int
	}{
		{"no such lesson", "lesson/none/working/text", "", http.StatusNotFound},
		{"no such form", "lesson/mill/working/parchment", "", http.StatusNotFound},
		{"no such cell", "lesson/mill/working/text?cell=calc-9", "", http.StatusNotFound},
		{"changes to no such cell", "lesson/mill/working/text", `{"edits":{"calc-9":""},"varied":{}}`, http.StatusNotFound},
		{"changes that cannot be read", "lesson/mill/working/text", `{"edits":1}`, http.StatusBadRequest},
		{"changes with a field that is not known", "lesson/mill/working/text", `{"edit":{}}`, http.StatusBadRequest},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, _ := get(t, s.URL()+c.path)
			if c.changes != "" {
				r, _ = post(t, s.URL()+c.path, c.changes)
			}
			if r.StatusCode != c.status {
				t.Errorf("status %d, want %d", r.StatusCode, c.status)
			}
		})
	}
}

func TestSearch(t *testing.T) {
	s := openMill(t)
	for _, c := range []struct {
		name, query string
		want, never []string
	}{
		{"words before the first heading", "quill", []string{`href="/lesson/mill"`, "First words on the <b>quill.</b>"}, nil},
		{"a place under a heading", "stays", []string{`href="/lesson/mill#the-numbers"`, "The numbers", `<a href="/lesson/mill">Two shafts</a>`}, nil},
		{"all words, in any order and case", "420 TORQUE", []string{`href="/lesson/mill#the-numbers"`}, []string{"wheel"}},
		{"a Greek letter by its name, written in TeX or not", "theta", []string{"/lesson/mill#the-numbers", "/lesson/wheel#the-numbers"}, nil},
		{"a Greek letter itself", "θ", []string{"/lesson/wheel#the-numbers"}, nil},
		{"a formula is one", "stays", []string{"<math"}, nil},
		{"another word for it", "moment", []string{"Also looked for: torque, couple.", `href="/lesson/mill#the-numbers"`}, nil},
		{"never what answers an exercise", "secretword", []string{`id="found-none"`}, []string{"/lesson/mill"}},
		{"what is asked is text, never markup", "<script>", []string{"&lt;script&gt;", `id="found-none"`}, []string{"<script>"}},
		{"nothing asked is the shelf", "  ", []string{`class="shelf"`}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := http.NewRequest(http.MethodGet, s.URL(), nil)
			if err != nil {
				t.Fatal(err)
			}
			r.URL.RawQuery = "q=" + strings.ReplaceAll(strings.ReplaceAll(c.query, " ", "+"), "<", "%3C")
			_, body := get(t, r.URL.String())
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("it lacks %q:\n%s", want, body)
				}
			}
			main := body[strings.Index(body, "<main"):]
			for _, never := range c.never {
				if strings.Contains(main, never) {
					t.Errorf("it holds %q:\n%s", never, main)
				}
			}
		})
	}
}
