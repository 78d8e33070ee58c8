package lessons

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
	"shaftbook/lessons/reference"
)

// A Catalog is the lessons of a server: those of its first folder in their order, and
// behind them those of each further one in theirs.
type Catalog struct {
	Lessons []*Lesson
	Files   fs.FS // the files of all folders, from which the lessons' images are served

	Reference reference.Reference // what stands beside the lessons

	Found []FileDiagnostics // what was found when the files were read

	read []map[string]reading // of each folder, by the name of the file
}

// FileDiagnostics are the findings in one file.
type FileDiagnostics struct {
	Name   string
	List   source.List
	Folder int // which of those that were loaded, from 0
}

// Lesson returns the lesson with a slug.
func (s *Catalog) Lesson(slug string) (*Lesson, bool) {
	i := s.index(slug)
	if i < 0 {
		return nil, false
	}
	return s.Lessons[i], true
}

func (s *Catalog) index(slug string) int {
	return slices.IndexFunc(s.Lessons, func(l *Lesson) bool { return l.Slug == slug })
}

// Beside returns the lessons before and after the one with a slug; nil at the
// ends of the shelf.
func (s *Catalog) Beside(slug string) (before, after *Lesson) {
	i := s.index(slug)
	if i < 0 {
		return nil, nil
	}
	if i > 0 {
		before = s.Lessons[i-1]
	}
	if i+1 < len(s.Lessons) {
		after = s.Lessons[i+1]
	}
	return before, after
}

// Number returns the place of a lesson on the shelf, from 1; 0 if it is not there.
func (s *Catalog) Number(slug string) int { return s.index(slug) + 1 }

// Load reads the lessons of some folders: their files *.md, except README.md, and no
// folders within them; and what stands beside them, see package reference. Lessons of the
// second folder and of those behind it are marked Own, stand behind the others in their
// own order, and may need and link these. A name that a folder before has is reported
// with CodeClash, and the file is left out.
//
// It reports on every file in which something was found. A file that cannot be read is
// reported and left out; a lesson with mistakes is on the shelf all the same.
func Load(folders ...fs.FS) (*Catalog, []FileDiagnostics) {
	return LoadAgain(&Catalog{}, folders...)
}

// LoadAgain is Load for folders that were loaded before. A lesson whose file is as it was
// is the same *Lesson. A file that was a lesson and cannot be read now, is empty or is not
// text stays the lesson that it was, with a fault.
func LoadAgain(before *Catalog, folders ...fs.FS) (*Catalog, []FileDiagnostics) {
	shelf := &Catalog{Files: layered(folders)}
	var found []FileDiagnostics
	for i, folder := range folders {
		var read map[string]reading
		if i < len(before.read) {
			read = before.read[i]
		}
		list := shelf.add(folders[:i], folder, read)
		for k := range list {
			list[k].Folder = i
		}
		found = append(found, list...)
	}
	shelf.Found = found
	return shelf, found
}

// add puts the lessons of a folder behind those that are there. known is what was read of
// its files before.
func (s *Catalog) add(before []fs.FS, folder fs.FS, known map[string]reading) []FileDiagnostics {
	s.read = append(s.read, map[string]reading{})
	names, err := lessonNames(folder)
	if err != nil {
		return []FileDiagnostics{{Name: ".", List: source.List{{Code: CodeFile, Message: err.Error()}}}}
	}
	found := map[string]source.List{}
	taken := clashes(before, folder)
	for _, name := range taken {
		found[name] = clash(name)
	}
	names = slices.DeleteFunc(names, func(name string) bool { return slices.Contains(taken, name) })
	first := len(s.Lessons)
	for i, r := range readAll(folder, names, known, len(before) > 0) {
		found[names[i]] = r.list
		if r.lesson != nil {
			s.Lessons = append(s.Lessons, r.lesson)
			s.read[len(s.read)-1][names[i]] = r
		}
	}
	arrange(s.Lessons[first:])
	for i := first; i < len(s.Lessons); i++ {
		l := s.Lessons[i]
		list := s.check(first, i)
		if len(list) == 0 {
			continue
		}
		list = slices.Concat(found[l.Text.Name], list)
		list.Sort()
		found[l.Text.Name] = list
	}
	names = append(append(taken, names...), s.readReference(folder, found)...)
	return inOrder(names, found)
}

// arrange puts the lessons of a folder in their order, with those of a group together, at
// the place of the first of them.
func arrange(list []*Lesson) {
	slices.SortStableFunc(list, func(a, b *Lesson) int { return a.Order - b.Order })
	place := map[string]int{}
	for i, l := range list {
		if _, ok := place[l.Group]; !ok {
			place[l.Group] = i
		}
	}
	slices.SortStableFunc(list, func(a, b *Lesson) int { return place[a.Group] - place[b.Group] })
}

func inOrder(names []string, found map[string]source.List) []FileDiagnostics {
	var out []FileDiagnostics
	for _, name := range names {
		if len(found[name]) > 0 {
			out = append(out, FileDiagnostics{Name: name, List: found[name]})
		}
	}
	return out
}

// check finds what is wrong with a lesson among the others: its place, what it
// needs, its links, its images. The lessons of its folder begin at first.
func (s *Catalog) check(first, i int) source.List {
	var list source.List
	l := s.Lessons[i]
	top := source.Span{Text: l.Text, End: 3}
	same := func(o *Lesson) bool { return o.Order == l.Order }
	if k := slices.IndexFunc(s.Lessons[first:i], same); k >= 0 && l.Order > 0 {
		list.Addf(top, CodeOrder, "%s has the order %d too", s.Lessons[first+k].Text.Name, l.Order).Repair = "give each lesson an order of its own"
	}
	for _, need := range l.Needs {
		switch at := s.index(need); {
		case at < 0:
			list.Addf(top, CodeLinkTarget, "this lesson needs %s, which is not here", need).Repair = s.slugRepair(need)
		case at >= i:
			list.Addf(top, CodeOrder, "this lesson needs %s, which does not come before it", need).Repair = "change the order of one of them"
		}
	}
	for _, link := range l.Links {
		s.checkLink(&list, link.Slug, link.Anchor, link.At)
	}
	for _, a := range l.Assets {
		info, err := fs.Stat(s.Files, path.Clean(a.Path))
		switch {
		case err != nil:
			list.Addf(a.At, CodeAsset, "there is no file %s beside the lesson", a.Path).Repair = "put it there, or correct its name"
		case info.Size() > MaxImage:
			list.Addf(a.At, CodeAsset, "%s has %.1f MB, and a picture may have %d MB at most", a.Path, float64(info.Size())/(1<<20), MaxImage>>20).Repair = tooLarge
		case info.Size() > heavyImage:
			list.Notef(a.At, CodeAsset, "%s has %.1f MB, which a reader with a telephone waits for", a.Path, float64(info.Size())/(1<<20)).Repair = tooLarge
		}
	}
	return list
}

func (s *Catalog) checkLink(list *source.List, slug, anchor string, at source.Span) {
	if slug == "" {
		return
	}
	target, ok := s.Lesson(slug)
	switch {
	case !ok:
		list.Addf(at, CodeLinkTarget, "there is no lesson %s.md", slug).Repair = s.slugRepair(slug)
	case anchor != "" && !target.HasAnchor(anchor):
		list.Addf(at, CodeLinkTarget, "%s.md has no heading #%s", slug, anchor).Repair = anchorRepair(target)
	}
}

// mostNamed is how many lessons are listed where one of them is meant.
const mostNamed = 12

// slugRepair offers the lesson that a misspelled name is next to, or else the names.
func (s *Catalog) slugRepair(slug string) string {
	var slugs []string
	near, least := "", 1+2*max(2, len(slug)/4)
	for _, l := range s.Lessons {
		slugs = append(slugs, l.Slug)
		if away := unit.Slips(slug, l.Slug); away < least {
			near, least = l.Slug, away
		}
	}
	switch {
	case near != "":
		return "did you mean " + near + "?"
	case len(slugs) > mostNamed:
		return "correct the name; " + words.Count(len(slugs), "lesson") + " are there, such as " + strings.Join(slugs[:3], ", ")
	}
	return "the lessons are " + strings.Join(slugs, ", ")
}
