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

const restoreUsage = `shaftbook restore FILE [--data FOLDER] [--force]

Makes a copy made by shaftbook backup the store of a data folder: the one that is
named, or the one that serve takes without --data. Stop the server of that
folder first. Where there is work in the folder already it is
left alone, unless --force is given; then it stays in the folder under another
name.
`

func restore(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), restoreUsage) }
	data := flags.String("data", "", "")
	force := flags.Bool("force", false, "")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if len(files) != 1 {
		flags.Usage()
		return errUsage
	}
	if *data == "" {
		if *data, err = defaultFolder(); err != nil {
			return err
		}
	}
	done, err := sqlite.Restore(ctx, files[0], *data, *force)
	switch {
	case errors.Is(err, store.ErrNotEmpty):
		return fmt.Errorf("nothing was changed: %w. Choose another folder, or give --force, "+
			"which keeps what is there under another name", err)
	case err != nil:
		return fmt.Errorf("nothing was changed: %w", err)
	}
	fmt.Fprintf(out, "%s: %s\n", sqlite.FileIn(*data), done.Contents)
	if done.Replaced != "" {
		fmt.Fprintf(out, "what was there is kept as %s\n", done.Replaced)
	}
	return nil
}
