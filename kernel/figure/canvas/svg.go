package canvas

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"strconv"
	"sync"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
)

// An SVG is a canvas of gonum/plot that writes SVG with presentation
// attributes and classes only, so that it can stand in a page whose content
// security policy forbids inline styles. Successive strokes or fills of one
// look become one path element. Coordinates have two decimals, in units of the
// view box, and y points down.
type SVG struct {
	buf    []byte
	height float64

	state svgState
	stack []svgState

	open   bool    // a path element is being written
	look   svgLook // its look
	fill   bool
	x, y   int // current point, hundredths
	sx, sy int // start of the subpath
	last   byte
}

// An svgLook is everything that separates one path element from another.
type svgLook struct {
	ink   Ink
	width float64
	dash  string
}

type svgState struct {
	svgLook
	m affine
}

// An affine maps (x, y) to (a·x + c·y + e, b·x + d·y + f).
type affine struct{ a, b, c, d, e, f float64 }

// NewSVG returns a canvas that appends to buf, of the given height in units of the
// view box.
func NewSVG(buf []byte, height float64) *SVG {
	return &SVG{buf: buf, height: height, state: svgState{svgLook{width: 1}, affine{a: 1, d: 1}}}
}

// Bytes ends what is being written and returns the markup.
func (c *SVG) Bytes() []byte {
	c.end()
	return c.buf
}

// Raw writes markup that another canvas of the same height made.
func (c *SVG) Raw(markup []byte) {
	c.end()
	c.buf = append(c.buf, markup...)
}

func (c *SVG) SetLineWidth(w vg.Length) { c.state.width = float64(w) }

func (c *SVG) SetColor(col color.Color) {
	i, ok := col.(Ink)
	if !ok {
		i = InkMain
	}
	c.state.ink = i
}

func (c *SVG) SetLineDash(pattern []vg.Length, _ vg.Length) {
	if len(pattern) == 0 {
		c.state.dash = ""
		return
	}
	var b [48]byte
	s := b[:0]
	for i, l := range pattern {
		if i > 0 {
			s = append(s, ' ')
		}
		s = strconv.AppendFloat(s, float64(l), 'g', 4, 64)
	}
	if string(s) != c.state.dash {
		c.state.dash = string(s)
	}
}

func (c *SVG) Rotate(rad float64) {
	s, k := elementary.Sincos(rad)
	c.transform(affine{a: k, b: s, c: -s, d: k})
}

func (c *SVG) Translate(p vg.Point) {
	c.transform(affine{a: 1, d: 1, e: float64(p.X), f: float64(p.Y)})
}

func (c *SVG) Scale(x, y float64) { c.transform(affine{a: x, d: y}) }

func (c *SVG) transform(t affine) { c.state.m = c.state.m.then(t) }

// then returns the map that does t first, then m.
func (m affine) then(t affine) affine {
	return affine{
		float64(m.a*t.a) + float64(m.c*t.b), float64(m.b*t.a) + float64(m.d*t.b),
		float64(m.a*t.c) + float64(m.c*t.d), float64(m.b*t.c) + float64(m.d*t.d),
		float64(m.a*t.e) + float64(m.c*t.f) + m.e, float64(m.b*t.e) + float64(m.d*t.f) + m.f,
	}
}

func (c *SVG) Push() { c.stack = append(c.stack, c.state) }

func (c *SVG) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

func (c *SVG) Stroke(p vg.Path) {
	if c.state.width > 0 {
		c.path(p, false)
	}
}

func (c *SVG) Fill(p vg.Path) { c.path(p, true) }

// FillString writes text that starts at pt, in the face's size.
func (c *SVG) FillString(f font.Face, pt vg.Point, s string) {
	x, y := c.hundredthsAt(pt)
	c.text(c.state.ink, float64(f.Font.Size), float64(x)/100, float64(y)/100, Left, s)
}

// DrawImage draws nothing: no figure of this package holds an image.
func (c *SVG) DrawImage(vg.Rectangle, image.Image) {}

// Group opens a group that the page can find by its class.
func (c *SVG) Group(class string) {
	c.end()
	c.buf = append(c.buf, `<g class="`...)
	c.buf = append(c.buf, class...)
	c.buf = append(c.buf, `">`...)
}

func (c *SVG) EndGroup() {
	c.end()
	c.buf = append(c.buf, "</g>"...)
}

// text writes one line of text at (x, y) in view box units, y down.
func (c *SVG) text(i Ink, size, x, y float64, a Anchor, s string) {
	c.end()
	c.buf = append(c.buf, `<text x="`...)
	c.number(hundredths(x))
	c.buf = append(c.buf, `" y="`...)
	c.number(hundredths(y))
	c.buf = append(c.buf, '"')
	c.buf = append(c.buf, a.attribute()...)
	if size != TextSize {
		c.buf = append(c.buf, ` font-size="`...)
		c.number(hundredths(size))
		c.buf = append(c.buf, '"')
	}
	if i != InkMain {
		c.class(i)
	}
	c.buf = append(c.buf, '>')
	c.content(s, size)
	c.buf = append(c.buf, `</text>`...)
}

func (c *SVG) placeText(i Ink, size, x, y float64, a Anchor, s string) {
	c.text(i, size, x, c.height-y, a, s)
}

// content writes a marked text, piece by piece: each that is not set as the text
// itself is a tspan, moved by what it lies below the piece before.
func (c *SVG) content(s string, size float64) {
	base := 0.0
	end := 0.0
	l := layText(s, size)
	for i := range l.Glyphs {
		g := &l.Glyphs[i]
		dx := g.X - end
		end = g.X + float64(g.Size*stix().Width(g.Text, g.Face))
		if !g.Face.Italic && g.Size == size && g.Y == base && hundredths(dx) == 0 {
			c.buf = appendEscaped(c.buf, g.Text)
			continue
		}
		c.buf = append(c.buf, "<tspan"...)
		if g.Face.Italic {
			c.buf = append(c.buf, ` font-style="italic"`...)
		}
		c.shift("dx", dx)
		c.shift("dy", g.Y-base)
		base = g.Y
		if g.Size != size {
			c.buf = append(c.buf, ` font-size="`...)
			c.number(hundredths(g.Size))
			c.buf = append(c.buf, '"')
		}
		c.buf = append(c.buf, '>')
		c.buf = appendEscaped(c.buf, g.Text)
		c.buf = append(c.buf, "</tspan>"...)
	}
}

// shift writes a displacement, unless it is none.
func (c *SVG) shift(attribute string, by float64) {
	if hundredths(by) == 0 {
		return
	}
	c.buf = append(c.buf, ' ')
	c.buf = append(c.buf, attribute...)
	c.buf = append(c.buf, `="`...)
	c.number(hundredths(by))
	c.buf = append(c.buf, '"')
}

// class writes the class of an ink and the attributes that stand in where the
// page's style sheet does not know it.
func (c *SVG) class(i Ink) {
	spec := i.spec()
	c.buf = append(c.buf, ` class="`...)
	c.buf = append(c.buf, spec.class...)
	c.buf = append(c.buf, '"')
	if spec.own != "" {
		c.buf = append(c.buf, ` color="`...)
		c.buf = append(c.buf, spec.own...)
		c.buf = append(c.buf, '"')
	}
	opacity := spec.opacity
	if i&wash != 0 {
		opacity = washOpacity
	}
	if opacity != "" {
		c.buf = append(c.buf, ` opacity="`...)
		c.buf = append(c.buf, opacity...)
		c.buf = append(c.buf, '"')
	}
}

// end closes the path element being written.
func (c *SVG) end() {
	if !c.open {
		return
	}
	c.buf = append(c.buf, `"/>`...)
	c.open = false
}

func (c *SVG) path(p vg.Path, fill bool) {
	c.begin(fill)
	c.pathData(p)
}

// polygon strokes or fills straight lines given in the figure's coordinates:
// the way most of a figure takes, without a path between.
func (c *SVG) polygon(pts []Point, closed, fill bool) {
	c.begin(fill)
	for i, q := range pts {
		x, y := hundredths(q.X), hundredths(q.Y)
		if i == 0 {
			c.move(x, y)
			continue
		}
		c.line(x, y)
	}
	if closed {
		c.buf = append(c.buf, 'z')
		c.x, c.y = c.sx, c.sy
	}
}

// begin opens a path element, or goes on in the one being written if it looks
// the same.
func (c *SVG) begin(fill bool) {
	look := c.state.svgLook
	if fill {
		look = svgLook{ink: look.ink}
	}
	if c.open && c.fill == fill && c.look == look {
		return
	}
	c.end()
	c.buf = append(c.buf, "<path"...)
	c.class(look.ink)
	if !fill {
		c.buf = append(c.buf, ` fill="none" stroke="currentColor"`...)
		if look.width != 1 {
			c.buf = append(c.buf, ` stroke-width="`...)
			c.number(hundredths(look.width))
			c.buf = append(c.buf, '"')
		}
		if look.width == Wide && look.dash == "" {
			// Outlines are drawn line by line: corners must close.
			c.buf = append(c.buf, ` stroke-linecap="round"`...)
		}
		if look.dash != "" {
			c.buf = append(c.buf, ` stroke-dasharray="`...)
			c.buf = append(c.buf, look.dash...)
			c.buf = append(c.buf, '"')
		}
	}
	c.buf = append(c.buf, ` d="`...)
	c.open, c.fill, c.look = true, fill, look
}

func (c *SVG) move(x, y int) {
	c.buf = append(c.buf, 'M')
	c.number(x)
	c.next(y)
	c.x, c.y, c.sx, c.sy = x, y, x, y
	c.last = 'M'
}

// appendEscaped writes text for XML content and attributes, leaving out
// characters that XML forbids.
func appendEscaped(b []byte, s string) []byte {
	for _, r := range s {
		switch {
		case r == '&':
			b = append(b, "&amp;"...)
		case r == '<':
			b = append(b, "&lt;"...)
		case r == '>':
			b = append(b, "&gt;"...)
		case r == '"':
			b = append(b, "&quot;"...)
		case r == '\t' || r == '\n':
			b = append(b, ' ')
		case r < ' ' || r == '\uFFFE' || r == '\uFFFF':
		default:
			b = append(b, string(r)...)
		}
	}
	return b
}

// buffers are kept between figures, which are copied out of them when they are whole.
var buffers = sync.Pool{New: func() any {
	b := make([]byte, 0, 8<<10)
	return &b
}}

// Whole ends the svg element that OpenSVG started and returns all that was written, in
// memory of its own. The canvas is of no use after it.
func (c *SVG) Whole() []byte {
	c.end()
	c.buf = append(c.buf, "</svg>"...)
	whole := bytes.Clone(c.buf)
	empty := c.buf[:0]
	buffers.Put(&empty)
	c.buf = nil
	return whole
}

// OpenSVG starts the svg element with its name and description.
func OpenSVG(o figure.Options, width, height float64, title, description string) []byte {
	id := o.IDPrefix()
	b := append(*buffers.Get().(*[]byte), `<svg xmlns="http://www.w3.org/2000/svg" class="fig"`...)
	if o.Paper {
		b = fmt.Appendf(b, ` width="%gmm" height="%gmm"`, width*figure.MillimetresPerUnit, height*figure.MillimetresPerUnit)
	}
	b = append(b, ` viewBox="0 0 `...)
	b = strconv.AppendFloat(b, width, 'f', -1, 64)
	b = append(b, ' ')
	b = strconv.AppendFloat(b, height, 'f', -1, 64)
	b = append(b, `" role="img" aria-labelledby="`...)
	b = appendEscaped(b, id)
	b = append(b, `-t `...)
	b = appendEscaped(b, id)
	b = append(b, `-d" fill="currentColor" font-family="`+fontFamilies+`" font-size="`...)
	b = strconv.AppendInt(b, TextSize, 10)
	b = append(b, `" stroke-linejoin="round"><title id="`...)
	b = appendEscaped(b, id)
	b = append(b, `-t">`...)
	b = appendEscaped(b, title)
	b = append(b, `</title><desc id="`...)
	b = appendEscaped(b, id)
	b = append(b, `-d">`...)
	b = appendEscaped(b, description)
	return append(b, `</desc>`...)
}
