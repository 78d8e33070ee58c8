package program

import (
	"shaftbook/kernel/notation"
)

// symbolicDerivative returns the derivative of the body of e in symbols.
func symbolicDerivative(e *notation.Bind, s Scope) (notation.Expr, bool) { return nil, false }
