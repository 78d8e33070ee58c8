package attempt

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strings"

	"shaftbook/exercises"
)

// A form's token names the learner and, after a hyphen, the numbers that the page shows,
// so that an answer is not marked against others: the text of an exercise may have changed
// since. A form without numbers is one that shows none.

// tokenWith adds to a learner's token the numbers of a variant.
func tokenWith(token string, v *exercises.Variant) string { return token + "-" + printOf(v) }

// learnerIn returns the part of a token that names the learner.
func learnerIn(token string) string {
	learner, _, _ := strings.Cut(token, "-")
	return learner
}

// hasNumbers reports whether a form with a token shows the numbers of a variant.
func hasNumbers(token string, v *exercises.Variant) bool {
	_, numbers, found := strings.Cut(token, "-")
	return !found || numbers == printOf(v)
}

func printOf(v *exercises.Variant) string {
	numbers, _ := json.Marshal(numbersOf(v)) // plain strings and finite numbers
	sum := sha256.Sum256(numbers)
	return hex.EncodeToString(sum[:4])
}
