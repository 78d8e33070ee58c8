package derive_test

// A dimension is the powers of metre, kilogram and second.
type termDimension [3]float64

var wordDimensions = map[string]termDimension{
	"torque": {2, 1, -2}, "stress": {-1, 1, -2}, "length": {1, 0, 0}, "m^4": {4, 0, 0}, "N·m/m": {1, 1, -2}, "number": {},
}

func (d termDimension) plus(e termDimension, times float64) termDimension {
	for i := range d {
		d[i] += float64(times * e[i])
	}
	return d
}

// dimension returns the dimension of a term, or false where its parts do not fit
// together: below such a line the chain ends.
func (s *scenario) dimension(t *term, bound map[string]termDimension) (termDimension, bool) {
	kids := make([]termDimension, len(t.kids))
	inner := map[string]termDimension{}
	for k, v := range bound {
		inner[k] = v
	}
	for i := len(t.kids) - 1; i >= 0; i-- { // the limits first
		d, ok := s.dimension(t.kids[i], inner)
		if !ok {
			return d, false
		}
		kids[i] = d
		if isForm(t.op) && t.op != "if" {
			inner[t.text] = d
		}
	}
	switch t.op {
	case "name":
		if d, ok := bound[t.text]; ok {
			return d, true
		}
		for _, n := range s.names {
			if n.ident == t.text {
				return wordDimensions[n.word], true
			}
		}
		for _, d := range s.defs {
			if d.ident == t.text {
				return s.dimension(d.e, nil)
			}
		}
		return termDimension{}, true
	case "quantity":
		return wordDimensions["length"], true
	case "+", "-", "max", "min":
		return kids[0], kids[0] == kids[1]
	case "if":
		return kids[2], kids[0] == kids[1] && kids[2] == kids[3]
	case "*":
		return kids[0].plus(kids[1], 1), true
	case "/":
		return kids[0].plus(kids[1], -1), true
	case "^":
		return termDimension{}.plus(kids[0], floatOf(t.kids[1].text)), true
	case "neg", "abs", "sum", "limit":
		return kids[0], true
	case "f":
		if t.text == "sqrt" {
			return termDimension{}.plus(kids[0], 0.5), true
		}
		return kids[0], kids[0] == termDimension{}
	case "int", "riemann":
		return kids[0].plus(kids[2], 1), kids[1] == kids[2]
	case "derivative", "root", "call":
		return s.dimension(t.anti, bound)
	}
	return termDimension{}, true
}

// fits reports whether two lines have one dimension.
func (s *scenario) fits(a, b *term) bool {
	x, ok1 := s.dimension(a, nil)
	y, ok2 := s.dimension(b, nil)
	return ok1 && ok2 && x == y
}
