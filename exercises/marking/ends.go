package marking

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

var twoEnds = pattern.New(`^between\s+(.+?)\s+and\s+(.+)$`)

// ReadBracket turns a guessed bracket of a quantity, as a learner typed it, into an
// expression, or returns the verdict with the reason why it cannot. Each end is
// read as an answer is; one that has several readings is refused, with all of
// them.
func ReadBracket(n Numbers, dim unit.Dimension, guess string) (notation.Expr, *Verdict) {
	ends := twoEnds().FindStringSubmatch(plainBlanks.Replace(guess))
	if ends == nil {
		return ReadFormula(n, guess)
	}
	var a splitTyped
	for _, end := range ends[1:] {
		one := splitAnswer(end)
		if one.head != "" || len(one.values) != 1 {
			return ReadFormula(n, guess)
		}
		a.values = append(a.values, one.values...)
	}
	if bad := a.badNumber(); bad != "" {
		return nil, notANumber(bad)
	}
	ways := a.spellings(dim)
	if len(ways) > 1 {
		var list []string
		for _, w := range ways {
			list = append(list, fmt.Sprintf("from %s to %s", w[0].text, w[1].text))
		}
		return nil, &Verdict{Kind: Ambiguous, Message: "This can be read as " + strings.Join(list, " or as ") + ". Write it so that it has one reading: a point is always a decimal mark."}
	}
	return ReadFormula(n, fmt.Sprintf("between %s and %s", ways[0][0].text, ways[0][1].text))
}
