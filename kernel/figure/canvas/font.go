package canvas

import (
	"fmt"
	"sync"

	xfont "golang.org/x/image/font"

	"codeberg.org/go-fonts/stix/stix2mathregular"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	"codeberg.org/go-fonts/stix/stix2textregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

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

// points are the points of a segment, with the control points of curves: a
// curve lies within them.
func (s *segment) points() []Point {
	switch s.op {
	case sfnt.SegmentOpQuadTo:
		return s.args[:2]
	case sfnt.SegmentOpCubeTo:
		return s.args[:3]
	}
	return s.args[:1]
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
