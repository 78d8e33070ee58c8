package web

import (
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/web/app/assignment"
)

const wheelDrawing = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 1"><path d="M0 0h4v1H0z"/></svg>`

// draw puts an image beside the school's lesson.
func (s *school) draw(name, content string) {
	s.Catalog.Files.(fstest.MapFS)[name] = &fstest.MapFile{Data: []byte(content)}
}

// What a class was given stays as it was given, whatever becomes of the files.
func TestImagesOfAnAssignmentAreKept(t *testing.T) {
	s := openSchool(t)
	s.rewrite(strings.Replace(askedText, "\n## ", "\n![The wheel shaft](wheel.svg)\n\n## ", 1))
	s.draw("wheel.svg", wheelDrawing)
	r, body := s.post("I1", "/class/MILL/assign", terms("lesson", "wheel")...)
	wantStatus(t, r, body, http.StatusSeeOther)
	a := s.assignedIn()[0]
	path := "/lesson/" + a.Key() + "/wheel.svg"
	s.draw("wheel.svg", strings.Replace(wheelDrawing, "h4", "h3", 1))
	r, body = s.get("S1", path)
	if wantStatus(t, r, body, http.StatusOK); body != wheelDrawing || r.Header.Get("Content-Type") != "image/svg+xml" {
		t.Errorf("%s: %s", r.Header.Get("Content-Type"), body)
	}
	if p := r.Header.Get("Content-Security-Policy"); !strings.Contains(p, "default-src 'none'") || !strings.Contains(p, "sandbox") || strings.Contains(p, "script-src") {
		t.Errorf("the policy of an image: %s", p)
	}
	for _, other := range []string{"/lesson/" + a.Key() + "/other.svg", "/lesson/" + a.Key() + "/wheel.md"} {
		if r, _ := s.get("S1", other); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s: status %d", other, r.StatusCode)
		}
	}
	if r, _ := s.get("S2", path); r.StatusCode != http.StatusOK {
		t.Errorf("another student of the class: %d", r.StatusCode)
	}
	if r, _ := s.get("I2", path); r.StatusCode != http.StatusNotFound {
		t.Errorf("an instructor of another class: %d", r.StatusCode)
	}

	at := "/class/MILL/assignment/" + a.ID
	_, body = s.get("I1", at)
	wantWords(t, body, `data-file="changed"`, "an image that it shows is another")
	_, body = s.get("I1", at+"/recompute")
	wantWords(t, body, "an image that it shows is another", "Update lesson and re-mark")
	r, body = s.post("I1", at+"/recompute", "shown", printOf(t, body))
	wantStatus(t, r, body, http.StatusSeeOther)
	if _, body = s.get("S1", path); !strings.Contains(body, "h3") {
		t.Errorf("after the update: %s", body)
	}
	if _, body = s.get("I1", at); !strings.Contains(body, `data-file="same"`) {
		t.Error("the file still counts as changed")
	}
}

func TestALessonWithoutItsImageIsNotAssigned(t *testing.T) {
	s := openSchool(t)
	s.rewrite(strings.Replace(askedText, "\n## ", "\n![The wheel shaft](wheel.png)\n\n## ", 1))
	for _, c := range []struct{ name, content, words string }{
		{"missing", "", "cannot be read"},
		{"too large", strings.Repeat("x", assignment.MostImage+1), "too large"},
	} {
		if c.content != "" {
			s.draw("wheel.png", c.content)
		}
		r, body := s.post("I1", "/class/MILL/assign", terms("lesson", "wheel")...)
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, "wheel.md, line", "wheel.png", c.words)
	}
	if list := s.assignedIn(); len(list) != 0 {
		t.Errorf("assigned %+v", list)
	}
}
