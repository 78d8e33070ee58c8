// Package reference reads what stands beside the lessons of a folder: the glossary,
// the symbols with the shear moduli of materials, and the paths through the lessons,
// each a file of YAML. It finds what an author got wrong in the writing, at its place;
// whether the lessons and headings that are named exist is for package lessons to say.
//
// Start with Read.
package reference

import (
	"errors"
	"io/fs"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/source"
)

// Names of the files, each of which may be missing.
const (
	GlossaryFile = "glossary.yaml"
	SymbolsFile  = "symbols.yaml"
	PathsFile    = "paths.yaml"
)

// MaxFile is the largest file that is read, in bytes.
const MaxFile = 256 << 10

// Codes of the diagnostics of this package.
const (
	// CodeFile: a file cannot be read, is too large or is not UTF-8.
	CodeFile source.Code = "reference-file"
	// CodeKey: an entry holds a key that is not known, twice, or lacks one that is needed.
	CodeKey source.Code = "entry-key"
	// CodeValue: a value of an entry is not of the right kind.
	CodeValue source.Code = "entry-value"
	// CodeSequence: an entry is there twice or not in its order.
	CodeSequence source.Code = "entry-order"
)

// A Reference is what the files of a folder hold. Lists of files that are not there are
// empty.
type Reference struct {
	Terms     []Term     // in the order of the alphabet
	Groups    []Group    // of symbols, in the author's order
	Materials []Material // in the author's order
	Sources   []Source   // of the materials
	Paths     []Path     // in the author's order
}

// A Place is a lesson, or a heading of it, that an entry names.
type Place struct {
	Slug, Anchor string // Anchor may be empty
	At           source.Span
}

// A Text is a paragraph of Markdown.
type Text struct {
	Markdown string
	At       source.Span
}

// Read reads the files of a folder, and returns what was found in each by its name.
func Read(fsys fs.FS) (Reference, map[string]source.List) {
	var r Reference
	found := map[string]source.List{}
	for _, f := range []struct {
		name string
		read func(*reader, *yaml.Node)
	}{
		{GlossaryFile, r.readGlossary},
		{SymbolsFile, r.readSymbols},
		{PathsFile, r.readPaths},
	} {
		info, err := fs.Stat(fsys, f.name)
		if errors.Is(err, fs.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
			continue
		}
		src, err := fs.ReadFile(fsys, f.name)
		if list := readFile(f.name, src, err, f.read); len(list) > 0 {
			found[f.name] = list
		}
	}
	return r, found
}

func readFile(name string, src []byte, err error, read func(*reader, *yaml.Node)) source.List {
	text := source.NewText(name, "")
	y := &reader{}
	switch top := (source.Span{Text: text}); {
	case err != nil:
		y.list.Addf(top, CodeFile, "this file cannot be read: %s", err).Repair = "see that it is there and may be read"
		return y.list
	case len(src) > MaxFile:
		y.list.Addf(top, CodeFile, "this file is larger than %d kB and was not read", MaxFile>>10).Repair = "shorten it"
		return y.list
	case !utf8.Valid(src):
		y.list.Addf(top, CodeFile, "this file is not UTF-8").Repair = "save it as UTF-8"
		return y.list
	}
	text.Content = string(src)
	y.yaml = yamltext.New(text, 0, len(text.Content))
	root, err := y.yaml.Root()
	if err != nil {
		at := y.yaml.Line(1)
		var located *yamltext.Error
		if errors.As(err, &located) {
			at = located.Span
		}
		y.list.Addf(at, CodeValue, "this cannot be read: %s", err).
			Repair = "write lines of key: value; put a value that holds a colon in quotation marks"
		return y.list
	}
	if root != nil {
		read(y, root)
	}
	y.list.Sort()
	return y.list
}

// Places returns all places that the entries name.
func (r *Reference) Places() []Place {
	var all []Place
	for _, t := range r.Terms {
		all = append(all, t.See...)
	}
	for _, g := range r.Groups {
		for _, s := range g.Symbols {
			all = append(all, s.See...)
		}
	}
	for _, p := range r.Paths {
		for _, s := range p.Steps {
			all = append(all, s.Lessons...)
		}
	}
	return all
}

// Texts returns all paragraphs of Markdown.
func (r *Reference) Texts() []Text {
	var all []Text
	for _, t := range r.Terms {
		all = append(all, t.Means)
	}
	for _, g := range r.Groups {
		for _, s := range g.Symbols {
			all = append(all, s.Means)
		}
	}
	return all
}
