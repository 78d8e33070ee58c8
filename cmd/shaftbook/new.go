package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"shaftbook/lessons"
	"shaftbook/lessons/template"
	"shaftbook/lessons/text"
)

const newUsage = `shaftbook new NAME

Writes a lesson to start from, NAME.md, into the folder that is open, or into the one
that NAME begins with. It has every kind of block, each explained in a sentence, and
shaftbook check finds nothing wrong with it. The name is the lesson's address, made of
small letters, digits and hyphens: brush-shaft is shown at /lesson/brush-shaft. A file
that is there is never written over.
`

func newLesson(_ context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("new", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), newUsage) }
	names, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if len(names) != 1 {
		return wrongUsage(flags, "name one lesson, such as brush-shaft, not %d", len(names))
	}
	folder, slug := filepath.Split(strings.TrimSuffix(names[0], ".md"))
	if err := checkNewName(slug); err != nil {
		return err
	}
	folder = filepath.Clean(folder) // "." for none
	order, err := nextOrder(folder)
	if err != nil {
		return err
	}
	file := filepath.Join(folder, slug+".md")
	if err := writeNew(file, template.Lesson(titleOf(slug), order)); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s is written.\n\n  shaftbook serve --lessons %s   shows it, beside the built-in lessons\n  shaftbook check %s             says what to fix in it\n", file, folder, folder)
	return nil
}

// checkNewName refuses a name that cannot be the address of a lesson of one's own.
func checkNewName(slug string) error {
	if !lessons.IsSlug(slug) {
		return fmt.Errorf("“%s” cannot be the address of a lesson: write small letters, digits and hyphens, such as brush-shaft", slug)
	}
	if slug == "readme" {
		return errors.New("a file README.md is not read as a lesson: give it another name")
	}
	if _, err := fs.Stat(text.Files, slug+".md"); err == nil {
		return fmt.Errorf("there is a built-in lesson %s, and an address has one meaning: give yours another name", slug)
	}
	return nil
}

// nextOrder returns the place behind the lessons of a folder.
func nextOrder(folder string) (int, error) {
	files, err := lessonFiles(folder)
	if err != nil {
		return 0, err
	}
	shelf, _ := lessons.Load(files) // what is wrong in other lessons is not asked here
	order := 1
	for _, l := range shelf.Lessons {
		order = max(order, l.Order+1)
	}
	return order, nil
}

// titleOf makes a title of a name: “Brush shaft”.
func titleOf(slug string) string {
	words := strings.ReplaceAll(slug, "-", " ")
	return strings.ToUpper(words[:1]) + words[1:]
}

// writeNew writes a file that is not there.
func writeNew(name, content string) (err error) {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already, and is left as it is: choose another name", name)
	}
	if err != nil {
		return fmt.Errorf("the lesson cannot be written: %w", err)
	}
	defer func() {
		if closed := f.Close(); err == nil {
			err = closed
		}
		if err != nil {
			err = errors.Join(fmt.Errorf("the lesson cannot be written: %w", err), os.Remove(name))
		}
	}()
	_, err = f.WriteString(content)
	return err
}
