package authoring

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func openFolder(t *testing.T, files map[string]string) (*Folder, string) {
	t.Helper()
	at := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(at, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	f, err := OpenFolder(at)
	if err != nil {
		t.Fatal(err)
	}
	return f, at
}

func always(string, bool) error { return nil }

func TestReplaceAFile(t *testing.T) {
	f, at := openFolder(t, map[string]string{"a.md": "one\r\ntwo\r\n", ".gitignore": "x"})
	if was, there, err := f.replace("a", "one\nthree\n", always); err != nil || !there || was != "one\r\ntwo\r\n" {
		t.Fatal(was, there, err)
	}
	if got, _ := os.ReadFile(filepath.Join(at, "a.md")); string(got) != "one\r\nthree\r\n" {
		t.Errorf("line ends of the file are others: %q", got)
	}
	if _, there, err := f.replace("b", "new\n", always); err != nil || there {
		t.Fatal(there, err)
	}
	no := errors.New("no")
	if _, _, err := f.replace("a", "x", func(string, bool) error { return no }); err != no {
		t.Error(err)
	}
	names, _ := filepath.Glob(filepath.Join(at, "*"))
	if len(names) != 3 {
		t.Errorf("in the folder: %v", names)
	}
	if slugs, err := f.Slugs(); err != nil || strings.Join(slugs, " ") != "a b" {
		t.Error(slugs, err)
	}
}

// Nothing outside of the folder is read or written, and no link is replaced by a file.
func TestFolderStaysInside(t *testing.T) {
	f, at := openFolder(t, map[string]string{"real.md": "real\n"})
	outside := filepath.Join(t.TempDir(), "outside.md")
	for path, target := range map[string]string{"out.md": outside, "in.md": "real.md", "gone.md": "nowhere.md", "out.svg": outside} {
		if err := os.Symlink(target, filepath.Join(at, path)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(at, "dir.md"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(outside, []byte("secret\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, _, err := f.Read("out"); err == nil || strings.Contains(text, "secret") {
		t.Errorf("read %q, %v", text, err)
	}
	if content, err := f.Image("out.svg"); err == nil {
		t.Errorf("read %q", content)
	}
	for _, slug := range []string{"out", "in", "gone", "dir"} {
		if _, _, err := f.replace(slug, "x\n", always); err == nil {
			t.Errorf("%s was replaced", slug)
		}
	}
	if err := f.AddImage("out.svg", []byte("x")); err != ErrTaken {
		t.Errorf("an image in the place of a link: %v", err)
	}
	for path, want := range map[string]string{outside: "secret\n", filepath.Join(at, "real.md"): "real\n"} {
		if got, err := os.ReadFile(path); err != nil || string(got) != want {
			t.Errorf("%s: %q, %v", path, got, err)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(at, "*.part")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
