package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"

	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

const checkUsage = `shaftbook check [DIR] [--all]

Reads every lesson in a folder (without DIR, the built-in lessons) and reports what
an author should fix before a class sees it: syntax, links, TeX that cannot be
typeset, formulas, units, cells with errors, checks that do not hold. Notes do not
count as faults. What only follows from a fault is not printed again: the fault
says how many lines wait for it. Of a cell with many faults the first three are
printed, or with --all every one. The exit status is 1 if there is anything to fix.
`

func checkLessons(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), checkUsage) }
	all := flags.Bool("all", false, "print every fault of a cell")
	folders, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	var files fs.FS = text.Files
	switch len(folders) {
	case 0:
	case 1:
		if files, err = lessonFiles(folders[0]); err != nil {
			return err
		}
	default:
		return wrongUsage(flags, "name one folder, not %d", len(folders))
	}
	shelf, found := lessons.Load(files)
	faults := 0
	for _, f := range found {
		faults += printFindings(out, f.Name, f.List)
	}
	for _, l := range shelf.Lessons {
		list, err := lessons.Check(ctx, l, *all)
		if err != nil {
			return err
		}
		faults += printFindings(out, l.Text.Name, list)
	}
	if len(shelf.Lessons) == 0 && len(found) == 0 {
		return errors.New("there are no lessons (*.md) in this folder")
	}
	if faults > 0 {
		fmt.Fprintf(out, "%s in %s\n", words.Count(faults, "fault"), words.Count(len(shelf.Lessons), "lesson"))
		return errFailed
	}
	fmt.Fprintf(out, "%s, nothing to fix\n", words.Count(len(shelf.Lessons), "lesson"))
	return nil
}

// printFindings prints diagnostics with their file and returns how many of
// them are faults.
func printFindings(out io.Writer, name string, list source.List) int {
	faults := 0
	for _, d := range list {
		kind := "note"
		if d.Severity == source.Error {
			kind = "fault"
			faults++
		}
		fmt.Fprintf(out, "%s: %s: %s", name, kind, d.Render())
	}
	return faults
}
