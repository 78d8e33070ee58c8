package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"

	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/kernel/words"
)

const verifyUsage = `shaftbook verify [FILE]
shaftbook verify --data FOLDER
shaftbook verify --store DATABASE

Reads all that a server has stored, or a copy made by shaftbook backup, even while
the server runs, and checks that every answer, mark and line of the log is as it was
written: each has a checksum. Nothing is changed. DATABASE is postgres://…, or the
path of a file. Without anything, it reads the folder that serve uses without --data.
The exit status is 1 if anything is damaged; what is, is named.
`

func verify(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("verify", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), verifyUsage) }
	data := flags.String("data", "", "")
	name := flags.String("store", "", "")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	for _, file := range files {
		if *name != "" {
			return wrongUsage(flags, "name one store")
		}
		*name = file
	}
	if err := checkStore(flags, *name); err != nil {
		return wrongFlags(flags, err)
	}
	if *data != "" && *name != "" {
		return wrongUsage(flags, "name one store")
	}
	if *name == "" {
		if *data == "" {
			if *data, err = defaultFolder(); err != nil {
				return err
			}
		}
		*name = sqlite.FileIn(*data)
	}
	found, contents, err := open.Verify(ctx, *name)
	if err != nil {
		return fmt.Errorf("the store cannot be verified: %w", err)
	}
	shown := *name
	if open.OnServer(shown) {
		shown = "the database" // its address can hold a password
	}
	for _, named := range found.Named {
		fmt.Fprintf(out, "damaged: %s\n", named)
	}
	if n := found.Damaged - len(found.Named); n > 0 {
		fmt.Fprintf(out, "damaged: %d more\n", n)
	}
	fmt.Fprintf(out, "%s: %s as written, %d damaged", shown, words.Count(found.Checked, "row"), found.Damaged)
	if found.Unchecked > 0 {
		fmt.Fprintf(out, ", %d unchecked (from before there were checksums)", found.Unchecked)
	}
	if contents != "" {
		fmt.Fprintf(out, " (%s)", contents)
	}
	fmt.Fprintln(out)
	if found.Damaged > 0 {
		fmt.Fprintln(os.Stderr, "shaftbook: restore a backup from before the damage, or keep what there is with shaftbook backup --damaged")
		return errFailed
	}
	return nil
}
