package browsertest

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	browserdomain "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// A calendar is a clock that a test moves.
type calendar struct {
	mu   sync.Mutex
	away time.Duration // from the machine's time
}

func (c *calendar) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return time.Now().Add(c.away)
}

func (c *calendar) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.away += d
}

// serveTerm starts a server with classes on an empty store, and returns the
// link that makes its first instructor.
func serveTerm(t *testing.T) (s *web.Server, setUp string, days *calendar) {
	t.Helper()
	shelf := shelfOf(t, os.DirFS("testdata/exercises"))
	store := storeIn(t, t.TempDir())
	days = &calendar{}
	desk, err := attempt.NewServiceAt(t.Context(), store, "test", days.now)
	if err != nil {
		t.Fatal(err)
	}
	s = &web.Server{Catalog: shelf, Attempts: desk, Classes: store}
	s.SetClock(days.now)
	open(t, s, 0)
	setUp, err = s.SetUpLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return s, setUp, days
}

// send types into fields of a form, by their names, and sends the form with the
// button of the form whose action has these words.
func (b *tab) send(action string, fields ...string) {
	b.t.Helper()
	for i := 0; i < len(fields); i += 2 {
		field := chromedp.CSS("[name=" + fields[i] + "]:not([type=hidden])")
		b.do(chromedp.WaitVisible(field))
		if eval[bool](b, `/^(text|password)$/.test(document.querySelector("[name=`+fields[i]+`]:not([type=hidden])").type)`) {
			b.do(chromedp.Click(field))
			eval[bool](b, "document.activeElement.select() || true")
			b.press(fields[i+1])
			continue
		}
		// A date is typed differently in every country.
		eval[bool](b, `(document.querySelector("[name=`+fields[i]+`]").value = `+strconv.Quote(fields[i+1])+`, true)`)
	}
	b.goOn(`main form[action*="` + action + `"] button:not([formaction])`)
}

// follow follows the link to an address that ends so.
func (b *tab) follow(path string) {
	b.t.Helper()
	b.goOn(`main a[href$="` + path + `"]`)
}

// goOn clicks what a selector finds, and waits for the page that comes.
func (b *tab) goOn(selector string) {
	b.t.Helper()
	js := "document.querySelector(" + strconv.Quote(selector) + ")"
	b.until(js)
	eval[bool](b, `(window.before = true, `+js+`.scrollIntoView({block: "center"}), `+js+`.click(), true)`)
	b.until(`!window.before && document.readyState === "complete"`)
}

// says waits until the page says something.
func (b *tab) says(words string) {
	b.t.Helper()
	b.until(`document.querySelector("main")?.textContent.replace(/\s+/g, " ").includes(` + strconv.Quote(words) + `)`)
}

// quillTwist is the twist of the quill with the numbers on the page, in degrees:
// the closed form of a solid taper (Gere, Mechanics of Materials, Eq. 3-27).
func (b *tab) quillTwist() float64 {
	b.t.Helper()
	b.until("document.querySelector('#exercise-quill-twist .palette')")
	return eval[float64](b, `(() => {
		const text = [...document.querySelectorAll("#exercise-quill .given math")].map((m) => m.textContent).join(" ");
		const of = (name) => parseFloat(new RegExp(name + "=([\\d.]+)").exec(text)[1]);
		const T = of("T"), d0 = of("d0") / 1000, d1 = d0 + 0.018;
		return 32 * T * 0.8 / (3 * Math.PI * 79e9) * (d0*d0 + d0*d1 + d1*d1) / (d0**3 * d1**3) * 180 / Math.PI;
	})()`)
}

// hands types an answer in and waits for what is said of it.
func (b *tab) hands(part, answer, verdict string) {
	b.t.Helper()
	b.answer(part, answer)
	b.press("\r")
	b.until(`document.querySelector("#exercise-quill-` + part + ` .js-said")?.dataset.verdict === ` + strconv.Quote(verdict))
}

// A term, from the first start of a server to the marks in the hands of the
// school: an instructor, two students in time and one who is late.
func TestFromSetUpToMarks(t *testing.T) {
	t.Parallel()
	s, setUp, days := serveTerm(t)
	teacher := stranger(t)
	teacher.open(setUp)
	teacher.send("/link/", "name", "Instructor", "signin", "instructor", "password", "a wheel shaft and a quill")

	teacher.open(s.URL() + "classes")
	teacher.until(`document.querySelector("[name=zone]").value === Intl.DateTimeFormat().resolvedOptions().timeZone && document.querySelector("#zones option[value='Europe/Oslo']")`)
	teacher.send("/classes", "name", "Mill drive line", "term", "Autumn", "zone", "Europe/Oslo")
	teacher.until(`document.querySelector("main [role=status]")`)
	marks := eval[string](teacher, "location.origin + location.pathname") + "/marks"
	code := eval[string](teacher, "document.querySelector('.class-code').textContent")

	teacher.follow("/roster")
	teacher.send("/roster/preview", "text", "name,username,id,section\nStudent 01,student01,M-1,A\nStudent 02,student02,M-2,A\nStudent 03,student03,M-3,B\n")
	teacher.send("/roster/apply")
	teacher.until(`document.querySelector("main [role=status]")`)

	teacher.follow("/assign")
	teacher.follow("?lesson=mill")
	closes := days.now().AddDate(0, 0, 12).Format("2006-01-02T15:04")
	teacher.send("/assign", "title", "The quill", "closes", closes, "lateoff", "10")
	teacher.says("The quill")
	teacher.clean()

	// Two students come in with the code, each in a browser of their own.
	one, two, three := stranger(t), stranger(t), stranger(t)
	two.do(chromedp.EmulateViewport(360, 740))
	lesson := teacherLesson(teacher)
	for i, b := range []*tab{one, two} {
		b.open(s.URL() + "join")
		b.send("/join", "code", code, "who", "student0"+strconv.Itoa(i+1), "password", "lay shaft number "+strconv.Itoa(i+1))
		b.open(lesson)
	}
	twist := one.quillTwist()
	one.hands("twist", degrees(twist), "right")
	one.do(chromedp.Click(chromedp.CSS("#exercise-quill-where input[value=thin]")))
	eval[bool](one, `(document.querySelector("#exercise-quill-where button[type=submit]").click(), true)`)
	one.until(`document.querySelector("#exercise-quill-where .js-said")?.dataset.verdict === "right"`)

	two.hands("twist", "−1 deg", "outside-bounds")
	two.hands("twist", degrees(two.quillTwist()), "right")

	// The third comes in a day after it was due.
	days.pass(8 * 24 * time.Hour)
	three.open(s.URL() + "join")
	three.send("/join", "code", code, "who", "M-3", "password", "tube to the stones 3")
	three.open(lesson)
	three.hands("twist", degrees(three.quillTwist()), "right")
	three.says("1.8 of 4")
	for _, b := range []*tab{one, two, three} {
		b.clean()
	}

	// The instructor comes back, sees who was late, and sets one mark by hand.
	teacher.open(marks)
	teacher.send("/sign-in", "name", "instructor", "password", "a wheel shaft and a quill")
	teacher.until(teacher.row("Student 01", "75", "3"))
	teacher.until(teacher.row("Student 02", "50", "2"))
	teacher.until(teacher.row("Student 03", "45", "1.8", "late"))
	eval[bool](teacher, `([...document.querySelectorAll("main tr")].find((r) => r.textContent.includes("Student 02")).querySelector("td a").click(), true)`)
	teacher.says("Student 02: The quill")
	teacher.says("−1 deg")
	eval[bool](teacher, `(document.querySelector(".mark-exercise details").open = true)`)
	teacher.send("/marks/", "points-exercise-quill", "3.5", "reason-exercise-quill", "The formula stands on paper")
	teacher.says("3.5 of 4")
	teacher.until(`document.querySelector("[data-marking]")`)
	two.open(lesson)
	two.send("/sign-in", "name", "student02", "password", "lay shaft number 2")
	two.says("3.5 of 4")
	two.says("The formula stands on paper.")

	// What the school takes over.
	teacher.open(marks)
	teacher.until(teacher.row("Student 02", "87.5", "3.5", "by hand"))
	rows := teacher.download("/marks.csv")
	for _, want := range []map[string]string{
		{"student number": "M-1", "username": "student01", "group": "A", "The quill points": "3", "The quill full": "4", "total percent": "75"},
		{"student number": "M-2", "username": "student02", "group": "A", "The quill points": "3.5", "The quill full": "4", "total percent": "87.5"},
		{"student number": "M-3", "username": "student03", "group": "B", "The quill points": "1.8", "The quill full": "4", "total percent": "45"},
	} {
		if !slices.ContainsFunc(rows, func(row map[string]string) bool { return contains(row, want) }) {
			t.Errorf("no row of the file has %v:\n%v", want, rows)
		}
	}
	if len(rows) != 3 {
		t.Errorf("the file has %d rows of students", len(rows))
	}
	teacher.clean()
}

func contains(row, want map[string]string) bool {
	for name, value := range want {
		if row[name] != value {
			return false
		}
	}
	return true
}

// row is true when one row of a table says all of these.
func (b *tab) row(words ...string) string {
	test := "[...document.querySelectorAll('main tr')].some((r) => true"
	for _, w := range words {
		test += " && r.textContent.replace(/\\s+/g, ' ').includes(" + strconv.Quote(w) + ")"
	}
	return test + ")"
}

// download sends the form whose action ends so, which is answered by a file, and
// reads the file as a table. The file is read when the browser says that all of it
// is there: before that there is one of its name without anything in it.
func (b *tab) download(action string) (rows []map[string]string) {
	b.t.Helper()
	done := make(chan string, 1)
	if err := chromedp.ListenBrowser(b.ctx, func(event any) {
		if e, is := event.(*browserdomain.EventDownloadProgress); is && e.State != browserdomain.DownloadProgressStateInProgress {
			select {
			case done <- string(e.State):
			default:
			}
		}
	}); err != nil {
		b.t.Fatal(err)
	}
	dir := b.t.TempDir()
	if _, err := chromedp.CallBrowser(b.ctx, browserdomain.SetDownloadBehavior, browserdomain.SetDownloadBehaviorParams{
		Behavior: browserdomain.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir, EventsEnabled: new(true),
		BrowserContextID: chromedp.FromContext(b.ctx).BrowserContextID,
	}); err != nil {
		b.t.Fatal(err)
	}
	eval[bool](b, `(document.querySelector('main form[action$="`+action+`"] button').click(), true)`)
	select {
	case state := <-done:
		if found, err := filepath.Glob(filepath.Join(dir, "*.csv")); err == nil && len(found) == 1 {
			return b.table(found[0])
		}
		b.t.Fatalf("no file came: the browser says %q", state)
	case <-b.ctx.Done():
		b.t.Fatal("no file came")
	}
	return nil
}

// table reads a file whose first row names the columns.
func (b *tab) table(name string) (rows []map[string]string) {
	b.t.Helper()
	f, err := os.Open(name)
	if err != nil {
		b.t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) == 0 {
		b.t.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// teacherLesson is the address of the lesson that was assigned.
func teacherLesson(b *tab) string {
	return eval[string](b, `[...document.querySelectorAll("main a")].find((a) => a.pathname.startsWith("/lesson/mill~")).href`)
}

func degrees(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) + " deg" }
