package exercises

import "shaftbook/kernel/source"

// Codes of the diagnostics of this package. Those of an expression in an
// exercise are the kernel's.
const (
	// CodeYAML: the block cannot be read as YAML.
	CodeYAML source.Code = "exercise-yaml"
	// CodeKey: a key that is not known here, occurs twice, or is needed.
	CodeKey source.Code = "exercise-key"
	// CodeValue: a value of the wrong kind.
	CodeValue source.Code = "exercise-value"
	// CodeName: a name is used twice, or something is named that is not there.
	CodeName source.Code = "exercise-name"
	// CodeDraw: no set of numbers, or too few, can be drawn.
	CodeDraw source.Code = "exercise-draw"
	// CodeBounds: an answer is not inside its own bounds.
	CodeBounds source.Code = "exercise-bounds"
	// CodeSlip: a slip cannot be computed, or cannot be told from the answer or
	// from another slip.
	CodeSlip source.Code = "exercise-slip"
	// CodeRoute: the second route does not agree with the answer.
	CodeRoute source.Code = "exercise-route"
	// CodeSolution: a worked solution does not lead to the answer.
	CodeSolution source.Code = "exercise-solution"
	// CodeUntold: no slip and no bound tells a wrong answer of a usual kind (a note).
	CodeUntold source.Code = "exercise-untold"
	// CodeShown: the answer is among the given values.
	CodeShown source.Code = "exercise-shown"
)
