package browsertest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// given is the assignment of the lesson mill.md to the class MILL.
var given = class.Assignment{ID: "A1", Class: "MILL", Title: "The quill", Lesson: "mill", Zone: "UTC", Weight: 1}

// serveMill starts a server whose store, in a folder, has the class MILL with an
// instructor, two students and one assignment. Everybody's identifier is also the
// token of a session.
func serveMill(t *testing.T, port int, folder string) (*web.Server, contract.Store) {
	t.Helper()
	shelf := shelfOf(t, os.DirFS("testdata/exercises"))
	store := storeIn(t, folder)
	if err := fillMill(t.Context(), store); err != nil && !errors.Is(err, class.ErrTaken) { // taken: by the server before
		t.Fatal(err)
	}
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk, Classes: store}
	open(t, s, port)
	return s, store
}

func fillMill(ctx context.Context, s contract.Store) error {
	now, none := time.Now(), class.Entry{}
	for _, p := range []class.Person{
		{ID: "I1", Name: "Instructor 1", SignIn: "teach1", Instructor: true},
		{ID: "S1", Name: "Student 01", SignIn: "s01"},
		{ID: "S2", Name: "Student 02", SignIn: "s02"},
	} {
		p.Password, p.MadeAt = "x", now
		if err := s.AddPerson(ctx, p); err != nil {
			return err
		}
		sum := sha256.Sum256([]byte(p.ID))
		err := s.OpenSession(ctx, class.Session{Hash: hex.EncodeToString(sum[:]), Person: p.ID, MadeAt: now, SeenAt: now, EndsAt: now.Add(time.Hour)})
		if err != nil {
			return err
		}
	}
	text, err := os.ReadFile("testdata/exercises/mill.md")
	if err != nil {
		return err
	}
	frozen := class.Frozen{Hash: class.HashText(string(text)), Name: "mill.md", Text: string(text)}
	a := given
	a.Text, a.Opens, a.Due, a.Closes, a.MadeAt, a.ChangedAt = frozen.Hash, now, now.Add(time.Hour), now.Add(time.Hour), now, now
	return errors.Join(
		s.AddClass(ctx, class.Class{ID: "MILL", Name: "Mill", Zone: "UTC", MadeAt: now}, []string{"I1"}, nil, none),
		s.Enrol(ctx, nil, nil, []class.Member{
			{Class: "MILL", Person: "S1", Role: class.Student, Since: now}, {Class: "MILL", Person: "S2", Role: class.Student, Since: now},
		}, none),
		s.AddAssignment(ctx, a, frozen, none),
	)
}

// signedIn opens a window in which a person is signed in.
func signedIn(t *testing.T, s *web.Server, person string) *tab {
	t.Helper()
	b := newTab(t, 1280, 900)
	if _, err := chromedp.Call(b.ctx, network.SetCookie, network.SetCookieParams{Name: "shaftbook", Value: person, URL: s.URL()}); err != nil {
		t.Fatal(err)
	}
	return b
}

const (
	everybody = `document.querySelector("#room-here")?.textContent ?? ""`
	stalls    = `document.querySelector("#room-stalls")?.textContent ?? ""`
	followed  = `document.querySelector(".js-room-said[data-state=live]")`
)

func TestRoomSeesTheClassAtWork(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s, _ := serveMill(t, 0, folder)
	room := signedIn(t, s, "I1")
	room.open(s.URL() + "class/MILL/room/A1")
	room.until(followed)
	room.until(`(` + everybody + `).includes("0 of 2")`)

	one, two := signedIn(t, s, "S1"), signedIn(t, s, "S2")
	lesson := s.URL() + "lesson/" + given.Key()
	one.open(lesson + "#the-working")
	two.open(lesson + "#exercise-quill")
	room.until(`(` + everybody + `).includes("2 of 2")`)
	where := func(section, name string) string {
		return `[...document.querySelectorAll("#room-here tr")].some((r) => r.textContent.includes("` + section + `") && r.textContent.includes("` + name + `"))`
	}
	room.until(where("The working", "Student 01"))
	room.until(where("The question", "Student 02"))
	eval[bool](one, `(document.getElementById("exercise-quill").scrollIntoView(), true)`)
	room.until(where("The question", "Student 01"))

	for _, answer := range []string{"11 deg", "12 deg"} {
		two.answer("twist", answer)
		two.press("\r")
		two.until(`document.querySelector("#exercise-quill-twist .js-said")?.textContent.includes("` + answer + `")`)
	}
	room.until(`(` + stalls + `).includes("2 wrong answers")`)
	room.look("room")

	room.open(s.URL() + "class/MILL/room/A1?names=hidden")
	room.until(followed)
	if text := eval[string](room, "document.documentElement.outerHTML"); strings.Contains(text, "Student 0") {
		t.Error("a room with hidden names names a student")
	}
	room.do(chromedp.Click(chromedp.CSS("#room-stalls a")))
	room.until(`location.search.includes("names=hidden") && document.querySelector("#room-part-twist")`)
	room.look("room-exercise")
	for _, b := range []*tab{room, one, two} {
		b.clean()
	}
}

func TestRoomComesBackAfterTheServer(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s, _ := serveMill(t, 0, folder)
	port := portOf(t, s)
	room := signedIn(t, s, "I1")
	room.open(s.URL() + "class/MILL/room/A1")
	room.until(followed)
	stop(s)
	room.until(`document.querySelector(".js-room-said[data-state=away]")`)
	_, store := serveMill(t, port, folder)
	room.until(followed)
	if err := store.Here(t.Context(), class.Presence{Person: "S2", Lesson: given.Key(), Place: "the-question", At: time.Now()}); err != nil {
		t.Fatal(err)
	}
	room.until(`(` + everybody + `).includes("1 of 2")`)
}
