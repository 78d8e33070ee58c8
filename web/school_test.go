package web

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
	"shaftbook/web/app/throttle"
	"shaftbook/web/app/token"
	"shaftbook/web/metrics"
)

// hostile is a name that would break a page, a file and a direction of writing
// if any of them took it for more than a name.
const hostile = `=<script>alert(1)</script> "א"`

// schoolTime is what the clock of a school shows.
var schoolTime = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

func schoolClock() time.Time { return schoolTime }

// A school is a server with two classes on a store of its own: MILL of
// Instructor 1, where Student 01 has come in and Student 02 has not, and WEIR of
// Instructor 2, with Student 01. MILL has the assignment A1 of the lesson
// askedText. Identifiers are short (I1, S1), and each person's is also the token
// of a session.
type school struct {
	*Server
	store contract.Store
	file  string // of the store
	kept  int    // answers that a test has put into it
	t     testing.TB
}

// A prepared is the content of a store that many tests begin with. Making its
// tables takes far longer than copying it.
type prepared func() ([]byte, error)

func prepare(fill func(ctx context.Context, s contract.Store) error) prepared {
	return sync.OnceValues(func() ([]byte, error) {
		folder, err := os.MkdirTemp("", "shaftbook")
		if err != nil {
			return nil, err
		}
		defer os.RemoveAll(folder)
		store, err := sqlite.Open(context.Background(), sqlite.FileIn(folder))
		if err != nil {
			return nil, err
		}
		if err := errors.Join(fill(context.Background(), store), store.Close()); err != nil {
			return nil, err
		}
		return os.ReadFile(sqlite.FileIn(folder))
	})
}

var (
	emptyStore  = prepare(func(context.Context, contract.Store) error { return nil })
	schoolStore = prepare(fillSchool)
)

// openCopy opens a copy of a prepared store, and returns the file it is in.
func openCopy(t testing.TB, of prepared) (contract.Store, string) {
	t.Helper()
	content, err := of()
	if err != nil {
		t.Fatal(err)
	}
	file := sqlite.FileIn(t.TempDir())
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	store, err := sqlite.Open(context.Background(), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	return store, file
}

// newStore opens an empty store.
func newStore(t testing.TB) contract.Store {
	t.Helper()
	store, _ := openCopy(t, emptyStore)
	return store
}

// fillSchool keeps what is said of a school.
func fillSchool(ctx context.Context, s contract.Store) error {
	none := class.Entry{}
	var err error
	do := func(e error) { err = errors.Join(err, e) }
	for _, p := range []class.Person{
		{ID: "I1", Name: "Instructor 1", SignIn: "teach1", Instructor: true, Password: "x"},
		{ID: "I2", Name: "Instructor 2", SignIn: "teach2", Instructor: true, Password: "x"},
		{ID: "S1", Name: "Student 01", SignIn: "s01", SourcedID: "u01", Password: "hash-of-s01", Feed: "secret-feed"},
		{ID: "S2", Name: hostile, SignIn: "s02"},
	} {
		p.MadeAt = schoolTime
		do(s.AddPerson(ctx, p))
		do(s.OpenSession(ctx, sessionOf(p.ID)))
	}
	do(s.AddClass(ctx, class.Class{ID: "MILL", Name: "Mill <b>A</b>", Term: "Autumn", Zone: "UTC", JoinCode: "ABCD-EFGH", MadeAt: schoolTime}, []string{"I1"}, nil, none))
	do(s.AddClass(ctx, class.Class{ID: "WEIR", Name: "Weir", Zone: "UTC", MadeAt: schoolTime}, []string{"I2"}, nil, none))
	do(s.Enrol(ctx, nil, nil, []class.Member{
		{Class: "MILL", Person: "S1", Role: class.Student, Section: "A", Since: schoolTime},
		{Class: "MILL", Person: "S2", Role: class.Student, Since: schoolTime},
		{Class: "WEIR", Person: "S1", Role: class.Student, Since: schoolTime},
	}, none))
	do(s.AddAssignment(ctx, givenIn("MILL", "A1"), givenText, none))
	return err
}

// givenText is askedText as it was given.
var givenText = class.Frozen{Hash: class.HashText(askedText), Name: "wheel.md", Text: askedText}

// givenIn is an assignment of askedText that is open.
func givenIn(in, id string) class.Assignment {
	due := time.Date(2026, 11, 30, 22, 59, 0, 0, time.UTC)
	return class.Assignment{
		ID: id, Class: in, Title: "First twist", Lesson: "wheel", Text: givenText.Hash,
		Opens: schoolTime, Due: due, Closes: due, Zone: "UTC", Weight: 1, MadeAt: schoolTime, ChangedAt: schoolTime,
	}
}

// sessionOf is a session of a person that ends an hour after schoolTime.
func sessionOf(person string) class.Session {
	return class.Session{Hash: token.Hash(person), Person: person, MadeAt: schoolTime, SeenAt: schoolTime, EndsAt: schoolTime.Add(time.Hour)}
}

func openSchool(t testing.TB) *school {
	t.Helper()
	store, file := openCopy(t, schoolStore)
	s := openSchoolOn(t, store)
	s.file = file
	return s
}

// openSchoolOn opens a server on a store that has been filled as a school.
func openSchoolOn(t testing.TB, store contract.Store) *school {
	t.Helper()
	return openSchoolWith(t, store, nil)
}

// openSchoolWith is openSchoolOn for one of several servers, which count together what
// is tried too often; nil counts alone.
func openSchoolWith(t testing.TB, store contract.Store, tries throttle.Keeper) *school {
	t.Helper()
	desk := deskOn(t, store)
	if tries != nil {
		desk.MarkTogether(tries)
	}
	shelf, _ := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(lessonText)}})
	s := &Server{
		Catalog: shelf, Attempts: desk, Classes: store, Store: store, Tries: tries, Metrics: metrics.New("test", "go"), Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		clock: func() time.Time { return schoolTime },
	}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = s.Close(context.Background())
	})
	return &school{Server: s, store: store, t: t}
}

// must ends the test on an error.
func (s *school) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

// admit adds a person who is signed in, with the ID as the session's token.
func (s *school) admit(p class.Person) {
	s.t.Helper()
	p.MadeAt = schoolTime
	s.must(s.store.AddPerson(context.Background(), p))
	s.must(s.store.OpenSession(context.Background(), sessionOf(p.ID)))
}

// enrol puts someone into a class, or changes what they are there.
func (s *school) enrol(members ...class.Member) {
	s.t.Helper()
	for i := range members {
		members[i].Since = schoolTime
	}
	s.must(s.store.Enrol(context.Background(), nil, nil, members, class.Entry{}))
}

// assign gives a class an assignment of askedText.
func (s *school) assign(a class.Assignment) {
	s.t.Helper()
	s.must(s.store.AddAssignment(context.Background(), a, givenText, class.Entry{}))
}

func (s *school) person(id string) class.Person {
	s.t.Helper()
	p, err := s.store.Person(context.Background(), id)
	s.must(err)
	return p
}

func (s *school) member(in, person string) class.Member {
	s.t.Helper()
	m, err := s.store.Member(context.Background(), in, person)
	s.must(err)
	return m
}

// linkIn returns the link whose whole address is in a text, as it is kept.
func (s *school) linkIn(text string) class.Link {
	s.t.Helper()
	_, secret, found := strings.Cut(text, "/link/")
	secret = secret[:min(len(secret), 26)]
	l, err := s.store.LinkOf(context.Background(), token.Hash(secret), schoolTime)
	if !found || err != nil {
		s.t.Fatalf("no link that works: %v in %.200q", err, text)
	}
	return l
}

// logged is what the last entry of the log of MILL says.
func (s *school) logged() string {
	s.t.Helper()
	return s.lastEntry().Detail
}

// lastEntry is the last entry of the log of MILL.
func (s *school) lastEntry() class.Entry {
	s.t.Helper()
	log, err := s.store.Log(context.Background(), "MILL", "", 0, 1)
	s.must(err)
	if len(log) == 0 {
		return class.Entry{}
	}
	return log[0]
}

// contents is a fingerprint of each table of the store.
func (s *school) contents() map[string]string {
	s.t.Helper()
	db, err := sql.Open("sqlite", "file:"+s.file+"?mode=ro&_pragma=busy_timeout(5000)")
	s.must(err)
	defer db.Close()
	all := map[string]string{}
	for _, table := range s.rows(db, `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'`) {
		sum := sha256.Sum256([]byte(strings.Join(s.rows(db, `SELECT * FROM "`+table+`"`), "\n")))
		all[table] = hex.EncodeToString(sum[:])
	}
	return all
}

func (s *school) rows(db *sql.DB, query string) (list []string) {
	s.t.Helper()
	rows, err := db.Query(query)
	s.must(err)
	defer rows.Close()
	columns, err := rows.Columns()
	s.must(err)
	for rows.Next() {
		values := make([]any, len(columns))
		for i := range values {
			values[i] = new(any)
		}
		s.must(rows.Scan(values...))
		var line strings.Builder
		for i, v := range values {
			if i > 0 {
				line.WriteByte('|')
			}
			fmt.Fprint(&line, *v.(*any))
		}
		list = append(list, line.String())
	}
	s.must(rows.Err())
	return list
}

// changedSince names the tables that differ from what they were.
func (s *school) changedSince(before map[string]string) (tables []string) {
	s.t.Helper()
	for table, content := range s.contents() {
		if before[table] != content {
			tables = append(tables, table)
		}
	}
	return tables
}

// do sends a request as a person; it follows no redirect.
func (s *school) do(person, method, path, contentType string, body io.Reader) (*http.Response, string) {
	s.t.Helper()
	q, err := http.NewRequest(method, strings.TrimSuffix(s.URL(), "/")+path, body)
	s.must(err)
	q.AddCookie(&http.Cookie{Name: "shaftbook", Value: person})
	if contentType != "" {
		q.Header.Set("Content-Type", contentType)
	}
	return s.answer(q)
}

// answer sends a request and reads all of its answer; it follows no redirect.
func (s *school) answer(q *http.Request) (*http.Response, string) {
	s.t.Helper()
	r, err := http.DefaultTransport.RoundTrip(q)
	s.must(err)
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	s.must(err)
	return r, string(body)
}

func (s *school) get(person, path string) (*http.Response, string) {
	s.t.Helper()
	return s.do(person, "GET", path, "", nil)
}

func (s *school) post(person, path string, fields ...string) (*http.Response, string) {
	s.t.Helper()
	form := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	return s.do(person, "POST", path, "application/x-www-form-urlencoded", strings.NewReader(form.Encode()))
}

// hand hands in an answer as the form of a page does.
func (s *school) hand(person, lesson, exercise, part, answer string) {
	s.t.Helper()
	r, body := s.post(person, "/lesson/"+lesson+"/exercise/"+exercise, "sheet", s.Attempts.FormToken(person), "series", "0",
		"part", part, "submission", rand.Text(), "answer", answer)
	wantStatus(s.t, r, body, http.StatusSeeOther)
}

func wantStatus(t testing.TB, r *http.Response, body string, status int) {
	t.Helper()
	if r.StatusCode != status {
		t.Fatalf("%s %s: status %d, want %d\n%s", r.Request.Method, r.Request.URL.Path, r.StatusCode, status, body)
	}
}

// holds reports whether a text holds all of some pieces.
func holds(text string, pieces ...string) bool {
	return !slices.ContainsFunc(pieces, func(p string) bool { return !strings.Contains(text, p) })
}

// columnLabel is the heading of a column as each cell has it for narrow windows.
var columnLabel = regexp.MustCompile(` data-label="[^"]*"`)

func wantWords(t testing.TB, body string, words ...string) {
	t.Helper()
	body = strings.ReplaceAll(body, "&#43;", "+")
	body = columnLabel.ReplaceAllString(body, "")
	for _, w := range words {
		if !strings.Contains(body, w) {
			_, main, _ := strings.Cut(body, "<main")
			t.Errorf("the page does not say %q\n%s", w, main)
		}
	}
}
