package web

import (
	"strings"
	"testing"
)

// TestShelfProgress reads the shelf before and after an exercise is answered: what is
// done, what comes next and why, which lesson needs which.
func TestShelfProgress(t *testing.T) {
	s, v := openMixed(t, nil)
	_ = s
	look := func(when string, want, without []string) {
		t.Helper()
		_, body := v.do("GET", "/", byForm, nil)
		for _, w := range want {
			if !strings.Contains(body, w) {
				t.Errorf("%s: the shelf lacks %q", when, w)
			}
		}
		for _, w := range without {
			if strings.Contains(body, w) {
				t.Errorf("%s: the shelf has %q", when, w)
			}
		}
	}
	needs := `Needs <a href="/lesson/wheel">1 The wheel</a>`
	look("at first", []string{needs, `<figure class="needs"`, `<a href="/lesson/wheel"><bdi>The wheel</bdi></a>. It needs no other lesson.`, onPath("wheel", "The wheel", " · next")}, []string{"right", onPath("spindle", "The spindle", " · next")})
	answer := func(exercise string) {
		body := v.page("")
		_, own, _ := strings.Cut(body, `id="`+exercise+`-question"`)
		form := fieldsOf(t, body, exercise, "part-1")
		form.Set("answer", map[string]string{"40": otherDiameter["50"], "50": otherDiameter["40"]}[givenDiameter.FindStringSubmatch(own)[1]])
		if r, _ := v.do("POST", "/lesson/wheel/exercise/"+exercise, byForm, form); r.StatusCode != 303 {
			t.Fatalf("status %d", r.StatusCode)
		}
	}
	answer("exercise-one")
	look("one right", []string{"1 of 2 exercises right", "You have begun it.", onPath("wheel", "The wheel", " · begun · next")}, []string{"· done"})
	answer("exercise-two")
	look("both right", []string{"2 of 2 exercises right", "· done", `<a href="/lesson/spindle"><bdi>The spindle</bdi></a>. What it needs is done.`,
		"about 10 minutes, 1 done</span>", onPath("wheel", "The wheel", " · done"), onPath("spindle", "The spindle", " · next")}, nil)
}

// onPath is a lesson on a path through the lessons.
func onPath(slug, title, mark string) string {
	return `<a href="/lesson/` + slug + `">` + title + `</a> <span class="meta">5 minutes<span class="js-progress"></span>` + mark + `</span>`
}
