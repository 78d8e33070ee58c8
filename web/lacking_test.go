package web

import (
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"testing"

	"shaftbook/lessons"
)

// A statement that costs more than a page waits for does not keep the page: the HTML
// comes without its row, the same each time, and the row comes after open, though
// nothing has been changed.
func TestAPageComesWithoutWhatItCannotWaitFor(t *testing.T) {
	text := strings.Replace(fairLesson, "b = 2", "b = 2\nbomb = sum of sin(i)·cos(i) for i from 1 to 8000000\nc = b + 40", 1)
	lesson, list := lessons.Parse("fair.md", []byte(text))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	s := &Server{Catalog: &lessons.Catalog{Lessons: []*lessons.Lesson{lesson}}, Log: slog.New(slog.DiscardHandler)}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	if _, lacking, err := s.reader.Pages.Cells(t.Context(), "", "fair"); err != nil || !lacking {
		t.Fatalf("lacking: %v, error %v; the statement costs too little for this test", lacking, err)
	}
	response, err := http.Get(s.URL() + "lesson/fair")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK || !strings.Contains(string(body), "42") {
		t.Fatalf("status %d, error %v; want the page with the rows after the one it lacks", response.StatusCode, err)
	}
	conn := window(t, s.URL(), "L")
	var rows []string
	for done := false; !done; {
		var messages []struct {
			Type, Cell string
			Index      int
			Failed     bool
		}
		if err := conn.ReadJSON(&messages); err != nil {
			t.Fatal(err)
		}
		for _, m := range messages {
			if m.Type == "row" {
				rows = append(rows, fmt.Sprint(m.Cell, " ", m.Index, " ", m.Failed))
			}
			done = done || m.Type == "done"
		}
	}
	if fmt.Sprint(rows) != "[calc-2 1 false]" {
		t.Errorf("after open came the rows %v, want the one that the page lacks", rows)
	}
}
