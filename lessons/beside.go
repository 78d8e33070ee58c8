package lessons

import (
	"io/fs"

	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
	"shaftbook/lessons/reference"
)

// readReference reads what stands beside the lessons of a folder, and adds what is wrong
// with it to what was found in the files.
func (s *Catalog) readReference(folder fs.FS, found map[string]source.List) (names []string) {
	read, lists := reference.Read(folder)
	add := func(file string, list source.List) {
		if len(list) > 0 {
			lists[file] = append(lists[file], list...)
		}
	}
	for _, p := range read.Places() {
		var list source.List
		s.checkLink(&list, p.Slug, p.Anchor, p.At)
		add(p.At.Text.Name, list)
	}
	for _, t := range read.Texts() {
		add(t.At.Text.Name, s.checkInline(t))
	}
	s.Reference = joined(s.Reference, read, lists)
	for _, name := range []string{reference.GlossaryFile, reference.SymbolsFile, reference.PathsFile} {
		if list := lists[name]; len(list) > 0 {
			list.Sort()
			found[name] = list
			names = append(names, name)
		}
	}
	return names
}

// checkInline reports what is wrong with a paragraph, at the paragraph.
func (s *Catalog) checkInline(t reference.Text) source.List {
	context := &markdown.Context{Text: source.NewText("", t.Markdown)}
	reader.Parse(text.NewReader([]byte(t.Markdown)), context.Options())
	for i := range context.Diagnostics {
		context.Diagnostics[i].Span = t.At
	}
	for _, link := range context.Links {
		s.checkLink(&context.Diagnostics, link.Slug, link.Anchor, t.At)
	}
	return context.Diagnostics
}
