package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
)

const restoreUsage = `shaftbook restore FILE [--data FOLDER] [--force] [--damaged]

Puts a copy made by shaftbook backup into a data folder: the one that is named, or
the one that serve uses without --data. Stop the server of that folder first. If
the folder already holds work, nothing is changed unless --force is given; the
earlier work then stays in the folder under another name. A copy with an answer that
is not as it was written is refused unless --damaged is given.
`

func restore(ctx context.Context, args []string, out io.Writer) (err error) {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), restoreUsage) }
	data := flags.String("data", "", "")
	force := flags.Bool("force", false, "")
	damaged := flags.Bool("damaged", false, "")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if len(files) != 1 {
		return wrongUsage(flags, "name the file of one copy, not %d", len(files))
	}
	if *data == "" {
		if *data, err = defaultFolder(); err != nil {
			return err
		}
	}
	release, err := reserve(sqlite.FileIn(*data))
	if err != nil {
		return fmt.Errorf("nothing was changed: %w", err)
	}
	defer func() { err = errors.Join(err, release()) }()
	done, err := sqlite.Restore(ctx, files[0], *data, *force, options(*damaged)...)
	switch {
	case errors.Is(err, store.ErrNotEmpty):
		return fmt.Errorf("nothing was changed: %w. Choose another folder, or add --force, "+
			"which keeps the earlier work under another name", err)
	case sqlite.RowsDamaged(err):
		return fmt.Errorf("nothing was changed: %w. Take an earlier copy, or add --damaged to restore this one as it is", err)
	case err != nil:
		return fmt.Errorf("nothing was changed: %w", err)
	}
	fmt.Fprintf(out, "%s: %s\n", sqlite.FileIn(*data), done.Contents)
	if done.Replaced != "" {
		fmt.Fprintf(out, "the earlier work is kept as %s\n", done.Replaced)
	}
	return nil
}
