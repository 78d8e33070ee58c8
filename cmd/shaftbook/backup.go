package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
)

const backupUsage = `shaftbook backup FILE [--data FOLDER] [--damaged]
shaftbook backup FILE --store PATH [--damaged]

Copies the learners' work of a server to FILE, even while the server runs. The
copy is checked before it is given its name; it replaces an earlier copy of the
same name. A store with an answer that is not as it was written is not copied, so
that the earlier copy stays, unless --damaged is given. Without --data, the folder is the one that serve uses without --data.
To copy a store on PostgreSQL, use that database's own tool, pg_dump.
`

// options of a copy: with damaged, it is made also of what is damaged.
func options(damaged bool) []sqlite.Option {
	if damaged {
		return []sqlite.Option{sqlite.KeepDamaged}
	}
	return nil
}

func backup(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("backup", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), backupUsage) }
	data := flags.String("data", "", "")
	store := flags.String("store", "", "")
	damaged := flags.Bool("damaged", false, "")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if err := checkStore(flags, *store); err != nil {
		return wrongFlags(flags, err)
	}
	if len(files) != 1 {
		return wrongUsage(flags, "name the file for the copy, one and not %d", len(files))
	}
	if *data == "" && *store == "" {
		if *data, err = defaultFolder(); err != nil {
			return err
		}
	}
	if open.OnServer(*store) {
		return errors.New("this store is on a PostgreSQL server, which has its own tools for copies: " +
			"use pg_dump, and pg_restore to put a copy back")
	}
	path := *store
	if path == "" {
		path = sqlite.FileIn(*data)
	}
	contents, err := sqlite.Backup(ctx, path, files[0], options(*damaged)...)
	switch {
	case sqlite.RowsDamaged(err):
		return fmt.Errorf("nothing was copied: %w. With --damaged it is copied as it is, in a file of another name", err)
	case err != nil:
		return fmt.Errorf("nothing was copied: %w", err)
	}
	info, err := os.Stat(files[0])
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s: %s (%d kB, checked)\n", files[0], contents, (info.Size()+999)/1000)
	return err
}
