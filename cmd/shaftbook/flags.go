package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"os"
	"strconv"
	"strings"

	"shaftbook/exercises/store/open"
)

// parseFlags reads the flags of a command. What is wrong with one is printed in a line of
// its own and not before the list of all flags, where it would be out of sight. A flag of
// a folder, a file or a store that is given with nothing in it is wrong too: a script
// whose variable is unset would otherwise use the default.
func parseFlags(flags *flag.FlagSet, args []string) error {
	usage := flags.Usage
	flags.Usage = func() {}
	flags.SetOutput(io.Discard)
	err := flags.Parse(args)
	flags.SetOutput(nil) // standard error
	flags.Usage = usage
	if errors.Is(err, flag.ErrHelp) {
		usage()
		return errors.Join(errUsage, err)
	}
	if err == nil {
		err = noEmptyFlags(flags)
	}
	if err != nil {
		return wrongFlags(flags, err)
	}
	return nil
}

// wrongFlags prints what is wrong with the flags of a command, and how to see them all.
func wrongFlags(flags *flag.FlagSet, err error) error {
	name := strings.TrimPrefix(flags.Name(), "shaftbook ")
	fmt.Fprintf(os.Stderr, "shaftbook %s: %s\nshaftbook %s -h lists the flags.\n", name, visible(err.Error()), name)
	return fmt.Errorf("%w: %w", errUsage, err)
}

func noEmptyFlags(flags *flag.FlagSet) (err error) {
	flags.Visit(func(f *flag.Flag) {
		if f.Value.String() != "" || err != nil {
			return
		}
		err = fmt.Errorf("--%s is empty: give it a value, or leave it out", f.Name)
	})
	return err
}

// isGiven reports whether a flag was given.
func isGiven(flags *flag.FlagSet, name string) (given bool) {
	flags.Visit(func(f *flag.Flag) { given = given || f.Name == name })
	return given
}

// checkStore refuses two places for one store, and a database of a kind that there is
// no store for.
func checkStore(flags *flag.FlagSet, name string) error {
	if isGiven(flags, "store") && isGiven(flags, "data") {
		return errors.New("--store and --data both say where learners' work is: give one of them")
	}
	if scheme := open.UnknownScheme(name); scheme != "" {
		return fmt.Errorf("--store: there is no store for %s://…: name a PostgreSQL database as postgres://user@host/name, or the path of a file", scheme)
	}
	return nil
}

// checkAddress says how to write an address to listen on.
func checkAddress(flag, address string) error {
	if _, _, err := net.SplitHostPort(address); err == nil {
		return nil
	}
	example := "127.0.0.1:8930"
	if _, err := strconv.ParseUint(address, 10, 16); err == nil {
		example = "127.0.0.1:" + address
	} else if net.ParseIP(address) != nil {
		example = net.JoinHostPort(address, "8930")
	}
	return fmt.Errorf("--%s %s: an address is a host and a port: %s for this machine only", flag, address, example)
}
