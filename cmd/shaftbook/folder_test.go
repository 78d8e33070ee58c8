package main

import (
	"bytes"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestDefaultFolder(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the rules below are those of the XDG Base Directory Specification 0.8")
	}
	home, data := t.TempDir(), t.TempDir()
	for _, c := range []struct{ name, home, data, want string }{
		{"a data folder is set", home, data, filepath.Join(data, "shaftbook")},
		{"none is set", home, "", filepath.Join(home, ".local", "share", "shaftbook")},
		{"a relative one is ignored", home, "data", filepath.Join(home, ".local", "share", "shaftbook")},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("HOME", c.home)
			t.Setenv("XDG_DATA_HOME", c.data)
			if got, err := defaultFolder(); err != nil || got != c.want {
				t.Errorf("%q, %v, want %q", got, err, c.want)
			}
		})
	}
	t.Setenv("HOME", "")
	t.Setenv("XDG_DATA_HOME", "")
	if got, err := defaultFolder(); err == nil {
		t.Errorf("without a home the folder is %q, want an error that names --data", got)
	}
}

// A link out of the folder of lessons shows nothing of what it leads to, before the
// start and after it.
func TestLessonsThatLeadOutOfTheirFolder(t *testing.T) {
	folder, outside := t.TempDir(), t.TempDir()
	write(t, filepath.Join(folder, "quill.md"), "# The quill\n\nText.\n")
	write(t, filepath.Join(outside, "secret.md"), "# SECRET\n\nText.\n")
	for name, target := range map[string]string{
		"link.md": filepath.Join(outside, "secret.md"), "up.md": filepath.Join("..", filepath.Base(outside), "secret.md"), "inside.md": "quill.md",
	} {
		if err := os.Symlink(target, filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	only := lessonFlags{folder: folder, only: true}
	files, err := only.open()
	if err != nil {
		t.Fatal(err)
	}
	shelf := load(files, only, slog.New(slog.DiscardHandler))
	var names []string
	for _, l := range shelf.Lessons {
		names = append(names, l.Text.Name)
	}
	if got := strings.Join(names, ", "); got != "inside.md, quill.md" {
		t.Errorf("the lessons %s", got)
	}
	if err := os.Remove(filepath.Join(folder, "quill.md")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(outside, "secret.md"), filepath.Join(folder, "quill.md")); err != nil {
		t.Fatal(err)
	}
	if content, err := fs.ReadFile(shelf.Files, "quill.md"); err == nil {
		t.Errorf("a link made later: %s", content)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"check", "--only", folder}, &out); !errors.Is(err, errFailed) || strings.Contains(out.String(), "SECRET") {
		t.Errorf("check: %v\n%s", err, out.String())
	}
}
