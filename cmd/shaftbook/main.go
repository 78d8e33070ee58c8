// Command shaftbook teaches how far shafts twist: it serves lessons whose
// numbers are alive, and evaluates or checks lesson files on the command line.
//
//	shaftbook serve            read the lessons in a browser
//	shaftbook serve --class    the same for classes, with sign-in and marks
//	shaftbook demo             look at a class that is at work
//	shaftbook calc FILE        evaluate a lesson or a file of statements
//	shaftbook new NAME         write a lesson to start from
//	shaftbook check [DIR]      say what is wrong in a folder of lessons
//	shaftbook variant FILE EXERCISE --learner ID
//	                           print one learner's numbers
//	shaftbook mark FILE EXERCISE --learner ID --answer TEXT
//	                           mark one answer
//	shaftbook sheet FILE --learners N --out FILE.pdf
//	                           write problem sheets to print
//	shaftbook shares list      list the links with which learners share pages
//	shaftbook shares withdraw LINK
//	                           withdraw one
//	shaftbook backup FILE --data FOLDER
//	                           copy learners' work while the server runs
//	shaftbook verify --data FOLDER
//	                           check that what is stored is as it was written
//	shaftbook restore FILE --data FOLDER
//	                           put such a copy into a data folder
//
// Each command explains its flags with -h. It exits 0 when all is well, 1 when
// something in the files or the run is wrong, and 2 when it was called wrongly.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
)

// errUsage ends a command that was called wrongly and has said so.
var errUsage = errors.New("wrong usage")

// A command is one subcommand. Each is in a file of its own with its flags.
type command struct {
	name    string
	summary string
	run     func(ctx context.Context, args []string, out io.Writer) error
	serves  bool // until it is stopped: what it prints is not what it is for
}

var commands = []command{
	{name: "serve", summary: "read the lessons in a browser", run: serve, serves: true},
	{name: "demo", summary: "run a demo class", run: demoClass, serves: true},
	{name: "calc", summary: "evaluate a lesson or a file of statements", run: calc},
	{name: "new", summary: "write a lesson to start from", run: newLesson},
	{name: "check", summary: "report what is wrong in a folder of lessons", run: checkLessons},
	{name: "readings", summary: "print the readings of a CSV file as a statement", run: readings},
	{name: "variant", summary: "print one learner's numbers for an exercise", run: variant},
	{name: "mark", summary: "mark one answer to an exercise", run: mark},
	{name: "sheet", summary: "write problem sheets, or their answers, as a PDF", run: sheet},
	{name: "shares", summary: "list or withdraw the links with which pages are shared", run: shares},
	{name: "backup", summary: "copy learners' work while the server runs", run: backup},
	{name: "verify", summary: "check that what is stored is as it was written", run: verify},
	{name: "restore", summary: "put a copy of learners' work into a data folder", run: restore},
}

func main() {
	os.Exit(status(run(context.Background(), os.Args[1:], os.Stdout)))
}

// run is main without the process, for tests.
func run(ctx context.Context, args []string, out io.Writer) error {
	if len(args) == 0 {
		usage()
		return errUsage
	}
	for _, c := range commands {
		if c.name == args[0] {
			sink := &output{to: out}
			if err := c.run(ctx, args[1:], sink); err != nil && !errors.Is(err, errFailed) || sink.err == nil || c.serves {
				return err
			}
			return sink.err
		}
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		usage()
		return nil
	}
	fmt.Fprintf(os.Stderr, "shaftbook: there is no command %q\n\n", args[0])
	usage()
	return fmt.Errorf("%w: there is no command %q", errUsage, args[0])
}

// status is the exit status for an error, which is printed unless the command
// has said all there is to say.
func status(err error) int {
	switch {
	case err == nil, errors.Is(err, flag.ErrHelp):
		return 0
	case errors.Is(err, errUsage):
		return 2 // whoever returned it has explained
	case errors.Is(err, errFailed):
		return 1
	}
	fmt.Fprintln(os.Stderr, "shaftbook:", visible(err.Error()))
	return 1
}

// wrongUsage prints one line on what is wrong with how a command was called, and
// its usage.
func wrongUsage(flags *flag.FlagSet, format string, args ...any) error {
	wrong := fmt.Sprintf(format, args...)
	fmt.Fprintf(flags.Output(), "shaftbook %s: %s\n\n", strings.TrimPrefix(flags.Name(), "shaftbook "), wrong)
	flags.Usage()
	return fmt.Errorf("%w: %s", errUsage, wrong)
}

func usage() {
	fmt.Fprintln(os.Stderr, "usage: shaftbook COMMAND [FLAGS]")
	for _, c := range commands {
		fmt.Fprintf(os.Stderr, "  %-8s %s\n", c.name, c.summary)
	}
}
