package handout

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A node is an element of XML, or a text (without a name).
type node struct {
	name  string
	attrs map[string]string
	text  string
	kids  []*node
}

// parse reads the elements of a piece of HTML as this program writes it.
func parse(markup string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(markup))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	root := &node{}
	open := []*node{root}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return root, nil
		}
		if err != nil {
			return nil, err
		}
		top := open[len(open)-1]
		switch t := tok.(type) {
		case xml.StartElement:
			n := &node{name: t.Name.Local, attrs: map[string]string{}}
			for _, a := range t.Attr {
				n.attrs[a.Name.Local] = a.Value
			}
			top.kids = append(top.kids, n)
			open = append(open, n)
		case xml.EndElement:
			if len(open) > 1 {
				open = open[:len(open)-1]
			}
		case xml.CharData:
			top.kids = append(top.kids, &node{text: string(t)})
		}
	}
}

// content is the text in a node.
func (n *node) content() string {
	s := n.text
	for _, k := range n.kids {
		s += k.content()
	}
	return s
}

// elements are the children that are elements.
func (n *node) elements() []*node {
	var list []*node
	for _, k := range n.kids {
		if k.name != "" && k.name != "annotation" {
			list = append(list, k)
		}
	}
	return list
}

// A setter lays out MathML Core, as package typeset writes it, at one size.
type setter struct {
	p     *press
	size  float64 // points
	style string  // "B" for a formula in bold, else empty
}

// Shares of the size of the type, as is usual in setting formulas (from memory).
const (
	axis     = 0.25 // of the bar of a fraction above the baseline
	between  = 0.12 // bar and what stands above and below it
	least    = 6.0  // points; script letters are not set smaller
	tallSign = 1.5  // of the signs of sums and integrals
)

func (s setter) em(share float64) float64 { return share * s.size * point }

func (s setter) script() setter {
	s.size = max(least, s.size*smaller)
	return s
}

func (s setter) all(list []*node) box {
	boxes := make([]box, len(list))
	for i, n := range list {
		boxes[i] = s.box(n)
	}
	return row(s.stretched(list, boxes)...)
}

func (s setter) box(n *node) box {
	kids := n.elements()
	kid := func(i int) *node {
		if i < len(kids) {
			return kids[i]
		}
		return &node{name: "mrow"}
	}
	switch n.name {
	case "mi":
		return s.ident(n)
	case "mn", "mtext":
		return s.p.text(n.content(), letter{s.style, s.size})
	case "mo":
		return s.operator(n)
	case "mspace":
		return gap(s.em(ems(n.attrs["width"])))
	case "mfrac":
		return s.fraction(kid(0), kid(1))
	case "msub":
		return s.scripts(kid(0), kid(1), nil)
	case "msup":
		return s.scripts(kid(0), nil, kid(1))
	case "msubsup":
		return s.scripts(kid(0), kid(1), kid(2))
	case "munder":
		return s.limits(kid(0), kid(1), nil)
	case "mover":
		return s.limits(kid(0), nil, kid(1))
	case "munderover":
		return s.limits(kid(0), kid(1), kid(2))
	case "msqrt":
		return s.root(kids)
	case "mtable":
		return s.table(kids)
	}
	return s.all(kids)
}

func ems(s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSuffix(s, "em"), 64)
	if err != nil {
		return 0
	}
	return v
}

func (s setter) ident(n *node) box {
	name := n.content()
	if utf8.RuneCountInString(name) == 1 && n.attrs["mathvariant"] != "normal" && s.style == "" {
		return s.p.text(name, letter{"I", s.size})
	}
	return s.p.text(name, letter{s.style, s.size})
}

func (s setter) operator(n *node) box {
	sign := strings.TrimSpace(n.content())
	switch sign {
	case "∑", "∏", "∫":
		big := s
		big.size *= tallSign
		return shifted(s.p.text(sign, letter{s.style, big.size}), s.em(0.2))
	}
	b := s.p.text(sign, letter{s.style, s.size})
	left, right := 0.0, 0.0
	switch {
	case n.attrs["lspace"] != "":
		left, right = ems(n.attrs["lspace"]), ems(n.attrs["rspace"])
	case sign == ",":
		right = 0.17
	case strings.Contains("=<>≤≥≈≠→", sign) && sign != "":
		left, right = 0.28, 0.28
	case n.attrs["form"] == "infix" || n.attrs["form"] == "" && strings.Contains("+−±×·⋅", sign) && sign != "":
		left, right = 0.2, 0.2
	}
	return row(gap(s.em(left)), b, gap(s.em(right)))
}

// stretched makes delimiters as tall as what stands beside them.
func (s setter) stretched(list []*node, boxes []box) []box {
	up, down := 0.0, 0.0
	tall := false
	for i, n := range list {
		if n.attrs["stretchy"] == "true" {
			tall = true
			continue
		}
		up, down = max(up, boxes[i].up), max(down, boxes[i].down)
	}
	if !tall {
		return boxes
	}
	half := max(up-s.em(axis), down+s.em(axis)) + s.em(0.08) // about the axis
	for i, n := range list {
		if n.attrs["stretchy"] == "true" {
			boxes[i] = s.delimiter(strings.TrimSpace(n.content()), half)
		}
	}
	return boxes
}

// delimiter draws a bracket that reaches as far above the axis as below it.
func (s setter) delimiter(sign string, half float64) box {
	if sign == "|" {
		return box{s.em(0.35), half + s.em(axis), half - s.em(axis), func(x, y float64) {
			y -= s.em(axis)
			s.p.rule(x+s.em(0.17), y-half, x+s.em(0.17), y+half, 0.5)
		}}
	}
	w := s.em(0.3)
	b := box{w + s.em(0.1), half + s.em(axis), half - s.em(axis), nil}
	b.draw = func(x, y float64) {
		top, mid, bottom := y-s.em(axis)-half, y-s.em(axis), y-s.em(axis)+half
		outer, inner := x+s.em(0.05), x+s.em(0.05)+w
		if sign == ")" || sign == "}" {
			outer, inner = inner, outer
		}
		pdf := s.p.pdf
		pdf.SetDrawColor(0, 0, 0)
		pdf.SetLineWidth(0.6 * point)
		pdf.MoveTo(inner, top)
		if sign == "{" || sign == "}" {
			bend := (inner + outer) / 2
			pdf.CurveBezierCubicTo(bend, top, bend, top, bend, (top+mid)/2)
			pdf.CurveBezierCubicTo(bend, mid, bend, mid, outer, mid)
			pdf.CurveBezierCubicTo(bend, mid, bend, mid, bend, (mid+bottom)/2)
			pdf.CurveBezierCubicTo(bend, bottom, bend, bottom, inner, bottom)
		} else {
			pdf.CurveBezierCubicTo(outer, top+half*0.5, outer, bottom-half*0.5, inner, bottom)
		}
		pdf.DrawPath("D")
	}
	return b
}

func (s setter) fraction(num, den *node) box {
	inner := s
	if s.size > 9 {
		inner.size = s.size * 0.9
	}
	a, b := inner.box(num), inner.box(den)
	w := max(a.w, b.w) + s.em(0.2)
	rise, drop := s.em(axis+between)+a.down, s.em(between-axis)+b.up
	return box{w + s.em(0.12), rise + a.up, drop + b.down, func(x, y float64) {
		x += s.em(0.06)
		a.draw(x+(w-a.w)/2, y-rise)
		b.draw(x+(w-b.w)/2, y+drop)
		s.p.rule(x, y-s.em(axis), x+w, y-s.em(axis), 0.5)
	}}
}

func (s setter) scripts(base, sub, sup *node) box {
	b := s.box(base)
	kern := s.em(0.03)
	var lower, upper box
	low, high := s.em(drop), max(s.em(rise), b.up-s.em(0.34))
	if sub != nil {
		lower = s.script().box(sub)
		low = max(low, b.down-s.em(0.1))
	}
	if sup != nil {
		upper = s.script().box(sup)
	}
	out := box{w: b.w + kern + max(lower.w, upper.w), up: b.up, down: b.down}
	if sub != nil {
		out.down = max(out.down, low+lower.down)
	}
	if sup != nil {
		out.up = max(out.up, high+upper.up)
	}
	out.draw = func(x, y float64) {
		b.draw(x, y)
		if sub != nil {
			lower.draw(x+b.w+kern, y+low)
		}
		if sup != nil {
			upper.draw(x+b.w+kern, y-high)
		}
	}
	return out
}

func (s setter) limits(base, under, over *node) box {
	b := s.box(base)
	w := b.w
	var lower, upper box
	if under != nil {
		lower = s.script().box(under)
		w = max(w, lower.w)
	}
	if over != nil {
		upper = s.script().box(over)
		w = max(w, upper.w)
	}
	out := box{w: w + s.em(0.1), up: b.up, down: b.down}
	rise, drop := b.up+upper.down+s.em(0.08), b.down+lower.up+s.em(0.08)
	if under != nil {
		out.down = drop + lower.down
	}
	if over != nil {
		out.up = rise + upper.up
	}
	out.draw = func(x, y float64) {
		b.draw(x+(w-b.w)/2, y)
		if under != nil {
			lower.draw(x+(w-lower.w)/2, y+drop)
		}
		if over != nil {
			upper.draw(x+(w-upper.w)/2, y-rise)
		}
	}
	return out
}

func (s setter) root(kids []*node) box {
	x := s.all(kids)
	sign := s.em(0.6)
	up := x.up + s.em(0.15)
	return box{sign + x.w + s.em(0.08), up + s.em(0.05), x.down, func(left, y float64) {
		pdf := s.p.pdf
		pdf.SetDrawColor(0, 0, 0)
		pdf.SetLineWidth(0.5 * point)
		pdf.MoveTo(left+s.em(0.08), y-s.em(0.25))
		pdf.LineTo(left+s.em(0.22), y-s.em(0.3))
		pdf.LineTo(left+s.em(0.38), y+x.down)
		pdf.LineTo(left+sign, y-up)
		pdf.LineTo(left+sign+x.w+s.em(0.08), y-up)
		pdf.DrawPath("D")
		x.draw(left+sign, y)
	}}
}

// table sets the lines of a brace: cells to the left, in columns.
func (s setter) table(lines []*node) box {
	var cells [][]box
	var columns []float64
	for _, line := range lines {
		var list []box
		for i, cell := range line.elements() {
			b := s.box(cell)
			if i == len(columns) {
				columns = append(columns, 0)
			}
			columns[i] = max(columns[i], b.w)
			list = append(list, b)
		}
		cells = append(cells, list)
	}
	height := 0.0
	tops := make([]float64, len(cells)) // of the baselines, from the top
	for i, list := range cells {
		r := row(list...)
		tops[i] = height + r.up
		height += r.up + r.down + s.em(0.2)
	}
	w := s.em(0.1)
	for _, c := range columns {
		w += c + s.em(0.6)
	}
	up := height/2 + s.em(axis)
	return box{w, up, height - up, func(x, y float64) {
		for i, list := range cells {
			at := x + s.em(0.1)
			for j, b := range list {
				b.draw(at, y-up+tops[i])
				at += columns[j] + s.em(0.6)
			}
		}
	}}
}

// formula sets a <math> element, or the text in its place if it cannot be read.
// meant is what it is read out as.
func (p *press) formula(markup, meant string, l letter) box {
	root, err := parse(markup)
	if err != nil {
		return p.text(meant, l)
	}
	style := l.style
	if style == "I" {
		style = ""
	}
	b := setter{p, l.size, style}.all(root.elements())
	draw, meant := b.draw, withPowers(meant)
	b.draw = func(x, y float64) { p.as(meant, func() { draw(x, y) }) }
	return b
}

// power is an exponent of digits in the notation.
var power = regexp.MustCompile(`\^[-−]?[0-9]+`)

// withPowers writes exponents as they are read: d⁴ for d^4.
func withPowers(plain string) string {
	return power.ReplaceAllStringFunc(plain, func(s string) string {
		out := ""
		for _, r := range s[1:] {
			if r == '-' || r == '−' {
				out += "⁻"
				continue
			}
			out += string([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹")[r-'0'])
		}
		return out
	})
}
