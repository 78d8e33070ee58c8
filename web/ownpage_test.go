package web

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"shaftbook/exercises/store"
	"shaftbook/web/app/ownpage"
)

// begin makes a derivation from a form and returns its address.
func (v *client) begin(fields ...string) string {
	v.t.Helper()
	r, body := v.do("POST", "/derivation", "text/html", formOf(fields...))
	path := r.Header.Get("Location")
	if r.StatusCode != http.StatusSeeOther || !strings.HasPrefix(path, "/page/") {
		v.t.Fatalf("status %d, to %q\n%.500s", r.StatusCode, path, body)
	}
	return path
}

func formOf(fields ...string) url.Values {
	form := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	return form
}

// look returns a page and fails the test if it lacks one of the pieces, or holds one
// that begins with a minus.
func (v *client) look(path string, pieces ...string) string {
	v.t.Helper()
	r, body := v.do("GET", path, "text/html", nil)
	if r.StatusCode != 200 {
		v.t.Fatalf("%s: status %d\n%.500s", path, r.StatusCode, body)
	}
	for _, piece := range pieces {
		if without, never := strings.CutPrefix(piece, "-"); strings.Contains(body, without) == never {
			v.t.Errorf("%s: %q there: %v", path, without, never)
		}
	}
	return body
}

// post sends a form and returns the address to which it leads.
func (v *client) post(path string, fields ...string) string {
	v.t.Helper()
	r, body := v.do("POST", path, "text/html", formOf(fields...))
	if r.StatusCode != http.StatusSeeOther {
		v.t.Fatalf("%s: status %d\n%.500s", path, r.StatusCode, body)
	}
	return r.Header.Get("Location")
}

// Without scripts, forms do all of it: begin, write, save, rename, delete, undo.
func TestOwnDerivationByForms(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	v.look("/derivation", `name="start" value="bounds"`, `<div data-explains="open">`, `-id="mine-title"`)
	path := v.begin("start", "taper")
	id := strings.TrimPrefix(path, "/page/")
	v.look(path, `<bdi>Twist of a tapered shaft</bdi>`, `name="base" value="1"`, `data-outcome="unfinished"`, `name="gap-1"`, `action="`+path+`"`)

	// The gap is filled in the text, and the numbers come along.
	const text = "given T: torque > 0, d: length > 0\r\nτ = T·(d/2)/(π/32·d^4)\r\n  = ?   because of π\r\n  = 16·T/(π·d^3)"
	next := v.post(path, "base", "1", "text", text, "gap-1", "16·T/(π·d^3)", "data-T", "420 N·m", "data-d", "36 mm")
	if next != path {
		t.Errorf("saving leads to %q", next)
	}
	v.look(path, `name="base" value="2"`, `data-outcome="follows"`, "= 45.85 MPa", "  = 16·T/(π·d^3)   because of π\n", "-\r", "-gap-1")

	// A form made before that has not seen it: its text is saved, the other is kept.
	if next = v.post(path, "base", "1", "text", "x = 1\n = 2"); next != path+"?said=replaced" {
		t.Errorf("an old form leads to %q", next)
	}
	body := v.look(next, `data-verdict="fails"`, `role="status"`, "because of π", `name="revision" value="2"`)
	if strings.Count(body, `name="revision"`) != 1 {
		t.Error("more than one version")
	}
	v.post(path+"/version", "revision", "2")
	v.look(path, `data-outcome="follows"`, `name="revision" value="3"`)

	second := v.begin("start", "taper")
	v.look("/derivation", `<bdi>Twist of a tapered shaft 2</bdi>`, `data-page="`+id+`"`)
	if next = v.post(path+"/name", "name", "  Quill\n two ", "from", "list"); next != "/derivation" {
		t.Errorf("renaming leads to %q", next)
	}
	for name, want := range map[string]int{"": 422, "twist of a TAPERED shaft 2": 422, strings.Repeat("a", 81): 422} {
		r, body := v.do("POST", path+"/name", "text/html", formOf("name", name))
		if r.StatusCode != want || !strings.Contains(body, `id="own-name-wrong"`) || !strings.Contains(body, "<bdi>Quill two</bdi>") {
			t.Errorf("the name %.20q: status %d\n%.300s", name, r.StatusCode, body)
		}
	}

	next = v.post(path + "/delete")
	v.look(next, `id="deleted-now"`, `action="`+path+`/undelete"`, "Quill two")
	if r, _ := v.do("GET", path, "text/html", nil); r.StatusCode != 404 {
		t.Errorf("a deleted page: status %d", r.StatusCode)
	}
	v.post(path + "/undelete")
	v.look(path, "Quill two", `data-outcome="follows"`)
	v.post(second + "/delete")
	v.post(second + "/remove")
	v.look("/derivation", "-deleted-now", "-Twist of a tapered shaft 2", "Quill two")
}

// What is copied from a lesson, with gaps and numbers, becomes a page of its own.
func TestOwnDerivationFromAText(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	path := v.begin("text", "# the quill\na = 1\n = ?", "gap-1", "1", "data-T", "1 N·m", "data-<b>", "x")
	v.look(path, "<bdi>the quill</bdi>", `data-outcome="follows"`, "-<b>")
	v.look(v.begin("text", "<script>a</script>"), "<bdi>Derivation</bdi>", "&lt;script&gt;", "-<script>a")
	for _, c := range []struct {
		form   url.Values
		status int
	}{
		{formOf("start", "none"), 404}, {formOf(), 400},
		{formOf("text", strings.Repeat("a", ownpage.TextLimit+1)), 413}, {formOf("text", "a\x00b"), 400},
	} {
		if r, body := v.do("POST", "/derivation", "text/html", c.form); r.StatusCode != c.status {
			t.Errorf("%.60v: status %d, want %d\n%.300s", c.form, r.StatusCode, c.status, body)
		}
	}
	// Too long to be checked, but not to be kept.
	v.look(v.begin("text", strings.Repeat("a = 1\n", 4000)), `data-page=`, `id="own-1"`)
}

func TestOwnPageFiles(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	path := v.begin("text", "# Quill: θ, \"mean\"\ngiven T: torque > 0\nx = T\n  = ?", "data-T", "420 N·m")
	for _, c := range []struct{ format, kind, name, begin string }{
		{"markdown", "text/markdown", "quill-mean.md", "# Quill: θ, \"mean\"\n\n```calc numbers\nT = 420 N·m\n```\n\n```derive\n# Quill"},
		{"text", "text/plain", "quill-mean.txt", "given "},
		{"tex", "text/plain", "quill-mean.tex", "\\begin{align*}"},
	} {
		r, body := v.do("GET", path+"/file/"+c.format, "text/html", nil)
		h := r.Header
		if r.StatusCode != 200 || !strings.HasPrefix(h.Get("Content-Type"), c.kind) || h.Get("Cache-Control") != "no-store" ||
			h.Get("Content-Disposition") != `attachment; filename="`+c.name+`"` || !strings.Contains(body, c.begin) {
			t.Errorf("%s: status %d, %v\n%s", c.format, r.StatusCode, h, body)
		}
	}
	if r, _ := v.do("GET", path+"/file/exe", "text/html", nil); r.StatusCode != 404 {
		t.Errorf("an unknown form: status %d", r.StatusCode)
	}
}

// save sends what a script saves.
func (v *client) save(path, body string) (int, ownpage.Saved) {
	v.t.Helper()
	q, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(v.s.URL(), "/")+path+"/kept", strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	q.AddCookie(v.cookie)
	r, err := http.DefaultClient.Do(q)
	if err != nil {
		v.t.Fatal(err)
	}
	defer r.Body.Close()
	var saved ownpage.Saved
	_ = json.NewDecoder(r.Body).Decode(&saved)
	return r.StatusCode, saved
}

func TestOwnPageIsSavedAsOneTypes(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	path := v.begin("text", "a")
	const was = `"was":{"text":"a","numbers":{}}`
	status, saved := v.save(path, `{"base":1,"text":"ab","numbers":{"T":"1 N·m"},"writer":"one",`+was+`}`)
	if status != 200 || saved.Revision != 2 || saved.Replaced || saved.Text != "ab" {
		t.Errorf("status %d, %+v", status, saved)
	}
	// Another window changed only the text, and then both did.
	if status, saved = v.save(path, `{"base":1,"text":"a","numbers":{"L":"2 m"},"writer":"two",`+was+`}`); status != 200 || saved.Replaced || saved.Text != "ab" || len(saved.Numbers) != 2 {
		t.Errorf("status %d, %+v", status, saved)
	}
	if status, saved = v.save(path, `{"base":1,"text":"ac","numbers":{},"writer":"three",`+was+`}`); status != 200 || !saved.Replaced || saved.Text != "ac" {
		t.Errorf("status %d, %+v", status, saved)
	}
	v.look(path, "<summary>Earlier versions (1)</summary>", ">ab</pre>")
	_, body := v.do("GET", path+"/kept", byScript, nil)
	var kept ownpage.Saved
	if err := json.Unmarshal([]byte(body), &kept); err != nil || kept.Revision != 4 || kept.Text != "ac" || len(kept.Numbers) != 2 {
		t.Errorf("kept %+v, %v", kept, err)
	}
	for body, want := range map[string]int{
		`{"base":4,"text":"` + strings.Repeat("x", ownpage.TextLimit+1) + `"}`: 413,
		`{"base":4,"text":"a\u0000b"}`:                                         400,
		`{"base":4,"surprise":1}`:                                              400,
		`{"base":4,"text":"a","writer":"` + strings.Repeat("w", 65) + `"}`:     413,
		`[`: 400,
	} {
		if status, _ := v.save(path, body); status != want {
			t.Errorf("%.60s: status %d, want %d", body, status, want)
		}
	}
	v.post(path + "/delete")
	if status, _ := v.save(path, `{"base":4,"text":"ad"}`); status != 404 {
		t.Errorf("saving a deleted page: status %d", status)
	}
}

func TestOwnPagesHaveALimitThatIsSaid(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	v := visit(t, s)
	v.begin("start", "empty")
	learner := v.cookie.Value
	own := &ownpage.Service{Store: s.Attempts.Store(), Now: s.site.Now}
	add := func(n int) {
		for range n {
			if _, err := own.New(t.Context(), learner, "Derivation", "", nil); err != nil {
				t.Fatal(err)
			}
		}
	}
	add(ownpage.MostPages*4/5 - 2)
	v.look("/derivation", `-id="nearly-full"`)
	add(1)
	v.look("/derivation", `id="nearly-full"`)
	add(ownpage.MostPages / 5)
	r, body := v.do("POST", "/derivation", byScript, formOf("start", "empty"))
	if r.StatusCode != http.StatusConflict || !strings.Contains(body, store.Words(store.ErrPagesFull)) {
		t.Errorf("one more: status %d, %s", r.StatusCode, body)
	}
	if n := len(regexp.MustCompile(`<li data-page="`).FindAllString(v.look("/derivation"), -1)); n != ownpage.MostPages {
		t.Errorf("%d of %d pages are left", n, ownpage.MostPages)
	}
	other := visit(t, s)
	other.look("/derivation", `-data-page=`)
	if fmt.Sprint(other.cookie) == fmt.Sprint(v.cookie) {
		t.Error("two browsers are one learner")
	}
}
