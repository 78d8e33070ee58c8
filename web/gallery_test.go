package web

import (
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/lessons"
)

// The gallery is there when it is asked for and not otherwise, every figure in
// it can be drawn, and it is on no shelf.
func TestGallery(t *testing.T) {
	for _, on := range []bool{true, false} {
		s := &Server{Catalog: &lessons.Catalog{}, Gallery: on, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
		if err := s.Open("127.0.0.1:0"); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = s.Close(t.Context()) })
		r, page := fetch(t, s.URL()+"figures", "")
		if !on {
			if r.StatusCode != 404 {
				t.Errorf("without the gallery: status %d", r.StatusCode)
			}
			continue
		}
		if r.StatusCode != 200 || strings.Contains(string(page), `class="message"`) {
			t.Errorf("status %d, or a cell of the gallery has an error", r.StatusCode)
		}
		gallery, err := os.ReadFile(filepath.Join("reader", "gallery.md"))
		if err != nil {
			t.Fatal(err)
		}
		want := strings.Count(string(gallery), "\nplot ") + strings.Count(string(gallery), "\ndraw ")
		if got := strings.Count(string(page), "<figure"); got != want {
			t.Errorf("%d figures, want %d", got, want)
		}
		if _, shelf := fetch(t, s.URL(), ""); strings.Contains(string(shelf), "figure-gallery") {
			t.Error("the gallery stands on the shelf")
		}
	}
}
