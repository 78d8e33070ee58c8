package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// askedText is a lesson with one exercise, whose numbers are the same for
// everybody: 32·420·1.3/(79e9·π·0.048⁴) rad = 0.7598 deg, worked out by hand in
// TestLessonReadsWithoutAScript.
const askedText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

## The question

` + "```exercise twist" + `
title: The wheel shaft
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
predict:
  - name: stiff
    text: Between which angles does it lie?
    result: T·L/(G·π/32·d^4)
ask:
  - name: twist
    text: By how much does it turn?
    answer: T·L/(G·π/32·d^4)
    unit: deg
    tolerance: 0.5 %
    bounds: {low: 0.1 deg, high: 3 deg}
    slips: [bending-for-torsion]
    hints: [Begin with the section., Then the length.]
    points: 2
  - name: section
    text: The second moment of area
    answer: π/32·d^4
    unit: mm⁴
    tolerance: 1 %
` + "```" + `

` + "```exercise drawn" + `
title: A shaft of one’s own
given:
  T: {from: 300 N·m, to: 500 N·m, by: 10 N·m}
  d: {from: 40 mm, to: 60 mm, by: 1 mm}
ask: The greatest shear stress
answer: 16·T/(π·d^3)
unit: MPa
tolerance: 1 %
attempts: 1
` + "```\n"

// newDesk returns a desk with a store of its own.
func newDesk(t testing.TB) *attempt.Service {
	t.Helper()
	return deskOn(t, newStore(t))
}

func deskOn(t testing.TB, store contract.Work) *attempt.Service {
	t.Helper()
	desk, err := attempt.NewService(context.Background(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	return desk
}

func openAsked(t *testing.T, desk *attempt.Service, log io.Writer) *Server {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(askedText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: desk, Log: slog.New(slog.NewTextHandler(log, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = s.Close(context.Background())
	})
	return s
}

// A client is a browser that keeps its cookie and follows no redirect.
type client struct {
	t      *testing.T
	s      *Server
	cookie *http.Cookie
}

func visit(t *testing.T, s *Server) *client {
	t.Helper()
	v := &client{t: t, s: s}
	v.page("")
	if v.cookie == nil {
		t.Fatal("the page of exercises sets no cookie")
	}
	return v
}

func (v *client) do(method, path, accept string, form url.Values) (*http.Response, string) {
	v.t.Helper()
	q, err := http.NewRequest(method, strings.TrimSuffix(v.s.URL(), "/")+path, strings.NewReader(form.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	q.Header.Set("Accept", accept)
	if form != nil {
		q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if v.cookie != nil {
		q.AddCookie(v.cookie)
	}
	r, err := http.DefaultTransport.RoundTrip(q)
	if err != nil {
		v.t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	for _, c := range r.Cookies() {
		v.cookie = c
	}
	return r, string(body)
}

func (v *client) page(query string) string {
	v.t.Helper()
	_, body := v.do("GET", "/lesson/wheel"+query, "text/html", nil)
	return body
}

// form reads the hidden fields of a part's form, as a browser would.
func (v *client) form(exercise, part string) url.Values {
	v.t.Helper()
	return fieldsOf(v.t, v.page(""), exercise, part)
}

var hidden = regexp.MustCompile(`<input type="hidden" name="([a-z]+)" value="([^"]*)">`)

func fieldsOf(t *testing.T, body, exercise, part string) url.Values {
	t.Helper()
	_, rest, found := strings.Cut(body, `id="`+exercise+"-"+part+`"`)
	rest, _, ends := strings.Cut(rest, "</form>")
	if !found || !ends {
		t.Fatalf("there is no open form for %s %s", exercise, part)
	}
	form := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(rest, -1) {
		form.Set(m[1], m[2])
	}
	return form
}

const (
	twistPath = "/lesson/wheel/exercise/exercise-twist"
	byScript  = "application/json"
	byForm    = "text/html"
)

// hand hands in an answer to the first exercise as a script does.
func (v *client) hand(part, answer string) (status int, said string) {
	v.t.Helper()
	form := v.form("exercise-twist", part)
	form.Set("answer", answer)
	r, body := v.do("POST", twistPath, byScript, form)
	return r.StatusCode, body
}

func TestEveryVerdictIsSaidBesideTheAnswer(t *testing.T) {
	for _, c := range []struct{ verdict, answer, tries string }{
		{"unreadable", "0,7,6 deg", "3 of 3 tries left"},
		{"unreadable", "T = 420 N·m", "3 of 3 tries left"},
		{"ambiguous", "1,000 deg", "3 of 3 tries left"},
		{"right", "0,76 deg", "Answered"},
		{"right", "θ = 0.76 degrees.", "Answered"},
		{"unreadable", "between 0 deg and 90 deg", "3 of 3 tries left"},
		{"wrong-dimension", "420 N·m", "3 of 3 tries left"},
		{"unit-missing", "0.76", "3 of 3 tries left"},
		{"outside-bounds", "43 deg", "2 of 3 tries left"},
		{"slip", "1.520 deg", "2 of 3 tries left"}, // I for J: twice
		{"off", "0.9 deg", "2 of 3 tries left"},
		{"rounded-early", "0.8 deg", "2 of 3 tries left"},
		{"right", "0.760 deg", "Answered"},
		{"right", "13.261e-3 rad", "Answered"},
		{"right", "T·L/(G·π/32·d^4)", "Answered"},
	} {
		t.Run(c.verdict+" "+c.answer, func(t *testing.T) {
			v := visit(t, openAsked(t, newDesk(t), io.Discard))
			status, body := v.hand("twist", c.answer)
			var got struct{ HTML, Say string }
			if err := json.Unmarshal([]byte(body), &got); err != nil || status != 200 {
				t.Fatalf("status %d, %v: %s", status, err, body)
			}
			for _, want := range []string{`data-verdict="` + c.verdict + `"`, c.tries} {
				if !strings.Contains(got.HTML, want) {
					t.Errorf("no %s in what the script gets:\n%s", want, got.HTML)
				}
				if !strings.Contains(v.page(""), want) {
					t.Errorf("no %s on the page that is loaded again", want)
				}
			}
			if !strings.Contains(got.Say, c.tries) {
				t.Errorf("the ear hears %q, without the tries", got.Say)
			}
		})
	}
}

var readingButton = regexp.MustCompile(`<button type="submit"(?: form="[^"]*")? name="reading" value="([^"]*)">`)

// readings lists the buttons that hand an answer in as one of its readings.
func readings(body string) []string {
	var list []string
	for _, m := range readingButton.FindAllStringSubmatch(body, -1) {
		list = append(list, m[1])
	}
	return list
}

// An answer with two readings is asked about by buttons of the form, which work
// without scripts; asking uses no try, and what is kept is what was typed with the
// reading that was chosen.
func TestTwoReadingsAreAsked(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "1,000 deg")
	if r, _ := v.do("POST", twistPath, byForm, form); r.StatusCode != 303 {
		t.Fatalf("status %d, want 303", r.StatusCode)
	}
	body := v.page("")
	if got := readings(body); !slices.Equal(got, []string{"1.000 deg", "1000 deg"}) {
		t.Fatalf("the page asks about %q", got)
	}
	for _, want := range []string{`data-verdict="ambiguous"`, "3 of 3 tries left", `value="1,000 deg"`} {
		if !strings.Contains(body, want) {
			t.Errorf("no %s on the page that asks", want)
		}
	}
	// Enter in the field presses the first submit button.
	if first, asked := strings.Index(body, ">Submit answer<"), strings.Index(body, `name="reading"`); first < 0 || first > asked {
		t.Error("a reading comes before the button that submits what was typed")
	}

	form = fieldsOf(t, body, "exercise-twist", "twist")
	form.Set("answer", "1,000 deg")
	form.Set("reading", "1.000 deg")
	for range 2 { // loading again sends it twice
		if r, _ := v.do("POST", twistPath, byForm, form); r.StatusCode != 303 {
			t.Fatalf("status %d, want 303", r.StatusCode)
		}
	}
	body = v.page("")
	for _, want := range []string{"2 of 3 tries left", "Read as 1.000 deg", `value="1.000 deg"`} {
		if !strings.Contains(body, want) {
			t.Errorf("no %s on the page after the choice", want)
		}
	}
	if got := readings(body); len(got) > 0 {
		t.Errorf("the page still asks about %q", got)
	}

	for _, c := range []struct{ answer, reading string }{
		{"0.76 deg", "1000 deg"}, // changed after it was asked about
		{"5 kg", "0.75 deg"},
		{"1,000 deg", "0.75 deg"},
		{"1,000 deg", "<script>alert(1)</script>"},
		{"1,000 deg", "=cmd|' /C calc'!A0"},
	} {
		form = fieldsOf(t, body, "exercise-twist", "twist")
		form.Set("answer", c.answer)
		form.Set("reading", c.reading)
		v.do("POST", twistPath, byScript, form)
		if body = v.page(""); !strings.Contains(body, "2 of 3 tries left") || strings.Contains(body, "Read as "+c.reading) {
			t.Errorf("%s is taken as %s", c.answer, c.reading)
		}
	}
}

// What is looked up without handing it in asks as well.
func TestCheckingAsks(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	check := url.Values{"part": {"twist"}, "series": {"0"}, "answer": {"1,000 deg"}}
	for _, accept := range []string{byForm, byScript} {
		r, body := v.do("GET", twistPath+"?"+check.Encode(), accept, nil)
		if accept == byScript {
			var got struct{ HTML string }
			if err := json.Unmarshal([]byte(body), &got); err != nil {
				t.Fatal(err)
			}
			body = got.HTML
		}
		if got := readings(body); r.StatusCode != 200 || !slices.Equal(got, []string{"1.000 deg", "1000 deg"}) {
			t.Errorf("%s: status %d, %q", accept, r.StatusCode, got)
		}
	}
}

func TestTheSameAnswerAgainUsesNoTry(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	for _, c := range []struct{ answer, tries string }{
		{"0.9 deg", "2 of 3 tries left"},
		{"0.90 deg", "2 of 3 tries left"},
		{"0,9°", "2 of 3 tries left"},
		{"0.91 deg", "Last of 3 tries"},
		{"0.9 deg", "Last of 3 tries"},
	} {
		status, body := v.hand("twist", c.answer)
		if status != 200 || !strings.Contains(body, c.tries) {
			t.Errorf("%s: status %d, no %q: %s", c.answer, status, c.tries, body)
		}
	}
}

func TestNothingSaysTheAnswerBeforeTheLastTry(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	told := regexp.MustCompile(`0\.7598|0\.01326|13\.26`)
	guess := v.form("exercise-twist", "stiff")
	guess.Set("low", "0.1 deg")
	guess.Set("high", "2 deg")
	if r, body := v.do("POST", twistPath+"/guess", byScript, guess); r.StatusCode != 200 || told.MatchString(body) {
		t.Errorf("the guess: status %d, %s", r.StatusCode, body)
	}
	for i, answer := range []string{"0.9 deg", "43 deg", "1.52 deg"} {
		if told.MatchString(v.page("")) {
			t.Fatalf("the page says the answer before try %d", i+1)
		}
		if status, body := v.hand("twist", answer); status != 200 {
			t.Fatal(status, body)
		}
	}
	body := v.page("")
	for _, want := range []string{`class="solution"`, "<strong>0.7598\u00a0deg</strong>"} {
		if !strings.Contains(body, want) {
			t.Errorf("after the last try the page lacks %q", want)
		}
	}
}

func TestTriesAreTheServersToCount(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	for i, answer := range []string{"0.9 deg", "0.8999 deg", "0.91 deg", "0.760 deg"} {
		form.Set("submission", fmt.Sprintf("%032d", i))
		form.Set("answer", answer)
		r, body := v.do("POST", twistPath, byScript, form)
		want := 200
		if i == 3 {
			want = 409
		}
		if r.StatusCode != want {
			t.Errorf("try %d: status %d, want %d: %s", i+1, r.StatusCode, want, body)
		}
		if i == 3 && !strings.Contains(body, store.Words(store.ErrNoTries)) {
			t.Errorf("the refusal is %s", body)
		}
	}
}

func TestARepeatIsRecognised(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "0.9 deg")
	var all sync.WaitGroup
	for range 5 {
		all.Go(func() {
			if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != 200 {
				t.Errorf("status %d: %s", r.StatusCode, body)
			}
		})
	}
	all.Wait()
	if body := v.page(""); !strings.Contains(body, "2 of 3 tries left") || strings.Contains(body, "Earlier answers") {
		t.Error("an answer that was sent five times is not one attempt")
	}
	form.Set("answer", "0.8 deg") // under the same identifier
	if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != 409 || !strings.Contains(body, "Send it once more") {
		t.Errorf("status %d: %s", r.StatusCode, body)
	}
}

func TestAPlainFormIsSentToThePage(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "0.9 deg")
	for range 2 { // loading again sends it twice
		r, _ := v.do("POST", twistPath, byForm, form)
		if to := r.Header.Get("Location"); r.StatusCode != 303 || to != "/lesson/wheel#exercise-twist-twist" {
			t.Fatalf("status %d to %q", r.StatusCode, to)
		}
	}
	if body := v.page(""); !strings.Contains(body, `data-verdict="off"`) || !strings.Contains(body, "2 of 3 tries left") || !strings.Contains(body, `value="0.9 deg"`) {
		t.Error("the page does not show the one attempt with its text in the field")
	}

	check := url.Values{"part": {"twist"}, "series": {"0"}, "answer": {`2·0.3 deg`}}
	r, body := v.do("GET", twistPath+"?"+check.Encode(), byForm, nil)
	if r.StatusCode != 200 || !strings.Contains(body, "which is 0.6 deg, an angle") || !strings.Contains(body, `value="2·0.3 deg"`) {
		t.Errorf("checking without a script: status %d", r.StatusCode)
	}
	check.Set("answer", `"><script>`)
	if _, body := v.do("GET", twistPath+"?"+check.Encode(), byForm, nil); strings.Contains(body, `"><script>`) {
		t.Error("what was typed became markup")
	}
}

func TestHintsComeOneAtATime(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	if strings.Contains(v.page(""), "Begin with the section") {
		t.Fatal("a hint stands on the page before it is asked for")
	}
	form := v.form("exercise-twist", "twist")
	form.Set("level", "2")
	if r, _ := v.do("POST", twistPath+"/hint", byScript, form); r.StatusCode != 422 {
		t.Errorf("the second hint before the first: status %d", r.StatusCode)
	}
	form.Set("level", "1")
	if r, _ := v.do("POST", twistPath+"/hint", byForm, form); r.StatusCode != 303 {
		t.Errorf("status %d, want 303", r.StatusCode)
	}
	if body := v.page(""); !strings.Contains(body, "Begin with the section") || strings.Contains(body, "Then the length") {
		t.Error("the page does not show just the first hint")
	}
}

func TestNumbersAreTheLearnersOwnAndStay(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	given := regexp.MustCompile(`(?s)id="exercise-drawn-question".*?</ul>`)
	seen := map[string]bool{}
	for range 6 {
		v := visit(t, s)
		first := given.FindString(v.page(""))
		if first == "" || first != given.FindString(v.page("")) {
			t.Fatal("the numbers do not stay")
		}
		seen[first] = true
	}
	if len(seen) < 4 {
		t.Errorf("6 learners have %d sets of numbers among 441", len(seen))
	}
}

func TestPractiseComesAfterTheGradedTries(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	const path, practise = "/lesson/wheel/exercise/exercise-drawn", "?practise=exercise-drawn&series=1"
	if strings.Contains(v.page(practise), "Practice numbers, set") {
		t.Error("new numbers are shown before the graded try")
	}
	form := v.form("exercise-drawn", "part-1")
	form.Set("series", "1")
	form.Set("answer", "20 MPa")
	if r, _ := v.do("POST", path, byScript, form); r.StatusCode != 409 {
		t.Errorf("an answer to numbers that are not set: status %d", r.StatusCode)
	}
	form.Set("series", "0")
	if r, body := v.do("POST", path, byScript, form); r.StatusCode != 200 || !strings.Contains(body, "practise=") {
		t.Fatalf("status %d: %s", r.StatusCode, body)
	}
	body := v.page(practise)
	if !strings.Contains(body, `class="practice"`) {
		t.Fatal("the new numbers are not shown")
	}
	again := fieldsOf(t, body, "exercise-drawn", "part-1")
	again.Set("answer", "20 MPa")
	if r, body := v.do("POST", path, byForm, again); r.StatusCode != 303 || !strings.Contains(r.Header.Get("Location"), "series=1#exercise-drawn-part-1") {
		t.Errorf("status %d to %q: %s", r.StatusCode, r.Header.Get("Location"), body)
	}
}

func TestRefusalsSayWhyAndKeepTheText(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	other := visit(t, s)
	v := visit(t, s)
	for _, c := range []struct {
		name   string
		change func(url.Values)
		status int
		want   string
	}{
		{"too long", func(f url.Values) { f.Set("answer", strings.Repeat("1+", 1000)+"1") }, 413, "too-long"},
		{"another’s sheet", func(f url.Values) { f.Set("sheet", other.form("exercise-twist", "twist").Get("sheet")) }, 409, "other-sheet"},
		{"no identifier", func(f url.Values) { f.Del("submission") }, 422, "unreadable"},
		{"a part that is not there", func(f url.Values) { f.Set("part", "none") }, 422, "unreadable"},
		{"no series", func(f url.Values) { f.Del("series") }, 400, "unreadable"},
	} {
		t.Run(c.name, func(t *testing.T) {
			form := v.form("exercise-twist", "twist")
			form.Set("answer", "0.760 deg")
			c.change(form)
			if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != c.status || !strings.Contains(body, c.want) && c.status != 400 {
				t.Errorf("a script: status %d, want %d with %q: %s", r.StatusCode, c.status, c.want, body)
			}
			if r, body := v.do("POST", twistPath, byForm, form); r.StatusCode != c.status || c.status != 400 && c.status != 413 && form.Get("part") == "twist" && (!strings.Contains(body, `class="trouble`) || !strings.Contains(body, `value="0.760 deg"`)) {
				t.Errorf("a form: status %d; the reason and the text must stand on the page", r.StatusCode)
			}
		})
	}
	if !strings.Contains(v.page(""), "3 of 3 tries left") {
		t.Error("what was refused used up a try")
	}
}

// Six answers a minute are marked; web/app/attempt tests those that use up tries. Any
// answer counts among thirty that are read.
func TestAnswersAreReadThirtyTimesAMinute(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "?")
	// On a slow machine some of the thirty come back while the test goes on.
	refused := false
	for i := 0; i < 300 && !refused; i++ {
		form.Set("submission", fmt.Sprintf("%032d", i))
		r, body := v.do("POST", twistPath, byScript, form)
		refused = r.StatusCode == 429
		if i < 30 && r.StatusCode != 200 || refused && (r.Header.Get("Retry-After") == "" || !strings.Contains(body, "/problem/too-fast")) {
			t.Errorf("answer %d: status %d: %s", i+1, r.StatusCode, body)
		}
	}
	if !refused {
		t.Error("300 answers were read one after another")
	}
	form.Set("submission", fmt.Sprintf("%032d", 2))
	if r, _ := v.do("POST", twistPath, byScript, form); r.StatusCode != 200 {
		t.Errorf("a repeat was held back: status %d", r.StatusCode)
	}
}
