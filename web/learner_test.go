package web

import (
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
)

// isLearnerName reports whether a cookie holds a name that the server makes: 26
// letters and digits of base 32.
func isLearnerName(s string) bool { return regexp.MustCompile(`^[A-Z2-7]{26}$`).MatchString(s) }

func TestTheCookieIsForThisServerOnly(t *testing.T) {
	s := openAsked(t, newDesk(t), io.Discard)
	v := visit(t, s)
	c := v.cookie
	if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Secure || c.MaxAge < 300*24*3600 || !isLearnerName(c.Value) {
		t.Errorf("cookie %+v", c)
	}
	first := c.Value
	if v.page(""); v.cookie.Value != first {
		t.Error("a second visit gets another name")
	}
	v.cookie = &http.Cookie{Name: "shaftbook_learner", Value: "../../someone"}
	if v.page(""); !isLearnerName(v.cookie.Value) {
		t.Errorf("a name that is not ours stays: %q", v.cookie.Value)
	}

	s.site.Origins = []string{"https://twist.example"}
	for host, secure := range map[string]bool{"twist.example": true, s.listener.Addr().String(): false} {
		r := httptest.NewRequest(http.MethodGet, "/lesson/wheel", nil)
		r.Host, r.RemoteAddr = host, "127.0.0.1:9"
		w := httptest.NewRecorder()
		s.http.Handler.ServeHTTP(w, r)
		if got := w.Result().Cookies()[0].Secure; got != secure {
			t.Errorf("under %s Secure is %v, want %v", host, got, secure)
		}
	}
}

func TestOtherSitesCannotAnswer(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "0.760 deg")
	for _, path := range []string{twistPath, twistPath + "/hint", twistPath + "/guess", "/lesson/wheel/kept"} {
		q, err := http.NewRequest(http.MethodPost, strings.TrimSuffix(v.s.URL(), "/")+path, strings.NewReader(form.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		q.Header.Set("Origin", "https://mill.example")
		q.AddCookie(v.cookie)
		r, err := http.DefaultClient.Do(q)
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		if r.StatusCode != http.StatusForbidden {
			t.Errorf("%s: status %d, want 403", path, r.StatusCode)
		}
	}
}

// brokenStore fails every write, or everything, as it is set.
type brokenStore struct {
	contract.Work
	writes, reads error
}

func (b *brokenStore) Submit(ctx context.Context, a store.Attempt, tries int) (store.Attempt, bool, error) {
	if b.writes != nil {
		return store.Attempt{}, false, fmt.Errorf("%w: the disk of the test", b.writes)
	}
	return b.Work.Submit(ctx, a, tries)
}

func (b *brokenStore) Save(ctx context.Context, learner, lesson string, base int64, changes []store.Edit, at time.Time) (store.Saved, error) {
	if b.writes != nil {
		return store.Saved{}, b.writes
	}
	return b.Work.Save(ctx, learner, lesson, base, changes, at)
}

func (b *brokenStore) Attempts(ctx context.Context, learner, lesson, exercise string) ([]store.Attempt, error) {
	if b.reads != nil {
		return nil, b.reads
	}
	return b.Work.Attempts(ctx, learner, lesson, exercise)
}

func TestAStoreThatFailsIsToldAndLosesNothing(t *testing.T) {
	broken := &brokenStore{Work: newStore(t)}
	var log strings.Builder
	v := visit(t, openAsked(t, deskOn(t, broken), &log))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "0.9 deg")
	for _, fault := range []error{store.ErrFull, store.ErrReadOnly, store.ErrBusy, store.ErrUnavailable} {
		broken.writes = fault
		words := html.EscapeString(store.Words(fault))
		if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != 503 || !strings.Contains(body, "/problem/store") {
			t.Errorf("%v: a script gets %d %s", fault, r.StatusCode, body)
		}
		r, body := v.do("POST", twistPath, byForm, form)
		if r.StatusCode != 503 || !strings.Contains(body, words) || !strings.Contains(body, `value="0.9 deg"`) || !strings.Contains(body, form.Get("submission")) {
			t.Errorf("%v: a form gets %d; the words, the text and its identifier must stand on the page", fault, r.StatusCode)
		}
	}
	if !strings.Contains(log.String(), "the disk of the test") {
		t.Errorf("the log does not say what failed: %s", log.String())
	}
	broken.writes, broken.reads = nil, store.ErrDamaged
	if body := v.page(""); !strings.Contains(body, `class="trouble"`) || strings.Contains(body, "<form class=\"answer") {
		t.Error("while the store cannot be read the page must say so, and take no answer")
	}
	broken.reads = nil
	if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != 200 || !strings.Contains(body, "2 of 3 tries left") {
		t.Errorf("the same answer later: %d %s", r.StatusCode, body)
	}
}

// A database file that was taken away from under the server takes no answer, and
// says so to the learner and in the log; put back, the same answer is taken.
func TestAnAnswerIsNotTakenIntoNowhere(t *testing.T) {
	path := sqlite.FileIn(t.TempDir())
	db, err := sqlite.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	var log strings.Builder
	v := visit(t, openAsked(t, deskOn(t, db), &log))
	form := v.form("exercise-twist", "twist")
	form.Set("answer", "0.9 deg")
	if err := os.Rename(path, path+".away"); err != nil {
		t.Fatal(err)
	}
	r, body := v.do("POST", twistPath, byForm, form)
	if r.StatusCode != http.StatusServiceUnavailable || !strings.Contains(body, html.EscapeString(store.Words(store.ErrGone))) || !strings.Contains(body, `value="0.9 deg"`) {
		t.Errorf("without the file: %d\n%s", r.StatusCode, body)
	}
	if !strings.Contains(log.String(), "not where the server opened it") {
		t.Errorf("the log: %s", log.String())
	}
	if err := os.Rename(path+".away", path); err != nil {
		t.Fatal(err)
	}
	if r, body := v.do("POST", twistPath, byScript, form); r.StatusCode != 200 || !strings.Contains(body, "2 of 3 tries left") {
		t.Errorf("put back: %d %s", r.StatusCode, body)
	}
}

func TestARestartKeepsEverything(t *testing.T) {
	folder := t.TempDir()
	var cookie *http.Cookie
	var before string
	for start := range 2 {
		store, err := sqlite.Open(t.Context(), sqlite.FileIn(folder))
		if err != nil {
			t.Fatal(err)
		}
		v := visit(t, openAsked(t, deskOn(t, store), io.Discard))
		if start == 0 {
			v.hand("twist", "0.9 deg")
			cookie, before = v.cookie, v.page("")
		} else {
			v.cookie = cookie
			_, was, _ := strings.Cut(before, "<section class=\"exercise")
			_, is, _ := strings.Cut(v.page(""), "<section class=\"exercise")
			if was == "" || was != is {
				t.Error("after a start of the server the exercises are not as they were")
			}
		}
		if err := store.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// savedEdits and saveAnswer are what a page reads of its saved edits.
type savedEdits struct {
	Revision int64
	Edits    map[string]string
	Varied   map[string]float64
	Moved    []string
}

type saveAnswer struct {
	Revision int64
	Replaced []string
}

func (v *client) keep(body string) (int, saveAnswer) {
	v.t.Helper()
	q, err := http.NewRequest(http.MethodPost, v.s.URL()+"lesson/wheel/kept", strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	q.AddCookie(v.cookie)
	r, err := http.DefaultClient.Do(q)
	if err != nil {
		v.t.Fatal(err)
	}
	defer r.Body.Close()
	var out saveAnswer
	_ = json.NewDecoder(r.Body).Decode(&out)
	return r.StatusCode, out
}

func TestChangesAreKept(t *testing.T) {
	v := visit(t, openAsked(t, newDesk(t), io.Discard))
	status, first := v.keep(`{"base":0,"edits":{"exercise-twist":"mine"},"varied":{"n":16}}`)
	if status != 200 || first.Revision != 1 {
		t.Fatalf("status %d, %+v", status, first)
	}
	show := func() (k savedEdits) {
		_, body := v.do("GET", "/lesson/wheel/kept", byScript, nil)
		if err := json.Unmarshal([]byte(body), &k); err != nil {
			t.Fatal(err)
		}
		return k
	}
	if k := show(); k.Revision != 1 || k.Edits["exercise-twist"] != "mine" || k.Varied["n"] != 16 || len(k.Moved) > 0 {
		t.Errorf("kept %+v", k)
	}
	// Another window, which had not seen it: the latest wins, and is told.
	if status, second := v.keep(`{"base":0,"edits":{"exercise-twist":"newer"},"varied":{}}`); status != 200 || len(second.Replaced) != 1 {
		t.Errorf("status %d, %+v", status, second)
	}
	if status, _ := v.keep(`{"base":2,"edits":{"exercise-twist":null},"varied":{"n":null}}`); status != 200 {
		t.Errorf("letting go: status %d", status)
	}
	if k := show(); len(k.Edits)+len(k.Varied) > 0 {
		t.Errorf("after letting go %+v is kept", k)
	}
	for body, want := range map[string]int{
		`{"base":0,"edits":{"none":"x"}}`:                                               404,
		`{"base":0,"edits":{"exercise-twist":"` + strings.Repeat("x", 64<<10+1) + `"}}`: 413,
		`{"base":0,"varied":{"` + strings.Repeat("n", 65) + `":1}}`:                     413,
		`{"base":0,"surprise":1}`:                                                       400,
		`{"base":0,"edits":{"exercise-twist":"a\u0000b"}}`:                              400,
		`[`: 400,
	} {
		if status, _ := v.keep(body); status != want {
			t.Errorf("%.60s: status %d, want %d", body, status, want)
		}
	}
	other := visit(t, v.s)
	v.cookie = other.cookie
	if k := show(); k.Revision != 0 {
		t.Errorf("another learner sees %+v", k)
	}
}
