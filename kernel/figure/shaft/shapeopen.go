package shaft

import (
	"math"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
)

// openWall draws an open wall of parts with the given lengths and thicknesses: one part
// as a tube that is slit, or flat if it is too short for that, several joined at right
// angles, two as an angle, three as a channel.
func (f *Shape) openWall(sizes []float64) {
	number := func(v float64) string { return figure.FormatNumber(v, 5) }
	thickest := 0.0
	var parts []string
	for i := 0; i < len(sizes); i += 2 {
		thickest = math.Max(thickest, sizes[i+1])
		parts = append(parts, number(sizes[i])+" × "+number(sizes[i+1]))
	}
	f.Wall = &Wall{Thickness: thickest, Open: true, Faces: [2]string{"inner face", "outer face"}}
	f.Where = "all along both faces of the wall, in opposite directions"
	f.SizeText = "open wall " + strings.Join(parts, " + ")
	if len(parts) > 1 {
		f.Where = "all along both faces of the thickest part, in opposite directions"
	}
	if len(parts) == 1 && sizes[0] >= 8*sizes[1] {
		f.slitTube(sizes[0], sizes[1])
	} else {
		f.Wall.Faces = [2]string{"one face", "other face"}
		f.bent(sizes, thickest)
	}
	f.centre()
}

// slitTube draws a round wall with a slit at the right.
func (f *Shape) slitTube(along, wall float64) {
	const slit = 0.14 // rad, half of it
	radius := along / (2 * (math.Pi - slit))
	from, to := slit, 2*math.Pi-slit
	inner := ellipse(0, 0, radius-float64(wall/2), radius-float64(wall/2), from, to)
	f.Outline = ellipse(0, 0, radius+float64(wall/2), radius+float64(wall/2), from, to)
	for i := len(inner) - 1; i >= 0; i-- {
		f.Outline = append(f.Outline, inner[i])
	}
	for _, degrees := range []float64{90, 180, 270} {
		sin, cos := elementary.Sincos(degrees * math.Pi / 180)
		for _, side := range []float64{1, -1} {
			r := radius + float64(side*wall/2)
			f.Worst = append(f.Worst, [2]float64{float64(r * sin), float64(r * cos)})
			f.Along = append(f.Along, [2]float64{float64(side * cos), float64(-side * sin)})
		}
	}
}

// bent draws the parts one after the other along their median line. A corner of the
// outline is off the corner of the median line by half of either thickness.
func (f *Shape) bent(sizes []float64, thickest float64) {
	// The unit vectors along each part, as y and z: the first to the left, then turns to
	// the left twice, then to the right and to the left in turn.
	d := [2]float64{0, -1}
	turn := func(left bool) {
		if d = [2]float64{-d[1], d[0]}; left {
			d = [2]float64{-d[0], -d[1]}
		}
	}
	var at [2]float64
	var left, right [][2]float64
	add := func(halves [2]float64, normals [2][2]float64) {
		y := float64(halves[0]*normals[0][0]) + float64(halves[1]*normals[1][0])
		z := float64(halves[0]*normals[0][1]) + float64(halves[1]*normals[1][1])
		left = append(left, [2]float64{at[0] + y, at[1] + z})
		right = append(right, [2]float64{at[0] - y, at[1] - z})
	}
	var before float64
	var normalBefore [2]float64
	for i := 0; i < len(sizes); i += 2 {
		if i > 0 {
			turn(i <= 4 || i%4 == 0)
		}
		along, half := sizes[i], sizes[i+1]/2
		normal := [2]float64{d[1], -d[0]} // to the left of d; y is up, z to the right
		add([2]float64{before, half}, [2][2]float64{normalBefore, normal})
		if sizes[i+1] == thickest {
			for _, side := range []float64{1, -1} {
				f.Worst = append(f.Worst, [2]float64{
					at[0] + float64(d[0]*along/2) + float64(side*half*normal[0]),
					at[1] + float64(d[1]*along/2) + float64(side*half*normal[1])})
				f.Along = append(f.Along, [2]float64{-side * d[0], -side * d[1]})
			}
		}
		at[0] += float64(d[0] * along)
		at[1] += float64(d[1] * along)
		before, normalBefore = half, normal
	}
	add([2]float64{before, 0}, [2][2]float64{normalBefore, {}})
	f.Outline = left
	for i := len(right) - 1; i >= 0; i-- {
		f.Outline = append(f.Outline, right[i])
	}
}

// centre moves the shape so that the middle of the space it fills is at 0, 0.
func (f *Shape) centre() {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, q := range f.Outline {
		for k := range q {
			low[k], high[k] = math.Min(low[k], q[k]), math.Max(high[k], q[k])
		}
	}
	for _, line := range [][][2]float64{f.Outline, f.Worst} {
		for i := range line {
			for k := range line[i] {
				line[i][k] -= float64((low[k] + high[k]) / 2)
			}
		}
	}
}
