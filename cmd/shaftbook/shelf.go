package main

import (
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"strings"

	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
	"shaftbook/web/app/authoring"
)

// lessonFlags say which lessons there are: the built-in ones, with those of a folder
// beside them, or those of the folder only.
type lessonFlags struct {
	folder string // empty for none
	only   bool
}

// check refuses --only without the folder that it is about.
func (l lessonFlags) check() error {
	if l.only && l.folder == "" {
		return errors.New("--only leaves the built-in lessons out: name the folder of your own with --lessons")
	}
	return nil
}

// open returns the folders to load, and refuses one with files that have names of built-in
// lessons.
func (l lessonFlags) open() ([]fs.FS, error) {
	if l.folder == "" {
		return []fs.FS{text.Files}, nil
	}
	own, err := lessonFiles(l.folder)
	if err != nil {
		return nil, err
	}
	if l.only {
		return []fs.FS{own}, nil
	}
	if names := lessons.Clashes(own, text.Files); len(names) > 0 {
		return nil, fmt.Errorf("the folder %s and the built-in lessons both have %s, so that an address would have two meanings: give the file in your folder another name, or leave the built-in lessons out with --only",
			l.folder, few(names))
	}
	return []fs.FS{text.Files, own}, nil
}

// writable opens the folder in which instructors write lessons; nil where there is none.
func (l lessonFlags) writable() (*authoring.Folder, error) {
	if l.folder == "" {
		return nil, nil
	}
	return authoring.OpenFolder(l.folder)
}

// few lists the first names of a long list.
func few(names []string) string {
	if n := len(names); n > namedFiles {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:namedFiles], ", "), n-namedFiles)
	}
	return words.And(names)
}

// describe says for the log how many lessons there are, and of which kind.
func (l lessonFlags) describe(shelf *lessons.Catalog) string {
	own := 0
	for _, lesson := range shelf.Lessons {
		if lesson.Own {
			own++
		}
	}
	switch {
	case l.only:
		return fmt.Sprintf("%d of %s, without the built-in ones", len(shelf.Lessons), l.folder)
	case l.folder != "":
		return fmt.Sprintf("%d built-in and %d of %s", len(shelf.Lessons)-own, own, l.folder)
	}
	return fmt.Sprintf("%d built-in", len(shelf.Lessons))
}

// namedFiles is how many files with problems are named in the log.
const namedFiles = 5

// load reads the lessons. What is wrong in them does not keep a server from starting; it
// is logged, and the check command tells all of it.
func load(folders []fs.FS, from lessonFlags, log *slog.Logger) *lessons.Catalog {
	shelf, found := lessons.Load(folders...)
	if n := len(found); n > 0 {
		var files []string
		for _, f := range found[:min(n, namedFiles)] {
			files = append(files, f.Name)
		}
		if n > namedFiles {
			files = append(files, "…")
		}
		log.Warn("some of the lesson files have problems; run shaftbook check "+from.folder+" to see them", "files", n, "names", strings.Join(files, ", "))
	}
	own := 0
	for _, l := range shelf.Lessons {
		if l.Own || from.only {
			own++
		}
	}
	if own == 0 && from.folder != "" {
		log.Warn("there are no lessons in the folder: a lesson is a file whose name ends in .md, in the folder itself", "folder", from.folder)
	}
	return shelf
}

// isOwn reports whether a lesson is of the folder.
func (l lessonFlags) isOwn(lesson *lessons.Lesson) bool { return l.only || lesson.Own }

// checkWrite refuses --write where anybody could use it.
func (c *serveConfig) checkWrite() error {
	switch {
	case !c.write:
		return nil
	case c.lessons.folder == "":
		return errors.New("--write is about a folder of your own: name it with --lessons")
	case c.classes:
		return nil
	case !isLoopback(c.listen):
		return fmt.Errorf("--write lets whoever reaches the server see answers, and %s is reached from other machines: listen on 127.0.0.1, or add --class so that people sign in", c.listen)
	case len(c.origins) > 0 || len(c.proxies) > 0:
		return errors.New("--write lets whoever reaches the server see answers, and behind a proxy everybody looks near: leave out --origin and --trusted-proxy, or add --class so that people sign in")
	}
	return nil
}
