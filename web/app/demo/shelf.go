package demo

import (
	"embed"
	"fmt"
	"io/fs"

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
	shelf, found := lessons.Load(text.Files, sheet)
	for _, f := range found {
		return nil, fmt.Errorf("demo: the lesson %s: %w", f.Name, f.List)
	}
	return shelf, nil
}
