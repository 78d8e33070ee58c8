package lessons

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/lessons/reference"
)

// CodeClash: a file of one's own has the name of a file that another folder has.
const CodeClash source.Code = "name-clash"

// layers are the files of several folders in one: a file is that of the first folder which
// has it.
type layers []fs.FS

// layered returns the files of folders as those of one.
func layered(folders []fs.FS) fs.FS {
	if len(folders) == 1 {
		return folders[0]
	}
	return layers(folders)
}

// Open implements fs.FS.
func (l layers) Open(name string) (fs.File, error) {
	for _, folder := range l {
		f, err := folder.Open(name)
		if !errors.Is(err, fs.ErrNotExist) {
			return f, err
		}
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

// ReadDir implements fs.ReadDirFS: it lists a folder of all, each name once.
func (l layers) ReadDir(name string) ([]fs.DirEntry, error) {
	var all []fs.DirEntry
	found := false
	for _, folder := range l {
		list, err := fs.ReadDir(folder, name)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		found = found || err == nil
		all = append(all, list...)
	}
	if !found {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	slices.SortStableFunc(all, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return slices.CompactFunc(all, func(a, b fs.DirEntry) bool { return a.Name() == b.Name() }), nil
}

// isLesson reports whether a file of a folder is a lesson.
func isLesson(name string) bool {
	return path.Ext(name) == ".md" && !strings.EqualFold(name, "README.md")
}

// isPicture reports whether a lesson can show a file.
func isPicture(name string) bool {
	return slices.Contains([]string{".svg", ".png"}, strings.ToLower(path.Ext(name)))
}

// lessonNames lists the lessons of a folder.
func lessonNames(folder fs.FS) ([]string, error) {
	names, err := fs.Glob(folder, "*.md")
	return slices.DeleteFunc(names, func(name string) bool { return !isLesson(name) }), err
}

// clashes returns the lessons and pictures of a folder whose names a folder before it has:
// an address would have two meanings.
func clashes(before []fs.FS, folder fs.FS) []string {
	entries, _ := fs.ReadDir(folder, ".") // what cannot be read is said of its lessons
	var names []string
	for _, e := range entries {
		if name := e.Name(); isLesson(name) || isPicture(name) {
			if _, err := fs.Stat(layers(before), name); err == nil {
				names = append(names, name)
			}
		}
	}
	return names
}

// Clashes returns the lessons and pictures of a folder whose names the built-in lessons
// have.
func Clashes(own, builtIn fs.FS) []string { return clashes([]fs.FS{builtIn}, own) }

// clash says that a file has a name that is taken.
func clash(name string) source.List {
	var list source.List
	list.Addf(source.Span{}, CodeClash, "%s of your folder has the name of the built-in %s, so that its address would have two meanings; it is left out", name, name).
		Repair = "give your file another name; or leave the built-in lessons out with --only"
	return list
}

// joined adds what stands beside the lessons of another folder. A word or a path that is
// there already stays as it is, and the other one is reported.
func joined(to, more reference.Reference, lists map[string]source.List) reference.Reference {
	report := func(at source.Span, format string, args ...any) {
		list := lists[at.Text.Name]
		list.Addf(at, reference.CodeSequence, format, args...).Repair = "leave it out here, or write another word"
		lists[at.Text.Name] = list
	}
	for _, t := range more.Terms {
		taken := slices.ContainsFunc(to.Terms, func(o reference.Term) bool {
			return o.ID() == t.ID() || strings.EqualFold(o.Word, t.Word)
		})
		if taken {
			report(t.Means.At, "the built-in glossary has “%s” already", t.Word)
			continue
		}
		to.Terms = append(to.Terms, t)
	}
	slices.SortStableFunc(to.Terms, func(a, b reference.Term) int {
		return strings.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	for _, p := range more.Paths {
		if i := slices.IndexFunc(to.Paths, func(o reference.Path) bool { return o.Title == p.Title }); i >= 0 {
			if at := firstPlace(p); at.Text != nil {
				report(at, "a built-in path is called “%s” too", p.Title)
			}
			continue
		}
		to.Paths = append(to.Paths, p)
	}
	to.Groups = append(to.Groups, more.Groups...)
	to.Materials = append(to.Materials, more.Materials...)
	to.Sources = append(to.Sources, more.Sources...)
	return to
}

func firstPlace(p reference.Path) source.Span {
	for _, s := range p.Steps {
		for _, l := range s.Lessons {
			return l.At
		}
	}
	return source.Span{}
}
