package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"shaftbook/exercises/marking"
)

const markUsage = `shaftbook mark FILE EXERCISE --learner ID --answer 'TEXT' [--part NAME] [--series N] [--json]

Marks one answer to an exercise with one learner's numbers, and prints the verdict
with the feedback. --part is needed only if there are several. The exit status is 0
whatever the verdict. This is for authors to try an exercise; marks that count are
given by a server.
`

// jsonMark is what mark --json prints. Slip is null unless one wrong turn
// was recognised; Slips lists those that cannot be told apart. Text is the answer
// in the notation, Choices the ways to read one that is ambiguous.
type jsonMark struct {
	Verdict marking.VerdictKind `json:"verdict"`
	Slip    *string             `json:"slip"`
	Slips   []string            `json:"slips,omitempty"`
	Message string              `json:"message"`
	Points  float64             `json:"points"`
	Read    string              `json:"read,omitempty"`
	Text    string              `json:"text,omitempty"`
	Choices []marking.Choice    `json:"choices,omitempty"`
}

func mark(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("mark", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), markUsage) }
	var who learnerFlags
	who.add(flags)
	answer := flags.String("answer", "", "the answer as `text`")
	part := flags.String("part", "", "`name` of the part")
	asJSON := flags.Bool("json", false, "one JSON object")
	v, err := who.read(ctx, flags, args)
	if err != nil {
		return err
	}
	verdict, err := v.Mark(ctx, *part, *answer)
	if err != nil {
		return err
	}
	if *asJSON {
		return encodeLine(out, jsonOf(verdict))
	}
	_, err = fmt.Fprintf(out, "%s (%g): %s\n", verdict.Kind, verdict.Points, verdict.Message)
	return err
}

func jsonOf(v marking.Verdict) jsonMark {
	j := jsonMark{Verdict: v.Kind, Message: v.Message, Points: v.Points, Read: v.Read, Text: v.Text, Choices: v.Choices}
	switch len(v.Slips) {
	case 0:
	case 1:
		j.Slip = &v.Slips[0]
	default:
		j.Slips = v.Slips
	}
	return j
}
