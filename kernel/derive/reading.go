package derive

import (
	"context"
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// ChooseReadings chooses how the lines of a derivation are read whose text alone
// does not decide it, as 2 T L where T is given: package check says how. It returns
// the cell with these lines, and the messages of reading it so; list is that of the
// plain reading.
func ChooseReadings(cell *notation.DeriveCell, list source.List) (*notation.DeriveCell, source.List) {
	isDoubtful := func(l notation.DeriveLine) bool {
		if _, bad := l.(*notation.DeriveBad); bad {
			return true
		}
		d := notation.DoubtsOf(l)
		return len(d.Symbols) > 0 || d.Fraction != nil
	}
	if !slices.ContainsFunc(cell.Lines, isDoubtful) {
		return cell, list
	}
	r := reader{judge: newJudge(context.Background(), cell, Settings{})}
	chosen := &notation.DeriveCell{Text: cell.Text, Lines: slices.Clone(cell.Lines)}
	for i, line := range chosen.Lines {
		if again, parsed, ok := r.withNames(line, list); ok {
			line, chosen.Lines[i] = again, again
			list = append(outside(list, lineOf(again)), parsed...)
		} else if isDoubtful(line) {
			reading := r.judge.scope.checker.ChooseDerived(line, r.typeOf)
			at := line.Span()
			switch {
			case reading.Asked.HasErrors():
				bad := &notation.DeriveBad{}
				bad.At = at
				line = bad
				list = append(list, reading.Asked...)
			case !reading.IsPlain():
				line = reading.Node
				list = append(outside(list, at), reading.Parsed...)
			}
			chosen.Lines[i] = line
		}
		r.take(line)
	}
	list.Sort()
	return chosen, list
}

// outside returns the messages that are not within a place.
func outside(list source.List, at source.Span) source.List {
	return slices.DeleteFunc(slices.Clone(list), func(d source.Diagnostic) bool {
		return d.Span.Text == at.Text && at.Start <= d.Span.Start && d.Span.End <= at.End
	})
}

// A reader knows the types of what the lines read so far name.
type reader struct {
	judge *judge
	last  check.Type // of the line above, if known
}

// typeOf returns the type of a line; ok is false if it has none, or another than
// the line above that it claims to be equal to.
func (r *reader) typeOf(l notation.DeriveLine) (check.Type, bool) {
	var e notation.Expr
	compared := check.Type{}
	switch l := l.(type) {
	case *notation.DeriveDefine:
		e = l.Expr
	case *notation.DeriveStep:
		e = l.X
		switch {
		case l.Op == notation.OpPropTo:
		case l.Left != nil:
			t, ok := r.exprType(l.Left)
			if !ok {
				return check.Type{}, false
			}
			compared = t
		default:
			compared = r.last
		}
	}
	if e == nil {
		return check.Type{}, false
	}
	t, ok := r.exprType(e)
	return t, ok && (!compared.IsQuantity() || compared.Dim == t.Dim)
}

func (r *reader) exprType(e notation.Expr) (check.Type, bool) {
	t, errs := r.judge.scope.typeOf(e)
	for _, d := range errs {
		if d.Severity == source.Error {
			return check.Type{}, false
		}
	}
	return t, t.IsQuantity()
}

// take remembers what a line defines, and its type for the line below.
func (r *reader) take(l notation.DeriveLine) {
	scope := r.judge.scope
	switch l := l.(type) {
	case *notation.DeriveDefine:
		if l.Params != nil {
			f := &notation.DefineFunc{Name: l.Name, Params: l.Params, Body: l.Expr}
			f.At = l.At
			scope.declare(&check.Symbol{Ident: l.Name.Ident, Kind: check.Function, At: l.Name.Span(), Func: f})
			r.last = check.Type{}
			return
		}
		r.last, _ = r.exprType(l.Expr)
		if r.last.IsQuantity() && l.Over == nil {
			scope.declare(&check.Symbol{Ident: l.Name.Ident, At: l.Name.Span(), Type: r.last, Expr: l.Expr})
		}
	case *notation.DeriveStep:
		if t, ok := r.typeOf(l); ok {
			r.last = t
		}
	case *notation.Given:
	default:
		r.last = check.Type{}
	}
}
