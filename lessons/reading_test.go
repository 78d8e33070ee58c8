package lessons

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
)

// lockedFS has a file that cannot be read.
type lockedFS struct {
	fstest.MapFS
	locked string
}

func (l lockedFS) Open(name string) (fs.File, error) {
	if name == l.locked {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.Open(name)
}

func (l lockedFS) ReadFile(name string) ([]byte, error) {
	if name == l.locked {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.ReadFile(name)
}

func TestLoadAgain(t *testing.T) {
	lesson := func(order, text string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\ntitle: One\nsummary: A shaft.\nminutes: 1\norder: " + order + "\n---\n\n" + text + "\n")}
	}
	first := fstest.MapFS{"bar.md": lesson("1", "A bar."), "tube.md": lesson("2", "A tube.")}
	before, found := Load(first)
	if len(found) > 0 || len(before.Lessons) != 2 {
		t.Fatal(found)
	}
	for _, c := range []struct {
		name   string
		file   *fstest.MapFile // bar.md; nil if it is gone
		locked string
		text   string // of bar; empty if it is not there
		same   bool   // the lesson is the one before
		fault  string
	}{
		{"as it was", lesson("1", "A bar."), "", "A bar.", true, ""},
		{"another text", lesson("1", "A rod."), "", "A rod.", false, ""},
		{"gone", nil, "", "", false, ""},
		{"empty", &fstest.MapFile{}, "", "A bar.", true, "this file is empty"},
		{"white space", &fstest.MapFile{Data: []byte("\n \n")}, "", "A bar.", true, "this file is empty"},
		{"not text", &fstest.MapFile{Data: []byte("---\ntitle: \x00\xff\xfe")}, "", "A bar.", true, "not text in UTF-8"},
		{"too large", &fstest.MapFile{Data: []byte(strings.Repeat("long ", MaxFile/4))}, "", "A bar.", true, "larger than a lesson can be"},
		{"locked", lesson("1", "A rod."), "bar.md", "A bar.", true, "cannot be read"},
		{"with a mistake", lesson("1", "See [x](none.md)."), "", "See [x](none.md).", false, "there is no lesson none.md"},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := fstest.MapFS{"tube.md": first["tube.md"]}
			if c.file != nil {
				files["bar.md"] = c.file
			}
			after, found := LoadAgain(before, lockedFS{files, c.locked})
			if tube, _ := after.Lesson("tube"); tube != before.Lessons[1] {
				t.Error("a lesson that has not changed was read again")
			}
			bar, ok := after.Lesson("bar")
			if ok != (c.text != "") {
				t.Fatalf("bar is there: %v", ok)
			}
			if ok && (!strings.Contains(bar.Text.Content, c.text) || (bar == before.Lessons[0]) != c.same) {
				t.Errorf("the same: %v; the text is %q", bar == before.Lessons[0], bar.Text.Content)
			}
			said := ""
			for _, f := range found {
				for _, d := range f.List {
					said += f.Name + " " + d.Message + "\n"
				}
			}
			if c.fault == "" && said != "" || !strings.Contains(said, c.fault) {
				t.Errorf("found: %s", said)
			}
			// Once it can be read again, nothing is said of it any more.
			mended, found := LoadAgain(after, first)
			if bar, _ := mended.Lesson("bar"); len(found) > 0 || bar == nil || !strings.Contains(bar.Text.Content, "A bar.") {
				t.Errorf("mended: %v", found)
			}
		})
	}
}
