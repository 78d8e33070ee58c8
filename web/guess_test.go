package web

import (
	"context"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/exercises/store"
	"shaftbook/lessons"
)

// guessText is a lesson whose results wait for guesses. The bars twist by 32·T·L/(π·G·d⁴):
// 0.2085 deg and 1.056 deg, by hand.
const guessText = `---
title: Two bars
order: 1
summary: Two bars.
minutes: 5
---

` + "```calc\nprefer deg\nT = 300 N·m\nG = 79 GPa\nL = 0.8 m\n```\n\n```guess how-far" + `
ask: How far does the thin bar twist?
answer: θ_thin
unit: deg
covers: [θ_thin]
says: The fourth power.
` + "```\n\n```guess most" + `
ask: Which twists most?
kind: order
order: largest first
items:
  - {text: the thick bar, value: θ_thick}
  - {text: the thin bar, value: θ_thin}
covers: [θ_thick]
` + "```\n\n```calc" + `
θ_thin = T·L/(G·π/32·(36 mm)^4) in deg to 4 figures
θ_thick = T·L/(G·π/32·(54 mm)^4) in deg to 4 figures
plot θ_thin·s in deg for s from 0 to 1
` + "```\n\nThe thick bar turns by 0.2085 deg, less than the other.\n"

func openGuesses(t *testing.T) (*client, interface {
	Predictions(ctx context.Context, learner, lesson string) ([]store.Prediction, error)
}) {
	t.Helper()
	return openGuessesOf(t, guessText)
}

func openGuessesOf(t *testing.T, text string) (*client, interface {
	Predictions(ctx context.Context, learner, lesson string) ([]store.Prediction, error)
}) {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(text)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	desk := newDesk(t)
	s := &Server{Catalog: shelf, Attempts: desk, Log: slog.New(slog.NewTextHandler(t.Output(), nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(context.Background()) })
	return visit(t, s), desk.Store()
}

var wanted = regexp.MustCompile(`1\.056|0\.2085`)

func (v *client) guess(id string, fields url.Values) (status int, location, body string) {
	v.t.Helper()
	form := fieldsOf(v.t, v.page(""), id, "guess")
	for name, values := range fields {
		form[name] = values
	}
	r, body := v.do("POST", "/lesson/wheel/guess/"+id, byForm, form)
	return r.StatusCode, r.Header.Get("Location"), body
}

// TestAGuessWithoutAScript: the form comes back with what cannot be taken, and a guess
// that is taken leads to the page with what it has uncovered.
func TestAGuessWithoutAScript(t *testing.T) {
	v, kept := openGuesses(t)
	if body := v.page(""); wanted.MatchString(body) || !strings.Contains(body, "covered until your guess") || !strings.Contains(body, `<a class="cover" href="#guess-how-far">`) {
		t.Error("the page gives away what is to be guessed, or does not say what is covered")
	}
	status, _, body := v.guess("guess-how-far", url.Values{"guess": {"0.7"}})
	if status != 200 || wanted.MatchString(body) || !strings.Contains(body, `value="0.7"`) || !strings.Contains(body, `<button type="submit" name="reading" value="0.7 deg">`) {
		t.Errorf("a guess without its unit: status %d:\n%s", status, body)
	}
	status, to, _ := v.guess("guess-how-far", url.Values{"guess": {"0.7"}, "reading": {"0.7 deg"}})
	if status != 303 || to != "/lesson/wheel#guess-how-far" {
		t.Errorf("the guess: status %d, to %s", status, to)
	}
	body = v.page("")
	if !strings.Contains(body, "Your guess is 34 % less.") || !strings.Contains(body, "1.056°") || strings.Contains(body, "0.2085") {
		t.Errorf("after the guess:\n%s", body)
	}
	status, _, body = v.guess("guess-most", url.Values{"place-a": {"1"}, "place-b": {"1"}})
	if status != 200 || !strings.Contains(body, "a place of its own, from 1 to 2") {
		t.Errorf("two in one place: status %d", status)
	}
	if status, _, _ = v.guess("guess-most", url.Values{"place-a": {"2"}, "place-b": {"1"}}); status != 303 {
		t.Errorf("the order: status %d", status)
	}
	body = v.page("")
	if strings.Contains(body, "data-cover") || !strings.Contains(body, "The thick bar turns by 0.2085") {
		t.Errorf("after both guesses:\n%s", body)
	}

	// Again: covered once more, and the first one stays.
	body = v.page("?again=guess-how-far")
	if !strings.Contains(body, "data-cover") || !strings.Contains(body, `name="series" value="1"`) {
		t.Errorf("asked to guess again:\n%s", body)
	}
	form := fieldsOf(t, body, "guess-how-far", "guess")
	form.Set("guess", "1 deg")
	v.do("POST", "/lesson/wheel/guess/guess-how-far", byForm, form)
	form.Set("guess", "2 deg") // from another window
	r, second := v.do("POST", "/lesson/wheel/guess/guess-how-far", byForm, form)
	if r.StatusCode != 200 || !strings.Contains(string(second), "You had guessed already, in another window, so what you entered here was not taken.") {
		t.Errorf("the same place again: status %d", r.StatusCode)
	}
	all, err := kept.Predictions(t.Context(), v.cookie.Value, "wheel")
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, p := range all {
		texts = append(texts, p.Exercise+" "+string(p.Kind)+" "+p.Text)
	}
	if got := strings.Join(texts, ", "); got != "guess-how-far value 0.7 deg, guess-most order b a, guess-how-far value 1 deg" {
		t.Errorf("kept: %s", got)
	}
}

func TestShowMe(t *testing.T) {
	v, kept := openGuesses(t)
	if status, _, _ := v.guess("guess-how-far", url.Values{"show": {"yes"}}); status != 303 {
		t.Errorf("status %d", status)
	}
	if body := v.page(""); !strings.Contains(body, "1.056°") || strings.Contains(body, "<dt>Your guess</dt>") {
		t.Errorf("shown:\n%s", body)
	}
	if all, err := kept.Predictions(t.Context(), v.cookie.Value, "wheel"); err != nil || len(all) != 1 || all[0].Kind != store.Seen {
		t.Errorf("kept %+v, %v", all, err)
	}
	// Whoever prints it, or prepares it, has it with nothing covered, and nothing is kept.
	if body := v.page("?results=all"); strings.Contains(body, "data-cover") || !strings.Contains(body, "0.2085") {
		t.Errorf("with all results:\n%s", body)
	}
}

func TestCoveredNumbersAreNotFound(t *testing.T) {
	v, _ := openGuesses(t)
	_, body := v.do("GET", "/?q=thick+bar+turns", byForm, nil)
	if wanted.MatchString(body) || !strings.Contains(body, "less than the other") {
		t.Errorf("found:\n%s", body)
	}
	if _, body := v.do("GET", "/?q=0.2085", byForm, nil); strings.Contains(body, "turns by") {
		t.Errorf("found by its number:\n%s", body)
	}
}

// What a reader has opened by a guess stands open in what a search shows to that reader, and
// to nobody else.
func TestGuessedNumbersAreShownInASearch(t *testing.T) {
	v, _ := openGuesses(t)
	if status, _, _ := v.guess("guess-most", url.Values{"place-a": {"2"}, "place-b": {"1"}}); status != 303 {
		t.Fatalf("the order: status %d", status)
	}
	r, body := v.do("GET", "/?q=thick+bar+turns", byForm, nil)
	if !strings.Contains(string(body), "0.2085") || strings.Contains(string(body), "covered until") {
		t.Errorf("found after the guess:\n%s", body)
	}
	if got := r.Header.Get("Cache-Control"); !strings.Contains(got, "private") && !strings.Contains(got, "no-store") {
		t.Errorf("what one reader has opened may be kept for others: %s", got)
	}
	v.cookie = nil
	if _, body := v.do("GET", "/?q=thick+bar+turns", byForm, nil); wanted.MatchString(string(body)) || !strings.Contains(string(body), "covered until") {
		t.Errorf("found by somebody else:\n%s", body)
	}
}

func TestForgedGuesses(t *testing.T) {
	v, kept := openGuesses(t)
	good := fieldsOf(t, v.page(""), "guess-how-far", "guess")
	good.Set("guess", "1 deg")
	for name, c := range map[string]struct {
		path, key, value string
		status           int
	}{
		"no such guess":    {"/lesson/wheel/guess/guess-none", "guess", "1 deg", 404},
		"no such lesson":   {"/lesson/none/guess/guess-how-far", "guess", "1 deg", 404},
		"another's form":   {"/lesson/wheel/guess/guess-how-far", "sheet", "0011", 409},
		"a series of none": {"/lesson/wheel/guess/guess-how-far", "series", "x", 400},
		"no identifier":    {"/lesson/wheel/guess/guess-how-far", "submission", "", 422},
	} {
		form := url.Values{}
		for k, values := range good {
			form[k] = values
		}
		form.Set(c.key, c.value)
		if r, body := v.do("POST", c.path, byScript, form); r.StatusCode != c.status {
			t.Errorf("%s: status %d, want %d: %s", name, r.StatusCode, c.status, body)
		}
	}
	if all, err := kept.Predictions(t.Context(), v.cookie.Value, "wheel"); err != nil || len(all) > 0 {
		t.Errorf("kept %+v, %v", all, err)
	}
}

// TestASketchWithoutAScript: the values of a sketch are typed, come back where one is not a
// number, and are kept with what lies between them.
func TestASketchWithoutAScript(t *testing.T) {
	text := strings.Replace(guessText, "```guess most", "```guess drawn\nask: Draw the twist.\nkind: sketch\ncurve: t(x) in N·m for x from 0 m to L\nscale: from -500 N·m to 500 N·m\nstations: [L/2]\njumps: yes\ncovers: [t]\n```\n\n```guess most", 1)
	text = strings.Replace(text, "\nθ_thin =", "\nt(x) = T·(1 − x/L)\nplot t(x) in N·m for x from 0 m to L\nθ_thin =", 1)
	v, kept := openGuessesOf(t, text)
	if body := v.page(""); strings.Count(body, `<input type="text" size="9" name="y-`) != 4 || !strings.Contains(body, `aria-label="t(x) just before 0.4 m, in N·m"`) || strings.Contains(body, `class="picture"`) {
		t.Errorf("the sketch is not asked for:\n%s", body)
	}
	status, _, body := v.guess("guess-drawn", url.Values{"y-0": {"300"}, "y-1": {"NaN"}, "y-2": {""}, "y-3": {"0"}})
	if status != 200 || !strings.Contains(body, "“NaN” is not a number in N·m.") || !strings.Contains(body, `name="y-1" value="NaN"`) {
		t.Errorf("a value that is none: status %d:\n%s", status, body)
	}
	if status, _, _ = v.guess("guess-drawn", url.Values{"y-0": {"0,3 kN·m"}, "y-1": {""}, "y-2": {""}, "y-3": {"0"}}); status != 303 {
		t.Errorf("the sketch: status %d", status)
	}
	if body = v.page(""); !strings.Contains(body, "Yours follows it all along") || !strings.Contains(body, "your sketch") {
		t.Errorf("after the sketch:\n%s", body)
	}
	all, err := kept.Predictions(t.Context(), v.cookie.Value, "wheel")
	if err != nil || len(all) != 1 || all[0].Kind != store.Drawn || all[0].Text != "m|N·m|0 300;0.4 150;0.4 150;0.8 0" {
		t.Errorf("kept %+v, %v", all, err)
	}
}

// TestCoveredResultsAreNotTakenAlong: what waits for a guess is not in the text of the
// working, and no address of a figure or of a table leads to it from the page.
func TestCoveredResultsAreNotTakenAlong(t *testing.T) {
	v, _ := openGuesses(t)
	for _, format := range []string{"text", "tex"} {
		if _, body := v.do("GET", "/lesson/wheel/working/"+format, byForm, nil); wanted.MatchString(body) || !strings.Contains(body, "guess first") || !strings.Contains(body, "300") {
			t.Errorf("%s before the guesses:\n%s", format, body)
		}
	}
	if body := v.page(""); strings.Contains(body, "/figure/calc-2/") {
		t.Error("the page links a covered figure or table")
	}
	v.guess("guess-how-far", url.Values{"show": {"yes"}})
	if _, body := v.do("GET", "/lesson/wheel/working/text", byForm, nil); wanted.MatchString(body) {
		t.Errorf("after one guess, while the order still waits for the other:\n%s", body)
	}
	v.guess("guess-most", url.Values{"show": {"yes"}})
	if _, body := v.do("GET", "/lesson/wheel/working/tex", byForm, nil); !strings.Contains(body, "0.2085") || strings.Contains(body, "guess first") {
		t.Errorf("after both:\n%s", body)
	}
	if body := v.page(""); !strings.Contains(body, "/figure/calc-2/2/png") {
		t.Error("after both guesses the figure has no address")
	}
}
