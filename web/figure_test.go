package web

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"io"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
	"shaftbook/web/page"
)

const figureLesson = "---\ntitle: The quill\norder: 1\nsummary: One taper.\nminutes: 5\n---\n\n" +
	"```calc\nvary d_1 from 36 mm to 72 mm by 1 mm starting at 54 mm\nplot S.d(x) in mm for x from 0 m to 800 mm\ndraw S\ndraw S twisted 20 times\n```\n\n" +
	"```shaft S\nG = 79 GPa\nsolid 36 mm to d_1 for 800 mm\nhold at 0 mm\ntorque 420 N·m at 800 mm\n```\n"

func openFigures(t *testing.T) *Server {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"quill.md": {Data: []byte(figureLesson)}})
	for _, f := range found {
		t.Fatal(f.List)
	}
	s := &Server{Catalog: shelf, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(context.Background()) })
	return s
}

// fetch asks for a figure, with changes if there are any.
func fetch(t *testing.T, address, changes string) (*http.Response, []byte) {
	t.Helper()
	var r *http.Response
	var err error
	if changes == "" {
		r, err = http.Get(address)
	} else {
		r, err = http.Post(address, "application/json", strings.NewReader(changes))
	}
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r, body
}

// Each figure is a file that programs know, under a name that says where it
// comes from, and follows a slider and an edit.
func TestFiguresToTakeAway(t *testing.T) {
	s := openFigures(t)
	edit := `{"edits":{"shaft-S":` + quote("G = 79 GPa\nsolid 30 mm for 800 mm\nhold at 0 mm\ntorque 90 N·m at 800 mm") + `},"varied":{}}`
	cells, _, err := s.reader.Pages.Cells(t.Context(), "", "quill")
	if err != nil {
		t.Fatal(err)
	}
	cell := cells[1].ID
	edit = strings.Replace(edit, "shaft-S", cell, 1)
	for _, c := range []struct{ index, file string }{
		{"1", "quill-calc-1-2"}, {"2", "quill-calc-1-3"}, {"3", "quill-calc-1-4"},
	} {
		for _, format := range []struct{ ext, kind, magic string }{
			{"png", "image/png", "\x89PNG\r\n\x1a\n"}, // ISO/IEC 15948, 5.2
			{"pdf", "application/pdf", "%PDF-1."},     // ISO 32000-1, 7.5.2
		} {
			t.Run(c.file+"."+format.ext, func(t *testing.T) {
				address := s.URL() + "lesson/quill/figure/calc-1/" + c.index + "/" + format.ext
				r, body := fetch(t, address, "")
				if r.StatusCode != 200 || r.Header.Get("Content-Type") != format.kind || !bytes.HasPrefix(body, []byte(format.magic)) {
					t.Fatalf("status %d, type %s, begins %.20q", r.StatusCode, r.Header.Get("Content-Type"), body)
				}
				if got, want := r.Header.Get("Content-Disposition"), `attachment; filename="`+c.file+"."+format.ext+`"`; got != want {
					t.Errorf("disposition %s, want %s", got, want)
				}
				if got := r.Header.Get("X-Content-Type-Options"); got != "nosniff" {
					t.Errorf("X-Content-Type-Options is %q", got)
				}
				if format.ext == "png" {
					picture, err := png.DecodeConfig(bytes.NewReader(body))
					if err != nil || picture.Width != 1280 {
						t.Errorf("%d pixels wide (%v), want the 640 of the page twice over", picture.Width, err)
					}
				}
				for _, changes := range []string{`{"edits":{},"varied":{"d_1":70}}`, edit} {
					r, other := fetch(t, address, changes)
					if r.StatusCode != 200 || bytes.Equal(other, body) {
						t.Errorf("with %s: status %d, the same file: %v", changes, r.StatusCode, bytes.Equal(other, body))
					}
				}
			})
		}
	}
}

// load is what a script gets of the frames of a load.
type load struct{ Frames [][]string }

func TestFramesOfALoad(t *testing.T) {
	s := openFigures(t)
	address := s.URL() + "lesson/quill/figure/calc-1/"
	read := func(changes string) load {
		r, body := fetch(t, address+"3/frames?width=340", changes)
		var f load
		if err := json.Unmarshal(body, &f); err != nil || r.StatusCode != 200 || r.Header.Get("Content-Disposition") != "" {
			t.Fatalf("status %d, %v: %.200s", r.StatusCode, err, body)
		}
		return f
	}
	f := read("")
	if len(f.Frames) != page.LoadFrames {
		t.Fatalf("%d frames, want %d", len(f.Frames), page.LoadFrames)
	}
	for i, paths := range f.Frames {
		if len(paths) != len(f.Frames[0]) || !strings.HasPrefix(paths[0], "M") {
			t.Fatalf("frame %d has %d paths, the first begins %.10q", i, len(paths), paths[0])
		}
	}
	// Under no load the line in the middle is the straight line that it was
	// before; the last frame is what the page shows.
	if n := strings.Count(f.Frames[0][1], "L") + strings.Count(f.Frames[0][1], "H") + strings.Count(f.Frames[0][1], "h"); n > 1 {
		t.Errorf("an untwisted line bends: %s", f.Frames[0][1])
	}
	_, shown := fetch(t, s.URL()+"lesson/quill", "")
	for _, path := range f.Frames[len(f.Frames)-1] {
		if !bytes.Contains(shown, []byte(path)) {
			t.Errorf("the page does not show the last frame: %.60s…", path)
		}
	}
	if other := read(`{"edits":{},"varied":{"d_1":70}}`); slices.Equal(other.Frames[20], f.Frames[20]) {
		t.Error("a slider does not change the frames")
	}
	for _, wrong := range []string{"1/frames?width=340", "3/frames", "3/frames?width=NaN", "3/frames?width=-1"} {
		if r, _ := fetch(t, address+wrong, ""); r.StatusCode != 404 {
			t.Errorf("%s: status %d, want 404", wrong, r.StatusCode)
		}
	}
}
