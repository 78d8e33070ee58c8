package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// judgeAll judges derivations and prints each claimed step with its verdict. It
// reports whether a step fails or a line cannot be read.
func judgeAll(ctx context.Context, derivations []*source.Text, asJSON bool, out io.Writer) (wrong bool, err error) {
	write := writeVerdicts
	if asJSON {
		write = writeVerdictsJSON
	}
	for _, text := range derivations {
		report := derive.JudgeText(ctx, text, derive.Settings{})
		wrong = wrong || report.Failed()
		if err := write(out, report); err != nil {
			return wrong, err
		}
	}
	return wrong, nil
}

func writeVerdicts(out io.Writer, report derive.Report) error {
	for _, v := range report.Verdicts {
		text := strings.Join(strings.Fields(v.Span.Content()), " ")
		if _, err := fmt.Fprintf(out, "%4d  %s\n      %s: %s\n", v.Line, text, v.Kind, v.Reason()); err != nil {
			return err
		}
		if len(v.Counterexample) == 0 {
			continue
		}
		if _, err := fmt.Fprintf(out, "      at %s\n", strings.Join(quantities(v.Counterexample), ", ")); err != nil {
			return err
		}
	}
	for _, d := range report.Diagnostics {
		text := prefixed(d.Render(), "      ! ")
		if d.Reading {
			text = fmt.Sprintf("      – line %d: %s\n", d.Span.Position().Line, d.Message)
		}
		if _, err := fmt.Fprint(out, text); err != nil {
			return err
		}
	}
	return nil
}

func quantities(list []derive.NamedQuantity) []string {
	var out []string
	for _, q := range list {
		out = append(out, q.Name+" = "+q.Text)
	}
	return out
}

// jsonStep is one claimed step in calc --json.
type jsonStep struct {
	Line           int               `json:"line"`
	Step           int               `json:"step"`
	Verdict        string            `json:"verdict"`
	Why            string            `json:"why"`
	Factor         *float64          `json:"factor"`
	Counterexample map[string]string `json:"counterexample"`
	Slip           derive.Slip       `json:"slip,omitempty"`
	Also           derive.Slip       `json:"also,omitempty"`
}

// jsonLineError is a line of a derivation that could not be read.
type jsonLineError struct {
	Line  int       `json:"line"`
	Error jsonError `json:"error"`
}

func writeVerdictsJSON(out io.Writer, report derive.Report) error {
	for _, v := range report.Verdicts {
		line := jsonStep{Line: v.Line, Step: v.Step, Verdict: v.Kind.String(), Why: v.Reason(), Factor: v.Factor, Slip: v.Slip, Also: v.Also}
		for _, q := range v.Counterexample {
			if line.Counterexample == nil {
				line.Counterexample = map[string]string{}
			}
			line.Counterexample[q.Name] = q.Text
		}
		if err := encodeLine(out, line); err != nil {
			return err
		}
	}
	for _, d := range report.Diagnostics {
		if d.Severity == source.Note {
			continue
		}
		p := d.Span.Position()
		e := jsonError{Message: d.Error(), Line: p.Line, Column: p.Column, Length: p.Length}
		if err := encodeLine(out, jsonLineError{p.Line, e}); err != nil {
			return err
		}
	}
	return nil
}
