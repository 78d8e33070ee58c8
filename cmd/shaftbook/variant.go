package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"shaftbook/exercises"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

const variantUsage = `shaftbook variant FILE EXERCISE --learner ID [--series N] [--json]

Prints one learner's numbers for an exercise of a lesson (.md), or of a file that
holds one exercise block (.yaml). The numbers are drawn with a fixed key that is
not secret; a server draws them with a key of its own.
`

// jsonVariant is what variant --json prints.
type jsonVariant struct {
	Exercise  string            `json:"exercise"`
	Learner   string            `json:"learner"`
	Series    int               `json:"series"`
	Structure string            `json:"structure,omitempty"`
	Given     []exercises.Value `json:"given"`
	Asks      []jsonAsk         `json:"asks"`
}

type jsonAsk struct {
	Part    string   `json:"part"`
	Kind    string   `json:"kind"`
	Text    string   `json:"text"`
	Points  float64  `json:"points"`
	Options []string `json:"options,omitempty"`
}

func variant(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("variant", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), variantUsage) }
	var who learnerFlags
	who.add(flags)
	asJSON := flags.Bool("json", false, "one JSON object")
	v, err := who.read(ctx, flags, args)
	if err != nil {
		return err
	}
	if *asJSON {
		return writeVariantJSON(out, v)
	}
	return writeVariantText(out, v)
}

// learnerFlags are the flags that say whose variant is meant.
type learnerFlags struct {
	learner string
	series  int
}

func (f *learnerFlags) add(flags *flag.FlagSet) {
	flags.StringVar(&f.learner, "learner", "", "`ID` of the learner")
	flags.IntVar(&f.series, "series", 0, "attempt `series`: 0 for the graded numbers, higher ones for practice")
}

// read parses the arguments and draws the variant.
func (f *learnerFlags) read(ctx context.Context, flags *flag.FlagSet, args []string) (*exercises.Variant, error) {
	names, err := parseInterspersed(flags, args)
	if err != nil {
		return nil, err
	}
	switch {
	case len(names) != 2:
		return nil, wrongUsage(flags, "name a file and an exercise in it")
	case f.learner == "":
		return nil, wrongUsage(flags, "name the learner with --learner ID")
	}
	e, err := readExercise(names[0], names[1])
	if err != nil {
		return nil, err
	}
	return e.Variant(ctx, exercises.HeadlessKey, f.learner, f.series)
}

// readExercise finds an exercise by the name after its fence.
func readExercise(file, name string) (*exercises.Exercise, error) {
	content, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	if !strings.EqualFold(filepath.Ext(file), ".md") {
		return parsed(name, source.NewText(file, string(content)))
	}
	lesson, _ := lessons.Parse(file, content)
	var known []string
	for _, c := range lesson.CellsOf(lessons.Exercise) {
		if c.Name == name || c.ID == name {
			return parsed(c.Name, c.Text)
		}
		known = append(known, c.Name)
	}
	if len(known) == 0 {
		return nil, fmt.Errorf("%s has no exercises", file)
	}
	return nil, fmt.Errorf("%s has no exercise %q; it has %s", file, name, strings.Join(known, ", "))
}

func parsed(name string, text *source.Text) (*exercises.Exercise, error) {
	e, list := exercises.Parse(name, text)
	if d := list.FirstError(); d != nil {
		return nil, errors.New(text.Name + ": " + strings.TrimSpace(d.Render()))
	}
	return e, nil
}

func writeVariantText(out io.Writer, v *exercises.Variant) error {
	lines := []string{v.Exercise.Title}
	if v.Structure.Text != "" {
		lines = append(lines, v.Structure.Text)
	}
	for _, g := range v.Given {
		lines = append(lines, "  "+g.Name+" = "+g.Text)
	}
	for _, a := range v.Structure.Parts {
		lines = append(lines, a.Name+": "+a.Asks())
		for _, o := range a.Options {
			lines = append(lines, "  "+o.Name+": "+o.Text)
		}
	}
	_, err := fmt.Fprintln(out, strings.Join(lines, "\n"))
	return err
}

func writeVariantJSON(out io.Writer, v *exercises.Variant) error {
	j := jsonVariant{Exercise: v.Exercise.ID, Learner: v.Learner, Series: v.Series, Structure: v.Structure.Name, Given: v.Given}
	for _, a := range v.Structure.Parts {
		ask := jsonAsk{Part: a.Name, Kind: a.Kind.String(), Text: a.Text, Points: a.Points}
		for _, o := range a.Options {
			ask.Options = append(ask.Options, o.Text)
		}
		j.Asks = append(j.Asks, ask)
	}
	return encodeLine(out, j)
}
