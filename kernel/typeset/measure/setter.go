package measure

import "shaftbook/kernel/typeset/box"

// A setter sets boxes at one size.
type setter struct {
	metrics     Metrics
	size, least float64
	display     bool
	script      bool // within a script: operators have little room
	bold        bool
}

// Shares of the size.
const (
	axis       = 0.25 // height of the bar of a fraction above the baseline
	thickness  = 0.05 // of bars
	ScriptSize = 0.72 // size of scripts
	smallSize  = 0.8  // size of the parts of a fraction that is not on a line of its own
	SubDrop    = 0.2  // the least that a subscript is lowered
	supRise    = 0.36 // the least that a superscript is raised
)

// em returns a share of the size, rounded before it is used further: the same on
// every machine.
func (s setter) em(share float64) float64 { return float64(share * s.size) }

// smaller returns the setter for letters of a share of the size.
func (s setter) smaller(share float64) setter {
	s.size = min(s.size, max(s.least, s.size*share))
	s.display = false
	return s
}

func (s setter) scripts() setter {
	s = s.smaller(ScriptSize)
	s.script = true
	return s
}

func (s setter) box(b box.Box) Layout {
	switch b := b.(type) {
	case box.Row:
		return s.row(b)
	case box.Ident:
		return s.text(b.Name, !b.Upright)
	case box.Digits:
		return s.text(string(b), false)
	case box.Text:
		return s.text(string(b), false)
	case box.Unit:
		return s.text(string(b), false)
	case box.Op:
		return s.operator(b)
	case box.Thin:
		return Layout{Width: s.em(float64(box.Narrow))}
	case box.Space:
		return Layout{Width: s.em(float64(b))}
	case box.Fraction:
		return s.fraction(b)
	case box.Script:
		return s.withScripts(b.Base, b.Sub, b.Sup)
	case box.Limits:
		return s.limits(b)
	case box.Root:
		return s.root(b)
	case box.Fence:
		return s.fence(b)
	case box.At:
		return s.withScripts(box.Fence{Close: "|", X: b.X, Growth: box.Always}, b.Place, nil)
	case box.Cases:
		return s.table(b.Table())
	case box.Accent:
		return s.accent(b)
	case box.Table:
		return s.table(b)
	}
	return Layout{}
}

func (s setter) row(list box.Row) Layout {
	var l Layout
	for i, b := range list {
		part := s.box(b)
		l.add(part, l.Width, 0)
		l.Width += part.Width
		if i+1 < len(list) && isLarge(b) && !isRoom(list[i+1]) {
			l.Width += s.em(float64(box.Narrow))
		}
	}
	return l
}

// isLarge reports whether b is the sign of a sum or an integral, perhaps with
// limits.
func isLarge(b box.Box) bool {
	switch b := b.(type) {
	case box.Op:
		return b.Form == box.Large
	case box.Script:
		return isLarge(b.Base)
	case box.Limits:
		return isLarge(b.Base)
	}
	return false
}

func isRoom(b box.Box) bool {
	switch b := b.(type) {
	case box.Thin, box.Space, nil:
		return true
	case box.Op:
		return b.Form != box.Prefix
	}
	return false
}

func (s setter) text(text string, italic bool) Layout {
	f := Face{Italic: italic && !s.bold, Bold: s.bold}
	up, down := s.metrics.Extent(text, f)
	return Layout{
		Width: s.em(s.metrics.Width(text, f)), Up: s.em(up), Down: s.em(down),
		Glyphs: []Glyph{{Text: text, Face: f, Size: s.size}},
	}
}

// room is the space on either side of an operator, in em.
func (s setter) room(f box.Form) (left, right float64) {
	switch f {
	case box.Infix:
		left, right = float64(box.Medium), float64(box.Medium)
	case box.Relation:
		left, right = float64(box.Thick), float64(box.Thick)
	case box.Dot:
		left, right = float64(box.Narrow), float64(box.Narrow)
	case box.Comma:
		right = float64(box.Narrow)
	}
	if s.script {
		return left / 4, right / 4
	}
	return left, right
}

func (s setter) operator(b box.Op) Layout {
	if b.Form == box.Large {
		return s.large(b.Sign)
	}
	left, right := s.room(b.Form)
	glyph := s.text(b.Sign, false)
	l := Layout{Width: glyph.Width + s.em(left+right)}
	l.add(glyph, s.em(left), 0)
	return l
}

// large sets the sign of a sum or an integral, centred on the axis.
func (s setter) large(sign string) Layout {
	big := s
	big.size *= 1.1
	switch {
	case s.display && sign == "∫":
		big.size = s.size * 2
	case s.display:
		big.size = s.size * 1.5
	}
	glyph := big.text(sign, false)
	l := Layout{Width: glyph.Width}
	l.add(glyph, 0, float64((glyph.Up-glyph.Down)/2)-s.em(axis))
	return l
}

// fraction follows rule 15 of appendix G.
func (s setter) fraction(b box.Fraction) Layout {
	full := b.Size == box.Full || b.Size == box.ByPlace && s.display
	inner := s.smaller(smallSize)
	least, leastDen, clear := 0.40, 0.36, 0.08
	if full {
		inner = s
		inner.display = false
		least, leastDen, clear = 0.66, 0.68, 0.13
	}
	num, den := inner.box(b.Num), inner.box(b.Den)
	w := max(num.Width, den.Width) + s.em(0.12)
	rise := max(s.em(least), s.em(axis+thickness/2+clear)+num.Down)
	drop := max(s.em(leastDen), s.em(thickness/2+clear-axis)+den.Up)
	const side = 0.08 // beside the bar
	l := Layout{Width: w + float64(2*s.em(side))}
	l.add(num, s.em(side)+float64((w-num.Width)/2), -rise)
	l.add(den, s.em(side)+float64((w-den.Width)/2), drop)
	l.rule(s.em(side), -s.em(axis), s.em(side)+w, -s.em(axis), s.em(thickness))
	return l
}

// withScripts follows rule 18 of appendix G.
func (s setter) withScripts(base, sub, sup box.Box) Layout {
	l := s.box(base)
	small := s.scripts()
	rise, drop := s.em(supRise), s.em(SubDrop)
	if isLarge(base) {
		rise, drop = l.Up-s.em(0.4), l.Down-s.em(0.02)
	} else if !isLetter(base) {
		rise = max(rise, l.Up-s.em(0.28))
		drop = max(drop, l.Down+s.em(0.06))
	}
	start, indent := l.Width, 0.0
	if op, ok := base.(box.Op); ok && op.Sign == "∫" {
		indent = 0.08 // an integral leans: its lower limit is further left
	}
	var lower, upper Layout
	if sub != nil {
		lower = small.box(sub)
	}
	if sup != nil {
		upper = small.box(sup)
		rise = max(rise, s.em(0.1)+upper.Down)
	}
	if sub != nil && sup != nil {
		if gap := rise - upper.Down + drop - lower.Up; gap < s.em(4*thickness) {
			drop += s.em(4*thickness) - gap
		}
	}
	if sub != nil {
		l.add(lower, start-s.em(indent), drop)
		l.Width = max(l.Width, start-s.em(indent)+lower.Width)
	}
	if sup != nil {
		correction := 0.0
		if id, ok := base.(box.Ident); ok && !id.Upright {
			correction = 0.05 // an italic letter leans into what is raised beside it
		}
		l.add(upper, start+s.em(correction), -rise)
		l.Width = max(l.Width, start+s.em(correction+0.04)+upper.Width)
	}
	return l
}

func isLetter(b box.Box) bool {
	switch b := b.(type) {
	case box.Ident, box.Digits, box.Unit, box.Text:
		return true
	case box.Thin, box.Space, box.Apply:
		return true
	case box.Op:
		return b.Form != box.Large
	case box.Fence:
		return !b.Grows() && isLetter(b.X)
	case box.Row:
		for _, child := range b {
			if !isLetter(child) {
				return false
			}
		}
		return true
	}
	return false
}

// limits sets what belongs above and below a sign. Within a sentence the limits
// of a sum stand beside it.
func (s setter) limits(b box.Limits) Layout {
	_, word := b.Base.(box.Ident)
	if !s.display && (isLarge(b.Base) || word) {
		return s.withScripts(b.Base, b.Under, b.Over)
	}
	base := s.box(b.Base)
	var under, over Layout
	if b.Under != nil {
		under = s.scripts().box(b.Under)
	}
	if b.Over != nil {
		over = s.scripts().box(b.Over)
	}
	w := max(base.Width, under.Width, over.Width)
	l := Layout{Width: w}
	l.add(base, (w-base.Width)/2, 0)
	const clear = 0.13
	if b.Under != nil {
		l.add(under, (w-under.Width)/2, base.Down+s.em(clear)+max(under.Up, s.em(0.35)))
	}
	if b.Over != nil {
		l.add(over, (w-over.Width)/2, -base.Up-s.em(clear)-max(over.Down, 0))
	}
	return l
}

// table sets lines of cells, centred on the axis.
func (s setter) table(t box.Table) Layout {
	inner := s
	inner.display = t.Columns == box.Equation
	var cells [][]Layout
	var columns []float64
	for _, line := range t.Lines {
		var list []Layout
		for j, cell := range line {
			c := inner.box(cell)
			if j == len(columns) {
				columns = append(columns, 0)
			}
			columns[j] = max(columns[j], c.Width)
			list = append(list, c)
		}
		cells = append(cells, list)
	}
	var l Layout
	y := 0.0
	for i, list := range cells {
		up, down := s.em(0.7), s.em(0.25)
		for _, c := range list {
			up, down = max(up, c.Up), max(down, c.Down)
		}
		if i > 0 {
			y += s.em(0.25)
		}
		y += up
		x := 0.0
		for j, c := range list {
			at := x
			if t.Columns == box.Equation && j%2 == 0 {
				at += columns[j] - c.Width
			}
			l.add(c, at, y)
			x += columns[j] + s.em(columnGap(t.Columns, j))
		}
		y += down
	}
	for j, w := range columns {
		l.Width += w
		if j+1 < len(columns) {
			l.Width += s.em(columnGap(t.Columns, j))
		}
	}
	centred := Layout{Width: l.Width}
	centred.add(l, 0, float64(-y/2)-s.em(axis))
	if t.Columns == box.Conditions {
		return s.fenced("{", "", centred, true)
	}
	return centred
}

// columnGap is the room after a column of a table, in em.
func columnGap(c box.Columns, column int) float64 {
	if c == box.Equation && column%2 == 0 {
		return 0
	}
	return 1
}
