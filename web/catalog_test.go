package web

import (
	"io"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/gorilla/websocket"

	"shaftbook/lessons"
	"shaftbook/web/live"
)

// timberFiles are two lessons and a glossary in which everything is of one timber.
func timberFiles(timber string) fstest.MapFS {
	lesson := func(order, title string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\ntitle: " + title + " of " + timber + "\norder: " + order + "\nsummary: The " + timber + " shaft.\nminutes: 5\n---\n\n" +
			"A timber shaft of " + timber + ".\n\n```calc\nL = 2 m\nd = 300 mm\n```\n\n" + "See [the other](post.md).\n")}
	}
	return fstest.MapFS{
		"post.md": lesson("1", "A post"), "beam.md": lesson("2", "A beam"),
		"glossary.yaml": {Data: []byte("- word: timber\n  means: What is " + timber + " here.\n  see: post.md\n")},
	}
}

func timber(t *testing.T, name string) *lessons.Catalog {
	t.Helper()
	c, found := lessons.Load(timberFiles(name))
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	return c
}

func openTimber(t *testing.T, c *lessons.Catalog) *Server {
	t.Helper()
	s := &Server{Catalog: c, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

// TestReplaceIsWhole: while the catalog is replaced again and again, each page is of one
// catalog.
func TestReplaceIsWhole(t *testing.T) {
	alder, birch := timber(t, "alder"), timber(t, "birch")
	s := openTimber(t, alder)
	base := strings.TrimSuffix(s.URL(), "/")
	var readers sync.WaitGroup
	for _, path := range []string{"/", "/?q=timber", "/lesson/post", "/lesson/beam", "/lesson/beam/board", "/glossary"} {
		readers.Go(func() {
			for range 20 {
				r, err := http.Get(base + path)
				if err != nil {
					t.Error(err)
					return
				}
				body, err := io.ReadAll(r.Body)
				r.Body.Close()
				if err != nil || r.StatusCode != http.StatusOK {
					t.Errorf("%s: %d %v", path, r.StatusCode, err)
					return
				}
				if a, b := strings.Contains(string(body), "alder"), strings.Contains(string(body), "birch"); a == b {
					t.Errorf("%s: alder %v, birch %v", path, a, b)
				}
			}
		})
	}
	done := make(chan struct{})
	go func() { readers.Wait(); close(done) }()
	for i := 0; ; i++ {
		select {
		case <-done:
			return
		default:
			s.Replace([]*lessons.Catalog{birch, alder}[i%2])
		}
	}
}

// TestReplaceIsSeen: what readers get after a change is the new lessons everywhere, and
// what is gone is not there.
func TestReplaceIsSeen(t *testing.T) {
	s := openTimber(t, timber(t, "alder"))
	base := strings.TrimSuffix(s.URL(), "/")
	paths := []string{"/", "/?q=timber", "/lesson/post", "/lesson/beam", "/lesson/beam/board", "/glossary"}
	for _, path := range paths {
		_, body := get(t, base+path)
		wantWords(t, body, "alder")
	}
	s.Replace(timber(t, "birch"))
	for _, path := range paths {
		_, body := get(t, base+path)
		wantWords(t, body, "birch")
		if strings.Contains(body, "alder") {
			t.Errorf("%s is as it was", path)
		}
	}
	s.Replace(&lessons.Catalog{Files: fstest.MapFS{}})
	for path, status := range map[string]int{"/": 200, "/lesson/post": 404, "/glossary": 404, "/health/ready": 503} {
		if r, _ := get(t, base+path); r.StatusCode != status {
			t.Errorf("%s without lessons: %d, want %d", path, r.StatusCode, status)
		}
	}
}

// TestReplaceKeepsWhatIsTheSame: a lesson that was not read again keeps the page's text,
// with its neighbours as they are.
func TestReplaceKeepsWhatIsTheSame(t *testing.T) {
	first := timber(t, "alder")
	s := openTimber(t, first)
	base := strings.TrimSuffix(s.URL(), "/")
	get(t, base+"/lesson/post")
	next := *first
	other := timber(t, "birch")
	next.Lessons = []*lessons.Lesson{first.Lessons[0], other.Lessons[1]}
	s.Replace(&next)
	_, body := get(t, base+"/lesson/post")
	wantWords(t, body, "A timber shaft of alder", "A beam of birch →")
}

// TestOpenPagesAreTold: a page of a lesson that has changed is told and goes on with its
// text; pages of other lessons are not.
func TestOpenPagesAreTold(t *testing.T) {
	first := timber(t, "alder")
	s := openTimber(t, first)
	beam, post := openLesson(t, s, "beam"), openLesson(t, s, "post")
	next := *first
	changed, _ := lessons.Parse("beam.md", []byte(strings.ReplaceAll(first.Lessons[1].Text.Content, "L = 2 m", "L = 3 m")))
	next.Lessons = []*lessons.Lesson{first.Lessons[0], changed}
	change := s.Replace(&next)
	if len(change.Lessons) != 1 || change.Lessons[0] != "beam" {
		t.Fatalf("changed: %v", change.Lessons)
	}
	if m := beam.next(t); m["type"] != "changed" || m["version"] != changed.Version() {
		t.Errorf("the page of the beam is told %v", m)
	}
	// It goes on with the text that it has: twice the length of 2 m.
	beam.send(t, map[string]any{"type": "edit", "revision": 2, "cell": "calc-1", "text": "L = 2 m\nd = 2·L\n"})
	for {
		m := beam.next(t)
		if m["type"] == "row" && strings.Contains(m["html"].(string), "<mn>4</mn>") || m["type"] == "row" && strings.Contains(m["spoken"].(string), "4") {
			break
		}
		if m["type"] == "done" {
			t.Fatal("the page does not go on with its text")
		}
	}
	post.send(t, map[string]any{"type": "edit", "revision": 2, "cell": "calc-1", "text": "L = 5 m\nd = 300 mm\n"})
	for {
		m := post.next(t)
		if m["type"] == "changed" {
			t.Fatal("the page of the post is told that it has changed")
		}
		if m["type"] == "done" {
			break
		}
	}
	s.Replace(&lessons.Catalog{Files: fstest.MapFS{}})
	for m := post.next(t); m["type"] != "changed" || m["version"] != ""; m = post.next(t) {
		if m["type"] == "changed" {
			t.Fatalf("the page of a lesson that is gone is told %v", m)
		}
	}
}

// A livePage is a page that has a lesson open.
type livePage struct {
	conn    *websocket.Conn
	waiting []map[string]any
}

func openLesson(t *testing.T, s *Server, slug string) *livePage {
	t.Helper()
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, _, err := dialer.Dial("ws"+strings.TrimPrefix(s.URL(), "http")+"live", http.Header{"Origin": {strings.TrimSuffix(s.URL(), "/")}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	p := &livePage{conn: conn}
	p.send(t, map[string]any{"type": "open", "revision": 1, "lesson": slug})
	l, _ := s.catalog.Now().Lesson(slug)
	if m := p.next(t); m["type"] != "opened" || m["version"] != l.Version() {
		t.Fatalf("opened as %v", m)
	}
	return p
}

func (p *livePage) send(t *testing.T, message map[string]any) {
	t.Helper()
	if err := p.conn.WriteJSON(message); err != nil {
		t.Fatal(err)
	}
}

func (p *livePage) next(t *testing.T) map[string]any {
	t.Helper()
	for len(p.waiting) == 0 {
		if err := p.conn.ReadJSON(&p.waiting); err != nil {
			t.Fatal(err)
		}
	}
	m := p.waiting[0]
	p.waiting = p.waiting[1:]
	return m
}

// TestReplaceLeavesWhatIsAssigned: a class goes on with the text that it was given, and
// the page of its instructor says that the file has another one.
func TestReplaceLeavesWhatIsAssigned(t *testing.T) {
	s := openSchool(t)
	_, before := s.get("S1", "/lesson/wheel~A1")
	text := strings.ReplaceAll(lessonText, "The wheel shaft", "The mended wheel shaft")
	files := fstest.MapFS{"wheel.md": {Data: []byte(text)}}
	next, _ := lessons.Load(files)
	s.Replace(next)
	_, after := s.get("S1", "/lesson/wheel~A1")
	if after != before {
		t.Error("the page of an assignment has changed with the file")
	}
	_, body := s.get("S1", "/lesson/wheel")
	wantWords(t, body, "The mended wheel shaft")
	_, body = s.get("I1", "/class/MILL/assign")
	wantWords(t, body, "The mended wheel shaft")
}

// TestAnswerToNumbersThatHaveChanged: an answer from a page that shows other numbers than
// the exercise has by now is not marked, and costs no try; one whose numbers are the same
// is marked, also where the words have changed.
func TestAnswerToNumbersThatHaveChanged(t *testing.T) {
	parse := func(old, new string) *lessons.Catalog {
		c, _ := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(strings.Replace(askedText, old, new, 1))}})
		return c
	}
	for _, c := range []struct {
		name, old, new string
		status         int
		words          string
	}{
		{"other words", "By how much does it turn?", "How far does it turn?", 200, ""},
		{"other numbers", "d: 48 mm", "d: 60 mm", 409, "This exercise has changed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openTimber(t, parse("", ""))
			v := visit(t, s)
			form := v.form("exercise-twist", "twist")
			s.Replace(parse(c.old, c.new))
			form.Set("answer", "0.760 deg")
			if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != c.status || !strings.Contains(body, c.words) {
				t.Errorf("%d, want %d: %s", r.StatusCode, c.status, body)
			}
			if c.status != 200 && !strings.Contains(v.page(""), "3 of 3 tries left") {
				t.Error("what was not marked used up a try")
			}
		})
	}
}
