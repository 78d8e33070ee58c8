package page

import (
	"strings"

	"shaftbook/kernel"
	trade "shaftbook/kernel/symbol"
)

// Meaning returns what the name of a statement stands for: the comment at the end of
// its line, or else what the letter usually stands for.
func Meaning(r *kernel.Result) string {
	if said := comment(r); said != "" {
		return said
	}
	if r.Value == nil || r.Value.IsTruth {
		return ""
	}
	if r.Value.IsFrequency {
		return "frequency"
	}
	return trade.Meaning(r.Name, r.Value.Dim)
}

// comment returns the comment behind a statement, on the last of its lines.
func comment(r *kernel.Result) string {
	if !r.Span.IsValid() {
		return ""
	}
	rest, _, _ := strings.Cut(r.Span.Text.Content[min(r.Span.End, len(r.Span.Text.Content)):], "\n")
	_, said, found := strings.Cut(rest, "#")
	if !found {
		return ""
	}
	return strings.TrimSpace(said)
}
