package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"
	"time"

	"shaftbook/exercises/class"
	keeps "shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/kernel/words"
	"shaftbook/web/app/token"
)

const sharesUsage = `shaftbook shares list [--data FOLDER]
shaftbook shares withdraw LINK… [--data FOLDER]
shaftbook shares withdraw --all [--data FOLDER]

Lists the links with which learners share pages of their own, or withdraws some, even
while the server runs: a link that was withdrawn stops working at once. LINK is the ID
of a link in the list, or the address that was shared. With --store DATABASE
(postgres://…, or the path of a file) the store is elsewhere; without either it is the
folder that serve uses without --data.
To allow no links at all, start the server with --no-sharing.
`

func shares(ctx context.Context, args []string, out io.Writer) (err error) {
	flags := flag.NewFlagSet("shares", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), sharesUsage) }
	data := flags.String("data", "", "")
	name := flags.String("store", "", "")
	all := flags.Bool("all", false, "")
	given, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if err := checkStore(flags, *name); err != nil {
		return wrongFlags(flags, err)
	}
	if len(given) == 0 || given[0] != "list" && given[0] != "withdraw" {
		return wrongUsage(flags, "say list or withdraw")
	}
	links := given[1:]
	switch {
	case given[0] == "list" && (len(links) > 0 || *all):
		return wrongUsage(flags, "list takes no links and not --all: it lists them all")
	case given[0] == "withdraw" && (len(links) > 0) == *all:
		return wrongUsage(flags, "name the links to withdraw, or give --all")
	}
	store, err := openThere(ctx, *data, *name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, store.Close()) }()
	there, err := store.AllShares(ctx, time.Now())
	if err != nil {
		return err
	}
	if given[0] == "list" {
		return listShares(ctx, store, there, out)
	}
	if *all {
		for _, l := range there {
			links = append(links, l.ID)
		}
	}
	return withdrawShares(ctx, store, there, links, out)
}

// openThere opens the store of a folder or of a name, which has to be there.
func openThere(ctx context.Context, data, name string) (_ contract.Store, err error) {
	if name == "" {
		if data == "" {
			if data, err = defaultFolder(); err != nil {
				return nil, err
			}
		}
		name = sqlite.FileIn(data)
	}
	if !open.OnServer(name) {
		if _, err := os.Stat(name); err != nil {
			return nil, fmt.Errorf("there is no store: use --data or --store to say where the server stores its work (%w)", err)
		}
	}
	return open.Store(ctx, name)
}

// listShares prints the links that have not ended, the oldest first. What a learner without an
// account is known by opens the learner's work, and is not printed.
func listShares(ctx context.Context, store contract.Store, links []keeps.Share, out io.Writer) error {
	if len(links) == 0 {
		_, err := fmt.Fprintln(out, "no links")
		return err
	}
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "ID\tmade\tends\tby\tpage")
	for _, l := range links {
		ends := "never"
		if !l.EndsAt.IsZero() {
			ends = minuteOf(l.EndsAt)
		}
		by := "no account"
		switch p, err := store.Person(ctx, l.Learner); {
		case err == nil:
			by = p.Name + " (" + p.SignIn + ")"
		case !errors.Is(err, class.ErrNone):
			return err
		}
		name := oneLine(l.PageName)
		if l.PageDeleted {
			name += " (deleted; works again if the page is brought back)"
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", l.ID, minuteOf(l.MadeAt), ends, oneLine(by), name)
	}
	return table.Flush()
}

func minuteOf(t time.Time) string { return t.UTC().Format("2006-01-02 15:04Z") }

// oneLine is a text of a learner's for a line of a table.
func oneLine(s string) string { return visible(strings.Join(strings.Fields(s), " ")) }

func withdrawShares(ctx context.Context, store contract.Store, there []keeps.Share, links []string, out io.Writer) error {
	done := 0
	for _, given := range links {
		id := given
		secret := given[strings.LastIndexByte(strings.TrimRight(given, "/"), '/')+1:]
		for _, l := range there {
			if l.Hash == token.Hash(strings.TrimRight(secret, "/")) {
				id = l.ID
			}
		}
		err := store.WithdrawShare(ctx, "", id)
		if errors.Is(err, class.ErrNone) {
			return fmt.Errorf("there is no link %s; %s withdrawn. shaftbook shares list names those that there are", given, words.Count(done, "link"))
		}
		if err != nil {
			return err
		}
		done++
	}
	_, err := fmt.Fprintln(out, words.Count(done, "link")+" withdrawn")
	return err
}
