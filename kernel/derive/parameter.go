package derive

import (
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// adviseParameters gives the advice to state a dimension where a step below
// "T(x) = …" uses an x that nothing gives: the parameter of a function has a
// dimension only where the function is applied.
func (j *judge) adviseParameters() {
	for i := range j.list {
		d := &j.list[i]
		if d.Code != check.CodeUndefined {
			continue
		}
		x := d.Span.Content()
		f := j.functionOver(x, d.Span)
		if f == "" {
			continue
		}
		d.Repair = "write given " + x + ": " + j.wordFor(x) + " above this line, so that the steps for " + f + "(" + x + ") hold for every " + x
		d.Fix = nil
	}
}

// functionOver returns the last function above a place that has x as its
// parameter, "" if there is none.
func (j *judge) functionOver(x string, at source.Span) string {
	found := ""
	for _, line := range j.cell.Lines {
		define, ok := line.(*notation.DeriveDefine)
		if !ok || define.Span().Start > at.Start {
			continue
		}
		for _, p := range define.Params {
			if p.Ident == x {
				found = define.Name.Ident
			}
		}
	}
	return found
}

// wordFor is the trade's word for the dimension of a coordinate: that of the
// other end of an integral that begins or ends there, or else a length.
func (j *judge) wordFor(x string) string {
	for _, line := range j.cell.Lines {
		e := expressionOf(line)
		if e == nil {
			continue
		}
		for _, b := range binds(e, notation.Integral) {
			if b.To == nil {
				continue
			}
			for _, ends := range [][2]notation.Expr{{b.From, b.To}, {b.To, b.From}} {
				if name, ok := notation.Unparen(ends[0]).(*notation.Name); !ok || name.Ident != x {
					continue
				}
				t, errs := j.scope.typeOf(ends[1])
				if t.IsQuantity() && t.Dim.IsNumber() && !t.Zero {
					return "number"
				}
				_, word, _ := strings.Cut(unit.Describe(t.Dim), " ")
				if d, ok := unit.Word(word); ok && d == t.Dim && t.IsQuantity() && !t.Zero && !source.List(errs).HasErrors() {
					return word
				}
			}
		}
	}
	return "length"
}
