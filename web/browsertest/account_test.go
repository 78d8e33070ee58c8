package browsertest

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp"

	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// serveClasses starts a server with classes on a store without anyone.
func serveClasses(t *testing.T) *web.Server {
	t.Helper()
	shelf := shelfOf(t, os.DirFS("testdata/lessons"))
	store := storeIn(t, t.TempDir())
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk, Classes: store}
	open(t, s, 0)
	return s
}

// stranger is a window in which no one is signed in.
func stranger(t *testing.T) *tab { return newTab(t, 1000, 900) }

// fill types into the fields of a form by their names and hands it in with Enter.
func (b *tab) fill(namesAndTexts ...string) {
	b.t.Helper()
	for i := 0; i < len(namesAndTexts); i += 2 {
		eval[bool](b, `(document.getElementById("f-`+namesAndTexts[i]+`").select(), true)`)
		b.press(namesAndTexts[i+1])
	}
	b.press("\r")
}

func (b *tab) untilAt(path string) {
	b.t.Helper()
	b.until(`location.pathname === "` + path + `" && document.readyState === "complete"`)
}

// From an empty server to a student at work, and out again: with the keyboard and
// what is on the pages.
func TestFromTheFirstStartToAStudent(t *testing.T) {
	t.Parallel()
	s := serveClasses(t)
	link, err := s.SetUpLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	teacher := stranger(t)
	teacher.open(link)
	teacher.fill("name", "Instructor 1", "signin", "teach1", "password", "wheel")
	teacher.until(`document.querySelector("#h-password .wrong") !== null`)
	if got := eval[string](teacher, `document.getElementById("f-name").value`); got != "Instructor 1" {
		t.Errorf("after a password that is too short the name is %q", got)
	}
	teacher.fill("password", "wheel before quill")
	teacher.untilAt("/classes")
	teacher.fill("name", "Mill")
	teacher.until(`document.querySelector(".class-code")?.textContent.length === 9`)
	code := eval[string](teacher, `document.querySelector(".class-code").textContent`)
	teacher.open(eval[string](teacher, "location.href.split('?')[0]") + "/roster")
	teacher.fill("name", "Student 01", "signin", "s01")
	teacher.until(`document.querySelector("table")?.textContent.includes("Student 01")`)

	student := stranger(t)
	student.open(s.URL() + "lesson/quill")
	student.untilAt("/sign-in")
	student.fill("name", "s01", "password", "a guess of mine")
	student.until(`document.querySelector("[role=alert].entry-wrong") !== null`)
	student.look("sign-in")
	student.do(chromedp.Click(chromedp.CSS(`.entry-ways a[href="/join"]`)))
	student.untilAt("/join")
	student.fill("code", code, "who", "s01", "password", "quill before lay shaft")
	student.untilAt("/")

	other := stranger(t)
	other.open(s.URL() + "lesson/quill")
	other.untilAt("/sign-in")
	other.fill("name", "S01", "password", "quill before lay shaft")
	other.untilAt("/lesson/quill")
	other.until(`document.querySelector(".js-signed-out").hidden && performance.getEntriesByType("resource").length > 0`)
	eval[bool](other, `(localStorage.setItem("shaftbook:working:lay-shaft", "{}"), true)`)

	student.open(s.URL() + "account")
	student.look("account")
	student.do(chromedp.Click(chromedp.CSS(`form[action="/account/sessions"] button`)))
	student.untilAt("/sign-in")
	student.until(`document.querySelector("main [role=status]") !== null`)
	other.until(`!document.querySelector(".js-signed-out").hidden`)
	other.look("signed-out")

	// The next person at that browser finds nothing of the one before.
	other.open(s.URL() + "sign-in")
	other.fill("name", "teach1", "password", "wheel before quill")
	other.untilAt("/classes")
	if eval[bool](other, `"shaftbook:working:lay-shaft" in localStorage`) {
		t.Error("what a student left in the browser is there for the next person")
	}
	for _, b := range []*tab{teacher, student, other} {
		b.clean()
	}
}
