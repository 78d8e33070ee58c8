package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/lessons"
)

// TestNew writes lessons, which pass the check together, and refuses what it must not write.
func TestNew(t *testing.T) {
	folder := t.TempDir()
	t.Chdir(folder)
	write(t, filepath.Join(folder, "kept.md"), "my own")
	if err := os.Mkdir("more", 0o700); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, arg string
		file      string // what is written, or nothing
		says      string
	}{
		{"a lesson", "more/brush-shaft", "more/brush-shaft.md", "shaftbook serve --lessons more"},
		{"a second one, with its ending", "more/winch-2.md", "more/winch-2.md", "shaftbook check more"},
		{"in the open folder", "drum", "drum.md", "shaftbook check ."},
		{"a file that is there", "kept", "", "left as it is"},
		{"a name with capitals", "Brush", "", "small letters, digits and hyphens"},
		{"a name with a space", "brush shaft", "", "such as brush-shaft"},
		{"a name with an umlaut", "bürste", "", "small letters"},
		{"no name", "", "", "small letters"},
		{"a folder alone", "more/", "", "small letters"},
		{"a built-in lesson", "uniform-shaft", "", "there is a built-in lesson uniform-shaft"},
		{"a README", "readme", "", "is not read as a lesson"},
		{"a folder that is not there", "none/drum", "", "cannot be read"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := run(t.Context(), []string{"new", c.arg}, &out)
			if c.file == "" {
				if err == nil || !strings.Contains(err.Error(), c.says) {
					t.Errorf("%v, want one with %q", err, c.says)
				}
				return
			}
			if err != nil || !strings.Contains(out.String(), c.says) || !strings.Contains(out.String(), filepath.FromSlash(c.file)) {
				t.Errorf("%v\n%s", err, out.String())
			}
		})
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"check", "more"}, &out); err != nil || out.String() != "2 lessons, nothing to fix\n" {
		t.Errorf("check: %v\n%s", err, out.String())
	}
	content, err := os.ReadFile("more/winch-2.md")
	if err != nil {
		t.Fatal(err)
	}
	l, _ := lessons.Parse("winch-2.md", content)
	if l.Title != "Winch 2" || l.Order != 2 {
		t.Errorf("the second has the title %q and the order %d", l.Title, l.Order)
	}
	for _, kind := range []lessons.Kind{lessons.Calc, lessons.Shaft, lessons.Guess, lessons.Derive, lessons.Exercise} {
		if len(l.CellsOf(kind)) == 0 {
			t.Errorf("there is no %s block", kind)
		}
	}
	if kept, _ := os.ReadFile("kept.md"); string(kept) != "my own" {
		t.Errorf("the file that was there has %q", kept)
	}
}
