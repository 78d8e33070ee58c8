package exercises

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
)

// saysAgain returns why a line that fills a gap says nothing new, or "". The line is
// compared with the lines above it in its chain, the name the chain defines, and the line
// below. What the author's own line does is never held against a learner's.
func saysAgain(c chain, own, author notation.Expr) string {
	if holdsName(own, c.name) && (author == nil || !holdsName(author, c.name)) {
		return fmt.Sprintf("This holds %s, which is what is worked out here: that says again what stands above. Write what it is equal to without %s.", c.name, c.name)
	}
	for _, above := range c.above {
		if isSameLine(own, above) || isPadded(own, above) && !(author != nil && isPadded(author, above)) {
			return "That says again what stands above. Write what follows from it."
		}
		if plainForm(own, nil) == plainForm(above, nil) && (author == nil || plainForm(author, nil) != plainForm(above, nil)) {
			return "That says again what stands above. Write what follows from it."
		}
	}
	if c.below != nil && isSameLine(own, c.below) {
		return "This is what the line below comes to. Write the step between."
	}
	return ""
}

// A chain is what stands around a line to fill: what the chain defines, and its lines.
type chain struct {
	name  string
	above []notation.Expr // of the chain
	below notation.Expr   // or nil
}

// chainAt returns what stands around the step at an index.
func chainAt(lines []notation.DeriveLine, at int) chain {
	var c chain
	for i := at - 1; i >= 0; i-- {
		if x := sideOf(lines[i]); x != nil {
			c.above = append(c.above, x)
		}
		if d, ok := lines[i].(*notation.DeriveDefine); ok {
			c.name = d.Name.Ident
			break
		}
		if s, ok := lines[i].(*notation.DeriveStep); !ok || s.Left != nil {
			if ok {
				c.above = append(c.above, s.Left)
			}
			break
		}
	}
	if at+1 < len(lines) {
		if s, ok := lines[at+1].(*notation.DeriveStep); ok && s.Left == nil {
			c.below = s.X
		}
	}
	return c
}

// holdsName reports whether a name stands in an expression, unless a form binds it there.
func holdsName(x notation.Expr, name string) bool {
	if name == "" {
		return false
	}
	held := slices.ContainsFunc(notation.FreeNames(x), func(n *notation.Name) bool { return n.Ident == name })
	notation.Inspect(x, func(n notation.Node) bool {
		if call, ok := n.(*notation.Call); ok && call.Fun.Ident == name {
			held = true
		}
		return !held
	})
	return held
}

// isSameLine reports whether two lines differ in spaces and brackets only.
func isSameLine(a, b notation.Expr) bool { return bare(a) == bare(b) }

// isPadded reports whether a line is another one made longer by what cancels: a factor
// over itself, a term less itself, a number taken apart. A line that is not longer is no
// padding, so that what shortens the line above is always something new.
func isPadded(own, above notation.Expr) bool {
	if weight(own) <= weight(above) {
		return false
	}
	return fullForm(own, nil).text() == fullForm(above, nil).text()
}

// weight is how long a line is: its names, numbers and signs, with a 1 less than another
// number, and a power by a number one more than its base.
func weight(x notation.Expr) int {
	switch x := notation.Unparen(x).(type) {
	case *notation.Name:
		return 1
	case *notation.Number:
		if x.Value == 1 {
			return 1
		}
		return 2
	case *notation.Binary:
		if _, byNumber := notation.Unparen(x.Y).(*notation.Number); x.Op == notation.OpPow && byNumber {
			return weight(x.X) + 1
		}
		return weight(x.X) + weight(x.Y) + 1
	case *notation.Unary:
		return weight(x.X) + 1
	default:
		n := 1
		for _, child := range notation.Children(x) {
			if e, ok := child.(notation.Expr); ok {
				n += weight(e)
			}
		}
		return n
	}
}

// names maps names that a form binds to what stands for them.
type names map[string]string

func (n names) with(ident string) names {
	m := names{ident: fmt.Sprintf("#%d", len(n))}
	for k, v := range n {
		if k != ident {
			m[k] = v
		}
	}
	return m
}

// plainForm writes an expression so that it does not matter in which order terms and
// factors stand, whether a factor 1 or a term 0 is there, how a bound name is called, and
// whether a lone number is a factor or its reciprocal a divisor. Nothing is worked out:
// two lines with another form may be equal, and to show that may be the exercise.
func plainForm(x notation.Expr, bound names) string {
	x = notation.Unparen(x)
	switch {
	case isSumOf(x):
		var terms []string
		plainTerms(x, false, bound, &terms)
		if len(terms) == 0 {
			return "0"
		}
		slices.Sort(terms)
		if len(terms) == 1 {
			return terms[0]
		}
		return "(" + strings.Join(terms, "+") + ")"
	case isProductOf(x):
		var p plainProduct
		p.collect(x, false, bound)
		return p.text()
	}
	return atomForm(x, bound, plainForm)
}

func isSumOf(x notation.Expr) bool {
	b, ok := x.(*notation.Binary)
	return ok && (b.Op == notation.OpAdd || b.Op == notation.OpSub)
}

func isProductOf(x notation.Expr) bool {
	switch x := x.(type) {
	case *notation.Binary:
		return x.Op == notation.OpMul || x.Op == notation.OpDiv
	case *notation.Unary, *notation.Number:
		return true
	}
	return false
}

func plainTerms(x notation.Expr, negative bool, bound names, terms *[]string) {
	x = notation.Unparen(x)
	if b, ok := x.(*notation.Binary); ok && isSumOf(x) {
		plainTerms(b.X, negative, bound, terms)
		plainTerms(b.Y, negative != (b.Op == notation.OpSub), bound, terms)
		return
	}
	p := plainProduct{negative: negative}
	p.collect(x, false, bound)
	if text := p.text(); text != "0" {
		*terms = append(*terms, text)
	}
}

// A plainProduct is a product as it is written: nothing of it is multiplied out.
type plainProduct struct {
	negative bool
	numbers  []*big.Rat
	over     []string
	under    []string
}

func (p *plainProduct) collect(x notation.Expr, divides bool, bound names) {
	x = notation.Unparen(x)
	switch x := x.(type) {
	case *notation.Unary:
		p.negative = p.negative != (x.Op == notation.OpNeg)
		p.collect(x.X, divides, bound)
		return
	case *notation.Number:
		if r := rational(x); r != nil && (r.Sign() != 0 || !divides) {
			if divides {
				r = new(big.Rat).Inv(r)
			}
			if r.Cmp(big.NewRat(1, 1)) != 0 {
				p.numbers = append(p.numbers, r)
			}
			return
		}
	case *notation.Binary:
		switch {
		case x.Op == notation.OpMul && !divides:
			p.collect(x.X, false, bound)
			p.collect(x.Y, false, bound)
			return
		case x.Op == notation.OpDiv && !divides:
			p.collect(x.X, false, bound)
			p.collect(x.Y, true, bound)
			return
		case x.Op == notation.OpMul && divides:
			var under plainProduct
			under.collect(x, false, bound)
			p.negative = p.negative != under.negative
			under.negative = false
			if len(under.numbers) == 1 && under.numbers[0].Sign() != 0 {
				p.numbers = append(p.numbers, new(big.Rat).Inv(under.numbers[0]))
				under.numbers = nil
			}
			if text := under.text(); text != "1" {
				p.under = append(p.under, text)
			}
			return
		}
	}
	text := plainForm(x, bound)
	switch {
	case text == "1":
	case divides:
		p.under = append(p.under, text)
	default:
		p.over = append(p.over, text)
	}
}

func (p *plainProduct) text() string {
	var parts []string
	for _, r := range p.numbers {
		if r.Sign() == 0 {
			return "0"
		}
		parts = append(parts, r.RatString())
	}
	parts = append(parts, p.over...)
	for _, u := range p.under {
		parts = append(parts, "1/"+u)
	}
	slices.Sort(parts)
	text := strings.Join(parts, "·")
	if text == "" {
		text = "1"
	}
	if p.negative {
		return "−" + text
	}
	return text
}

// rational is the value of a number as it is written.
func rational(n *notation.Number) *big.Rat {
	if r, ok := new(big.Rat).SetString(n.Text); ok {
		return r
	}
	return new(big.Rat).SetFloat64(n.Value)
}

// atomForm writes what is neither a sum nor a product, with its parts in the given form.
func atomForm(x notation.Expr, bound names, form func(notation.Expr, names) string) string {
	switch x := x.(type) {
	case *notation.Name:
		if stand, ok := bound[x.Ident]; ok {
			return stand
		}
		return x.Ident
	case *notation.Binary: // a power
		base, power := form(x.X, bound), form(x.Y, bound)
		if power == "1" {
			return base
		}
		return base + "^" + power
	case *notation.Root:
		return "sqrt{" + form(x.X, bound) + "}"
	case *notation.Call:
		var args []string
		for _, a := range x.Args {
			args = append(args, form(a, bound))
		}
		return x.Fun.Ident + "{" + strings.Join(args, ";") + "}"
	case *notation.Bind:
		inside, text := bound, x.Kind.String()+"{"
		if x.Var != nil {
			inside = bound.with(x.Var.Ident)
		}
		for _, end := range []notation.Expr{x.From, x.To} {
			if end != nil {
				text += form(end, bound)
			}
			text += ";"
		}
		return text + form(x.Body, inside) + "}"
	case *notation.Abs:
		return "|" + form(x.X, bound) + "|"
	}
	return notation.Print(x)
}
