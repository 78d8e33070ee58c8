package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
	"shaftbook/exercises/store/open"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/handout"
)

const sheetUsage = `shaftbook sheet FILE [EXERCISE …] --learner ID --out FILE.pdf
shaftbook sheet FILE [EXERCISE …] --learners N --out FILE.pdf
shaftbook sheet FILE [EXERCISE …] --roster CSV --out FILE.pdf
shaftbook sheet --assignment ID [--data FOLDER | --store DATABASE] --out FILE.pdf

Writes problem sheets as a PDF to print: the exercises of a lesson (.md), or of a
file that holds one exercise block (.yaml), with figures to scale and space to
work in. Each learner's sheet starts on a new page.

The numbers are those of shaftbook variant: for one learner, for Student 01 to
Student N, or for everyone on a roster, identified by id or, failing that, username
or email. A server draws different numbers; --assignment takes a class and its
numbers from the store of a server. The ID is at the end of the address of the
assignment's page.

  --answers   print the answers instead: working, bounds, and the results
              of common slips
  --paper     a4 or letter; the default is a4
`

// mostLearners bounds --learners.
const mostLearners = 999

// sheetConfig is what the flags of sheet say.
type sheetConfig struct {
	files      []string
	learner    string
	learners   int
	roster     string
	assignment string
	data       string
	store      string
	out        string
	paper      string
	answers    bool
}

func sheet(ctx context.Context, args []string, out io.Writer) error {
	var c sheetConfig
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), sheetUsage) }
	flags.StringVar(&c.learner, "learner", "", "")
	flags.IntVar(&c.learners, "learners", 0, "")
	flags.StringVar(&c.roster, "roster", "", "")
	flags.StringVar(&c.assignment, "assignment", "", "")
	flags.StringVar(&c.data, "data", "", "")
	flags.StringVar(&c.store, "store", "", "")
	flags.StringVar(&c.out, "out", "", "")
	flags.StringVar(&c.paper, "paper", "a4", "")
	flags.BoolVar(&c.answers, "answers", false, "")
	var err error
	if c.files, err = parseInterspersed(flags, args); err != nil {
		return err
	}
	paper, known := papers[strings.ToLower(c.paper)]
	if !c.makesSense() || !known {
		return wrongUsage(flags, "these files and flags do not make a sheet")
	}
	return c.print(ctx, paper, out)
}

var papers = map[string]handout.Paper{"a4": handout.A4, "letter": handout.Letter}

// makesSense reports whether the flags go together.
func (c *sheetConfig) makesSense() bool {
	ways := 0
	for _, way := range []bool{c.learner != "", c.learners != 0, c.roster != "", c.assignment != ""} {
		if way {
			ways++
		}
	}
	fromStore := c.assignment != ""
	return ways == 1 && c.out != "" && fromStore == (len(c.files) == 0) &&
		c.learners >= 0 && c.learners <= mostLearners &&
		(fromStore || c.data == "" && c.store == "") && (c.data == "" || c.store == "")
}

func (c *sheetConfig) print(ctx context.Context, paper handout.Paper, out io.Writer) error {
	title, sheets, err := c.sheets(ctx, out)
	if err != nil {
		return err
	}
	var file bytes.Buffer
	printed, err := handout.PDF(&file, paper, title, sheets)
	if err != nil {
		return err
	}
	if err := os.WriteFile(c.out, file.Bytes(), 0o600); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s: %s, %s\n", c.out, words.Count(len(sheets), "sheet"), words.Count(printed.Pages, "page"))
	if len(printed.Missing) > 0 {
		fmt.Fprintf(out, "note: the fonts of the PDF have no %s, which are shown as □; a sheet printed from the browser has them\n", quoted(printed.Missing))
	}
	return nil
}

// quoted lists letters, so that one that a terminal obeys does nothing to it.
func quoted(letters []rune) string {
	var list []string
	for _, r := range letters {
		list = append(list, strconv.QuoteRune(r))
	}
	return strings.Join(list, ", ")
}

// sheets draws the sheets and names them all.
func (c *sheetConfig) sheets(ctx context.Context, out io.Writer) (title string, sheets []handout.Handout, err error) {
	if c.assignment != "" {
		return c.fromStore(ctx)
	}
	title, set, err := readExercises(c.files[0], c.files[1:])
	if err != nil {
		return "", nil, err
	}
	learners, err := c.who(out)
	if err != nil {
		return "", nil, err
	}
	for _, l := range learners {
		s := handout.Handout{Title: title, Name: l.name, Answers: c.answers}
		for _, e := range set {
			v, err := e.Variant(ctx, exercises.HeadlessKey, l.id, 0)
			if err != nil {
				return "", nil, err
			}
			p, err := handout.ForVariant(ctx, v, c.answers)
			if err != nil {
				return "", nil, err
			}
			s.Problems = append(s.Problems, p)
		}
		sheets = append(sheets, s)
	}
	return title, sheets, nil
}

// readExercises reads the exercises of a file that are named, or all of them.
func readExercises(file string, names []string) (title string, set []*exercises.Exercise, err error) {
	content, err := os.ReadFile(file)
	if err != nil {
		return "", nil, err
	}
	if !strings.EqualFold(filepath.Ext(file), ".md") {
		name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
		if len(names) > 0 {
			name = names[0]
		}
		e, err := parsed(name, source.NewText(file, string(content)))
		if err != nil {
			return "", nil, err
		}
		return e.Title, []*exercises.Exercise{e}, nil
	}
	lesson, _ := lessons.Parse(file, content)
	if len(names) == 0 {
		for _, cell := range lesson.CellsOf(lessons.Exercise) {
			names = append(names, cell.Name)
		}
	}
	if len(names) == 0 {
		return "", nil, fmt.Errorf("%s holds no exercise", file)
	}
	for _, name := range names {
		e, err := readExercise(file, name)
		if err != nil {
			return "", nil, err
		}
		set = append(set, e)
	}
	return lesson.Title, set, nil
}

// A sheetLearner is whose sheet is printed; the numbers are drawn by id.
type sheetLearner struct{ id, name string }

func (c *sheetConfig) who(out io.Writer) ([]sheetLearner, error) {
	switch {
	case c.learner != "":
		return []sheetLearner{{c.learner, c.learner}}, nil
	case c.roster != "":
		return rosterLearners(c.roster, out)
	}
	var list []sheetLearner
	for i := range c.learners {
		name := fmt.Sprintf("Student %02d", i+1)
		list = append(list, sheetLearner{name, name})
	}
	return list, nil
}

// rosterLearners are the people of a roster; what cannot be taken is said.
func rosterLearners(file string, out io.Writer) ([]sheetLearner, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	r, err := roster.Read([]roster.File{{Name: file, Data: data}}, "")
	if err != nil {
		return nil, err
	}
	for _, bad := range r.Bad {
		fmt.Fprintf(out, "%s:%d: left out: %s\n", bad.File, bad.Number, bad.Why)
	}
	var list []sheetLearner
	for _, l := range r.Lines {
		if !l.Out {
			list = append(list, sheetLearner{cmp.Or(l.SourcedID, l.SignIn, l.Email), l.Name})
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s has nobody on it to print a sheet for", file)
	}
	return list, nil
}

// fromStore draws the sheets of a class from the store of a server.
func (c *sheetConfig) fromStore(ctx context.Context) (title string, sheets []handout.Handout, err error) {
	name := c.store
	if name == "" {
		if c.data == "" {
			if c.data, err = defaultFolder(); err != nil {
				return "", nil, err
			}
		}
		name = sqlite.FileIn(c.data)
	}
	if !open.OnServer(name) {
		if _, err := os.Stat(name); err != nil {
			return "", nil, fmt.Errorf("there is no class in %s: use --data or --store to say where the server stores its work (%w)", filepath.Dir(name), err)
		}
	}
	store, err := open.Store(ctx, name)
	if err != nil {
		return "", nil, err
	}
	defer func() { err = errors.Join(err, store.Close()) }()
	desk, err := attempt.NewService(ctx, store, version())
	if err != nil {
		return "", nil, err
	}
	a, err := store.Assignment(ctx, c.assignment)
	if errors.Is(err, class.ErrNone) {
		return "", nil, fmt.Errorf("there is no assignment %s in %s: the ID is at the end of the address of its page", c.assignment, name)
	}
	if err != nil {
		return "", nil, err
	}
	sheets, err = assignment.Handouts(ctx, store, desk, &a, c.answers)
	if err == nil && len(sheets) == 0 {
		err = errors.New("there is nobody in the class to print a sheet for")
	}
	return a.Title, sheets, err
}
