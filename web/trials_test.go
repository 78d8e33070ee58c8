package web

import (
	"encoding/csv"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

// triedText has trials whose results are known by hand: s = 1/n² at 1, 2, 4, 8 changes by
// −3/4, −3/16, −3/64, a slope of −2.
const triedText = "---\ntitle: Tried\norder: 1\nsummary: Tried.\nminutes: 5\n---\n\n" +
	"```calc\nvary n from 1 to 40 starting at 4\ns_n = 1/n^2\ntrials of s_n as \"=1+1\" for n at 1, 2, 4, 8\n```\n\n" +
	"```shaft quill\nG = 79 GPa\nsolid 36 mm to 54 mm for 0.8 m\nhold at 0.8 m\ntorque −420 N·m at 0 mm\n```\n\n" +
	"```calc\ntable of quill in 3 segments\ntable n as \"@one\", 2·n as \"-two\", 3·n as \"+three\" for n from 1 to 2 by 1\n```\n"

func openTried(t *testing.T) *Server {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"tried.md": {Data: []byte(triedText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(t.Output(), nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s
}

// TestTablesAsFiles: the numbers of a table under their own address, as RFC 4180 has it,
// with what the reader has changed; a head that a spreadsheet would calculate is text.
func TestTablesAsFiles(t *testing.T) {
	s := openTried(t)
	at := s.URL() + "lesson/tried/figure/"
	for _, c := range []struct {
		name, path, changes string
		status              int
		head                []string
		rows                int
		cell                string // the last one of the first row
	}{
		{name: "trials, and a head that would be a formula", path: "calc-1/2/csv", status: 200, head: []string{"n", "'=1+1", "change"}, rows: 4},
		{name: "trials as the reader has them", path: "calc-1/2/csv", changes: `{"edits":{"calc-1":"vary n from 1 to 40 starting at 4\ns_n = 1/n^2\ntrials of s_n for n at 3, 6"},"varied":{"n":6}}`,
			status: 200, head: []string{"n", "s_n", "change"}, rows: 2},
		{name: "segments of a shaft", path: "calc-2/0/csv", status: 200, rows: 3},
		{name: "heads with other signs", path: "calc-2/1/csv", status: 200, head: []string{"'@one", "'-two", "'+three"}, rows: 2, cell: "3"},
		{name: "no table", path: "calc-1/1/csv", status: 404},
		{name: "no such statement", path: "calc-1/9/csv", status: 404},
		{name: "no such cell", path: "calc-9/0/csv", status: 404},
		{name: "a negative place", path: "calc-1/-1/csv", status: 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			var r *http.Response
			var body string
			if c.changes == "" {
				r, body = get(t, at+c.path)
			} else {
				r, body = post(t, at+c.path, c.changes)
			}
			if r.StatusCode != c.status {
				t.Fatalf("status %d, want %d: %s", r.StatusCode, c.status, body)
			}
			if c.status != 200 {
				return
			}
			if got := r.Header.Get("Content-Type"); got != "text/csv; charset=utf-8" {
				t.Errorf("content type %q", got)
			}
			if got := r.Header.Get("Content-Disposition"); !strings.HasPrefix(got, "attachment; filename=") || !strings.HasSuffix(got, `.csv"`) {
				t.Errorf("content disposition %q", got)
			}
			rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
			if err != nil || !strings.Contains(body, "\r\n") {
				t.Fatalf("no file of RFC 4180: %v\n%s", err, body)
			}
			if len(rows) != c.rows+1 {
				t.Errorf("%d rows, want %d:\n%s", len(rows)-1, c.rows, body)
			}
			if c.head != nil && strings.Join(rows[0], "|") != strings.Join(c.head, "|") {
				t.Errorf("the head is %q, want %q", rows[0], c.head)
			}
			if c.cell != "" && rows[1][len(rows[1])-1] != c.cell {
				t.Errorf("the first row is %q", rows[1])
			}
			for _, cell := range rows[0] {
				if strings.ContainsAny(cell[:1], "=+-@\t\r") {
					t.Errorf("a spreadsheet would calculate the head %q", cell)
				}
			}
		})
	}
}

// TestTrialsAreTakenAlong: what the trials show is in the text and in the TeX of a working.
func TestTrialsAreTakenAlong(t *testing.T) {
	s := openTried(t)
	for format, want := range map[string]string{
		"text": "slope of the change of =1+1 at each doubling against n: ≈ −2.00 ± 0.01, an estimate by least squares through 3 points",
		"tex":  `slope of the change of =1+1 at each doubling against $n$: about −2.00 ± 0.01, an estimate by least squares through 3 points`,
	} {
		if _, body := get(t, s.URL()+"lesson/tried/working/"+format+"?cell=calc-1"); !strings.Contains(body, want) {
			t.Errorf("%s lacks %q:\n%s", format, want, body)
		}
	}
}
