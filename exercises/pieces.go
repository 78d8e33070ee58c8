package exercises

import (
	"slices"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// deepest bounds how often a statement may stand for another one.
const deepest = 20

// Pieces returns what an expression adds up: the twist of a shaft piece by piece,
// a sum that has a term for every piece of the shaft, or the terms of a sum. It
// is one expression for what is not such a sum.
func (d *evaluator) Pieces(x notation.Expr) []notation.Expr {
	ends := d.pieceEnds()
	if list := d.terms(x, true, ends, deepest); len(ends) > 1 && len(list) == len(ends) {
		return list
	}
	return d.terms(x, false, ends, deepest)
}

// terms returns the terms of a sum. Those of a sum within a product are taken too if
// deep is set, and a term that is the twist of the shaft is taken apart at the ends
// of its pieces.
func (d *evaluator) terms(x notation.Expr, deep bool, ends []string, left int) []notation.Expr {
	whole := []notation.Expr{x}
	if left == 0 {
		return whole
	}
	switch x := x.(type) {
	case *notation.Paren:
		return d.terms(x.X, deep, ends, left-1)
	case *notation.Unary:
		return each(d.terms(x.X, deep, ends, left-1), func(term notation.Expr) notation.Expr {
			return &notation.Unary{Op: x.Op, X: term}
		})
	case *notation.Name:
		for _, r := range d.working.Results(workCell) {
			if def, ok := r.Node.(*notation.Define); ok && r.Name == x.Ident {
				return d.terms(def.Expr, deep, ends, left-1)
			}
		}
	case *notation.Field:
		if x.Field == "twist" && !x.HasArgs && x.X.Ident == marking.ShaftName && len(ends) > 1 {
			return twists(ends)
		}
	case *notation.Binary:
		return d.termsOf(x, deep, ends, left)
	}
	return whole
}

func (d *evaluator) termsOf(x *notation.Binary, deep bool, ends []string, left int) []notation.Expr {
	first := d.terms(x.X, deep, ends, left-1)
	switch {
	case x.Op == notation.OpAdd || x.Op == notation.OpSub:
		second := d.terms(x.Y, deep, ends, left-1)
		if x.Op == notation.OpSub {
			second = each(second, func(term notation.Expr) notation.Expr { return &notation.Unary{Op: notation.OpNeg, X: term} })
		}
		return append(slices.Clone(first), second...)
	case deep && len(first) > 1 && (x.Op == notation.OpMul || x.Op == notation.OpDiv):
		return each(first, func(term notation.Expr) notation.Expr { return &notation.Binary{Op: x.Op, X: term, Y: x.Y} })
	case deep && x.Op == notation.OpMul:
		if second := d.terms(x.Y, deep, ends, left-1); len(second) > 1 {
			return each(second, func(term notation.Expr) notation.Expr { return &notation.Binary{Op: x.Op, X: x.X, Y: term} })
		}
	}
	return []notation.Expr{x}
}

func each(list []notation.Expr, f func(notation.Expr) notation.Expr) []notation.Expr {
	changed := make([]notation.Expr, len(list))
	for i, x := range list {
		changed[i] = f(x)
	}
	return changed
}

// pieceEnds returns the far end of each piece of the shaft, as text.
func (d *evaluator) pieceEnds() []string {
	var ends []string
	at := "0 m"
	for _, r := range d.working.Results(shaftCell) {
		cell, ok := r.Node.(*notation.ShaftCell)
		if !ok {
			continue
		}
		for _, line := range cell.Lines {
			if length := lengthOf(line); length != nil {
				at += " + (" + notation.Print(length) + ")"
				ends = append(ends, at)
			}
		}
	}
	return ends
}

// lengthOf returns the length of a piece of a shaft, or nil for another line.
func lengthOf(line notation.ShaftLine) notation.Expr {
	switch line := line.(type) {
	case *notation.ShaftSolid:
		return line.Length
	case *notation.ShaftHollow:
		return line.Length
	case *notation.ShaftProfile:
		return line.Length
	case *notation.ShaftSection:
		return line.Length
	}
	return nil
}

// twists returns the twist of each piece between its ends.
func twists(ends []string) []notation.Expr {
	var list []notation.Expr
	before := "0 m"
	for _, end := range ends {
		text := strings.NewReplacer("S", marking.ShaftName, "A", before, "B", end).Replace("S.twist(B) − S.twist(A)")
		x, problems := notation.ParseExpr(source.NewText("piece", text))
		if problems.HasErrors() {
			return nil
		}
		list = append(list, x)
		before = end
	}
	return list
}
