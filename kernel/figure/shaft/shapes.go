package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
)

// ShapeOf returns the outline of a section that is not round, about the point that it
// turns about, with the places of its greatest stress. Sizes are in one unit of length:
// one side of a square or an equilateral triangle, width and height of a rectangle or an
// ellipse, of a thin tube the area within the middle of its wall, the length around and
// the thickness, and of an open wall the length and the thickness of each part. It returns nil for another kind. Where the stress is greatest is said
// in package kernel/shaft, with sources.
func ShapeOf(kind string, sizes []float64) *Shape {
	f := &Shape{Kind: kind}
	size := func(i int) string { return figure.FormatNumber(sizes[i], 5) }
	switch {
	case (kind == "square" || kind == "rectangle") && len(sizes) == 2:
		w, h := sizes[0]/2, sizes[1]/2
		f.Outline = [][2]float64{{h, w}, {h, -w}, {-h, -w}, {-h, w}}
		f.Where = "in the middle of each longer side"
		f.SizeText = "rectangle " + size(0) + " × " + size(1)
		if w >= h {
			f.Worst = append(f.Worst, [2]float64{h, 0}, [2]float64{-h, 0})
		}
		if h >= w {
			f.Worst = append(f.Worst, [2]float64{0, w}, [2]float64{0, -w})
		}
		if kind == "square" {
			f.Where, f.SizeText = "in the middle of each side", "square "+size(0)
		}
	case kind == "ellipse" && len(sizes) == 2:
		w, h := sizes[0]/2, sizes[1]/2
		f.Outline = ellipse(0, 0, w, h, 0, 2*math.Pi)
		f.Where, f.SizeText = "at the ends of the shorter axis", "ellipse "+size(0)+" × "+size(1)
		if w >= h {
			f.Worst = append(f.Worst, [2]float64{h, 0}, [2]float64{-h, 0})
		}
		if h >= w {
			f.Worst = append(f.Worst, [2]float64{0, w}, [2]float64{0, -w})
		}
	case kind == "triangle" && len(sizes) == 1:
		a := sizes[0]
		h := float64(a * math.Sqrt(3) / 2)
		f.Outline = [][2]float64{{float64(2 * h / 3), 0}, {-h / 3, -a / 2}, {-h / 3, a / 2}}
		f.Worst = [][2]float64{{h / 6, a / 4}, {h / 6, -a / 4}, {-h / 3, 0}}
		f.Where, f.SizeText = "in the middle of each side", "triangle of side "+size(0)
	case kind == "thin tube" && len(sizes) == 3:
		f.tube(sizes[0], sizes[1], sizes[2])
		f.Where = "all along the thinnest wall"
		f.SizeText = "thin tube, wall " + size(2) + ", " + size(1) + " around"
		f.Wall = &Wall{Thickness: sizes[2], Faces: [2]string{"inner face", "outer face"}}
	case kind == "open wall" && len(sizes) >= 2 && len(sizes)%2 == 0 && len(sizes) <= maxParts:
		f.openWall(sizes)
	default:
		return nil
	}
	return f
}

// tube draws a wall with straight sides of length a between half circles of radius ρ: of
// all lengths around and areas that go together there is one,
//
//	around = 2π·ρ + 2·a,  area = π·ρ² + 2·a·ρ,  so ρ = (around − √(around² − 4π·area))/(2π).
func (f *Shape) tube(area, around, wall float64) {
	square := float64(around*around) - float64(4*math.Pi*area)
	radius := (around - math.Sqrt(math.Max(square, 0))) / (2 * math.Pi)
	half := math.Max(0, (around-float64(2*math.Pi*radius))/4)
	line := func(r float64) [][2]float64 {
		return append(ellipse(0, half, r, r, -math.Pi/2, math.Pi/2), ellipse(0, -half, r, r, math.Pi/2, 1.5*math.Pi)...)
	}
	f.Outline, f.Inner = line(radius+float64(wall/2)), line(math.Max(radius-float64(wall/2), radius*1e-3))
	f.Worst = [][2]float64{{radius, 0}, {-radius, 0}, {0, half + radius}, {0, -half - radius}}
	f.isRing = half <= 1e-3*radius
}

// ellipse returns points about (y, z), counterclockwise from the right.
func ellipse(y, z, w, h, from, to float64) [][2]float64 {
	const n = 72
	pts := make([][2]float64, 0, n+1)
	for k := range n + 1 {
		sin, cos := elementary.Sincos(from + float64((to-from)*float64(k)/n))
		pts = append(pts, [2]float64{y + float64(h*sin), z + float64(w*cos)})
	}
	return pts
}
