package main

import (
	"context"
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"sync"
	"syscall"
	"time"

	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/web"
	"shaftbook/web/account/password"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/demo"
)

const demoUsage = `shaftbook demo [--data FOLDER] [--students N] [--seed N] [--still] [--listen ADDRESS]

Shows a server with classes in use: fills an invented class with some weeks of
work, serves it on this machine only, and prints how to sign in. While it runs,
some of the students go on working on the open assignment. Nothing else is
touched: the class is stored in a folder of its own, which is deleted at the end
unless --data names one.
`

// demoConfig is what the flags of demo say.
type demoConfig struct {
	listen   string
	data     string // empty for a folder that is deleted at the end
	students int
	seed     uint64
	still    bool
}

func demoClass(ctx context.Context, args []string, out io.Writer) error {
	var c demoConfig
	flags := flag.NewFlagSet("shaftbook demo", flag.ContinueOnError)
	flags.Usage = func() {
		fmt.Fprint(flags.Output(), demoUsage)
		flags.PrintDefaults()
	}
	flags.StringVar(&c.listen, "listen", "127.0.0.1:8930", "`address` of this machine to listen on; port 0 picks a free one")
	flags.StringVar(&c.data, "data", "", "`folder` to store the class in; it must not hold any work yet")
	flags.IntVar(&c.students, "students", 30, fmt.Sprintf("`number` of students, from %d to 99", demo.Fewest))
	flags.Uint64Var(&c.seed, "seed", 1, "random seed: the same `number` gives the same class")
	flags.BoolVar(&c.still, "still", false, "no student goes on working")
	if err := parseFlags(flags, args); err != nil {
		return err
	}
	switch {
	case flags.NArg() > 0:
		return wrongUsage(flags, "it takes only flags, and %q is not one", flags.Arg(0))
	case c.students < demo.Fewest || c.students > 99:
		return wrongUsage(flags, "--students must be from %d to 99, not %d", demo.Fewest, c.students)
	}
	if !isLoopback(c.listen) {
		return fmt.Errorf("%s can be reached from other machines, and the passwords of the invented class are not secret: "+
			"listen on 127.0.0.1", c.listen)
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	return c.run(ctx, stop, out)
}

func (c *demoConfig) run(ctx context.Context, stop func(), out io.Writer) (err error) {
	folder, done, err := c.folder()
	if err != nil {
		return err
	}
	defer done()
	store, err := open.Store(ctx, sqlite.FileIn(folder))
	if err != nil {
		return storeError(err)
	}
	defer func() { err = errors.Join(err, store.Close()) }()
	shelf, err := demo.Shelf()
	if err != nil {
		return err
	}
	word := strings.ToLower(rand.Text()[:10])
	hash, err := password.NewHasher().Hash(ctx, word)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Filling a class of %d …", c.students)
	began := time.Now()
	school, err := demo.Fill(ctx, store, shelf, demo.Options{Seed: c.seed, Students: c.students, Password: hash, Program: version()})
	if err != nil {
		return err
	}
	defer school.Close()
	fmt.Fprintf(out, " done in %.0f s.\n\n", time.Since(began).Seconds())
	desk, err := attempt.NewService(ctx, store, version())
	if err != nil {
		return storeError(err)
	}
	log, err := web.NewLog(os.Stderr, "text")
	if err != nil {
		return err
	}
	server := &web.Server{Catalog: shelf, Attempts: desk, Classes: store, Log: log}
	if err := server.Open(c.listen); err != nil {
		return err
	}
	c.tell(out, server.URL(), school, word)
	ctx, cancel := context.WithCancel(ctx)
	var going sync.WaitGroup
	defer going.Wait() // before the store closes
	defer cancel()
	if !c.still {
		going.Go(func() { school.Bustle(ctx, log) })
	}
	return untilEnd(ctx, stop, server)
}

// folder returns the folder for the class, and what to do with it at the end.
func (c *demoConfig) folder() (folder string, done func(), err error) {
	if c.data == "" {
		folder, err = os.MkdirTemp("", "shaftbook-demo-")
		return folder, func() { _ = os.RemoveAll(folder) }, err
	}
	if _, err := os.Stat(sqlite.FileIn(c.data)); err == nil {
		return "", nil, fmt.Errorf("there is work in %s already, and the invented class must not be mixed with it: choose another folder", c.data)
	}
	return c.data, func() {}, makeFolder(c.data)
}

// tell prints where to look and how to get in.
func (c *demoConfig) tell(out io.Writer, url string, s *demo.School, word string) {
	students := s.Students[:2]
	fmt.Fprintf(out, `Sign in at %ssign-in as one of these, each with the password %s

  %-11s instructor: one assignment is marked, and the class is working on another
  %-11s student, well ahead
  %-11s student, was late with the marked assignment

As the instructor:

  the class   %sclass/%s
  live view   %sclass/%s/room/%s

As a student:

  the lesson  %slesson/%s

`, url, word, s.Instructor.SignIn, students[0].SignIn, students[1].SignIn,
		url, s.Class.ID, url, s.Class.ID, s.Open.ID, url, s.Open.Key())
	if c.data == "" {
		fmt.Fprintln(out, "Press Ctrl+C to stop; this deletes the class.")
		return
	}
	fmt.Fprintf(out, "Press Ctrl+C to stop. The class stays in %s: shaftbook serve --class --data %s\n", c.data, c.data)
}
