package typeset

import "shaftbook/kernel/notation"

// Plain returns n as plain text in the notation, for a copy of the working: it
// reads back as the same tree.
func Plain(n notation.Node) string {
	if n == nil {
		return ""
	}
	return notation.Print(n)
}
