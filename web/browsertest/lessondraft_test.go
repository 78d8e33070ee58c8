package browsertest

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"shaftbook/lessons"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/authoring"
)

// serveWriting starts a server with classes whose instructors can write lessons into an
// empty folder, and returns the folder and the link that makes its first instructor.
func serveWriting(t *testing.T) (s *web.Server, folder, setUp string) {
	t.Helper()
	store := storeIn(t, t.TempDir())
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	folder = t.TempDir()
	to, err := authoring.OpenFolder(folder)
	if err != nil {
		t.Fatal(err)
	}
	folders := []fs.FS{os.DirFS("testdata/exercises"), os.DirFS(folder)}
	s = &web.Server{Catalog: shelfOf(t, folders[0]), Attempts: desk, Classes: store, Folder: to}
	var mu sync.Mutex
	s.Reload = func() {
		mu.Lock()
		defer mu.Unlock()
		next, _ := lessons.Load(folders...)
		s.Replace(next)
	}
	open(t, s, 0)
	if setUp, err = s.SetUpLink(t.Context()); err != nil {
		t.Fatal(err)
	}
	return s, folder, setUp
}

const writeText = `document.querySelector(".js-draft-text")`

// isChecked waits until what stands in the editor is saved and checked, with so many
// faults.
func (b *tab) isChecked(heading string) {
	b.t.Helper()
	b.until(`document.querySelector(".js-draft-state").dataset.state === "saved" && !document.querySelector(".js-draft-faults").hasAttribute("aria-busy") &&
		document.querySelector(".js-draft-faults h2").textContent === "` + heading + `"`)
}

// replaceText replaces a piece of the text in the editor, and types the last letters of
// what takes its place.
func (b *tab) replaceText(old, with, typed string) {
	b.t.Helper()
	b.until(`window.customElements && ` + writeText)
	if !eval[bool](b, `(() => {
		const field = `+writeText+`, at = field.value.indexOf(`+quoted(old)+`);
		if (at < 0) return false;
		field.focus();
		field.setRangeText(`+quoted(with)+`, at, at + `+quoted(old)+`.length, "end");
		return true;
	})()`) {
		b.t.Fatalf("%q is not in the text", old)
	}
	b.press(typed)
}

func quoted(s string) string { return "`" + strings.ReplaceAll(s, "`", "\\`") + "`" }

// An instructor writes a lesson and assigns it, and a colleague writes at the same one.
func TestWriteAndAssign(t *testing.T) {
	t.Parallel()
	s, folder, setUp := serveWriting(t)
	b := stranger(t)
	b.open(setUp)
	b.send("/link/", "name", "Instructor", "signin", "instructor", "password", "a wheel shaft and a quill")
	b.open(s.URL() + "classes")
	b.send("/classes", "name", "Mill drive line", "term", "Autumn", "zone", "Europe/Oslo")

	b.open(s.URL() + "classes")
	b.follow("/drafts")
	b.send("/drafts", "name", "Weir gate shaft")
	b.until(`location.pathname === "/drafts/weir-gate-shaft"`)
	b.replaceText("Weir gate shaft", "The shaft of the weir gat", "e")
	b.isChecked("No faults")
	b.until(`document.querySelector(".js-draft-page h1").textContent === "The shaft of the weir gate"`)

	// A fault leads to its line, and the page follows.
	b.replaceText("L = 0.8 m", "L = 0.8 m + 2 ", "s")
	b.until(`document.querySelector(".js-draft-line")`)
	b.until(`document.querySelector(".js-draft-faults h2").textContent.includes("fault")`)
	b.until(`!document.querySelector(".js-draft-faults").hasAttribute("aria-busy")`)
	eval[bool](b, `(document.querySelector(".js-draft-line").click(), true)`)
	if line := eval[string](b, writeText+`.value.slice(`+writeText+`.selectionStart, `+writeText+`.selectionEnd)`); line != "L = 0.8 m + 2 s" {
		t.Errorf("the fault leads to %q", line)
	}
	b.follow("/compare")
	b.says("cannot be published")
	b.follow("/drafts/weir-gate-shaft")
	b.replaceText("L = 0.8 m + 2 s", "L = 0.8 ", "m")
	b.isChecked("No faults")

	// What was typed is there after the window was closed, also on another device.
	again := stranger(t)
	again.open(s.URL() + "sign-in")
	again.send("/sign-in", "name", "instructor", "password", "a wheel shaft and a quill")
	again.open(s.URL() + "drafts/weir-gate-shaft")
	again.until(writeText + `.value.includes("The shaft of the weir gate")`)

	b.follow("/compare")
	b.goOn(`main form[action$="/publish"] button`)
	b.says("Published.")
	if _, err := os.Stat(filepath.Join(folder, "weir-gate-shaft.md")); err != nil {
		t.Error(err)
	}
	b.follow("/assign?lesson=weir-gate-shaft")
	b.send("/assign")
	b.says("Assigned.")
	b.says("The shaft of the weir gate")
	b.clean()

	// The other window still has the text, and says what became of the draft.
	again.replaceText("Open with a thing", "Open with two thing", "s")
	again.until(`!document.querySelector(".js-draft-notice").hidden`)
	again.until(`document.querySelector(".js-draft-notice").textContent.includes("published or discarded")`)
}

// The editor on a narrow window: nothing is wider than it, and the text comes before the
// page.
func TestWriteOnATelephone(t *testing.T) {
	t.Parallel()
	s, _, setUp := serveWriting(t)
	b := newTab(t, 360, 740)
	b.open(setUp)
	b.send("/link/", "name", "Instructor", "signin", "instructor", "password", "a wheel shaft and a quill")
	b.open(s.URL() + "drafts?copy=mill")
	b.send("/drafts", "name", "weir")
	b.until(writeText)
	for _, path := range []string{"drafts", "drafts/weir", "drafts/weir/compare", "drafts/weir/versions"} {
		b.open(s.URL() + path)
		if wide := eval[float64](b, "document.documentElement.scrollWidth"); wide > 360 {
			t.Errorf("%s is %g px wide", path, wide)
		}
		b.look("draft-360-" + strings.ReplaceAll(path, "/", "-"))
	}
	b.open(s.URL() + "drafts/weir")
	if !b.isTrue(`document.querySelector(".js-draft-text").getBoundingClientRect().bottom < document.querySelector(".draft-page").getBoundingClientRect().top`) {
		t.Error("the page stands above the text")
	}
	b.clean()
}
