package browsertest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"shaftbook/exercises/class"
	"shaftbook/exercises/record"
	"shaftbook/exercises/record/sqlite"
	"shaftbook/lessons"
	"shaftbook/web"
	"shaftbook/web/attempt"
)

// A mill is a class store of one class with an instructor, two students and one
// assignment, for the pages of the room. Whoever's cookie holds an ID is that
// person. Other methods of a class store are not there.
type mill struct {
	class.Store
	work record.Store

	mu      sync.Mutex
	present map[string]class.Presence
	watch   []chan string
}

var (
	millClass = class.Class{ID: "MILL", Name: "Mill", Zone: "UTC"}
	millRoles = map[string]class.Role{"I1": class.Staff, "S1": class.Student, "S2": class.Student}
	millNames = map[string]string{"I1": "Instructor 1", "S1": "Student 01", "S2": "Student 02"}
	millGiven = class.Assignment{ID: "A1", Class: "MILL", Title: "The quill", Lesson: "mill"}
)

func (m *mill) SessionOf(_ context.Context, hash string, _ time.Time) (class.Session, class.Person, error) {
	for id, name := range millNames {
		if sum := sha256.Sum256([]byte(id)); hex.EncodeToString(sum[:]) == hash {
			return class.Session{Hash: hash, Person: id}, class.Person{ID: id, Name: name}, nil
		}
	}
	return class.Session{}, class.Person{}, class.ErrNone
}

func (m *mill) TouchSession(context.Context, string, time.Time, time.Time) error { return nil }

func (m *mill) Class(context.Context, string) (class.Class, error) { return millClass, nil }

func (m *mill) Member(_ context.Context, in, person string) (class.Member, error) {
	if millRoles[person] == "" {
		return class.Member{}, class.ErrNone
	}
	return class.Member{Class: in, Person: person, Role: millRoles[person]}, nil
}

func (m *mill) Members(ctx context.Context, in string) (people []class.Person, members []class.Member, err error) {
	for _, id := range []string{"I1", "S1", "S2"} {
		one, _ := m.Member(ctx, in, id)
		people, members = append(people, class.Person{ID: id, Name: millNames[id]}), append(members, one)
	}
	return people, members, nil
}

func (m *mill) Assignment(_ context.Context, id string) (class.Assignment, error) {
	if id != millGiven.ID {
		return class.Assignment{}, class.ErrNone
	}
	return millGiven, nil
}

func (m *mill) AttemptsIn(ctx context.Context, lesson string) (all []record.Attempt, err error) {
	for id := range millNames {
		list, err := m.work.Attempts(ctx, id, lesson, "exercise-quill")
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}

func (m *mill) PredictionsIn(context.Context, string) ([]record.Prediction, error) { return nil, nil }
func (m *mill) HintsIn(context.Context, string) ([]record.Hint, error)             { return nil, nil }

func (m *mill) Here(_ context.Context, p class.Presence) error {
	m.mu.Lock()
	m.present[p.Person] = p
	m.mu.Unlock()
	m.tell(p.Lesson)
	return nil
}

func (m *mill) Present(context.Context, string, time.Time) (list []class.Presence, _ error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, p := range m.present {
		list = append(list, p)
	}
	return list, nil
}

func (m *mill) Watch(context.Context) (<-chan string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	w := make(chan string, 1000)
	m.watch = append(m.watch, w)
	return w, nil
}

func (m *mill) tell(lesson string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, w := range m.watch {
		w <- lesson
	}
}

// A telling store has the room told of every answer that is kept.
type tellingStore struct {
	record.Store
	mill *mill
}

func (s tellingStore) Submit(ctx context.Context, a record.Attempt, tries int) (record.Attempt, bool, error) {
	kept, repeat, err := s.Store.Submit(ctx, a, tries)
	s.mill.tell(a.Lesson)
	return kept, repeat, err
}

// serveMill starts a server of the class; the lesson stands on its shelf under
// the name of the assignment.
func serveMill(t *testing.T, port int, folder string) (*web.Server, *mill) {
	t.Helper()
	shelf, found := lessons.Load(os.DirFS("testdata/exercises"))
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	shelf.Lessons[0].Slug = millGiven.Key()
	store, err := sqlite.Open(t.Context(), filepath.Join(folder, "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	m := &mill{work: store, present: map[string]class.Presence{}}
	desk, err := attempt.NewDesk(t.Context(), tellingStore{store, m}, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Shelf: shelf, Desk: desk, Class: m, Log: slog.New(slog.NewTextHandler(t.Output(), nil))}
	if err := s.Open(net.JoinHostPort("127.0.0.1", strconv.Itoa(port))); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(s) })
	return s, m
}

// signedIn opens a window of a browser that is signed in as a person.
func signedIn(t *testing.T, s *web.Server, person string) *tab {
	t.Helper()
	b := newTab(t, 1280, 900, chromedp.WithNewBrowserContext())
	if _, err := chromedp.Call(b.ctx, network.SetCookie, network.SetCookieParams{Name: "shaftbook", Value: person, URL: s.URL()}); err != nil {
		t.Fatal(err)
	}
	return b
}

const (
	everybody = `document.querySelector("#room-here")?.textContent ?? ""`
	stalls    = `document.querySelector("#room-stalls")?.textContent ?? ""`
	followed  = `document.querySelector(".js-room-said").textContent.includes("by itself.")`
)

func TestRoomSeesTheClassAtWork(t *testing.T) {
	folder := t.TempDir()
	s, _ := serveMill(t, 0, folder)
	room := signedIn(t, s, "I1")
	room.open(s.URL() + "class/MILL/room/A1")
	room.until(followed)
	room.until(`(` + everybody + `).includes("0 of 2")`)

	one, two := signedIn(t, s, "S1"), signedIn(t, s, "S2")
	lesson := s.URL() + "lesson/" + millGiven.Key()
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

	for _, answer := range []string{"1 N·m", "2 N·m"} {
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
	room.until(`location.search.includes("names=hidden") && document.querySelector("#room-part-twist")?.textContent.includes("Another quantity")`)
	room.look("room-exercise")
	for _, b := range []*tab{room, one, two} {
		b.clean()
	}
}

func TestRoomComesBackAfterTheServer(t *testing.T) {
	folder := t.TempDir()
	s, _ := serveMill(t, 0, folder)
	port := portOf(t, s)
	room := signedIn(t, s, "I1")
	room.open(s.URL() + "class/MILL/room/A1")
	room.until(followed)
	stop(s)
	room.until(`document.querySelector(".js-room-said").textContent.includes("does not answer")`)
	_, m := serveMill(t, port, folder)
	room.until(followed)
	_ = m.Here(t.Context(), class.Presence{Person: "S2", Lesson: millGiven.Key(), Place: "the-question", At: time.Now()})
	room.until(`(` + everybody + `).includes("1 of 2")`)
}
