package exercises

import (
	"math/big"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// mostValues is the largest number of values one name can be drawn from.
const mostValues = 1000

var givenHead = pattern.New(`^(\p{L}[\p{L}\p{N}_]*)\s*(\([^()]*\))?$`)

func (r *reader) givens(n *yaml.Node) []*Given {
	if n.Kind != yaml.MappingNode {
		r.List.Addf(r.Span(n), CodeValue, "given is a list of names with their values").Repair = "write each on a line: T: 420 N·m"
		return nil
	}
	var list []*Given
	for i := 0; i+1 < len(n.Content); i += 2 {
		if g := r.given(n.Content[i], n.Content[i+1]); g != nil {
			list = append(list, g)
		}
	}
	return list
}

func (r *reader) given(key, value *yaml.Node) *Given {
	m := givenHead().FindStringSubmatch(key.Value)
	if key.Kind != yaml.ScalarNode || m == nil || notation.IsReserved(m[1]) {
		r.List.Addf(r.Span(key), CodeName, "“%s” cannot be a given name", key.Value).Repair = "begin with a letter, then letters, digits and _: d_0"
		return nil
	}
	g := &Given{at: r.Span(key)}
	g.Name, g.Head, g.IsFunc = notation.Canonical(m[1]), key.Value, m[2] != ""
	g.Derived = g.IsFunc
	switch value.Kind {
	case yaml.MappingNode:
		r.drawn(g, value)
	case yaml.ScalarNode:
		r.fixed(g, value)
	default:
		r.List.Addf(r.Span(value), CodeValue, "%s is given one value, or a range", g.Head).
			Repair = "write " + g.Head + ": {one of: […]} to draw it from a list"
	}
	if len(g.values) == 0 {
		return nil // the reason has been said
	}
	return g
}

// fixed reads one value; it is derived if it is an expression with names.
func (r *reader) fixed(g *Given, n *yaml.Node) {
	if x := r.expr(n, "the value of "+g.Head); x != nil {
		for _, name := range notation.FreeNames(x) {
			if _, builtin := notation.LookupBuiltin(name.Ident); !builtin && name.Ident != "π" {
				g.Derived, g.Uses = true, append(g.Uses, name.Ident)
			}
		}
		g.values = []string{n.Value}
		g.at = r.Span(n)
	}
}

// drawn reads {from: A, to: B, by: C} or {one of: [...]}.
func (r *reader) drawn(g *Given, n *yaml.Node) {
	var from, to, by, choices *yaml.Node
	put := func(into **yaml.Node) func(*yaml.Node) { return func(n *yaml.Node) { *into = n } }
	found := r.Fields(n, "a drawn value", map[string]func(*yaml.Node){
		"from": put(&from), "to": put(&to), "by": put(&by), "one of": put(&choices)})
	switch {
	case choices != nil && len(found) == 1:
		g.values = r.choices(choices)
		return
	case from != nil && to != nil && by != nil && choices == nil:
		r.steps(g, from, to, by)
		return
	}
	r.List.Addf(r.Span(n), CodeKey, "a drawn value has from, to and by, or else one of").
		Repair = "write {from: 30 mm, to: 40 mm, by: 2 mm} or {one of: [26 GPa, 79 GPa]}"
}

func (r *reader) choices(n *yaml.Node) []string {
	if n.Kind != yaml.SequenceNode || len(n.Content) < 2 || len(n.Content) > mostValues {
		r.List.Addf(r.Span(n), CodeValue, "one of is a list of two values or more").Repair = "write {one of: [26 GPa, 79 GPa]}"
		return nil
	}
	var values []string
	taken := map[string]bool{}
	for _, item := range n.Content {
		if r.expr(item, "a value to draw") == nil {
			return nil
		}
		if taken[item.Value] {
			r.List.Addf(r.Span(item), CodeValue, "%s is in this list twice", item.Value).Repair = "keep one of the two"
		}
		taken[item.Value] = true
		values = append(values, item.Value)
	}
	return values
}

// steps lists the values of a range, by exact arithmetic on the decimals as
// written, so that 0.1 m to 0.3 m by 0.1 m ends at 0.3 m.
func (r *reader) steps(g *Given, from, to, by *yaml.Node) {
	a, unitA, ok := r.decimal(from, "from")
	b, unitB, okB := r.decimal(to, "to")
	c, unitC, okC := r.decimal(by, "by")
	if !ok || !okB || !okC {
		return
	}
	if unitA != unitB || unitA != unitC {
		r.List.Addf(r.Span(to), CodeValue, "from, to and by are written in one unit").Repair = "write all three in " + orOne(unitA)
		return
	}
	if c.Sign() <= 0 || b.Cmp(a) <= 0 {
		r.List.Addf(r.Span(by), CodeValue, "a range goes up from its first value to its last, by a step above 0").Repair = "write from: 30 mm, to: 40 mm, by: 2 mm"
		return
	}
	count := new(big.Rat).Quo(new(big.Rat).Sub(b, a), c)
	if !count.IsInt() || count.Num().Cmp(big.NewInt(mostValues-1)) > 0 {
		r.List.Addf(r.Span(to), CodeValue, "this range must be at most %d whole steps of by", mostValues-1).Repair = "choose to or by so that the last step ends at to"
		return
	}
	for v := a; v.Cmp(b) <= 0; v = new(big.Rat).Add(v, c) {
		g.values = append(g.values, strings.TrimSpace(decimalText(v)+" "+unitA))
	}
	scale := 1.0
	if u, err := unit.Parse(unitA); err == nil {
		scale = u.Factor
	}
	low, _ := a.Float64()
	high, _ := b.Float64()
	g.Range = [2]float64{low * scale, high * scale}
}

func orOne(symbol string) string {
	if symbol == "" {
		return "no unit"
	}
	return symbol
}

// decimal reads a number literal with its unit, exactly.
func (r *reader) decimal(n *yaml.Node, what string) (v *big.Rat, symbol string, ok bool) {
	x := r.expr(n, what)
	negative := false
	if u, isSign := x.(*notation.Unary); isSign && u.Op == notation.OpNeg {
		x, negative = u.X, true
	}
	var number *notation.Number
	switch x := x.(type) {
	case nil:
		return nil, "", false
	case *notation.Number:
		number = x
	case *notation.Quantity:
		number, symbol = x.Number, x.Unit.Text
	default:
		r.List.Addf(r.Span(n), CodeValue, "%s is a number with its unit", what).Repair = "write " + what + ": 30 mm; work out other values as names of their own"
		return nil, "", false
	}
	v, ok = notation.StaticRational(number, func(string) (notation.Expr, bool) { return nil, false })
	if !ok {
		r.List.Addf(r.Span(n), CodeValue, "%s is too large or too small for a range", what).Repair = "use another unit"
		return nil, "", false
	}
	if negative {
		v.Neg(v)
	}
	return v, symbol, true
}

// decimalText writes a fraction that is a sum of decimals.
func decimalText(v *big.Rat) string {
	places, _ := v.FloatPrec()
	return strings.Replace(v.FloatString(places), "-", "−", 1)
}

// cellText returns the statement that gives g its i-th value.
func (g *Given) cellText(i int, name string, line int) *source.Text {
	return &source.Text{Name: name, Content: g.Head + " = " + g.values[i], FirstLine: line}
}
