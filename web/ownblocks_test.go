package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/ownpage"
)

// openFile opens a file as a page and returns the status and where it leads, or what the
// answer says.
func (v *client) openFile(name, content string) (status int, path, body string) {
	v.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("file", name)
	if err == nil {
		_, err = io.WriteString(part, content)
	}
	if err == nil {
		err = form.Close()
	}
	if err != nil {
		v.t.Fatal(err)
	}
	q, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(v.s.URL(), "/")+"/pages", &b)
	if err != nil {
		v.t.Fatal(err)
	}
	q.Header.Set("Content-Type", form.FormDataContentType())
	if v.cookie != nil {
		q.AddCookie(v.cookie)
	}
	r, err := (&http.Transport{}).RoundTrip(q)
	if err != nil {
		v.t.Fatal(err)
	}
	defer r.Body.Close()
	for _, c := range r.Cookies() {
		if c.Name == "shaftbook_learner" {
			v.cookie = c
		}
	}
	said, _ := io.ReadAll(r.Body)
	return r.StatusCode, r.Header.Get("Location"), string(said)
}

// file returns a page as the file that opens it again.
func (v *client) file(path string) string {
	v.t.Helper()
	r, body := v.do("GET", path+"/file/markdown", "text/html", nil)
	if r.StatusCode != http.StatusOK {
		v.t.Fatalf("%s: status %d", path, r.StatusCode)
	}
	return body
}

// roundTrip opens a text as a file, downloads it, saves it unchanged and downloads it
// again.
func (v *client) roundTrip(text string) error {
	v.t.Helper()
	status, path, said := v.openFile("page.md", text)
	if status != http.StatusSeeOther {
		return fmt.Errorf("status %d\n%.300s", status, said)
	}
	defer v.post(path + "/delete")
	want := lessons.CleanText(text)
	if got := v.file(path); got != want {
		return fmt.Errorf("opened as %q, downloaded as %q", want, got)
	}
	_, body := v.do("GET", path+"/kept", byScript, nil)
	var kept struct {
		Blocks   []string
		Revision int64
	}
	if err := json.Unmarshal([]byte(body), &kept); err != nil {
		return err
	}
	if strings.Join(kept.Blocks, "") != want {
		return fmt.Errorf("the blocks of %q are %q", want, kept.Blocks)
	}
	return nil
}

// A file comes back letter by letter: every built-in lesson.
func TestOwnPageFileIsExactForLessons(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	names, err := fs.Glob(text.Files, "*.md")
	if err != nil || len(names) < 20 {
		t.Fatal(len(names), err)
	}
	for _, name := range names {
		src, err := fs.ReadFile(text.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		if err := v.roundTrip(string(src)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

var pagePieces = []string{
	"# A name\n\n", "Text with $x^2$ and *words*.\n\n", "## Section\n", "- a\n- b\n\n  more\n", "> quoted\n\n", "```calc\na = 1\n```\n", "```shaft S\nG = 79 GPa\n```\n\n",
	"~~~derive\na = 1\n = 1\n~~~\n", "```guess g\nask: what?\nanswer: 1\n```\n", "```exercise e\ntitle: A\n```\n", "````calc\n```\n````\n", "```go\nx\n```\n", "<b>raw</b>\n\n",
	"<!-- note\n\n-->\n", "\n", "\n\n\n", "   \n", "\t\n", "Setext\n===\n", "[a]: https://mill.example\n", "no end", "```calc", "```calc\nopen\n", "---\ntitle: A\n---\n", "---\n", "$$\nx\n$$\n", "1. one\n```calc\nb = 2\n```\n",
	"\u00a0\n", "θ ≤ 3°\n", "\\# no heading\n", "end  \nbreak\n",
}

// And 500 pages of pieces in any order.
func TestOwnPageFileIsExactForGeneratedPages(t *testing.T) {
	if testing.Short() {
		t.Skip("500 pages through the server")
	}
	// Each time that the clock is looked at a minute has passed, so that nobody is too fast.
	at := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	var mu sync.Mutex
	desk, err := attempt.NewServiceAt(t.Context(), newStore(t), "test", func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		at = at.Add(time.Minute)
		return at
	})
	if err != nil {
		t.Fatal(err)
	}
	v := visit(t, openAsked(t, desk, io.Discard))
	chance := rand.New(rand.NewPCG(20, 1))
	for i := range 500 {
		var b strings.Builder
		for range chance.IntN(14) {
			b.WriteString(pagePieces[chance.IntN(len(pagePieces))])
		}
		if err := v.roundTrip(b.String()); err != nil {
			t.Fatalf("page %d: %v", i, err)
		}
	}
}

func TestOwnPageIsNotOpenedFromAnything(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	cells := strings.Repeat("```calc\na = 1\n```\n\n", 10_000)
	for _, c := range []struct {
		name, content string
		status        int
		says          string
	}{
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00", 422, "not text"},
		{"not UTF-8", "Gr\xf6\xdfe", 422, "not text"},
		{"10 000 cells", cells, 413, "10000 calculations"},
		{"50 MB", strings.Repeat("text of a mill\n", 50<<20/15), 413, "at most 1 MB"},
		{"more than can be kept", strings.Repeat("word ", 30_000), 413, "147 kB of text; up to 128 kB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, _, said := v.openFile("a.md", c.content)
			if status != c.status || !strings.Contains(said, c.says) {
				t.Errorf("status %d, want %d, and %q in\n%.600s", status, c.status, c.says, said)
			}
		})
	}
	v.look("/pages", `-class="own-pages"`)
	status, path, _ := v.openFile("raw.md", "<script>alert(1)</script>\n\n<b onclick=x>bold</b> [a](javascript:alert(1)) ![](https://elsewhere.example/x.png)\n")
	if status != http.StatusSeeOther {
		t.Fatal(status)
	}
	v.look(path, "-<script>alert", "-<b onclick", "-href=\"javascript", "-src=\"https://elsewhere", "raw HTML is not shown", "&lt;script&gt;alert(1)")
}

// The starting pages have nothing wrong with them, and every row of theirs a result.
func TestStartingPages(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	for _, s := range ownpage.PageStarts {
		t.Run(s.Key, func(t *testing.T) {
			path := v.post("/pages", "start", s.Key)
			body := v.look(path, "-own-faults", `-class="message`, "-markFails")
			if s.Key != "empty" && !strings.Contains(body, s.Name+"</h1>") {
				t.Errorf("the name is not in the heading")
			}
		})
	}
}

// Without scripts a page is written by forms.
func TestOwnPageByForms(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	v.look("/pages", `name="start" value="uniform"`, `-class="own-pages"`, "up to 50")
	path := v.post("/pages", "start", "empty")
	v.look(path, "<bdi>Untitled page</bdi>", `name="add" value="calc"`, `data-after="-1"`, `-id="block-1"`)
	next := v.post(path, "base", "1", "at", "-1", "add", "text")
	if next != path+"?edit=0#block-1" {
		t.Errorf("adding leads to %q", next)
	}
	v.look(next, `open><summary>`, "New text")
	v.post(path, "base", "2", "at", "0", "do", "save", "text", "# Quill\r\n\r\nIt *turns*.")
	v.post(path, "base", "3", "at", "0", "add", "shaft")
	v.look(path, "<h1", "Quill", "<em>turns</em>", `id="shaft-S"`, "<svg", `action="`+path+`"`, "-<bdi>Quill</bdi></h1>")
	v.post(path, "base", "4", "at", "1", "add", "shaft")
	v.look(path, `id="shaft-S2"`)
	v.post(path, "base", "5", "at", "0", "do", "down")
	if got := v.file(path); !strings.HasPrefix(got, "```shaft S\n") || !strings.Contains(got, "# Quill") {
		t.Errorf("moved: %q", got)
	}
	v.post(path, "base", "6", "at", "1", "do", "up")
	v.post(path, "base", "7", "at", "1", "do", "remove")
	if got := v.file(path); !strings.HasPrefix(got, "# Quill\n\nIt *turns*.\n\n```shaft S2") {
		t.Errorf("removed: %q", got)
	}
	// A form of an earlier page: what it saves is there, and what it replaced too.
	if next = v.post(path, "base", "2", "at", "0", "do", "save", "text", "# Quill two"); next != path+"?said=replaced#block-1" {
		t.Errorf("an old form leads to %q", next)
	}
	v.look(next[:len(path)+len("?said=replaced")], "Earlier versions (1)", `role="status"`, "Quill two")
	v.post(path+"/version", "revision", "8")
	v.look(path, "<em>turns</em>")
	for _, form := range [][]string{{"base", "9", "at", "99", "do", "up"}, {"base", "9", "at", "0", "do", "burn"}, {"at", "0"}, {"base", "9", "at", "-1", "add", "none"}} {
		if r, _ := v.do("POST", path, "text/html", formOf(form...)); r.StatusCode != 400 {
			t.Errorf("%v: status %d", form, r.StatusCode)
		}
	}
	v.post(path+"/name", "name", "Stone", "from", "list")
	v.look("/pages", "<bdi>Stone</bdi>")
	if next = v.post(path + "/delete"); !strings.HasPrefix(next, "/pages?deleted=") {
		t.Errorf("deleting leads to %q", next)
	}
	v.look(next, `id="deleted-now"`)
	if next = v.post(path + "/undelete"); next != "/pages" {
		t.Errorf("bringing back leads to %q", next)
	}
	v.look("/derivation", "-Stone")
	// Nobody else has it.
	other := visit(t, v.s)
	for _, end := range []string{"", "/kept", "/file/markdown", "/working/text", "/figure/calc-1/0/png"} {
		if r, _ := other.do("GET", path+end, "text/html", nil); r.StatusCode != 404 {
			t.Errorf("%s by another browser: status %d", end, r.StatusCode)
		}
	}
}

// A page is saved as one types: blocks, and what another window did meanwhile.
func TestOwnPageOfBlocksIsSavedAsOneTypes(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	path := v.post("/pages", "text", "# A\n\n```calc\na = 1\n```\n\nEnd\n")
	save := func(body string) (int, map[string]any) {
		q, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(v.s.URL(), "/")+path+"/kept", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		q.AddCookie(v.cookie)
		r, err := http.DefaultClient.Do(q)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		var out map[string]any
		_ = json.NewDecoder(r.Body).Decode(&out)
		return r.StatusCode, out
	}
	const was = `"was":["# A\n\n","` + "```calc\\na = 1\\n```" + `\n\n","End\n"]`
	status, out := save(`{"base":1,"writer":"one","blocks":["# A\n\n","` + "```calc\\na = 2\\n```" + `\n\n","End\n"],` + was + `}`)
	if status != 200 || out["revision"] != 2.0 || out["replaced"] != nil {
		t.Errorf("status %d, %v", status, out)
	}
	status, out = save(`{"base":1,"writer":"two","blocks":["# B\n\n","` + "```calc\\na = 1\\n```" + `\n\n","End\n"],` + was + `}`)
	if got := v.file(path); status != 200 || out["replaced"] != nil || got != "# B\n\n```calc\na = 2\n```\n\nEnd\n" {
		t.Errorf("status %d, %v, %q", status, out, got)
	}
	status, out = save(`{"base":1,"writer":"three","blocks":["# A\n\n","` + "```calc\\na = 3\\n```" + `\n\n","End\n"],` + was + `}`)
	if status != 200 || out["replaced"] != true {
		t.Errorf("status %d, %v", status, out)
	}
	v.look(path, "Earlier versions (1)", "a = 3")
	for body, want := range map[string]int{
		`{"base":4,"blocks":["` + strings.Repeat("x", ownpage.PageLimit+1) + `"]}`: 413,
		`{"base":4,"blocks":["a\u0000b"]}`:                                         400,
		`{"base":4,"surprise":1}`:                                                  400,
		`[`:                                                                        400,
	} {
		if status, _ := save(body); status != want {
			t.Errorf("%.40s: status %d, want %d", body, status, want)
		}
	}
}

// A lesson, a section of it with what it needs, and a derivation become pages.
func TestOwnPageFromALessonAndADerivation(t *testing.T) {
	shelf, _ := lessons.Load(text.Files)
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(context.Background()) })
	v := &client{t: t, s: s}
	v.openFile("a.md", "a") // gives the browser a name
	v.look("/lesson/taper-in-segments", `name="lesson" value="taper-in-segments"`)
	src, err := fs.ReadFile(text.Files, "taper-in-segments.md")
	if err != nil {
		t.Fatal(err)
	}
	path := v.post("/pages", "lesson", "taper-in-segments")
	if got := v.file(path); got != string(src) {
		t.Error("the page is not the lesson")
	}
	v.look(path, "marked nowhere", "/practise", `class="exercise guess-block`)

	for _, l := range shelf.Lessons {
		for _, h := range l.Headings {
			if h.Level != 2 {
				continue
			}
			src, err := ownpage.OfLesson(t.Context(), l, h.ID, true)
			if err != nil {
				t.Fatal(err)
			}
			made, _ := lessons.Parse("page.md", []byte(src))
			w := made.NewWorking()
			if err := w.Evaluate(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
			for _, c := range made.WorkingCells() {
				for _, r := range w.Results(c.ID) {
					for _, d := range r.Diagnostics {
						if d.Code == "undefined-name" {
							t.Errorf("%s#%s: %s: %s", l.Slug, h.ID, c.ID, d.Message)
						}
					}
				}
			}
		}
	}
	own := v.begin("start", "taper")
	path = v.post("/pages", "from", strings.TrimPrefix(own, "/page/"))
	v.look(path, "js-derivation", "data-blocks")
	for _, form := range [][]string{{"lesson", "none"}, {"lesson", "taper-in-segments", "section", "none"}, {"from", "none"}, {"start", "none"}, {}} {
		if r, _ := v.do("POST", "/pages", "text/html", formOf(form...)); r.StatusCode != 404 {
			t.Errorf("%v: status %d", form, r.StatusCode)
		}
	}
}

// In a class the exercises of a lesson stay there: their text has the answers.
func TestOwnPageHasNoAnswersOfAClass(t *testing.T) {
	l, _ := lessons.Parse("wheel.md", []byte(askedText))
	if got, err := ownpage.OfLesson(t.Context(), l, "", true); err != nil || strings.Contains(got, "answer") || !strings.Contains(got, "[The wheel shaft](wheel.md)") {
		t.Error(got)
	}
}
