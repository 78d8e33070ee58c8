package handout

import (
	"fmt"
	"math"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/words"
)

// The letters of a sheet.
var (
	body   = letter{"", 10.5}
	strong = letter{"B", 10.5}
	heavy  = letter{"B", 12}
	name   = letter{"", 13}
	small  = letter{"", 9}
	aside  = letter{"I", 10.5}
)

const (
	lead     = 1.2 // millimetres between lines
	square   = 5.0 // side of the squares to work on
	hanging  = 6.0 // of the further lines of a calculation
	ruledPen = 0.4 // points

	rowShade  = 110 // of lines between rows of a table
	squarePen = 0.3 // points
	faint     = 190 // the shade of squares
)

// paragraph sets items in lines, with room below.
func paragraph(items []item, width, hang, below float64) block {
	list := lines(items, width, hang)
	b := block{height: below}
	for _, l := range list {
		b.height += l.up + l.down + lead
	}
	b.draw = func(x, y float64) {
		for _, l := range list {
			l.draw(x, y+l.up)
			y += l.up + l.down + lead
		}
	}
	return b
}

func space(height float64) block { return block{height: height, draw: func(float64, float64) {}} }

// squares draws as many columns and rows of squares as there is room for.
func (p *press) squares(x, y, width, height float64) {
	columns, rows := math.Floor(width/square+1e-9), math.Floor(height/square+1e-9)
	for i := 0.0; i <= columns; i++ {
		p.shaded(x+i*square, y, x+i*square, y+rows*square, squarePen, faint)
	}
	for i := 0.0; i <= rows; i++ {
		p.shaded(x, y+i*square, x+columns*square, y+i*square, squarePen, faint)
	}
}

func (p *press) line(width, weight, above, below float64) block {
	return block{height: above + below, draw: func(x, y float64) { p.rule(x, y+above, x+width, y+above, weight) }}
}

// sheet lays out all of a sheet.
func (p *press) sheet(s *Handout, width float64) []group {
	head := p.head(s, width)
	var groups []group
	for i := range s.Problems {
		of := p.problem(&s.Problems[i], i+1, width)
		if i == 0 {
			of[0] = append(head, of[0]...)
		}
		groups = append(groups, of...)
	}
	if len(s.Problems) == 0 {
		groups = append(groups, append(head, paragraph(p.plain("There are no exercises here.", body), width, 0, 2)))
	}
	caution := Caution
	if s.HasFigures() {
		caution = Scale + " " + caution
	}
	return append(groups, group{space(4), p.line(width, 0.5, 0, 1.5), paragraph(p.plain(caution, small), width, 0, 0)})
}

func (p *press) head(s *Handout, width float64) group {
	top := p.form(s, width)
	if s.Answers {
		who := p.cut(s.Name, name, width)
		top = block{height: who.up + who.down + 2, draw: func(x, y float64) { who.draw(x, y+who.up) }}
	}
	meta := s.Class
	if s.Due != "" {
		if meta != "" {
			meta += " · "
		}
		meta += "due " + s.Due
	}
	title := s.Title
	if s.Answers {
		title += ": answers"
	}
	g := group{top}
	if meta != "" {
		g = append(g, paragraph(p.plain(meta, body), width, 0, 0.5))
	}
	return append(g, paragraph(p.plain(title, heavy), width, 0, 0.5), p.line(width, 0.7, 0.5, 3))
}

// form is the box of name, date and points at the head of a sheet.
func (p *press) form(s *Handout, width float64) block {
	const high, date, points = 11.0, 38.0, 32.0
	cells := []struct {
		label, text string
		w           float64
	}{{"Name", s.Name, width - date - points}, {"Date", "", date}, {"", "of " + s.Points(), points}}
	return block{height: high + 3, draw: func(x, y float64) {
		p.outline(x, y, width, high)
		for i, c := range cells {
			if i > 0 {
				p.rule(x, y, x, y+high, ruledPen)
			}
			label := p.text(c.label, small)
			label.draw(x+1.5, y+1+label.up)
			left := x + label.w + 4
			text := p.cut(c.text, name, x+c.w-1.5-left)
			if i > 0 {
				left = x + c.w - 1.5 - text.w
			}
			text.draw(left, y+high-3.5)
			x += c.w
		}
	}}
}

// outline draws a rectangle.
func (p *press) outline(x, y, width, height float64) {
	p.pdf.SetDrawColor(0, 0, 0)
	p.pdf.SetLineWidth(0.5 * point)
	p.pdf.Rect(x, y, width, height, "D")
}

// blank is a word before a line to write on.
func (p *press) blank(word string, l letter, length float64) box {
	b := p.text(word, l)
	return row(b, box{w: length, draw: func(x, y float64) { p.rule(x, y+0.5, x+length, y+0.5, ruledPen) }})
}

func (p *press) problem(pr *Problem, number int, width float64) []group {
	g := group{space(2), paragraph(p.plain(fmt.Sprintf("%d. %s", number, pr.Title), strong), width, 0, 1)}
	if pr.Trouble != "" {
		g = append(g, paragraph(p.plain(pr.Trouble, body), width, 0, 1))
	}
	if pr.Setting != "" {
		g = append(g, paragraph(p.prose(pr.Setting, body), width, 0, 1))
	}
	if len(pr.Given) > 0 {
		var items []item
		for _, v := range pr.Given {
			items = append(items, item{box: row(p.given(v), gap(6))}, item{space: true, box: gap(0)})
		}
		g = append(g, paragraph(items, width, 0, 1))
	}
	for _, l := range pr.Lines {
		if l.Gap > 0 {
			g = append(g, paragraph(p.plain("= ?  ("+l.Words()+")", body), width, 6, 1))
			continue
		}
		line := item{box: p.formula(typeset.Formula(l.Node), typeset.Plain(l.Node), body, true)}
		if line.box.w > width {
			g = append(g, paragraph(p.plain(typeset.Plain(l.Node), body), width, 6, 1))
			continue
		}
		g = append(g, paragraph([]item{line}, width, 0, 1))
	}
	for _, f := range pr.Figures {
		b, err := p.figure(f)
		if err != nil {
			b = paragraph(p.plain("This figure cannot be drawn: "+err.Error(), body), width, 0, 1)
		}
		g = append(g, b)
	}
	for _, q := range pr.Guesses {
		g = append(g, p.guess(q, width)...)
	}
	groups := []group{g}
	for i := range pr.Parts {
		of := p.part(&pr.Parts[i], width)
		if i == 0 {
			groups[0] = append(groups[0], of[0]...)
			of = of[1:]
		}
		groups = append(groups, of...)
	}
	return groups
}

func (p *press) given(v exercises.Value) box {
	line := v.Name + " = " + v.Text
	cell, list := notation.ParseCell(source.NewText("", line))
	if list.HasErrors() || len(cell.Stmts) != 1 {
		return p.text(line, body)
	}
	return p.formula(typeset.Formula(cell.Stmts[0]), line, body, true)
}

func (p *press) guess(q Prediction, width float64) group {
	items := append(p.plain("Predict first. ", aside), p.prose(q.Text, body)...)
	answer := row(p.tick("more"), p.tick("less"), p.tick("the same"))
	if q.Bracket {
		answer = row(p.blank("Certainly more than ", body, 28), p.blank(" and less than ", body, 28))
	}
	return group{paragraph(items, width, 0, 1.5), {height: answer.up + answer.down + 3, draw: func(x, y float64) { answer.draw(x, y+answer.up) }}}
}

// tick is a sentence to pick.
func (p *press) tick(s string) box { return row(p.tickBox(), p.text(s, body), gap(8)) }

func (p *press) tickBox() box {
	const side = 2.6
	return box{side + 2, side, 0.3, func(x, y float64) {
		p.outline(x, y-side+0.3, side, side)
	}}
}

// part lays out one part; the blocks of each group stay together.
func (p *press) part(part *Part, width float64) []group {
	worth := p.text(words.Amount(part.Ask.Points, "point"), small)
	var items []item
	if part.Letter != "" {
		items = p.plain("("+part.Letter+") ", body)
	}
	asked := paragraph(append(items, p.prose(part.Ask.Asks(), body)...), width-worth.w-6, 0, 1)
	text := asked.draw
	asked.draw = func(x, y float64) {
		text(x, y)
		worth.draw(x+width-worth.w, y+body.size*point*0.7)
	}
	if part.Expected != nil {
		return p.answer(part, asked, width)
	}
	g := group{asked}
	for _, o := range part.Ask.Options {
		mark := p.tickBox()
		option := paragraph(p.prose(o.Text, body), width-mark.w, 0, 0.6)
		draw := option.draw
		option.draw = func(x, y float64) {
			mark.draw(x, y+body.size*point*0.7)
			draw(x+mark.w, y)
		}
		g = append(g, option)
	}
	if n := part.Squares(); n > 0 {
		g = append(g, block{height: float64(n) * square, field: func(x, y, height float64) { p.squares(x, y, width, height) }})
	}
	return []group{append(g, space(4))}
}

// answer lays out what is expected.
func (p *press) answer(part *Part, asked block, width float64) []group {
	e := part.Expected
	g := group{asked}
	if len(e.Shaft) > 0 {
		g = append(g, paragraph(p.plain("Shaft S: "+strings.Join(e.Shaft, "; "), small), width, 0, 0.5))
	}
	if part.Ask.Kind == marking.Pick || part.Ask.Kind == marking.Line {
		g = append(g, paragraph(p.prose(e.Value, strong), width, 0, 0.5))
	}
	var groups []group
	for _, s := range e.Steps {
		g = append(g, p.step(s, width))
		groups, g = append(groups, g), nil
	}
	if e.From != "" {
		items := p.plain("Accepted from ", small)
		items = append(items, item{box: p.quantity(e.From, small)})
		items = append(items, p.plain(" to ", small)...)
		items = append(items, item{box: p.quantity(e.To, small)})
		g = append(g, paragraph(append(items, p.plain(" (within "+e.Within+").", small)...), width, 0, 0.5))
	}
	if e.Why != "" {
		g = append(g, paragraph(p.prose(e.Why, small), width, 0, 0.5))
	}
	if e.Route != nil {
		g = append(g, space(0.8), paragraph(p.plain(RouteHeading(e.Route), small), width, 0, 0.4), p.step(*e.Route, width))
	}
	if g != nil {
		groups, g = append(groups, g), nil
	}
	if e.Low != nil {
		groups = append(groups, group{
			space(1.2), paragraph(p.plain("Can it be right?", aside), width, 0, 0.5),
			p.bound("certainly above", e.Low, width), p.bound("certainly below", e.High, width), space(1),
		})
	}
	for i, w := range e.Slips {
		b := p.slip(w, width)
		if i == 0 {
			groups = append(groups, group{space(1.2), paragraph(p.plain("Results of common slips", aside), width, 0, 0.5), b})
			continue
		}
		groups = append(groups, group{b})
	}
	return append(groups, group{space(3)})
}

// step sets symbol = formula = numbers = result; it breaks before a sign of
// equality.
func (p *press) step(s exercises.Step, width float64) block {
	var items []item
	part := func(b ...box) {
		items = append(items, item{box: row(b...)}, item{space: true, box: p.text(" ", body)})
	}
	equals := func() box { return p.text("= ", body) }
	if s.Symbol != "" {
		part(p.symbol(s.Symbol), p.text(" =", body))
	}
	room := width - hanging - equals().w
	formula := p.fitted(s.Formula, room)
	if formula == nil {
		items = append(items, p.plain(typeset.Plain(s.Formula), body)...)
		items = append(items, item{space: true, box: p.text(" ", body)})
	} else {
		part(*formula)
	}
	if s.Numbers != nil {
		if b := p.fitted(s.Numbers, room); b != nil {
			part(equals(), *b)
		} else {
			items = append(items, p.plain("= "+typeset.Plain(s.Numbers)+" ", body)...)
		}
	}
	if s.Result != "" && s.Result != typeset.Plain(s.Formula) {
		part(equals(), p.quantity(s.Result, strong))
	}
	return paragraph(items, width, hanging, 1)
}

// fitted sets a formula, smaller if it is too wide; nil if it has no room even
// so, and has to be written in lines.
func (p *press) fitted(n notation.Node, width float64) *box {
	formula, meant := typeset.Formula(n), typeset.Plain(n)
	for _, size := range []float64{body.size, 9, 7.5} {
		if b := p.formula(formula, meant, letter{"", size}, true); b.w <= width {
			return &b
		}
	}
	return nil
}

func (p *press) symbol(name string) box {
	x, list := notation.ParseExpr(source.NewText("", name))
	if list.HasErrors() {
		return p.text(name, body)
	}
	return p.formula(typeset.Formula(x), name, body, true)
}

func (p *press) quantity(shown string, l letter) box {
	return p.formula(typeset.Value(shown), shown, l, true)
}

// columns of the tables of answers, as shares of the width.
const (
	nameShare  = 0.25
	valueShare = 0.24
)

func (p *press) bound(word string, b *exercises.Bound, width float64) block {
	var items []item
	room := width * (1 - nameShare - valueShare)
	if typeset.Plain(b.Formula) != b.Value {
		comma := ""
		if b.Is != "" {
			comma = ", "
		}
		if f := p.fitted(b.Formula, room-10); f != nil {
			items = append(items, item{box: *f})
			items = append(items, p.plain(comma, small)...)
		} else {
			items = append(items, p.plain(typeset.Plain(b.Formula)+comma, small)...)
		}
	}
	items = append(items, p.plain(b.Is, small)...)
	return p.row(p.plain(word, small), []item{{box: p.quantity(b.Value, small)}}, items, width)
}

func (p *press) slip(w exercises.Wrong, width float64) block {
	var values []item
	shown, more := FirstValues(w.Values)
	for i, v := range shown {
		b := p.quantity(v, small)
		if i+1 < len(shown) {
			b = row(b, p.text(",", small))
		}
		values = append(values, item{box: b}, item{space: true, box: p.text(" ", small)})
	}
	if more > 0 {
		values = append(values, p.plain(fmt.Sprintf("and %d more", more), small)...)
	}
	return p.row(p.plain(w.Words, small), values, p.plain(w.Says, small), width)
}

// row is a line of a table of three columns, ruled off below.
func (p *press) row(a, b, c []item, width float64) block {
	const between = 4.0
	starts := []float64{0, width * nameShare, width * (nameShare + valueShare)}
	cells := []block{
		paragraph(a, width*nameShare-between, 0, 0),
		paragraph(b, width*valueShare-between, 0, 0),
		paragraph(c, width*(1-nameShare-valueShare), 0, 0),
	}
	const above = 0.8
	height := above + max(cells[0].height, cells[1].height, cells[2].height)
	return block{height: height, draw: func(x, y float64) {
		for i, cell := range cells {
			cell.draw(x+starts[i], y+above)
		}
		p.shaded(x, y+height, x+width, y+height, 0.25, rowShade)
	}}
}
