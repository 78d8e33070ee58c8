package derive

import (
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

type diagnostic = source.Diagnostic

// Codes of the diagnostics of this package.
const (
	// CodeNoDimension: the dimension of a given name is not stated.
	// Example: given a > b
	CodeNoDimension source.Code = "given-dimension"
	// CodeGivenTwice: a name is given twice with different dimensions.
	// Example: given L: length, L: torque
	CodeGivenTwice source.Code = "given-twice"
	// CodeNoCoordinate: the coordinate of a differential has no dimension.
	// Example: given T: torque
	//          dθ = T·dx
	CodeNoCoordinate source.Code = "coordinate"
	// CodeTooLong: with its definitions put in, a line is too long.
	CodeTooLong source.Code = "derivation-too-long"
)

// readGivens declares what the given lines give. Dimensions of names that
// occur only in a chain come from the others in it.
func (j *judge) readGivens() {
	var items []notation.GivenItem
	for _, line := range j.cell.Lines {
		if g, ok := line.(*notation.Given); ok {
			items = append(items, g.Items...)
		}
	}
	for _, item := range items {
		j.giveWithDimension(item)
	}
	for again := true; again; {
		again = false
		for _, item := range items {
			again = j.giveFromChain(item) || again
		}
	}
	seen := map[*notation.Compare]bool{}
	for _, item := range items {
		if _, known := j.scope.symbols[item.Name.Ident]; !known {
			j.list.Addf(item.Name.Span(), CodeNoDimension, "nothing says which dimension %s has", item.Name.Ident).
				Repair = "write given " + item.Name.Ident + ": length, or another dimension"
			j.scope.give(item.Name, unit.Dimension{}, nil)
			j.scope.symbols[item.Name.Ident].Type = check.Type{}
		}
		if item.Domain != nil && !seen[item.Domain] {
			seen[item.Domain] = true
			j.limit(item.Domain)
		}
	}
	j.limitSizes(items)
}

func (j *judge) giveWithDimension(item notation.GivenItem) {
	var d unit.Dimension
	var u *unit.Unit
	switch {
	case item.Word == notation.WholeNumber:
	case item.Word != "":
		d, _ = unit.Word(item.Word)
	case item.Unit != nil:
		d, u = item.Unit.Unit.Dim, &item.Unit.Unit
	default:
		return
	}
	if item.Name.Ident == "π" {
		return
	}
	known, twice := j.scope.symbols[item.Name.Ident]
	if !twice {
		j.scope.give(item.Name, d, u)
		j.scope.variable(item.Name.Ident).whole = item.Word == notation.WholeNumber
		return
	}
	if known.Type.Dim != d {
		x := j.list.Addf(item.Span(), CodeGivenTwice, "%s is already given as %s", item.Name.Ident, unit.Describe(known.Type.Dim))
		x.Related = []source.Related{{Span: known.At, Message: "here"}}
	}
}

// giveFromChain gives a name the dimension of what it is compared with.
func (j *judge) giveFromChain(item notation.GivenItem) bool {
	if _, known := j.scope.symbols[item.Name.Ident]; known || item.Domain == nil {
		return false
	}
	for _, x := range item.Domain.Xs {
		for _, n := range notation.FreeNames(x) {
			if _, known := j.scope.symbols[n.Ident]; !known && n.Ident != "π" {
				x = nil
				break
			}
		}
		if x == nil {
			continue
		}
		t, errs := j.scope.typeOf(x)
		if len(errs) > 0 || !t.IsQuantity() || t.Zero {
			continue
		}
		j.scope.give(item.Name, t.Dim, t.Unit)
		return true
	}
	return false
}

// limit takes a comparison into the domain. An equation that determines a name
// makes that name a defined one.
func (j *judge) limit(c *notation.Compare) {
	_, errs := j.scope.typeOf(c)
	for _, d := range errs {
		if d.Severity == source.Error {
			j.list = append(j.list, d)
			return
		}
	}
	if len(c.Ops) == 1 && c.Ops[0] == notation.OpEqual && (j.determine(c.Xs[0], c.Xs[1]) || j.determine(c.Xs[1], c.Xs[0])) {
		return
	}
	full, err := j.scope.full(c)
	if err != nil {
		j.list.Addf(c.Span(), CodeTooLong, "%v", err)
		return
	}
	j.scope.domain = append(j.scope.domain, full.(*notation.Compare))
}

// isWholeNumber reports whether an expression is a whole number as it is written.
func isWholeNumber(e notation.Expr) bool {
	switch e := notation.Unparen(e).(type) {
	case *notation.Unary:
		return isWholeNumber(e.X)
	case *notation.Number:
		return lastDigit(e.Text) == 1
	}
	return false
}

// determine makes "given T = T_A + T_B" define T.
func (j *judge) determine(x, by notation.Expr) bool {
	name, ok := notation.Unparen(x).(*notation.Name)
	if !ok || isFree(by, name.Ident) {
		return false
	}
	v := j.scope.variable(name.Ident)
	full, err := j.scope.full(by)
	if v == nil || err != nil || isFree(full, name.Ident) || v.whole && !isWholeNumber(full) {
		return false
	}
	kept := j.scope.vars[:0]
	for _, other := range j.scope.vars {
		if other != v {
			kept = append(kept, other)
		}
	}
	j.scope.vars = kept
	j.scope.values[name.Ident] = full
	for ident, value := range j.scope.values {
		j.scope.values[ident] = put(value, name.Ident, full)
	}
	for i, c := range j.scope.domain {
		j.scope.domain[i] = put(c, name.Ident, full).(*notation.Compare)
	}
	return true
}
