package derive

import "shaftbook/kernel/notation"

// limitSizes takes a diameter and a radius as greater than 0, unless the givens
// compare the name with 0 themselves: 0 ≤ r ≤ R for a place.
func (j *judge) limitSizes(items []notation.GivenItem) {
	compared := map[string]bool{}
	for _, item := range items {
		if item.Domain == nil || !withZero(item.Domain) {
			continue
		}
		for _, n := range notation.FreeNames(item.Domain) {
			compared[n.Ident] = true
		}
	}
	for _, item := range items {
		if item.Word != "diameter" && item.Word != "radius" || compared[item.Name.Ident] || j.scope.variable(item.Name.Ident) == nil {
			continue
		}
		compared[item.Name.Ident] = true
		m := makerAt(item.Name)
		c := &notation.Compare{Xs: []notation.Expr{m.name(item.Name.Ident), m.number(0)}, Ops: []notation.Op{notation.OpGreater}}
		c.At = m.at
		j.scope.domain = append(j.scope.domain, c)
	}
}

func withZero(c *notation.Compare) bool {
	for _, x := range c.Xs {
		switch x := notation.Unparen(x).(type) {
		case *notation.Number:
			if x.Value == 0 {
				return true
			}
		case *notation.Quantity:
			if x.Number.Value == 0 {
				return true
			}
		}
	}
	return false
}
