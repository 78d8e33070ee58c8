package demo

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

//go:embed lessons/*.md
var own embed.FS

// Shelf returns the lessons of the class: those that come with shaftbook, and a
// sheet of exercises of its own.
func Shelf() (*lessons.Catalog, error) {
	sheet, err := fs.Sub(own, "lessons")
	if err != nil {
		return nil, err
	}
	shelf, found := lessons.Load(both{text.Files, sheet})
	for _, f := range found {
		return nil, fmt.Errorf("demo: the lesson %s: %w", f.Name, f.List)
	}
	return shelf, nil
}

// both is the files of two folders in one.
type both [2]fs.FS

// Open opens a file of the first folder that has it.
func (b both) Open(name string) (fs.File, error) {
	f, err := b[0].Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return b[1].Open(name)
	}
	return f, err
}

// ReadDir lists a folder of both.
func (b both) ReadDir(name string) ([]fs.DirEntry, error) {
	var all []fs.DirEntry
	for _, f := range b {
		list, err := fs.ReadDir(f, name)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		all = append(all, list...)
	}
	slices.SortFunc(all, func(x, y fs.DirEntry) int { return strings.Compare(x.Name(), y.Name()) })
	return all, nil
}
