package lessons

import (
	"path"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// Codes of the diagnostics of this package, beside those of package markdown.
const (
	// CodeFile: the file has a name that cannot be an address, is too large, or
	// is not UTF-8.
	CodeFile source.Code = "lesson-file"
	// CodeKey: the front matter holds a key that is not known, twice, or lacks
	// a key that is needed.
	CodeKey source.Code = "front-matter-key"
	// CodeValue: a value of the front matter is not of the right kind.
	CodeValue source.Code = "front-matter-value"
	// CodeOrder: two lessons have the same place, or a lesson needs a later one.
	CodeOrder source.Code = "order"
	// CodeLinkTarget: a link leads to a lesson or heading that does not exist.
	CodeLinkTarget source.Code = "link-target"
	// CodeAsset: an image is not in the folder, or is too large.
	CodeAsset source.Code = "image-file"
	// CodeUnused: no lesson shows an image of the folder (a note).
	CodeUnused source.Code = "image-unused"
)

// MaxFile is the largest file that is read, in bytes; a long lesson has 40 kB.
const MaxFile = 512 << 10

var slugPattern = pattern.New(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// IsSlug reports whether a name can be the address of a lesson.
func IsSlug(name string) bool { return slugPattern().MatchString(name) }

// Parse reads one lesson. The lesson is never nil; what is wrong with it is in
// the list, in the order of places.
func Parse(name string, src []byte) (*Lesson, source.List) {
	l := &Lesson{Slug: strings.TrimSuffix(path.Base(name), ".md"), Text: source.NewText(name, "")}
	var list source.List
	if !IsSlug(l.Slug) {
		list.Addf(source.Span{Text: l.Text}, CodeFile, "“%s” cannot be the address of a lesson", l.Slug).
			Repair = "name the file with small letters, digits and hyphens: uniform-shaft.md"
	}
	if len(src) > MaxFile {
		list.Addf(source.Span{Text: l.Text}, CodeFile, "this file is larger than %d kB and was not read", MaxFile>>10).
			Repair = "split it into several lessons"
		src = nil
	}
	l.Text.Content = clean(string(src))
	if at := strings.IndexRune(l.Text.Content, utf8.RuneError); at >= 0 {
		list.Addf(source.Span{Text: l.Text, Start: at, End: at + 3}, CodeFile, "this character is not UTF-8").
			Repair = "save the file as UTF-8"
	}
	content := []byte(l.Text.Content)
	context := &markdown.Context{Text: l.Text}
	l.doc = reader.Parse(text.NewReader(content), context.Options())
	list = append(list, context.Diagnostics...)
	list = append(list, l.readFrontMatter()...)
	l.Headings, l.Links, l.Assets = context.Headings, context.Links, context.Assets
	for _, c := range context.Cells {
		l.Cells = append(l.Cells, Cell{ID: c.ID, Kind: c.Sort, Name: c.Name, Text: c.Source, Line: c.Line})
	}
	l.working = workingCells(l.Cells)
	list = append(list, l.readGuesses()...)
	list = append(list, l.checkAnchors()...)
	list.Sort()
	return l, list
}

// clean makes line ends \n, drops the mark that some editors put at the start
// of a file, and replaces what is not UTF-8.
func clean(s string) string {
	s = strings.TrimPrefix(s, "\uFEFF")
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = strings.ReplaceAll(s, "\r", "\n")
	return strings.ToValidUTF8(s, "\uFFFD")
}

// checkAnchors reports links within the lesson that lead nowhere.
func (l *Lesson) checkAnchors() source.List {
	var list source.List
	for _, link := range l.Links {
		if link.Slug == "" && !l.HasAnchor(link.Anchor) {
			list.Addf(link.At, CodeLinkTarget, "this lesson has no heading #%s", link.Anchor).Repair = anchorRepair(l)
		}
	}
	return list
}

func anchorRepair(l *Lesson) string {
	var known []string
	for _, h := range l.Headings {
		known = append(known, "#"+h.ID)
	}
	if known == nil {
		return "the lesson has no headings"
	}
	return "its headings are " + strings.Join(known, ", ")
}
