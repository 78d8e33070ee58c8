package canvas

import "image/color"

// An Ink is a colour by its meaning. It travels through gonum/plot as a
// color.Color; the SVG canvas turns it into a class, so that the page decides
// how it looks in light, in dark and on paper, and the other canvases take its
// light colour.
type Ink uint8

const (
	InkMain   Ink = iota // outlines, axes, text
	InkThin              // dimension lines, hatching, ticks
	InkFaint             // grid
	InkBand              // bracket bands
	InkLoad              // torques
	InkModel             // the segment model
	InkCurve1            // curves
	InkCurve2
	ink3
	ink4
	ink5
	ink6
)

// An inkSpec is one row of the palette.
type inkSpec struct {
	class string
	// light is the colour of PNG and PDF. It is also the colour attribute of
	// the SVG where own is set; the rest take the colour of the page's text.
	light   color.NRGBA
	own     string
	opacity string // for inks that are a weaker shade of the text; "" is 1
}

// The colours are those of Okabe and Ito's palette ("Color Universal Design",
// 2008) that reach 3:1 on white (WCAG 2.2, 1.4.11), values from memory and
// contrast recomputed in the tests.
var inks = [...]inkSpec{
	InkMain:   {"fig-ink", color.NRGBA{0x11, 0x11, 0x11, 255}, "", ""},
	InkThin:   {"fig-thin", color.NRGBA{0x11, 0x11, 0x11, 255}, "", ""},
	InkFaint:  {"fig-faint", color.NRGBA{0x11, 0x11, 0x11, 38}, "", ".15"},
	InkBand:   {"fig-band", color.NRGBA{0x00, 0x72, 0xB2, 255}, "#0072B2", ""},
	InkLoad:   {"fig-load", color.NRGBA{0xD5, 0x5E, 0x00, 255}, "#D55E00", ""},
	InkModel:  {"fig-model", color.NRGBA{0x00, 0x72, 0xB2, 255}, "#0072B2", ""},
	InkCurve1: {"fig-c1", color.NRGBA{0x00, 0x72, 0xB2, 255}, "#0072B2", ""},
	InkCurve2: {"fig-c2", color.NRGBA{0xD5, 0x5E, 0x00, 255}, "#D55E00", ""},
	ink3:      {"fig-c3", color.NRGBA{0x00, 0x9E, 0x73, 255}, "#009E73", ""},
	ink4:      {"fig-c4", color.NRGBA{0xCC, 0x79, 0xA7, 255}, "#CC79A7", ""},
	ink5:      {"fig-c5", color.NRGBA{0x11, 0x11, 0x11, 255}, "", ""},
	ink6:      {"fig-c6", color.NRGBA{0x00, 0x72, 0xB2, 255}, "#0072B2", ""},
}

// RGBA makes an ink a color.Color: its light colour.
func (i Ink) RGBA() (r, g, b, a uint32) { return inks[i].light.RGBA() }

// CurveInk is the ink of the i-th curve; after six it begins again, and the
// dash pattern tells the curves apart.
func CurveInk(i int) Ink { return InkCurve1 + Ink(i%6) }
