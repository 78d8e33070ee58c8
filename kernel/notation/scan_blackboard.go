package notation

import "strings"

// largeSigns are the names that are a sign where limits in braces follow:
// Σ_{i=1}^{n}, lim_{n→∞}.
var largeSigns = map[string]kind{"Σ_": tSumSign, "Sigma_": tSumSign, "lim_": tLimSign}

// pastedSigns replaces dashes and dots from documents, inside a number or a unit,
// by the signs of the notation.
var pastedSigns = strings.NewReplacer("–", "−", "‐", "−", "‑", "−", "—", "−", "‒", "−", "－", "−", "∙", "·", "•", "·", "∗", "·", "‧", "·", "⨯", "·", "∕", "/", "⁄", "/")

// vulgarFractions holds the fractions of one character, such as ½.
var vulgarFractions = map[rune][2]string{
	'½': {"1", "2"}, '⅓': {"1", "3"}, '⅔': {"2", "3"}, '¼': {"1", "4"}, '¾': {"3", "4"},
	'⅕': {"1", "5"}, '⅙': {"1", "6"}, '⅛': {"1", "8"}, '⅜': {"3", "8"}, '⅝': {"5", "8"}, '⅞': {"7", "8"},
}

// blackboard returns the kind of a character, just read, that has a meaning only
// beside certain others or only in derivations.
func (s *scanner) blackboard(r rune) (kind, bool) {
	if _, ok := vulgarFractions[r]; ok {
		return tFraction, true
	}
	before := s.last().kind
	switch {
	case r == '_' && (before == tIntSign || before == tSumSign || before == tLimSign || before == tCloseSquare):
		return tSub, true
	case r == '{' && (before == tSub || s.last().isOp(OpPow)):
		s.braces++
		return tOpenBrace, true
	case r == '}' && s.braces > 0:
		s.braces--
		return tCloseBrace, true
	case s.mode != deriveMode:
		return tBad, false
	case r == '≪':
		return tMuchLess, true
	case r == '!' && !s.space && (s.last().endsOperand() || before == tBar):
		return tFactorial, true
	case r == '°' && s.last().endsOperand():
		return tDegree, true
	case r == '[':
		s.squares++
		return tOpenSquare, true
	case r == ']' && s.squares > 0:
		s.squares--
		return tCloseSquare, true
	}
	isPrime := strings.ContainsRune("'’′", r) && before == tName && !s.space && strings.HasPrefix(s.src[s.pos:], "(")
	return tPrime, isPrime
}
