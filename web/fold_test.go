package web

import (
	"regexp"
	"strings"
	"testing"
)

var (
	fold      = regexp.MustCompile(`<details class="exercise js-exercise" data-id="([a-z-]+)"( open)?>`)
	foldState = regexp.MustCompile(`id="exercise-one-state">([^<]*)<`)
)

// TestExercisesFold follows the second exercise of a lesson: it is folded until it is
// begun, open while it is in work, and folded again with what came of it.
func TestExercisesFold(t *testing.T) {
	v := openPractised(t)
	look := func(when, state string, open bool) {
		t.Helper()
		body := v.page("")
		all := fold.FindAllStringSubmatch(body, -1)
		if len(all) != 1 || all[0][1] != "exercise-one" {
			t.Fatalf("%s: folded are %q, want the second exercise only", when, all)
		}
		if got := foldState.FindStringSubmatch(body); got == nil || got[1] != state || (all[0][2] != "") != open {
			t.Errorf("%s: state %q, open %q; want %q, %v", when, got, all[0][2], state, open)
		}
	}
	look("new", "not answered yet", false)
	answer := func(text string) {
		form := v.form("exercise-one", "part-1")
		form.Set("answer", text)
		r, _ := v.do("POST", "/lesson/wheel/exercise/exercise-one", byForm, form)
		if to := r.Header.Get("Location"); !strings.HasSuffix(to, "#exercise-one-part-1") { // inside the fold, which it opens
			t.Fatalf("the form leads to %q", to)
		}
	}
	answer("1 mm^4")
	look("one wrong answer", "2 of 3 tries left", true)
	answer("251327 mm^4")
	look("right", "right", false)
	if body := v.page("?practise=exercise-one&series=0"); !strings.Contains(body, `data-id="exercise-one" open>`) {
		t.Error("an exercise that the address names is not open")
	}
}
