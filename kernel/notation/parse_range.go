package notation

import (
	"strings"
)

func (p *parser) table() Stmt {
	const form = "table x in mm, d(x) in mm for x from 0 m to L in 6 rows"
	start := p.next()
	if p.tok().isWord("of") {
		return p.segmentTable(start)
	}
	t := &Table{Columns: p.columns()}
	t.Range = p.sampling(form, "rows", nil)
	p.finish("the table")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	t.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return t
}

func (p *parser) plot() Stmt {
	const form = `plot d(x) in mm as "diameter" for x from 0 m to L`
	start := p.next()
	if s, ok := p.plotLine(start); ok {
		return s
	}
	t := &Plot{Columns: p.columns()}
	t.Range = p.sampling(form, "points", t)
	p.finish("the plot")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	t.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return t
}

// columns reads the expressions of a table or a plot up to for.
func (p *parser) columns() []*Column {
	var list []*Column
	for {
		list = append(list, p.column())
		if p.broken || !p.got(tComma) {
			return list
		}
	}
}

// column reads an expression with its suffixes, as "label" before or after
// them.
func (p *parser) column() *Column {
	start := p.tok()
	c := &Column{Expr: p.expression()}
	c.Display = p.display()
	if p.gotWord("as") {
		t := p.tok()
		if !p.got(tText) {
			p.missing("a label in quotation marks", `as "twist"`)
		}
		c.Label = strings.Trim(t.text, `"`)
		if c.Display == (Display{}) {
			c.Display = p.display()
		}
	}
	c.At = p.since(start.start)
	return c
}

// sampling reads "for x from A to B" and the parts after it, in any order.
// count is the word after "in N"; plot takes the axes and is nil in a table.
func (p *parser) sampling(form, count string, plot *Plot) *Range {
	start := p.tok()
	p.needWord("for", form)
	r := &Range{Var: p.newName(form)}
	p.needWord("from", form)
	r.From = p.sum()
	p.needWord("to", form)
	r.To = p.sum()
	for !p.broken && p.samplingPart(r, form, count, plot) {
	}
	r.At = p.since(start.start)
	return r
}

func (p *parser) samplingPart(r *Range, form, count string, plot *Plot) bool {
	switch t := p.tok(); {
	case t.isName("by") && r.Step == nil:
		p.pos++
		r.Step = p.sum()
	case t.isWord("in") && r.Rows == nil:
		p.pos++
		r.Rows = p.sum()
		if !p.gotName(count) && !p.gotName(strings.TrimSuffix(count, "s")) {
			p.missing("“"+count+"”", "in 6 "+count)
		}
	case t.isName("spaced") && !r.Ratio:
		p.pos++
		if !p.gotName("by") || !p.gotName("ratio") {
			p.missing("“by ratio”", "spaced by ratio")
		}
		r.Ratio = true
	case t.isName("marked") && plot != nil && r.Mark == nil:
		p.pos++
		if !p.gotName("at") && !p.gotWord("at") {
			p.missing("“at”", "marked at n")
		}
		r.Mark = p.sum()
	case t.isWord("on") && plot != nil && !plot.LogX && !plot.LogY:
		p.pos++
		p.axes(plot)
	default:
		return false
	}
	return true
}

// axes reads "log axes", "log x axis" or "log y axis" after on.
func (p *parser) axes(plot *Plot) {
	if !p.gotName("log") {
		p.missing("“log”", "on log axes")
		return
	}
	switch {
	case p.gotName("axes"):
		plot.LogX, plot.LogY = true, true
		return
	case p.gotName("x"):
		plot.LogX = true
	case p.gotName("y"):
		plot.LogY = true
	}
	if plot.LogX == plot.LogY || !p.gotName("axis") {
		p.missing("“axes”", "on log axes, on log x axis, or on log y axis")
	}
}
