package canvas

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// One unit of the view box is one CSS pixel: 1/96 inch.
const pointsPerUnit = 0.75

// WritePNG draws at a resolution between 36 and 600 dots per inch.
func WritePNG(w io.Writer, dpi float64, size Point, draw func(vg.Canvas)) error {
	if !(dpi >= 36 && dpi <= 600) {
		return fmt.Errorf("figure: %g dots per inch is outside 36 to 600", dpi)
	}
	// The canvas takes units for points, so its resolution is that of a
	// figure drawn one third larger.
	c := vgimg.PngCanvas{Canvas: vgimg.NewWith(
		vgimg.UseWH(vg.Length(size.X), vg.Length(size.Y)),
		vgimg.UseDPI(int(math.Round(dpi*pointsPerUnit))))}
	draw(c)
	_, err := c.WriteTo(w)
	return err
}

// WritePDF draws one page of the figure's own size. Letters are outlines, since
// the PDF canvas has no fonts with Greek letters and mathematical signs.
func WritePDF(w io.Writer, size Point, draw func(vg.Canvas)) error {
	c := vgpdf.New(vg.Length(size.X*pointsPerUnit), vg.Length(size.Y*pointsPerUnit))
	c.Scale(pointsPerUnit, pointsPerUnit)
	draw(c)
	_, err := c.WriteTo(w)
	return err
}
