package canvas

import (
	"math"
	"sort"
	"strings"
	"unicode"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/measure"
)

// Symbols of quantities, which are set in italics, subscripts and superscripts
// stand between these characters, which cannot occur in a label. They do not
// nest. A text with such marks goes through gonum/plot as a string.
const (
	italicOn       = '\x0e'
	italicOff      = '\x0f'
	subscriptOn    = '\x10'
	superscriptOn  = '\x11'
	scriptOff      = '\x12'
	scriptMarks    = string(subscriptOn) + string(superscriptOn)
	everyLabelMark = string(italicOn) + string(italicOff) + scriptMarks + string(scriptOff)
)

// Quantity marks the symbols in a label for italic type, as ISO 80000-1 sets
// quantities (a letter that stands alone or is followed by a subscript), what
// follows an underscore as a subscript and a power as a superscript. Words and
// units stay upright.
func Quantity(label string) string {
	rs := []rune(label)
	var b strings.Builder
	script := rune(0) // the mark of the script that is open
	for i, r := range rs {
		if script != 0 && !continues(script, r) {
			b.WriteRune(scriptOff)
			script = 0
		}
		if script == 0 && i > 0 && i+1 < len(rs) {
			script = opensScript(r, rs[i-1], rs[i+1])
			if script != 0 {
				b.WriteRune(script)
				continue
			}
		}
		if script != 0 {
			b.WriteRune(r)
			continue
		}
		alone := unicode.IsLetter(r) &&
			(i == 0 || !unicode.IsLetter(rs[i-1]) && rs[i-1] != '_') &&
			(i+1 == len(rs) || !unicode.IsLetter(rs[i+1]) || unicode.Is(unicode.Lm, rs[i+1]))
		if alone && !(r == 'a' && i+1 < len(rs) && rs[i+1] == ' ') {
			b.WriteString(string([]rune{italicOn, r, italicOff}))
			continue
		}
		b.WriteRune(r)
	}
	if script != 0 {
		b.WriteRune(scriptOff)
	}
	return b.String()
}

// opensScript returns the mark of the script that r opens between two
// characters, or 0.
func opensScript(r, before, after rune) rune {
	switch {
	case r == '_' && unicode.IsLetter(before) && after != '_':
		return subscriptOn
	case r == '^' && (unicode.IsDigit(after) || after == '−' || after == '-'):
		return superscriptOn
	}
	return 0
}

func continues(script, r rune) bool {
	if script == subscriptOn {
		return unicode.IsLetter(r) || unicode.IsDigit(r)
	}
	return unicode.IsDigit(r) || r == '−' || r == '-'
}

// WithUnit joins a quantity and its unit: "d / mm". The unit stays upright.
func WithUnit(label, unit string) string {
	head, symbol := figure.SplitHead(label, unit)
	return Quantity(head) + symbol
}

// Fit shortens a text to a width.
func Fit(s string, width float64) string {
	return fitted(s, width, func(s string) string { return s })
}

// FitWithUnit is WithUnit with a label shortened so that all has room.
func FitWithUnit(label, unit string, width float64) string {
	return fitted(label, width, func(s string) string { return WithUnit(s, unit) })
}

// FitQuantity is Quantity with a label shortened so that it has room.
func FitQuantity(label string, width float64) string { return fitted(label, width, Quantity) }

// fitted shortens s until what set makes of it has room in a width.
func fitted(s string, width float64, set func(string) string) string {
	whole := set(s)
	if TextWidth(whole, TextSize) <= width {
		return whole
	}
	runes := []rune(s)
	n := sort.Search(len(runes), func(n int) bool {
		return TextWidth(set(string(runes[:n])+"…"), TextSize) > width
	})
	return set(string(runes[:max(n-1, 0)]) + "…")
}

// labelBox returns the boxes of a marked text.
func labelBox(s string) box.Row {
	var row box.Row
	var text []rune
	italic, script := false, rune(0)
	flush := func() {
		b := box.Box(box.Text(text))
		switch {
		case len(text) == 0:
			return
		case script != 0:
			row = withScript(row, script, b)
		case italic:
			row = append(row, box.Ident{Name: string(text)})
		default:
			row = append(row, b)
		}
		text = nil
	}
	for _, r := range s {
		switch r {
		case italicOn, italicOff:
			flush()
			italic = r == italicOn
		case subscriptOn, superscriptOn, scriptOff:
			flush()
			script = r
			if r == scriptOff {
				script = 0
			}
		default:
			text = append(text, r)
		}
	}
	flush()
	return row
}

// withScript hangs a script on the last box of a row.
func withScript(row box.Row, mark rune, b box.Box) box.Row {
	var base box.Script
	if n := len(row); n > 0 {
		if last, ok := row[n-1].(box.Script); ok {
			base = last
		} else {
			base.Base = row[n-1]
		}
		row = row[:n-1]
	}
	if mark == subscriptOn {
		base.Sub = b
	} else {
		base.Sup = b
	}
	return append(row, base)
}

// Width and Extent make a typeface the metrics of a layout.
func (t *typeface) Width(text string, f measure.Face) float64 {
	w := 0.0
	for _, r := range text {
		w += t.glyph(r, f.Italic).advance
	}
	return w
}

// Extent is part of measure.Metrics.
func (t *typeface) Extent(text string, f measure.Face) (up, down float64) {
	up, down = math.Inf(-1), math.Inf(-1)
	for _, r := range text {
		for _, s := range t.glyph(r, f.Italic).outline {
			for _, p := range s.points() {
				up, down = max(up, -p.Y), max(down, p.Y)
			}
		}
	}
	if math.IsInf(up, -1) {
		return 0, 0
	}
	return up, down
}

// labels are those laid lately: a slider that moves draws the same ones each time.
var labels = figure.NewCache(256 << 10)

// glyphBytes is about what a laid character takes.
const glyphBytes = 64

// layText gives each piece of a marked text its place.
func layText(s string, size float64) measure.Layout {
	if !strings.ContainsAny(s, everyLabelMark) {
		return measure.Layout{Width: size * stix().Width(s, measure.Face{}), Glyphs: []measure.Glyph{{Text: s, Size: size}}}
	}
	var k figure.KeyWriter
	k.Text(s)
	k.Number(size)
	key := k.Sum()
	if l, ok := labels.Get(key); ok {
		return l.(measure.Layout)
	}
	l := measure.Lay(labelBox(s), stix(), measure.Options{Size: size})
	labels.Put(key, l, glyphBytes*len(s))
	return l
}

// TextWidth returns the width of a text in the given size.
func TextWidth(s string, size float64) float64 {
	if !strings.ContainsAny(s, everyLabelMark) {
		return float64(size * stix().Width(s, measure.Face{}))
	}
	return layText(s, size).Width
}

// outlineText fills the outlines of a text on canvases that have no text of
// their own in these fonts. (x, y) is in canvas units, y up.
func outlineText(c vg.Canvas, i Ink, size, x, y float64, a Anchor, s string) {
	t := stix()
	l := layText(s, size)
	x -= float64(float64(a) * l.Width)
	c.SetColor(i)
	for _, run := range l.Glyphs {
		at := x + run.X
		for _, r := range run.Text {
			g := t.glyph(r, run.Face.Italic)
			if len(g.outline) > 0 {
				c.Fill(glyphPath(g, run.Size, at, y-run.Y))
			}
			at += float64(g.advance * run.Size)
		}
	}
}
