package derivation

import (
	"strings"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// gapLine is a line that is left for later: its beginning, and what follows the
// question mark. fillGaps of derivation.js has the same.
var gapLine = pattern.New(`(?m)^([ \t]*=[ \t]*)\?(.*)$`)

// WithGaps returns a text with what fills its gaps in their place. What fills a
// gap keeps the reason of the gap, unless it brings one.
func WithGaps(text string, gaps []string) string {
	n := -1
	return gapLine().ReplaceAllStringFunc(text, func(line string) string {
		n++
		if n >= len(gaps) {
			return line
		}
		fill := strings.TrimSpace(strings.Map(oneLine, gaps[n]))
		fill = strings.TrimLeft(fill, "= ")
		if strings.Trim(fill, "? ") == "" {
			return line
		}
		parts := gapLine().FindStringSubmatch(line)
		if reason := parts[2]; !strings.Contains(fill, "because") {
			fill += reason
		}
		return parts[1] + fill
	})
}

// Written returns a derivation as text that reads back, and as TeX; nothing is
// judged.
func Written(text string) (plain, tex string, err error) {
	if err := (Input{Text: text}).Check(); err != nil {
		return "", "", err
	}
	cell, _ := notation.ParseDerivation(source.NewText("", text))
	return derive.Plain(cell, nil), derive.TeX(cell), nil
}
