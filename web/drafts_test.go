package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/authoring"
)

// openWriting opens a school whose lessons are a built-in one, "taper", and "wheel" in a
// folder that instructors may write into.
func openWriting(t *testing.T) (s *school, folder string) {
	t.Helper()
	store, file := openCopy(t, schoolStore)
	folder = t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "wheel.md"), []byte(askedText), 0o640); err != nil {
		t.Fatal(err)
	}
	to, err := authoring.OpenFolder(folder)
	if err != nil {
		t.Fatal(err)
	}
	folders := []fs.FS{fstest.MapFS{"taper.md": {Data: []byte(lessonText)}}, os.DirFS(folder)}
	shelf, _ := lessons.Load(folders...)
	server := &Server{
		Catalog: shelf, Attempts: deskOn(t, store), Classes: store, Store: store, Log: slog.New(slog.NewTextHandler(t.Output(), nil)), clock: schoolClock, Folder: to,
	}
	var mu sync.Mutex
	server.Reload = func() {
		mu.Lock()
		defer mu.Unlock()
		next, _ := lessons.Load(folders...)
		server.Replace(next)
	}
	if err := server.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Close(t.Context()) })
	return &school{Server: server, store: store, file: file, t: t}, folder
}

var (
	baseField = regexp.MustCompile(`name="base" value="(\d+)"`)
	seenField = regexp.MustCompile(`name="revision" value="(\d+)"><input type="hidden" name="seen" value="(\w+)"`)
)

// write begins a draft and gives it a text.
func (s *school) write(person, slug, text string) {
	s.t.Helper()
	r, body := s.post(person, "/drafts", "edit", slug)
	wantStatus(s.t, r, body, http.StatusSeeOther)
	_, body = s.get(person, "/drafts/"+slug)
	base := baseField.FindStringSubmatch(body)
	if base == nil {
		s.t.Fatalf("no editor\n%s", body)
	}
	r, body = s.post(person, "/drafts/"+slug, "base", base[1], "text", text)
	wantStatus(s.t, r, body, http.StatusSeeOther)
}

// publishForm returns the fields of the form that publishes a draft.
func (s *school) publishForm(person, slug string) []string {
	s.t.Helper()
	r, body := s.get(person, "/drafts/"+slug+"/compare")
	wantStatus(s.t, r, body, http.StatusOK)
	m := seenField.FindStringSubmatch(body)
	if m == nil {
		s.t.Fatalf("nothing to publish\n%s", body)
	}
	return []string{"revision", m[1], "seen", m[2]}
}

func (s *school) publish(person, slug string) {
	s.t.Helper()
	r, body := s.post(person, "/drafts/"+slug+"/publish", s.publishForm(person, slug)...)
	wantStatus(s.t, r, body, http.StatusSeeOther)
}

func fileText(t *testing.T, folder, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

var betterText = strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: 5 %", 1)

func TestWriteALesson(t *testing.T) {
	s, folder := openWriting(t)
	_, body := s.get("I1", "/drafts")
	wantWords(t, body, "The wheel shaft", `<code>wheel.md</code>`, folder, "/drafts?copy=taper#new")
	s.write("I1", "wheel", betterText)
	if fileText(t, folder, "wheel.md") != askedText {
		t.Fatal("a draft has changed the file")
	}
	if _, body := s.get("I2", "/drafts/wheel"); strings.Contains(body, "tolerance: 5 %") || !strings.Contains(body, "Instructor 1") {
		t.Errorf("another instructor reads the draft, or is not told of it\n%s", body)
	}
	_, body = s.get("I1", "/drafts/wheel/compare")
	wantWords(t, body, "tolerance: ", "<mark>", "No faults", "Publish")
	s.publish("I1", "wheel")
	if got := fileText(t, folder, "wheel.md"); got != betterText {
		t.Errorf("the file:\n%s", got)
	}
	if info, err := os.Stat(filepath.Join(folder, "wheel.md")); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if all, _ := os.ReadDir(folder); len(all) != 1 {
		t.Errorf("left in the folder: %v", all)
	}
	// Readers have the new text, the class that of the assignment.
	if l, _ := s.catalog.Now().Lesson("wheel"); l.Text.Content != betterText {
		t.Error("readers have the old text")
	}
	if a, err := s.store.Assignment(t.Context(), "A1"); err != nil || a.Text != givenText.Hash {
		t.Errorf("%+v, %v", a, err)
	}
	_, body = s.get("I1", "/drafts/wheel?said=published")
	wantWords(t, body, "Published.", `href="/class/MILL/assignment/A1/recompute"`, `href="/class/MILL/assign?lesson=wheel"`)
	if _, body = s.get("I2", "/drafts/wheel"); strings.Contains(body, "MILL") {
		t.Error("another class is named")
	}

	_, body = s.get("I2", "/drafts/wheel/versions")
	wantWords(t, body, "published by Instructor 1", "found in the folder")
	_, body = s.get("I2", "/drafts/wheel/versions/1")
	wantWords(t, body, "Bring back as my draft", "the file as it is now")
	r, body := s.post("I2", "/drafts/wheel/version", "number", "1")
	wantStatus(t, r, body, http.StatusSeeOther)
	s.publish("I2", "wheel")
	if got := fileText(t, folder, "wheel.md"); got != askedText {
		t.Errorf("brought back:\n%s", got)
	}
}

func TestWriteANewLesson(t *testing.T) {
	s, folder := openWriting(t)
	for _, c := range []struct{ name, from, words string }{
		{"wheel", "", "lesson or a draft of yours with this name"},
		{"taper", "", "lesson or a draft of yours with this name"},
		{"README", "", "Use small letters"},
		{"con.md", "", "Use small letters"},
		{"…", "", "Use small letters"},
		{strings.Repeat("a", 61), "", "Use small letters"},
	} {
		r, body := s.post("I1", "/drafts", "name", c.name, "from", c.from)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, c.words)
	}
	// Whatever is typed, the name leads nowhere else.
	r, body := s.post("I1", "/drafts", "name", "../../etc/Passwd")
	wantStatus(t, r, body, http.StatusSeeOther)
	if at := r.Header.Get("Location"); at != "/drafts/etc-passwd" {
		t.Errorf("sent to %s", at)
	}
	r, body = s.post("I1", "/drafts", "name", "Second wheel", "from", "wheel")
	wantStatus(t, r, body, http.StatusSeeOther)
	_, body = s.get("I1", "/drafts/second-wheel")
	wantWords(t, body, "order: 2", "not published yet")
	r, body = s.post("I1", "/drafts", "name", "second-wheel")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	s.publish("I1", "second-wheel")
	if got := fileText(t, folder, "second-wheel.md"); !strings.Contains(got, "order: 2") {
		t.Errorf("the file:\n%s", got)
	}
	r, body = s.get("I1", "/class/MILL/assign?lesson=second-wheel")
	if wantStatus(t, r, body, http.StatusOK); !strings.Contains(body, "exercise-twist") {
		t.Error("the new lesson cannot be assigned")
	}
	// One who began under the same name meanwhile is shown what is there.
	r, body = s.post("I2", "/drafts", "name", "second-wheel")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
}

func TestWriteRefusesFaults(t *testing.T) {
	s, folder := openWriting(t)
	s.write("I1", "wheel", strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: wide", 1))
	_, body := s.get("I1", "/drafts/wheel/compare")
	wantWords(t, body, "cannot be published", `class="js-draft-line"`)
	if strings.Contains(body, `action="/drafts/wheel/publish"`) {
		t.Error("a button to publish")
	}
	d, err := s.store.Draft(t.Context(), "I1", "wheel")
	s.must(err)
	r, body := s.post("I1", "/drafts/wheel/publish", "revision", fmt.Sprint(d.Revision), "seen", class.HashText(askedText))
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	if fileText(t, folder, "wheel.md") != askedText {
		t.Error("published with faults")
	}
	r, body = s.get("I1", "/drafts/wheel/faults")
	var said struct{ Faults string }
	if err := json.Unmarshal([]byte(body), &said); err != nil || r.StatusCode != 200 || !strings.Contains(said.Faults, "Line ") {
		t.Errorf("%v %s", err, body)
	}
}

// Nothing is replaced that was not shown.
func TestWriteRefusesWhatHasChanged(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(s *school, folder string)
	}{
		{"the file, in an editor", func(s *school, folder string) {
			s.must(os.WriteFile(filepath.Join(folder, "wheel.md"), []byte(strings.Replace(askedText, "By how much", "How far", 1)), 0o644))
		}},
		{"the file, by another instructor", func(s *school, _ string) {
			s.write("I2", "wheel", strings.Replace(askedText, "By how much", "How far", 1))
			s.publish("I2", "wheel")
		}},
		{"the file was removed", func(s *school, folder string) { s.must(os.Remove(filepath.Join(folder, "wheel.md"))) }},
		{"the draft, in another window", func(s *school, _ string) { s.write("I1", "wheel", betterText+"\nMore.\n") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, folder := openWriting(t)
			s.t = t
			s.write("I1", "wheel", betterText)
			form := s.publishForm("I1", "wheel")
			c.change(s, folder)
			before, _ := os.ReadFile(filepath.Join(folder, "wheel.md"))
			r, body := s.post("I1", "/drafts/wheel/publish", form...)
			wantStatus(t, r, body, http.StatusConflict)
			wantWords(t, body, "Nothing was published")
			if after, _ := os.ReadFile(filepath.Join(folder, "wheel.md")); !bytes.Equal(before, after) {
				t.Error("the file was written")
			}
			s.publish("I1", "wheel") // once it was seen
			if !strings.HasPrefix(fileText(t, folder, "wheel.md"), betterText) {
				t.Error("not published")
			}
			if list, err := s.store.LessonVersions(t.Context(), "wheel", "I1"); err != nil || len(list) == 0 {
				t.Errorf("%+v, %v", list, err)
			}
		})
	}
}

func TestPublishAtOnce(t *testing.T) {
	s, folder := openWriting(t)
	var all sync.WaitGroup
	codes := make([]int, 2)
	texts := []string{betterText, strings.Replace(askedText, "By how much", "How far", 1)}
	var forms [2][]string
	for i, who := range []string{"I1", "I2"} {
		s.write(who, "wheel", texts[i])
		forms[i] = s.publishForm(who, "wheel")
	}
	for i, who := range []string{"I1", "I2"} {
		all.Go(func() {
			r, _ := s.post(who, "/drafts/wheel/publish", forms[i]...)
			codes[i] = r.StatusCode
		})
	}
	all.Wait()
	if codes[0]+codes[1] != http.StatusSeeOther+http.StatusConflict {
		t.Errorf("answered %v", codes)
	}
	won := 0
	if codes[1] == http.StatusSeeOther {
		won = 1
	}
	if fileText(t, folder, "wheel.md") != texts[won] {
		t.Error("the file has not the text of the one who was told so")
	}
}

// Two windows of one person: the later text wins, the other is kept.
func TestWriteInTwoWindows(t *testing.T) {
	s, _ := openWriting(t)
	s.write("I1", "wheel", askedText+"\nOne.\n")
	send := func(text string, base int64, writer string) (said struct {
		Revision int64
		Replaced bool
		Page     string
	}) {
		t.Helper()
		body, _ := json.Marshal(map[string]any{"text": text, "base": base, "writer": writer})
		r, answer := s.do("I1", "POST", "/drafts/wheel/kept", "application/json", bytes.NewReader(body))
		wantStatus(t, r, answer, http.StatusOK)
		s.must(json.Unmarshal([]byte(answer), &said))
		return said
	}
	first := send(askedText+"\nTwo.\n", 2, "a")
	if first.Replaced || !strings.Contains(first.Page, "Two.") {
		t.Errorf("%+v", first)
	}
	if again := send(askedText+"\nTwo, again.\n", 2, "a"); again.Replaced {
		t.Error("a window whose answer was lost counts as another")
	}
	if second := send(askedText+"\nThree.\n", 2, "b"); !second.Replaced {
		t.Error("a text of another window is gone unnoticed")
	}
	list, err := s.store.LessonVersions(t.Context(), "wheel", "I1")
	s.must(err)
	v, err := s.store.LessonVersion(t.Context(), "wheel", "I1", list[0].Number)
	if err != nil || v.Reason != class.VersionDraft || !strings.Contains(v.Text, "Two, again.") {
		t.Errorf("%+v, %v", v, err)
	}
	if list, err := s.store.LessonVersions(t.Context(), "wheel", "I2"); err != nil || len(list) > 0 {
		t.Errorf("another person sees %+v, %v", list, err)
	}
}

func TestWriteBadInput(t *testing.T) {
	s, folder := openWriting(t)
	s.write("I1", "wheel", askedText)
	for _, c := range []struct {
		name, path, kind string
		body             string
		status           int
	}{
		{"no draft", "/drafts/taper/kept", "application/json", `{"text":"x","base":1}`, 404},
		{"a name that leads out", "/drafts/..%2fwheel/kept", "application/json", `{"text":"x","base":1}`, 404},
		{"no JSON", "/drafts/wheel/kept", "application/json", `text`, 400},
		{"an unknown field", "/drafts/wheel/kept", "application/json", `{"text":"x","path":"/etc/passwd"}`, 400},
		{"too long", "/drafts/wheel/kept", "application/json", `{"base":1,"text":"` + strings.Repeat("x", class.MostLessonText+1) + `"}`, 413},
		{"far too long", "/drafts/wheel/kept", "application/json", `{"base":1,"text":"` + strings.Repeat("x", 2<<20) + `"}`, 413},
		{"no plain text", "/drafts/wheel/kept", "application/json", `{"base":1,"text":"a\u0000b"}`, 400},
		{"a form without a text", "/drafts/wheel", "application/x-www-form-urlencoded", "base=1", 400},
		{"editing what is built in", "/drafts", "application/x-www-form-urlencoded", "edit=taper", 404},
		{"editing what is not there", "/drafts", "application/x-www-form-urlencoded", "edit=weir", 404},
		{"editing another folder", "/drafts", "application/x-www-form-urlencoded", "edit=..%2F..%2Fetc%2Fpasswd", 404},
		{"copying what is not there", "/drafts", "application/x-www-form-urlencoded", "name=weir&from=weir", 404},
		{"publishing what is not there", "/drafts/weir/publish", "application/x-www-form-urlencoded", "revision=1&seen=none", 404},
		{"a version that is not there", "/drafts/wheel/version", "application/x-www-form-urlencoded", "number=7", 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.do("I1", "POST", c.path, c.kind, strings.NewReader(c.body))
			if r.StatusCode != c.status {
				t.Errorf("status %d, want %d\n%.400s", r.StatusCode, c.status, body)
			}
		})
	}
	if d, err := s.store.Draft(t.Context(), "I1", "wheel"); err != nil || d.Text != askedText {
		t.Errorf("%+v, %v", d, err)
	}
	if all, _ := os.ReadDir(folder); len(all) != 1 {
		t.Errorf("in the folder: %v", all)
	}
}

// sendImage sends an image for the lesson "wheel".
func (s *school) sendImage(person, name, content string) (*http.Response, string) {
	s.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("image", name)
	s.must(err)
	_, err = io.WriteString(part, content)
	s.must(err)
	s.must(form.Close())
	return s.do(person, "POST", "/drafts/wheel/image", form.FormDataContentType(), &b)
}

func TestWriteImages(t *testing.T) {
	s, folder := openWriting(t)
	s.write("I1", "wheel", askedText)
	r, body := s.sendImage("I1", `C:\drawings\Wheel Shaft.SVG`, wheelDrawing)
	wantStatus(t, r, body, http.StatusSeeOther)
	if at := r.Header.Get("Location"); at != "/drafts/wheel?image=wheel-shaft.svg" || fileText(t, folder, "wheel-shaft.svg") != wheelDrawing {
		t.Errorf("sent to %s", at)
	}
	_, body = s.get("I1", "/drafts/wheel?image=wheel-shaft.svg")
	wantWords(t, body, "![…](wheel-shaft.svg)")
	s.write("I1", "wheel", strings.Replace(askedText, "\n## ", "\n![The wheel shaft](wheel-shaft.svg)\n\n## ", 1))
	_, body = s.get("I1", "/drafts/wheel")
	wantWords(t, body, `src="/drafts/wheel/file/wheel-shaft.svg"`)
	r, body = s.get("I1", "/drafts/wheel/file/wheel-shaft.svg")
	if p := r.Header.Get("Content-Security-Policy"); body != wheelDrawing || r.Header.Get("Content-Type") != "image/svg+xml" || !strings.Contains(p, "sandbox") {
		t.Errorf("%v %s", r.Header, body)
	}
	for _, path := range []string{"/drafts/wheel/file/wheel.md", "/drafts/wheel/file/..%2fsecret.svg", "/drafts/wheel/file/none.svg"} {
		if r, _ := s.get("I1", path); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s: status %d", path, r.StatusCode)
		}
	}
	for _, c := range []struct{ name, file, content, words string }{
		{"a name that is taken", "wheel-shaft.svg", wheelDrawing, "There is a file wheel-shaft.svg already"},
		{"a script", "a.svg", strings.Replace(wheelDrawing, "<path", "<script>alert(1)</script><path", 1), "holds &lt;script&gt;"},
		{"another kind", "a.html", "<p>", "ends in .svg or .png"},
		{"not what its name says", "a.png", wheelDrawing, "not a PNG"},
		{"too large", "a.svg", wheelDrawing + strings.Repeat(" ", authoring.MostImage), "more than 1 MB"},
	} {
		r, body := s.sendImage("I1", c.file, c.content)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, c.words)
	}
	if r, body := s.sendImage("I1", "a.svg", strings.Repeat("x", 2<<20)); r.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("status %d\n%.300s", r.StatusCode, body)
	}
	if all, _ := os.ReadDir(folder); len(all) != 2 {
		t.Errorf("in the folder: %v", all)
	}
	s.publish("I1", "wheel")
	if r, body := s.get("S1", "/lesson/wheel/wheel-shaft.svg"); r.StatusCode != http.StatusOK || body != wheelDrawing {
		t.Errorf("a reader: %d %s", r.StatusCode, body)
	}
}

// A server without a folder says how to get one, and a folder that cannot be written
// loses no draft.
func TestWriteNeedsAFolder(t *testing.T) {
	bare := openSchool(t)
	r, body := bare.get("I1", "/drafts")
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, "shaftbook serve --class --lessons FOLDER")
	if r, body := bare.post("I1", "/drafts", "name", "weir"); r.StatusCode != http.StatusConflict {
		t.Errorf("status %d\n%.300s", r.StatusCode, body)
	}

	s, folder := openWriting(t)
	s.write("I1", "wheel", betterText)
	form := s.publishForm("I1", "wheel")
	// A folder in its place cannot be replaced, whoever runs the test.
	elsewhere := filepath.Join(t.TempDir(), "elsewhere.md")
	s.must(os.WriteFile(elsewhere, []byte(askedText), 0o644))
	s.must(os.Remove(filepath.Join(folder, "wheel.md")))
	s.must(os.Symlink(elsewhere, filepath.Join(folder, "wheel.md")))
	if r, body := s.post("I1", "/drafts/wheel/publish", form...); r.StatusCode < 400 {
		t.Errorf("status %d\n%.300s", r.StatusCode, body)
	}
	if got, _ := os.ReadFile(elsewhere); string(got) != askedText {
		t.Error("a link out of the folder was followed")
	}
	if d, err := s.store.Draft(t.Context(), "I1", "wheel"); err != nil || d.Text != betterText {
		t.Errorf("%+v, %v", d, err)
	}
}

// What is written is shown to those who write only, and is text.
func TestDraftsAreEscaped(t *testing.T) {
	s, _ := openWriting(t)
	s.write("I1", "wheel", strings.Replace(askedText, "title: The wheel shaft", "title: '</textarea><script>alert(1)</script>'", 1)+"\n<script>alert(2)</script>\n\n<img src=x onerror=alert(3)>\n")
	for _, path := range []string{"/drafts/wheel", "/drafts/wheel/compare", "/drafts"} {
		_, body := s.get("I1", path)
		if strings.Contains(body, "<script>alert") || strings.Contains(body, "<img src=x") {
			t.Errorf("%s runs what was written\n%s", path, body)
		}
	}
	for _, path := range []string{"/drafts", "/drafts/wheel", "/drafts/wheel/compare", "/drafts/wheel/versions", "/drafts/wheel/faults"} {
		if r, _ := s.get("S1", path); r.StatusCode != http.StatusForbidden {
			t.Errorf("a student at %s: status %d", path, r.StatusCode)
		}
	}
}
