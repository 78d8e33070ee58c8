package handout

import (
	"sync"
	"unicode/utf8"

	"codeberg.org/go-fonts/liberation/liberationserifbold"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"codeberg.org/go-fonts/liberation/liberationserifregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"shaftbook/kernel/pattern"
	mathbox "shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/measure"
)

// least is the least size of letters in scripts, in points.
const least = 6.0

// formula sets a formula. meant is the text that it is read out, searched and copied as.
// With display it is set as on a line of its own.
func (p *press) formula(b mathbox.Box, meant string, l letter, display bool) box {
	laid := measure.Lay(b, p, measure.Options{Size: l.size * point, Least: least * point, Display: display, Bold: l.style == "B"})
	meant = withPowers(meant)
	// At least as tall as a line of text, so that lines and cells keep their
	// baselines.
	up, down := max(laid.Up, textUp*l.size*point), max(laid.Down, textDown*l.size*point)
	return box{laid.Width, up, down, func(x, y float64) {
		p.as(meant, func() { p.drawFormula(&laid, x, y) })
	}}
}

func (p *press) drawFormula(l *measure.Layout, x, y float64) {
	for _, g := range l.Glyphs {
		p.text(g.Text, letter{style(g.Face), g.Size / point}).draw(x+g.X, y+g.Y)
	}
	for _, s := range l.Shapes {
		p.shape(&s, x, y)
	}
}

func (p *press) shape(s *measure.Shape, x, y float64) {
	pdf := p.pdf
	for _, step := range s.Path {
		switch step.Kind {
		case measure.Move:
			pdf.MoveTo(x+step.X, y+step.Y)
		case measure.Line:
			pdf.LineTo(x+step.X, y+step.Y)
		case measure.Curve:
			pdf.CurveBezierCubicTo(x+step.X1, y+step.Y1, x+step.X2, y+step.Y2, x+step.X, y+step.Y)
		}
	}
	if s.Width == 0 {
		pdf.SetFillColor(0, 0, 0)
		pdf.DrawPath("F")
		return
	}
	pdf.SetDrawColor(0, 0, 0)
	pdf.SetLineWidth(s.Width)
	pdf.DrawPath("D")
}

func style(f measure.Face) string {
	switch {
	case f.Bold:
		return "B"
	case f.Italic:
		return "I"
	}
	return ""
}

// Width makes a press the metrics of its font.
func (p *press) Width(text string, f measure.Face) float64 {
	const size = 100
	return p.text(text, letter{style(f), size}).w / (size * point)
}

// Extent returns the reach of the ink of a text, in shares of the size.
func (p *press) Extent(text string, f measure.Face) (up, down float64) {
	up, down = -1, -1
	for _, r := range text {
		if like := alike[r]; like != 0 {
			r = like
		}
		u, d := inkOf(r, f)
		up, down = max(up, u), max(down, d)
	}
	if up < down && up == -1 {
		return 0, 0
	}
	return up, down
}

var faces = sync.OnceValue(func() map[measure.Face]*sfnt.Font {
	read := func(data []byte) *sfnt.Font {
		f, err := sfnt.Parse(data)
		if err != nil {
			panic("handout: font compiled in: " + err.Error())
		}
		return f
	}
	return map[measure.Face]*sfnt.Font{
		{}:             read(liberationserifregular.TTF),
		{Italic: true}: read(liberationserifitalic.TTF),
		{Bold: true}:   read(liberationserifbold.TTF),
	}
})

type inkKey struct {
	r rune
	f measure.Face
}

var inks sync.Map // of inkKey to [2]float64

// inkOf returns how far a letter reaches above the baseline and below it; a
// letter that the font lacks is taken for one of common height.
func inkOf(r rune, f measure.Face) (up, down float64) {
	if v, ok := inks.Load(inkKey{r, f}); ok {
		e := v.([2]float64)
		return e[0], e[1]
	}
	up, down = 0.7, 0.22
	font := faces()[f]
	var buf sfnt.Buffer
	em := fixed.I(int(font.UnitsPerEm()))
	if i, err := font.GlyphIndex(&buf, r); err == nil && i != 0 {
		if bounds, _, err := font.GlyphBounds(&buf, i, em, xfont.HintingNone); err == nil {
			up, down = -float64(bounds.Min.Y)/float64(em), float64(bounds.Max.Y)/float64(em)
		}
	}
	if utf8.ValidRune(r) {
		inks.Store(inkKey{r, f}, [2]float64{up, down})
	}
	return up, down
}

// power is an exponent of digits in the notation.
var power = pattern.New(`\^[-−]?[0-9]+`)

// withPowers writes exponents as they are read: d⁴ for d^4.
func withPowers(plain string) string {
	return power().ReplaceAllStringFunc(plain, func(s string) string {
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
