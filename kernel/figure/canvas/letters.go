package canvas

import (
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Text is set in STIX Two Text; the signs it lacks (⌀ ≤ ≈) come from STIX Two
// Math. The page serves the same fonts under these names.
const (
	fontFamilies = "STIX Two Text, STIX Two Math, serif"
	TextSize     = 16
	Ascent       = 0.72 // height of a tall letter, fraction of the size
	Descent      = 0.24
)

// RowHeight is the height of a row of text.
const RowHeight = 22.0

// An Anchor is the point of a text that is placed.
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
