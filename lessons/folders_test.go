package lessons_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

func lessonPage(order int, more string) *fstest.MapFile {
	head, text, _ := strings.Cut(more, "|")
	return &fstest.MapFile{Data: fmt.Appendf(nil, "---\ntitle: A\norder: %d\nsummary: B.\nminutes: 5\n%s\n---\n\nText. %s\n", order, head, text)}
}

// TestOwnLessonsBesideOthers loads a folder of one's own behind another one.
func TestOwnLessonsBesideOthers(t *testing.T) {
	builtIn := fstest.MapFS{
		"one.md": lessonPage(1, ""), "two.md": lessonPage(2, "needs: [one]"), "mill.svg": {Data: []byte("<svg/>")},
		"glossary.yaml": {Data: []byte("- {word: mill, means: A mill.}\n- {word: twist, means: An angle.}\n")},
	}
	for _, c := range []struct {
		name string
		own  fstest.MapFS
		want string // the order of the lessons
		said string // what is found, or nothing
	}{
		{"orders count for themselves", fstest.MapFS{"b.md": lessonPage(1, ""), "a.md": lessonPage(2, "")}, "one two b a", ""},
		{"a lesson needs and links a built-in one", fstest.MapFS{"a.md": lessonPage(1, "needs: [two]|See [one](one.md).")}, "one two a", ""},
		{"a link to nothing", fstest.MapFS{"a.md": lessonPage(1, "|See [there](three.md).")}, "one two a", "there is no lesson three.md"},
		{"two of one order", fstest.MapFS{"a.md": lessonPage(1, ""), "b.md": lessonPage(1, "")}, "one two a b", "a.md has the order 1 too"},
		{"a group stands together", fstest.MapFS{"a.md": lessonPage(1, "group: Tubes"), "b.md": lessonPage(2, ""), "c.md": lessonPage(3, "group: Tubes")}, "one two a c b", ""},
		{"a lesson of a name that is taken", fstest.MapFS{"one.md": lessonPage(1, ""), "b.md": lessonPage(2, "")}, "one two b", "one.md of your folder has the name of the built-in one.md"},
		{"a picture of a name that is taken", fstest.MapFS{"mill.svg": {Data: []byte("<svg/>")}, "b.md": lessonPage(2, "")}, "one two b", "mill.svg of your folder has the name of the built-in mill.svg"},
		{"a README is none", fstest.MapFS{"README.md": lessonPage(1, ""), "b.md": lessonPage(2, "")}, "one two b", ""},
		{"words of one's own", fstest.MapFS{"b.md": lessonPage(1, ""), "glossary.yaml": {Data: []byte("- {word: sluice, means: A gate., see: b.md}\n")}}, "one two b", ""},
		{"a word that is there", fstest.MapFS{"b.md": lessonPage(1, ""), "glossary.yaml": {Data: []byte("- {word: Mill, means: Another., see: b.md}\n")}}, "one two b", "the built-in glossary has “Mill” already"},
	} {
		t.Run(c.name, func(t *testing.T) {
			shelf, found := lessons.Load(builtIn, c.own)
			var order []string
			for _, l := range shelf.Lessons {
				order = append(order, l.Slug)
				if _, ours := c.own[l.Slug+".md"]; l.Own != (ours && builtIn[l.Slug+".md"] == nil) {
					t.Errorf("%s: own is %t", l.Slug, l.Own)
				}
			}
			if got := strings.Join(order, " "); got != c.want {
				t.Errorf("the lessons %s, want %s", got, c.want)
			}
			said := ""
			for _, f := range found {
				if f.Folder != 1 {
					t.Errorf("of the built-in folder: %v", f.List)
				}
				for _, d := range f.List {
					said += d.Message
				}
			}
			if c.said == "" && said != "" || !strings.Contains(said, c.said) {
				t.Errorf("said %q, want %q", said, c.said)
			}
			for i, term := range shelf.Reference.Terms[1:] {
				if strings.ToLower(term.Word) < strings.ToLower(shelf.Reference.Terms[i].Word) {
					t.Errorf("the glossary is out of order at %s", term.Word)
				}
			}
			if src, err := fs.ReadFile(shelf.Files, "one.md"); err != nil || string(src) != string(builtIn["one.md"].Data) {
				t.Errorf("one.md is not the built-in one: %v", err)
			}
		})
	}
}
