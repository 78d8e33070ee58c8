package check

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// This file is about lb and oz, which people also write for the weight of a pound or
// an ounce. They are masses; where a mass fits, they are read so. In a product with a
// length, as ft·lb, and per square length the notation reads the weight, with a note.

var forceDim = unit.Base(1, 1, -2)

// Pounds returns what is written for a quantity in lb or oz where a force or a torque
// is needed, and the symbol of its unit; nil if e is not such a quantity or another
// dimension is needed. A force has one reading; the arm of a torque may be in either
// unit.
func Pounds(e notation.Expr, needed unit.Dimension) (texts []string, symbol string) {
	q, ok := notation.Unparen(e).(*notation.Quantity)
	if !ok {
		return nil, ""
	}
	symbol = q.Unit.Text
	if symbol != "lb" && symbol != "oz" {
		return nil, ""
	}
	force := q.Number.At.Content() + " " + symbol + "f"
	switch needed {
	case forceDim:
		return []string{force}, symbol
	case torqueDim:
		return []string{force + "·in", force + "·ft"}, symbol
	}
	return nil, ""
}

// NeedsWeight returns the error that something is needed at a place where lb or oz is
// read as a mass, with the texts to write instead.
func NeedsWeight(at source.Span, message string, texts []string) source.Diagnostic {
	d := source.Diagnostic{Code: CodePounds, Span: at, Message: message, Repair: "write " + words.Or(texts)}
	if len(texts) == 1 {
		d.Fix = &source.Fix{Span: at, Text: texts[0]}
		return d
	}
	for _, text := range texts {
		d.Choose(at, text)
	}
	return d
}

// poundForForce says that a pound is a mass where only a force fits. That is the one
// sure reading, but lb is never taken for it in silence.
func poundForForce(q *notation.Quantity) source.Diagnostic {
	symbol := q.Unit.Text
	force := strings.NewReplacer("lb", "lbf", "oz", "ozf").Replace(symbol)
	return NeedsWeight(q.At, "a force is needed here, and "+symbol+" is "+Word(q.Unit.Unit.Dim), []string{q.Number.At.Content() + " " + force})
}
