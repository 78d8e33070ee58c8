package canvas

import (
	"image/color"

	"shaftbook/kernel/figure"
)

// An Ink is a colour by its meaning. It travels through gonum/plot as a
// color.Color; the SVG canvas turns it into a class, so that the page decides
// how it looks in light, in dark and on paper, and the other canvases take its
// light colour.
type Ink uint8

const (
	InkMain   Ink = iota // outlines, axes, text
	InkThin              // dimension lines, hatching, ticks
	InkFaint             // grid
	InkTorque            // torques: arrows, diagrams, curves
	InkTwist             // twist: surface lines, diagrams, curves
	InkStress            // shear stress
	InkFourth            // any other quantity, the segment model, bounds
	numInks   = iota
)

// wash marks an ink that is laid on thinly over an area.
const wash Ink = 0x80

// Wash is the ink for an area behind lines and text: 12 % of its colour.
func (i Ink) Wash() Ink { return i | wash }

const (
	washAlpha   = 31 // of 255
	washOpacity = ".12"
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

// Every colour of a quantity has at least 3:1 on white and on the grounds of the
// page (WCAG 2.2, 1.4.11); tests here and of the style sheet recompute it.
var inks = [numInks]inkSpec{
	InkMain:   {"fig-ink", color.NRGBA{0x11, 0x11, 0x11, 255}, "", ""},
	InkThin:   {"fig-thin", color.NRGBA{0x11, 0x11, 0x11, 255}, "", ""},
	InkFaint:  {"fig-faint", color.NRGBA{0x11, 0x11, 0x11, 38}, "", ".15"},
	InkTorque: {"fig-torque", color.NRGBA{0xC2, 0x51, 0x00, 255}, "#c25100", ""},
	InkTwist:  {"fig-twist", color.NRGBA{0x00, 0x68, 0xA3, 255}, "#0068a3", ""},
	InkStress: {"fig-stress", color.NRGBA{0x00, 0x80, 0x5C, 255}, "#00805c", ""},
	InkFourth: {"fig-fourth", color.NRGBA{0xB4, 0x57, 0x8F, 255}, "#b4578f", ""},
}

func (i Ink) spec() *inkSpec { return &inks[i&^wash] }

// RGBA makes an ink a color.Color: its light colour.
func (i Ink) RGBA() (r, g, b, a uint32) {
	c := i.spec().light
	if i&wash != 0 {
		c.A = washAlpha
	}
	return c.RGBA()
}

// QuantityInk is the colour that a quantity has in every figure.
func QuantityInk(q figure.Quantity) Ink {
	switch q {
	case figure.Torque:
		return InkTorque
	case figure.Twist:
		return InkTwist
	case figure.Stress:
		return InkStress
	}
	return InkFourth
}

// CurveInk is the ink of the i-th curve of a quantity: its own colour, then
// colours that mean no other of the three; dash pattern and marker tell the
// curves apart.
func CurveInk(q figure.Quantity, i int) Ink {
	cycle := [...]Ink{QuantityInk(q), InkMain, InkFourth}
	if q == figure.OtherQuantity {
		return cycle[i%2]
	}
	return cycle[i%3]
}
