package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime/debug"
	"slices"

	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

const checkUsage = `shaftbook check [DIR] [--only] [--all]

Reads every lesson in a folder (without DIR, the built-in lessons) and reports what
an author should fix before a class sees it: syntax, links, TeX that cannot be
typeset, formulas, units, cells with errors, sliders with an end at which a cell fails,
checks that do not hold, guesses that are answered above, pictures. Lessons of a folder
may need and link the built-in ones, which are served beside them; with --only they
stand alone. Notes do not count as faults. What only follows from a fault is not printed
again: the fault says how many lines wait for it. Of a cell with many faults the first
three are printed, or with --all every one. The exit status is 1 if there is anything to
fix.
`

func checkLessons(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), checkUsage) }
	all := flags.Bool("all", false, "print every fault of a cell")
	only := flags.Bool("only", false, "the lessons of the folder stand alone")
	names, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	folders := []fs.FS{text.Files}
	switch len(names) {
	case 0:
		if *only {
			return wrongUsage(flags, "--only is about a folder of your own: name it")
		}
	case 1:
		own, err := lessonFiles(names[0])
		if err != nil {
			return err
		}
		if folders = append(folders, own); *only {
			folders = folders[1:]
		}
	default:
		return wrongUsage(flags, "name one folder, not %d", len(names))
	}
	// Little of what is worked out is kept: it pays to collect memory rarely.
	defer debug.SetGCPercent(debug.SetGCPercent(startHeap))
	shelf, found := lessons.Load(folders...)
	last := len(folders) - 1
	faults, files := 0, 0
	for _, f := range found {
		if f.Folder == last {
			faults += printFindings(out, f.Name, f.List)
			files++
		}
	}
	own := shelf.Lessons
	if last > 0 {
		own = slices.DeleteFunc(slices.Clone(own), func(l *lessons.Lesson) bool { return !l.Own })
	}
	if len(own) == 0 && files == 0 {
		return errors.New("there are no lessons (*.md) in this folder")
	}
	for _, f := range lessons.UnusedImages(folders[last], own) {
		printFindings(out, f.Name, f.List)
	}
	line := newProgress(os.Stderr, len(own))
	lists, err := lessons.CheckAll(ctx, own, *all, line.show)
	line.clear()
	if err != nil {
		return err
	}
	for i, l := range own {
		faults += printFindings(out, l.Text.Name, lists[i])
	}
	if faults > 0 {
		fmt.Fprintf(out, "%s in %s\n", words.Count(faults, "fault"), words.Count(len(own), "lesson"))
		return errFailed
	}
	fmt.Fprintf(out, "%s, nothing to fix\n", words.Count(len(own), "lesson"))
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
