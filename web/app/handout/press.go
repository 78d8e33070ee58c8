package handout

import (
	"fmt"
	"strings"
	"unicode/utf16"

	"codeberg.org/go-fonts/liberation/liberationserifbold"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"codeberg.org/go-fonts/liberation/liberationserifregular"
	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/sfnt"
)

// A press is a PDF with the letters it can set. Lengths are millimetres, sizes
// of type points, and y points down.
//
// Where what is seen is not what is meant (a raised 4, a fraction), what is meant
// goes along with it as the text to read out, to search and to copy.
type press struct {
	pdf     *fpdf.Fpdf
	letters *sfnt.Font
	buf     sfnt.Buffer
	spoken  bool          // within something that is read out as a whole
	missing map[rune]bool // letters that no font here has
}

const (
	family = "serif"
	point  = 25.4 / 72 // millimetres
)

// A type is how letters are set.
type letter struct {
	style string  // of the font: "", "I" or "B"
	size  float64 // points
}

func newPress(paper Paper) (*press, error) {
	letters, err := sfnt.Parse(liberationserifregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("handout: font compiled in: %w", err)
	}
	p := &press{
		pdf:     fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: paper.Width, Ht: paper.Height}}),
		letters: letters, missing: map[rune]bool{},
	}
	p.pdf.AddUTF8FontFromBytes(family, "", liberationserifregular.TTF)
	p.pdf.AddUTF8FontFromBytes(family, "I", liberationserifitalic.TTF)
	p.pdf.AddUTF8FontFromBytes(family, "B", liberationserifbold.TTF)
	p.pdf.SetAutoPageBreak(false, 0)
	return p, p.pdf.Error()
}

// set makes a letter the present one.
func (p *press) set(l letter) { p.pdf.SetFont(family, l.style, l.size) }

// A piece is text that is set in one go.
type piece struct {
	text   string
	meant  string  // the text it is read out as; empty for the text itself
	size   float64 // share of the size around it
	raised float64 // share of the size around it
}

const (
	smaller = 0.7  // size of raised and lowered letters
	rise    = 0.36 // of a raised letter

	textUp   = 0.7 // of a line of text above its baseline
	textDown = 0.22
)

// raised are the letters that the font has for none or some of the digits only,
// so that all are set alike: as digits, raised.
var raised = map[rune]rune{
	'⁰': '0', '¹': '1', '²': '2', '³': '3', '⁴': '4', '⁵': '5', '⁶': '6', '⁷': '7', '⁸': '8', '⁹': '9', '⁻': '−', '⁺': '+', 'ⁿ': 'n',
}

// alike are signs that the font lacks and has in another form.
var alike = map[rune]rune{'⌀': 'ø', '⋅': '·', '∣': '|', '\u2010': '-', '\u2011': '-', '\u2212': '−'}

const unknown = '□'

// pieces parts a text into what can be set.
func (p *press) pieces(s string) []piece {
	var list []piece
	add := func(text, meant string, size, up float64) {
		if n := len(list); n > 0 && list[n-1].size == size && (list[n-1].meant == "") == (meant == "") {
			list[n-1].text += text
			list[n-1].meant += meant
			return
		}
		list = append(list, piece{text, meant, size, up})
	}
	for _, r := range s {
		switch up, like := raised[r], alike[r]; {
		case up != 0:
			add(string(up), string(r), smaller, rise)
		case r == '\u2062' || r == '\u2061' || r == '\u200b': // not seen
		case r == '\u00a0' || r == '\u202f' || r == '\u2009' || r == '\t' || r == '\n':
			add(" ", "", 1, 0)
		case like != 0 && like != r:
			add(string(like), string(r), 1, 0)
		case p.has(r):
			add(string(r), "", 1, 0)
		default:
			p.missing[r] = true
			add(string(unknown), string(r), 1, 0)
		}
	}
	return list
}

// has reports whether the font has a letter. The PDF cannot name letters beyond
// the first 65536.
func (p *press) has(r rune) bool {
	i, err := p.letters.GlyphIndex(&p.buf, r)
	return err == nil && i != 0 && r <= 0xFFFF
}

// text makes a box of a line of text.
func (p *press) text(s string, l letter) box {
	pieces := p.pieces(s)
	b := box{up: textUp * l.size * point, down: textDown * l.size * point}
	widths := make([]float64, len(pieces))
	for i, q := range pieces {
		p.set(letter{l.style, l.size * q.size})
		widths[i] = p.pdf.GetStringWidth(q.text)
		b.w += widths[i]
		if q.raised > 0 {
			b.up = max(b.up, (q.raised+textUp*q.size)*l.size*point)
		}
	}
	b.draw = func(x, y float64) {
		for i, q := range pieces {
			p.set(letter{l.style, l.size * q.size})
			p.as(q.meant, func() { p.pdf.Text(x, y-q.raised*l.size*point, q.text) })
			x += widths[i]
		}
	}
	return b
}

// as draws something that is read out as a text; with an empty text, as itself.
func (p *press) as(meant string, draw func()) {
	if meant == "" || p.spoken {
		draw()
		return
	}
	p.spoken = true
	var hex strings.Builder
	for _, u := range utf16.Encode([]rune(meant)) {
		fmt.Fprintf(&hex, "%04X", u)
	}
	p.pdf.RawWriteStr("/Span <</ActualText <FEFF" + hex.String() + ">>> BDC")
	draw()
	p.pdf.RawWriteStr("EMC")
	p.spoken = false
}

// rule draws a straight line, width in points.
func (p *press) rule(x1, y1, x2, y2, width float64) { p.shaded(x1, y1, x2, y2, width, 0) }

// shaded is rule in a shade from 0, black, to 255.
func (p *press) shaded(x1, y1, x2, y2, width float64, shade int) {
	p.pdf.SetLineWidth(width * point)
	p.pdf.SetDrawColor(shade, shade, shade)
	p.pdf.Line(x1, y1, x2, y2)
}

// A box is something with a place on a line: how wide it is, how far it reaches
// above the baseline and below it, and how it is drawn with its left end on the
// baseline at (x, y).
type box struct {
	w, up, down float64
	draw        func(x, y float64)
}

// row sets boxes side by side.
func row(boxes ...box) box {
	var b box
	for _, c := range boxes {
		b.w += c.w
		b.up, b.down = max(b.up, c.up), max(b.down, c.down)
	}
	b.draw = func(x, y float64) {
		for _, c := range boxes {
			if c.draw != nil {
				c.draw(x, y)
			}
			x += c.w
		}
	}
	return b
}

// shifted is a box lower by some length, or higher by a negative one.
func shifted(b box, by float64) box {
	return box{b.w, b.up - by, b.down + by, func(x, y float64) { b.draw(x, y+by) }}
}

// gap is an empty box.
func gap(w float64) box { return box{w: w, draw: func(float64, float64) {}} }
