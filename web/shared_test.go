package web

import (
	"bytes"
	"context"
	"errors"
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/web/app/sharing"
	"shaftbook/web/app/token"
	"shaftbook/web/live"
)

// sharedText is a page of a learner's own with something of each kind.
const sharedText = "# The quill\n\nMARKER-TEXT stays, and $\\theta$ too.\n\n" +
	"```calc\nT = 420 N·m\nvary d from 24 mm to 72 mm by 1 mm starting at 36 mm\nW = 2·T\ndraw S\n```\n\n" +
	"```shaft S\nG = 79 GPa\nsolid d for 1 m\nhold at 0 mm\ntorque T at 1 m\n```\n\n" +
	"```derive\nx = 1\n  = 2/2\n```\n"

// addPage keeps sharedText as a page of a person's.
func (s *school) addPage(person, id string) {
	s.t.Helper()
	s.must(s.store.AddPage(s.t.Context(), person, store.Page{ID: id, Name: "The quill", Kind: store.KindPage, Text: sharedText, ChangedAt: schoolTime}, 50))
}

var linkShown = regexp.MustCompile(`<p class="share-link" tabindex="0">([^<]*)</p>`)

// share makes a link on the page of it and returns its path.
func (s *school) share(person, id string, fields ...string) string {
	s.t.Helper()
	r, body := s.post(person, "/page/"+id+"/share", fields...)
	wantStatus(s.t, r, body, http.StatusOK)
	found := linkShown.FindStringSubmatch(body)
	if found == nil {
		s.t.Fatalf("no link in\n%s", body)
	}
	address := html.UnescapeString(found[1])
	path, ok := strings.CutPrefix(address, strings.TrimSuffix(s.URL(), "/"))
	if !ok || !regexp.MustCompile(`^/shared/[A-Z2-7]{26}$`).MatchString(path) {
		s.t.Fatalf("the link is %q", address)
	}
	return path
}

// A link shows the page to somebody without an account, and nothing but the page; what
// ends it answers as if it had never been.
func TestSharedPage(t *testing.T) {
	s := openSchool(t)
	now := schoolTime
	s.reader.Site.Clock = func() time.Time { return now }
	s.addPage("S1", "P")
	path := s.share("S1", "P", "length", "day")
	r, body := s.get("", path)
	wantStatus(t, r, body, http.StatusOK)
	if !holds(body, "MARKER-TEXT", "A shared page.", `data-unkept`, `data-lesson="shared/`) {
		t.Errorf("the page is\n%s", body)
	}
	for _, never := range []string{"Student 01", "/page/P", `class="js-line`, "own-edit", ">Account<", `href="/pages"`, `action="/page`} {
		if strings.Contains(body, never) {
			t.Errorf("%q is on the page", never)
		}
	}
	if h := r.Header; !strings.Contains(h.Get("X-Robots-Tag"), "noindex") || h.Get("Referrer-Policy") != "no-referrer" || h.Get("Cache-Control") != "no-store" || len(r.Cookies()) > 0 {
		t.Errorf("headers %v", h)
	}
	for _, part := range []string{"/figure/calc-1/3/png", "/figure/calc-1/3/pdf", "/working/text", "/working/markdown"} {
		r, body := s.get("", path+part)
		wantStatus(t, r, body, http.StatusOK)
		if name := r.Header.Get("Content-Disposition"); strings.Contains(name, path[len("/shared/"):]) {
			t.Errorf("%s: the secret is in the name of the file, %q", part, name)
		}
	}
	if r, body := s.do("", "POST", path+"/working/text", "application/json", strings.NewReader(`{"edits":{},"varied":{"d":50}}`)); r.StatusCode != 200 || !strings.Contains(body, "50 mm") {
		t.Errorf("with a slider moved: status %d\n%s", r.StatusCode, body)
	}

	// What the author changes is seen at once.
	p, err := s.store.Page(t.Context(), "S1", "P")
	s.must(err)
	p.Text = strings.ReplaceAll(p.Text, "MARKER-TEXT", "CHANGED-TEXT")
	_, err = s.store.WritePage(t.Context(), "S1", p, p.Revision, store.NotKept)
	s.must(err)
	if _, body := s.get("", path); !strings.Contains(body, "CHANGED-TEXT") {
		t.Error("a change is not seen")
	}

	named := s.share("S1", "P", "length", "never", "named", "on", "name", "Somebody Else")
	if _, body := s.get("S4", named); !holds(body, "Shared by <bdi>Student 01</bdi>") || strings.Contains(body, "Somebody Else") {
		t.Errorf("a link with the name shows\n%.2000s", body)
	}

	_, unknown := s.get("", "/shared/AAAAAAAAAAAAAAAAAAAAAAAAAA")
	gone := func(what, path string) {
		t.Helper()
		for _, part := range []string{"", "/figure/calc-1/3/png", "/working/text", "/live"} {
			r, body := s.get("", path+part)
			if r.StatusCode != http.StatusNotFound || !strings.Contains(r.Header.Get("X-Robots-Tag"), "noindex") && part != "/live" {
				t.Errorf("%s, %s: status %d, %v", what, part, r.StatusCode, r.Header)
			}
			if part == "" && body != unknown {
				t.Errorf("%s can be told from a link that never was", what)
			}
		}
	}
	gone("unknown", "/shared/AAAAAAAAAAAAAAAAAAAAAAAAAA")
	now = now.Add(24 * time.Hour)
	gone("ended", path)
	if r, _ := s.get("", named); r.StatusCode != http.StatusOK {
		t.Errorf("one that does not end: status %d", r.StatusCode)
	}
	links, err := s.store.SharesOf(t.Context(), "S1", "P", now)
	if err != nil || len(links) != 1 {
		t.Fatalf("%+v, %v", links, err)
	}
	now = schoolTime // when sessions have not ended
	s.must(s.store.DeletePage(t.Context(), "S1", "P", now))
	gone("deleted", named)
	s.must(s.store.BringBackPage(t.Context(), "S1", "P", 50))
	if r, _ := s.get("", named); r.StatusCode != http.StatusOK {
		t.Errorf("of a page that is back: status %d", r.StatusCode)
	}
	for _, other := range []string{"S2", "I1"} {
		if r, _ := s.post(other, "/page/P/share/"+links[0].ID+"/withdraw"); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s withdraws it: status %d", other, r.StatusCode)
		}
	}
	if r, body := s.post("S1", "/page/P/share/"+links[0].ID+"/withdraw"); r.StatusCode != http.StatusSeeOther {
		t.Errorf("withdrawing: status %d\n%.300s", r.StatusCode, body)
	}
	gone("withdrawn", named)
	for name, rows := range s.contents() {
		if strings.Contains(rows, named[len("/shared/"):]) {
			t.Errorf("the secret of a link is in the table %s", name)
		}
	}
	if logged := s.logged(); strings.Contains(logged, named[len("/shared/"):]) {
		t.Errorf("the secret of a link is in the log")
	}
}

// On a page that is shown a guess asks and keeps nothing, and an exercise is there to be
// read; what is covered is not in the page until all of it is asked for.
func TestSharedGuessesAndExercises(t *testing.T) {
	s := openSchool(t)
	text := "# Mine\n\n```calc\nT = 420 N·m\nW = 2·T + 3 N·m\n```\n\n```guess first\nask: How large is W?\nanswer: W\nunit: N·m\ncovers: W\n```\n\n" +
		"```exercise twist\ntitle: One\nvariants: T from 1 N·m to 9 N·m by 1 N·m\nanswer: 2·T\nunit: N·m\n```\n"
	s.must(s.store.AddPage(t.Context(), "S1", store.Page{ID: "P", Name: "Mine", Kind: store.KindPage, Text: text, ChangedAt: schoolTime}, 50))
	s.must(s.store.ShowPage(t.Context(), class.ShownPage{Class: "MILL", Person: "S1", Page: "P", At: schoolTime}, 5, class.Entry{}))
	for who, path := range map[string]string{"": s.share("S1", "P", "length", "never"), "I1": "/class/MILL/student/S1/page/P"} {
		before := s.contents()
		r, body := s.get(who, path)
		wantStatus(t, r, body, http.StatusOK)
		if !holds(body, "How large is W?", path+"?results=all") || strings.Contains(body, "843") || strings.Contains(body, path+"/guess") || strings.Contains(body, "/practise") {
			t.Errorf("%q sees\n%s", who, body)
		}
		if _, body := s.get(who, path+"?results=all"); !holds(body, "843", "How large is W?") || strings.Contains(body, "results=all") {
			t.Errorf("%q sees with nothing covered\n%s", who, body)
		}
		if changed := s.changedSince(before); changed != nil {
			t.Errorf("looking changes %v", changed)
		}
	}
}

// What forms may say wrongly, and the limit.
func TestSharingRefuses(t *testing.T) {
	s := openSchool(t)
	s.addPage("S1", "P")
	for _, c := range []struct {
		name   string
		fields []string
		want   string
	}{
		{"no length", nil, "Choose how long"}, {"an unknown length", []string{"length", "year"}, "Choose how long"},
	} {
		r, body := s.post("S1", "/page/P/share", c.fields...)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, c.want)
	}
	for range sharing.MostLinks {
		s.share("S1", "P", "length", "week")
	}
	r, body := s.post("S1", "/page/P/share", "length", "week")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	if !holds(body, `id="share-full"`, "already has as many links") {
		t.Errorf("at the limit\n%.2000s", body)
	}
}

// A server that shares nothing says so to the owner, and to nobody else.
func TestSharingSwitchedOff(t *testing.T) {
	s := openSchool(t)
	s.addPage("S1", "P")
	path := s.share("S1", "P", "length", "never")
	off := openSchoolOff(t, s)
	_, unknown := off.get("", "/shared/AAAAAAAAAAAAAAAAAAAAAAAAAA")
	if r, body := off.get("", path); r.StatusCode != http.StatusNotFound || body != unknown {
		t.Errorf("status %d\n%.500s", r.StatusCode, body)
	}
	if r, _ := off.get("", path+"/live"); r.StatusCode != http.StatusNotFound {
		t.Errorf("live: status %d", r.StatusCode)
	}
	if _, body := off.get("S1", "/page/P/share"); !holds(body, `id="share-off"`) || strings.Contains(body, `name="length"`) {
		t.Errorf("the owner sees\n%s", body)
	}
	r, body := off.post("S1", "/page/P/share", "length", "never")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	// Who is in a class can still ask the instructor.
	if r, _ := off.post("S1", "/page/P/show", "class", "MILL"); r.StatusCode != http.StatusSeeOther {
		t.Errorf("showing it to a class: status %d", r.StatusCode)
	}
}

// openSchoolOff opens another server on the store of a school, which shares nothing.
func openSchoolOff(t *testing.T, of *school) *school {
	t.Helper()
	s := &Server{Catalog: of.Catalog, Attempts: of.Attempts, Classes: of.store, Store: of.store, NoSharing: true, Log: of.Log, clock: of.clock}
	of.must(s.Open("127.0.0.1:0"))
	t.Cleanup(func() { _ = s.Close(context.Background()) })
	return &school{Server: s, store: of.store, file: of.file, t: t}
}

// Who guesses at links waits, and the others do not.
func TestGuessedLinksWait(t *testing.T) {
	s := openSchool(t)
	s.reader.Site.Clock = func() time.Time { return schoolTime }
	s.addPage("S1", "P")
	path := s.share("S1", "P", "length", "never")
	status := 0
	for n := 0; status != http.StatusTooManyRequests; n++ {
		r, _ := s.get("", "/shared/guess")
		if status = r.StatusCode; n > 1000 {
			t.Fatal("nobody waits")
		}
		if status == http.StatusTooManyRequests && r.Header.Get("Retry-After") == "" {
			t.Error("it is not said how long")
		}
	}
	if r, _ := s.get("", path); r.StatusCode != http.StatusTooManyRequests {
		t.Errorf("a guess that is right: status %d", r.StatusCode)
	}
}

// dialShared opens the live connection of a link and then a lesson over it.
func (s *school) dialShared(path, lesson string) (*websocket.Conn, string) {
	s.t.Helper()
	base := strings.TrimSuffix(s.URL(), "/")
	dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
	conn, answer, err := dialer.Dial(strings.Replace(base, "http", "ws", 1)+path+"/live", http.Header{"Origin": {base}})
	if err != nil {
		s.t.Fatal(err, answer)
	}
	s.t.Cleanup(func() { conn.Close() })
	s.must(conn.WriteMessage(websocket.TextMessage, []byte(`{"type":"open","revision":1,"lesson":"`+lesson+`"}`)))
	_, frame, err := conn.ReadMessage()
	s.must(err)
	return conn, string(frame)
}

// The live connection of a link opens the page of the link alone, and closes with it.
func TestSharedLive(t *testing.T) {
	s := openSchool(t)
	s.addPage("S1", "P")
	s.must(s.store.ShowPage(t.Context(), class.ShownPage{Class: "MILL", Person: "S1", Page: "P", At: schoolTime}, 5, class.Entry{}))
	path := s.share("S1", "P", "length", "never")
	other := s.share("S1", "P", "length", "never")
	for _, lesson := range []string{"wheel", "wheel~A1", "page/P", other[1:], "class/MILL/student/S1/page/P", "shared/", ""} {
		if _, frame := s.dialShared(path, lesson); strings.Contains(frame, `"opened"`) {
			t.Errorf("%q was opened: %s", lesson, frame)
		}
	}
	conn, frame := s.dialShared(path, path[1:])
	if !strings.Contains(frame, `"opened"`) {
		t.Fatalf("the page was not opened: %s", frame)
	}
	s.must(conn.WriteMessage(websocket.TextMessage, []byte(`{"type":"vary","revision":2,"name":"d","value":48}`)))
	for moved := false; !moved; {
		_, frame, err := conn.ReadMessage()
		if err != nil {
			t.Fatal(err)
		}
		moved = bytes.Contains(frame, []byte(`"revision":2`)) && bytes.Contains(frame, []byte("48"))
	}
	kept, _ := s.dialShared(other, other[1:])
	secret := path[len("/shared/"):]
	links, err := s.store.SharesOf(t.Context(), "S1", "P", schoolTime)
	s.must(err)
	for _, l := range links {
		if l.Hash == token.Hash(secret) {
			s.post("S1", "/page/P/share/"+l.ID+"/withdraw")
		}
	}
	if !isClosed(conn) {
		t.Error("the connection stays open after the link was withdrawn")
	}
	s.must(kept.WriteMessage(websocket.TextMessage, []byte(`{"type":"vary","revision":2,"name":"d","value":48}`)))
	if _, _, err := kept.ReadMessage(); err != nil {
		t.Errorf("that of another link: %v", err)
	}
	// Pages of others cannot be opened over the connection of one who is signed in.
	for who, opens := range map[string]bool{"I1": true, "I2": false, "S2": false, "S1": false} {
		base := strings.TrimSuffix(s.URL(), "/")
		dialer := websocket.Dialer{Subprotocols: []string{live.Protocol}}
		conn, _, err := dialer.Dial(strings.Replace(base, "http", "ws", 1)+"/live", http.Header{"Origin": {base}, "Cookie": {"shaftbook=" + who}})
		s.must(err)
		s.must(conn.WriteMessage(websocket.TextMessage, []byte(`{"type":"open","revision":1,"lesson":"class/MILL/student/S1/page/P"}`)))
		_, frame, err := conn.ReadMessage()
		if s.must(err); strings.Contains(string(frame), `"opened"`) != opens {
			t.Errorf("%s: %s", who, frame)
		}
		conn.Close()
	}
}

var formBlock = regexp.MustCompile(`name="block" value="([0-9a-f]{64})"><input type="hidden" name="id" value="([A-Z2-7]{26})"`)

// A student shows a page to the instructor, who answers beside a block.
func TestShowMyInstructor(t *testing.T) {
	s := openSchool(t)
	s.addPage("S1", "P")
	const shown = "/class/MILL/student/S1/page/P"
	if r, _ := s.get("I1", shown); r.StatusCode != http.StatusNotFound {
		t.Errorf("not shown: status %d", r.StatusCode)
	}
	r, body := s.post("S1", "/page/P/show", "class", "MILL")
	wantStatus(t, r, body, http.StatusSeeOther)
	if e := s.lastEntry(); e.By != "S1" || e.About != "S1" || !strings.Contains(e.Detail, "The quill") {
		t.Errorf("the log says %+v", e)
	}
	if _, body := s.get("S1", "/page/P"); !holds(body, "this page can be seen by the instructors of Mill &lt;b&gt;A&lt;/b&gt;, Autumn.") {
		t.Error("the student’s page does not say that it is shown")
	}
	if _, body := s.get("I1", "/class/MILL/student/S1"); !holds(body, "Pages shown to you", `href="`+shown+`"`) {
		t.Error("the page of the student does not list it")
	}
	if _, body := s.get("I1", "/class/MILL"); !holds(body, "Pages shown to you", `href="`+shown+`"`, "of <bdi>Student 01</bdi>") {
		t.Error("the overview of the class does not list it")
	}
	r, body = s.get("I1", shown)
	wantStatus(t, r, body, http.StatusOK)
	if !holds(body, "MARKER-TEXT", "Student 01", `data-unkept`, `data-lesson="class/MILL/student/S1/page/P"`) || strings.Contains(body, "own-edit") {
		t.Errorf("the instructor sees\n%s", body)
	}
	forms := formBlock.FindAllStringSubmatch(body, -1)
	if len(forms) != 4 {
		t.Fatalf("%d forms for answers", len(forms))
	}
	text := forms[0]
	for _, wrong := range []struct{ block, id, text, want string }{
		{text[1], text[2], "  ", "Write something"}, {text[1], text[2], strings.Repeat("ä", sharing.NoteLimit+1), "at most"},
		{strings.Repeat("0", 64), text[2], "x", "has changed this part"},
	} {
		r, body := s.post("I1", shown+"/answer", "block", wrong.block, "id", wrong.id, "text", wrong.text)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, wrong.want)
	}
	for range 2 { // a form that is sent twice is one answer
		r, body = s.post("I1", shown+"/answer", "block", text[1], "id", text[2], "text", "Which <b>shaft</b>?\r\nSay it.")
		wantStatus(t, r, body, http.StatusSeeOther)
	}
	if e := s.lastEntry(); e.By != "I1" || e.About != "S1" || !strings.Contains(e.Detail, "part 1") {
		t.Errorf("the log says %+v", e)
	}
	_, body = s.get("S1", "/page/P")
	if !holds(body, "Which &lt;b&gt;shaft&lt;/b&gt;?\nSay it.", "Instructor 1") || strings.Contains(body, "has changed since") || strings.Count(body, "block-answer") != 1 {
		t.Errorf("the student sees\n%s", body)
	}
	if i, j := strings.Index(body, "MARKER-TEXT"), strings.Index(body, "Which &lt;"); i < 0 || j < i || strings.Contains(body[i:j], `id="block-2"`) {
		t.Error("the answer does not stand beside its block")
	}

	// The block is changed, then goes.
	write := func(was, is string) {
		t.Helper()
		p, err := s.store.Page(t.Context(), "S1", "P")
		s.must(err)
		p.Text = strings.ReplaceAll(p.Text, was, is)
		_, err = s.store.WritePage(t.Context(), "S1", p, p.Revision, store.NotKept)
		s.must(err)
	}
	write("MARKER-TEXT", "OTHER")
	if _, body := s.get("S1", "/page/P"); !holds(body, "this part has changed since") {
		t.Error("it is not said that the block has changed")
	}
	write("OTHER stays, and $\\theta$ too.", "Nothing of it.")
	for who, path := range map[string]string{"S1": "/page/P", "I1": shown} {
		if _, body := s.get(who, path); !holds(body, "Answers to parts that are no longer here", "MARKER-TEXT", "Which &lt;b&gt;") {
			t.Errorf("%s: an answer to a block that is gone is lost", who)
		}
	}

	// Another class of the student sees neither the page nor the answer.
	for _, who := range []string{"I2", "S2"} {
		for _, path := range []string{shown, "/class/WEIR/student/S1/page/P"} {
			if r, body := s.get(who, path); r.StatusCode != http.StatusNotFound || strings.Contains(body, "MARKER") {
				t.Errorf("%s at %s: status %d", who, path, r.StatusCode)
			}
		}
	}
	s.post("S1", "/page/P/show", "class", "WEIR")
	if _, body := s.get("I2", "/class/WEIR/student/S1/page/P"); strings.Contains(body, "Which &lt;b&gt;") {
		t.Error("an instructor of another class reads the answer")
	}
	if r, _ := s.post("I2", "/class/WEIR/student/S1/page/P/answer/"+text[2]+"/remove"); r.StatusCode != http.StatusNotFound {
		t.Errorf("and removes it: status %d", r.StatusCode)
	}

	// Withdrawn, it is not seen; the answer stays with the student until it is removed.
	r, _ = s.post("S1", "/page/P/hide", "class", "MILL")
	if r.StatusCode != http.StatusSeeOther {
		t.Errorf("status %d", r.StatusCode)
	}
	for _, path := range []string{shown, shown + "/working/text", shown + "/figure/calc-1/3/png"} {
		if r, _ := s.get("I1", path); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s after it was withdrawn: status %d", path, r.StatusCode)
		}
	}
	if _, body := s.get("I1", "/class/MILL/student/S1"); strings.Contains(body, shown) {
		t.Error("it is still listed")
	}
	if _, body := s.get("S1", "/page/P/share"); !holds(body, "Which &lt;b&gt;", "this part is no longer on the page") {
		t.Error("the answer is gone with it")
	}
	s.post("S1", "/page/P/show", "class", "MILL")
	if r, _ := s.post("I1", shown+"/answer/"+text[2]+"/remove"); r.StatusCode != http.StatusSeeOther {
		t.Errorf("removing it: status %d", r.StatusCode)
	}
	if notes, err := s.store.Notes(t.Context(), "", "S1", "P"); err != nil || len(notes) > 0 {
		t.Errorf("%+v, %v", notes, err)
	}

	// Who leaves the class shows nothing there.
	s.post("I1", "/class/MILL/student/S1/leave")
	if r, _ := s.get("I1", shown); r.StatusCode != http.StatusNotFound {
		t.Errorf("after leaving: status %d", r.StatusCode)
	}
	if r, _ := s.post("S1", "/page/P/show", "class", "MILL"); r.StatusCode != http.StatusNotFound {
		t.Errorf("shown to a class that was left: status %d", r.StatusCode)
	}
	var refusal store.Refusal
	if _, err := s.store.ShownPage(t.Context(), "MILL", "S1", "P"); !errors.As(err, &refusal) {
		t.Error(err)
	}
}

// A learner without an account shares too, with a name of the learner's choice.
func TestSharedWithoutAnAccount(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), &bytes.Buffer{}))
	path := v.begin("start", "taper")
	v.look(path, `href="`+path+`/share"`)
	v.look(path+"/share", `name="length" value="week" required checked`, `id="share-name"`, "-Show my instructor")
	r, body := v.do("POST", path+"/share", "text/html", formOf("length", "day", "name", "  Somebody\nof the <mill> "))
	found := linkShown.FindStringSubmatch(body)
	if r.StatusCode != 200 || found == nil {
		t.Fatalf("status %d\n%s", r.StatusCode, body)
	}
	other := &client{t: t, s: v.s}
	shared := strings.TrimPrefix(found[1], strings.TrimSuffix(v.s.URL(), "/"))
	other.look(shared, "Shared by <bdi>Somebody of the &lt;mill&gt;</bdi>", `data-verdict="follows"`, "-"+path)
	if other.cookie != nil {
		t.Error("the visitor gets a name")
	}
	if r, body := v.do("POST", path+"/share", "text/html", formOf("length", "day", "name", strings.Repeat("ä", sharing.NameLimit+1))); r.StatusCode != 422 || !strings.Contains(body, "at most 80") {
		t.Errorf("a long name: status %d", r.StatusCode)
	}
	v.look(path+"/share", "Withdraw link")
	v.post(path + "/delete")
	if r, _ := other.do("GET", shared, "text/html", nil); r.StatusCode != 404 {
		t.Errorf("of a deleted page: status %d", r.StatusCode)
	}
	v.post(path + "/undelete")
	other.look(shared, "Somebody")
}
