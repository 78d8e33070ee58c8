package canvas

import (
	"fmt"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/stix/stix2mathregular"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	"codeberg.org/go-fonts/stix/stix2textregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"shaftbook/kernel/figure"
)

// Text is set in STIX Two Text; the signs it lacks (⌀ ≤ ≈) come from STIX Two
// Math. The page serves the same fonts under these names.
const (
	fontFamilies = "STIX Two Text, STIX Two Math, serif"
	TextSize     = 16
	Ascent       = 0.72 // height of a tall letter, fraction of the size
	Descent      = 0.24
)

// Italic letters, the symbols of quantities, and subscripts stand between
// these characters, which cannot occur in a label. They do not nest.
const (
	ItalicOn     = '\x0e'
	ItalicOff    = '\x0f'
	SubscriptOn  = '\x10'
	SubscriptOff = '\x11'
)

// Subscripts are set smaller and lower, in fractions of the size.
const (
	subscriptSize = figure.SubscriptSize
	subscriptDrop = figure.SubscriptDrop
)

// A setting is how the next letter of a marked text is set.
type setting struct{ italic, subscript bool }

// mark takes a marking character and reports whether r was one.
func (s *setting) mark(r rune) bool {
	switch r {
	case ItalicOn, ItalicOff:
		s.italic = r == ItalicOn
	case SubscriptOn, SubscriptOff:
		s.subscript = r == SubscriptOn
	default:
		return false
	}
	return true
}

// Scale is the size of the letters in fractions of the text's size.
func (s *setting) scale() float64 {
	if s.subscript {
		return subscriptSize
	}
	return 1
}

// An Anchor says which point of a text is placed.
type Anchor float64

const (
	Left   Anchor = 0
	Middle Anchor = 0.5
	Right  Anchor = 1
)

func (a Anchor) attribute() string {
	switch a {
	case Middle:
		return ` text-anchor="middle"`
	case Right:
		return ` text-anchor="end"`
	}
	return ""
}

// Quantity marks the symbols in a label for italic type, as ISO 80000-1 sets
// quantities: a letter that stands alone or is followed by a subscript. Words
// and units stay upright.
func Quantity(label string) string {
	rs := []rune(label)
	var b strings.Builder
	sub := false
	for i, r := range rs {
		part := unicode.IsLetter(r) || unicode.IsDigit(r)
		if sub && !part {
			b.WriteRune(SubscriptOff)
			sub = false
		}
		if r == '_' && !sub && i > 0 && unicode.IsLetter(rs[i-1]) && i+1 < len(rs) && rs[i+1] != '_' {
			b.WriteRune(SubscriptOn)
			sub = true
			continue
		}
		if sub {
			b.WriteRune(r)
			continue
		}
		alone := unicode.IsLetter(r) &&
			(i == 0 || !unicode.IsLetter(rs[i-1]) && rs[i-1] != '_') &&
			(i+1 == len(rs) || !unicode.IsLetter(rs[i+1]) || unicode.Is(unicode.Lm, rs[i+1]))
		if alone && !(r == 'a' && i+1 < len(rs) && rs[i+1] == ' ') {
			b.WriteString(string([]rune{ItalicOn, r, ItalicOff}))
			continue
		}
		b.WriteRune(r)
	}
	if sub {
		b.WriteRune(SubscriptOff)
	}
	return b.String()
}

// WithUnit joins a quantity and its unit: "d, mm".
func WithUnit(label, unit string) string {
	if unit == "" || label == "" {
		return Quantity(label) + unit
	}
	return Quantity(label) + ", " + unit
}

// A typeface is the fonts a text may use, upright and italic, and the glyphs
// found so far.
type typeface struct {
	cache          *font.Cache
	upright, slant *sfnt.Font
	signs          *sfnt.Font

	mu     sync.Mutex
	buf    sfnt.Buffer
	glyphs map[glyphKey]glyph
}

type glyphKey struct {
	r      rune
	italic bool
}

// A glyph is one character: its advance and its outline, both for size 1.
type glyph struct {
	advance float64
	outline []segment
}

type segment struct {
	op   sfnt.SegmentOp
	args [3]Point
}

var stix = sync.OnceValue(func() *typeface {
	t := &typeface{
		upright: mustParse(stix2textregular.TTF),
		slant:   mustParse(stix2textitalic.TTF),
		signs:   mustParse(stix2mathregular.TTF),
		glyphs:  make(map[glyphKey]glyph),
	}
	t.cache = font.NewCache(font.Collection{
		{Font: font.Font{Typeface: "STIX Two Text"}, Face: t.upright},
		{Font: font.Font{Typeface: "STIX Two Text", Style: xfont.StyleItalic}, Face: t.slant},
	})
	return t
})

// mustParse reads a font that is compiled in.
func mustParse(data []byte) *opentype.Font {
	f, err := opentype.Parse(data)
	if err != nil {
		panic(fmt.Errorf("figure: font compiled in: %w", err))
	}
	return f
}

// glyph finds a character in the first font that has it.
func (t *typeface) glyph(r rune, italic bool) glyph {
	key := glyphKey{r, italic}
	t.mu.Lock()
	defer t.mu.Unlock()
	if g, ok := t.glyphs[key]; ok {
		return g
	}
	fonts := [...]*sfnt.Font{t.upright, t.signs}
	if italic {
		fonts = [...]*sfnt.Font{t.slant, t.signs}
	}
	f := fonts[0]
	var idx sfnt.GlyphIndex
	for _, try := range fonts {
		if i, err := try.GlyphIndex(&t.buf, r); err == nil && i != 0 {
			f, idx = try, i
			break
		}
	}
	g := t.load(f, idx)
	if len(t.glyphs) < 1<<12 {
		t.glyphs[key] = g
	}
	return g
}

func (t *typeface) load(f *sfnt.Font, idx sfnt.GlyphIndex) glyph {
	em := fixed.I(int(f.UnitsPerEm()))
	unit := func(v fixed.Int26_6) float64 { return float64(v) / float64(em) }
	var g glyph
	if adv, err := f.GlyphAdvance(&t.buf, idx, em, xfont.HintingNone); err == nil {
		g.advance = unit(adv)
	}
	segs, err := f.LoadGlyph(&t.buf, idx, em, nil)
	if err != nil {
		return g
	}
	g.outline = make([]segment, len(segs))
	for i, s := range segs {
		g.outline[i].op = s.Op
		for k, a := range s.Args {
			g.outline[i].args[k] = Point{unit(a.X), unit(a.Y)}
		}
	}
	return g
}

// TextWidth returns the width of a text in the given size.
func TextWidth(s string, size float64) float64 {
	t := stix()
	w := 0.0
	var set setting
	for _, r := range s {
		if !set.mark(r) {
			w += float64(t.glyph(r, set.italic).advance * set.scale())
		}
	}
	return w * size
}

// outlineText fills the outlines of a text on canvases that have no text of
// their own in these fonts. (x, y) is in canvas units, y up.
func outlineText(c vg.Canvas, i Ink, size, x, y float64, a Anchor, s string) {
	t := stix()
	x -= float64(float64(a) * TextWidth(s, size))
	c.SetColor(i)
	var set setting
	for _, r := range s {
		if set.mark(r) {
			continue
		}
		g := t.glyph(r, set.italic)
		high, base := size*set.scale(), y
		if set.subscript {
			base -= float64(size * subscriptDrop)
		}
		if len(g.outline) > 0 {
			c.Fill(glyphPath(g, high, x, base))
		}
		x += float64(g.advance * high)
	}
}

// glyphPath places an outline, whose y points down, on a canvas.
func glyphPath(g glyph, size, x, y float64) vg.Path {
	at := func(p Point) vg.Point {
		return vg.Point{X: vg.Length(x + float64(p.X*size)), Y: vg.Length(y - float64(p.Y*size))}
	}
	var path vg.Path
	for i, s := range g.outline {
		switch s.op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				path.Close()
			}
			path.Move(at(s.args[0]))
		case sfnt.SegmentOpLineTo:
			path.Line(at(s.args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(at(s.args[0]), at(s.args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(at(s.args[0]), at(s.args[1]), at(s.args[2]))
		}
	}
	path.Close()
	return path
}

// A Typesetter is the text handler that gonum/plot draws its axes with.
type Typesetter struct{}

var _ text.Handler = Typesetter{}

func (Typesetter) Cache() *font.Cache { return stix().cache }

func (Typesetter) Extents(f font.Font) font.Extents {
	return font.Extents{Ascent: f.Size * Ascent, Descent: f.Size * Descent, Height: f.Size * (Ascent + Descent)}
}

func (Typesetter) Lines(s string) []string { return []string{s} }

func (Typesetter) Box(s string, f font.Font) (width, height, depth vg.Length) {
	return vg.Length(TextWidth(s, float64(f.Size))), f.Size * Ascent, f.Size * Descent
}

// Draw writes a line of text. gonum/plot gives the place of the baseline for
// texts aligned at top or bottom, and of the middle, raised by the descent,
// for texts centred on a tick. Rotated text does not occur: labels of upright axes stand above them.
func (h Typesetter) Draw(c vg.Canvas, s string, sty text.Style, pt vg.Point) {
	if s == "" {
		return
	}
	size := float64(sty.Font.Size)
	y := float64(pt.Y) + float64(float64(sty.YAlign)*size*(Ascent+Descent))
	if sty.YAlign == text.YCenter {
		y = float64(pt.Y) - float64(size*(Descent+0.33))
	}
	i, ok := sty.Color.(Ink)
	if !ok {
		i = InkMain
	}
	PlaceText(c, i, size, float64(pt.X), y, Anchor(-sty.XAlign), s)
}

// A texter is a canvas with text of its own in these fonts. (x, y) is in canvas
// units, y up.
type texter interface {
	placeText(i Ink, size, x, y float64, a Anchor, s string)
}

// PlaceText writes text on any canvas, y up.
func PlaceText(c vg.Canvas, i Ink, size, x, y float64, a Anchor, s string) {
	if t := texterUnder(c); t != nil {
		t.placeText(i, size, x, y, a, s)
		return
	}
	outlineText(c, i, size, x, y, a, s)
}

// texterUnder returns the canvas that writes text inside the areas that
// gonum/plot cuts from it, or nil.
func texterUnder(c vg.Canvas) texter {
	for {
		switch w := c.(type) {
		case texter:
			return w
		case *draw.Canvas:
			c = w.Canvas
		case draw.Canvas:
			c = w.Canvas
		default:
			return nil
		}
	}
}

// RowHeight is the height of a row of text.
const RowHeight = 22.0
