package shaft

import (
	"fmt"
	"math"

	"shaftbook/kernel/elementary"
)

// A Section is a section that is not a solid or hollow circle, known by its
// torsion constant. Such sections warp, and J is not the polar second moment
// of area.
type Section struct {
	Kind  string    // for messages and drawings: "square"
	J     float64   // torsion constant, m⁴: dθ/dx = T/(G·J)
	W     float64   // torsion section modulus, m³: greatest shear stress = T/W
	Depth float64   // height to be drawn, m
	Sizes []float64 // what it was made of, in SI units: sides, axes, or area, length around and wall; of an open wall length and thickness of each part
}

// A SizeError reports that a section cannot have a size.
type SizeError struct {
	What  string  // "side"
	Value float64 // SI
	Must  string  // "be above zero"
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("a %s of %g is not possible: it must %s", e.What, e.Value, e.Must)
}

// positive returns a *SizeError for the first value that is not above zero.
func positive(names []string, values ...float64) error {
	for i, v := range values {
		if !(v > 0) || math.IsInf(v, 0) {
			return &SizeError{What: names[i], Value: v, Must: "be a number above zero"}
		}
	}
	return nil
}

// oddZeta5 is Σ 1/n⁵ over odd n, that is 31/32·ζ(5).
const oddZeta5 = 31.0 / 32 * 1.036927755143369926331365486457034168

// Rectangle returns the section of a solid rectangle with the given full sides,
// m. With a ≥ b the sides:
//
//	J = a·b³·(1/3 − 64/π⁵·(b/a)·Σ tanh(nπa/(2b))/n⁵)
//	greatest stress = G·(dθ/dx)·b·(1 − 8/π²·Σ 1/(n²·cosh(nπa/(2b))))
//
// n odd, the stress in the middle of the longer sides. The section warps, and J
// is not the polar second moment of area. Timoshenko & Goodier, Theory of
// Elasticity, 3rd ed., Art. 109, Eqs 160 and 159 (numbers from memory). The
// sums are taken to full accuracy: the tanh differs from 1 by terms that fall
// like exp(−nπa/b).
func Rectangle(width, height float64) (*Section, error) {
	if err := positive([]string{"width", "height"}, width, height); err != nil {
		return nil, err
	}
	a, b := max(width, height), min(width, height)
	tanhSum, coshSum := oddZeta5, 0.0
	for n := 1.0; n < 40; n += 2 {
		y := n * math.Pi * a / (2 * b)
		if y > 700 {
			break
		}
		e := elementary.Exp(-2 * y)
		tanhSum -= 2 * e / (1 + e) / (n * n * n * n * n)
		coshSum += 1 / (n * n * elementary.Cosh(y))
	}
	j := a * b * b * b * (1.0/3 - float64(64/elementary.Pow(math.Pi, 5)*(b/a)*tanhSum))
	rim := b * (1 - float64(8/(math.Pi*math.Pi)*coshSum))
	return &Section{Kind: "rectangle", J: j, W: j / rim, Depth: height, Sizes: []float64{width, height}}, nil
}

// Square returns the section of a solid square of the given side, m:
// J = 0.140577…·side⁴ and W = 0.208165…·side³, as Rectangle with equal sides.
// The section warps, and J is not the polar second moment of area.
func Square(side float64) (*Section, error) {
	if err := positive([]string{"side"}, side); err != nil {
		return nil, err
	}
	s, err := Rectangle(side, side)
	if err == nil {
		s.Kind = "square"
	}
	return s, err
}

// Ellipse returns the section of a solid ellipse with the given full axes, m.
// With a ≥ b the semi-axes:
//
//	J = π·a³·b³/(a² + b²)        W = π·a·b²/2
//
// with the greatest stress at the ends of the shorter axis. The section warps
// unless a = b, and J is not the polar second moment of area. Timoshenko &
// Goodier, Theory of Elasticity, 3rd ed., Art. 106 (number from memory); Young
// & Budynas, Roark's Formulas for Stress and Strain, Table 10.1.
func Ellipse(width, height float64) (*Section, error) {
	if err := positive([]string{"width", "height"}, width, height); err != nil {
		return nil, err
	}
	a, b := max(width, height)/2, min(width, height)/2
	return &Section{
		Kind:  "ellipse",
		J:     math.Pi * a * a * a * b * b * b / (float64(a*a) + float64(b*b)),
		W:     math.Pi * a * b * b / 2,
		Depth: height,
		Sizes: []float64{width, height},
	}, nil
}

// EquilateralTriangle returns the section of a solid equilateral triangle of
// the given side, m:
//
//	J = √3·side⁴/80        W = side³/20
//
// with the greatest stress in the middle of each side. The section warps, and
// J is not the polar second moment of area. Timoshenko & Goodier, Theory of
// Elasticity, 3rd ed., Art. 106 (number from memory).
func EquilateralTriangle(side float64) (*Section, error) {
	if err := positive([]string{"side"}, side); err != nil {
		return nil, err
	}
	return &Section{
		Kind:  "triangle",
		J:     math.Sqrt(3) * side * side * side * side / 80,
		W:     side * side * side / 20,
		Depth: side * math.Sqrt(3) / 2,
		Sizes: []float64{side},
	}, nil
}

// A Wall is a part of the wall of a thin tube with one thickness.
type Wall struct {
	Length    float64 // along the middle of the wall, m
	Thickness float64 // m
}

// ThinTube returns the section of a closed tube with thin walls, by Bredt's
// formulas, with A the area (m²) inside the middle line of the wall:
//
//	J = 4·A²/Σ(length/thickness)        W = 2·A·(least thickness)
//
// The section warps in general, and J is not the polar second moment of area.
// The formulas hold while the walls are thin beside the tube, and do not cover
// of the stress in inner corners. Gere, Mechanics of Materials, Eqs 3-61 and
// 3-71; R. Bredt, Z. VDI 40 (1896) 785–790 (from memory).
//
// It fails with a *SizeError if a size is not above zero, or if the walls are
// too short to go round the area (a circle has the shortest: length² ≥ 4π·A).
func ThinTube(area float64, walls ...Wall) (*Section, error) {
	if err := positive([]string{"enclosed area"}, area); err != nil {
		return nil, err
	}
	var around, ratio float64
	thinnest := math.Inf(1)
	for _, w := range walls {
		if err := positive([]string{"wall length", "wall thickness"}, w.Length, w.Thickness); err != nil {
			return nil, err
		}
		around += w.Length
		ratio += w.Length / w.Thickness
		thinnest = min(thinnest, w.Thickness)
	}
	if around*around < 4*math.Pi*area*(1-1e-6) {
		return nil, &SizeError{What: "wall length", Value: around, Must: "be long enough to go round the area"}
	}
	return &Section{Kind: TubeKind, J: 4 * area * area / ratio, W: 2 * area * thinnest, Depth: around / math.Pi, Sizes: []float64{area, around, thinnest}}, nil
}

// Names of the kinds of thin walls, as Section.Kind.
const (
	TubeKind = "thin tube"
	OpenKind = "open wall"
)

// OpenWall returns the section of an open thin wall: a bent or flat strip, or several
// strips that meet, without a closed ring among them. Its torsion constant is that of
// long narrow rectangles side by side, whose bends change little,
//
//	J = Σ(length·thickness³)/3        W = J/(greatest thickness)
//
// with the greatest stress along both faces of the thickest part, and none on the median
// line. The sections are free to warp; where they are held flat, the wall is stiffer. The
// formulas leave out what the ends of each strip take off, a share of 0.630·thickness/length
// of J (see Rectangle), and the rounding of inner corners, which adds to it. Gere,
// Mechanics of Materials, 3.10; Timoshenko & Goodier, Theory of Elasticity, 3rd ed.,
// Art. 109; Young & Budynas, Roark's Formulas for Stress and Strain, Table 10.1 (all from
// memory).
//
// It fails with a *SizeError if a size is not above zero.
func OpenWall(walls ...Wall) (*Section, error) {
	s := &Section{Kind: OpenKind}
	var along, thickest float64
	for _, w := range walls {
		if err := positive([]string{"wall length", "wall thickness"}, w.Length, w.Thickness); err != nil {
			return nil, err
		}
		s.J += float64(w.Length * w.Thickness * w.Thickness * w.Thickness / 3)
		along += w.Length
		thickest = max(thickest, w.Thickness)
		s.Sizes = append(s.Sizes, w.Length, w.Thickness)
	}
	if len(walls) == 0 {
		return nil, &SizeError{What: "wall length", Value: 0, Must: "be a number above zero"}
	}
	s.W, s.Depth = s.J/thickest, along/math.Pi
	return s, nil
}

// IsStubby reports whether a strip is so short beside its thickness that the formulas of
// OpenWall are off by more than 6.3 %: less than ten times as long as thick.
func (w Wall) IsStubby() bool { return w.Length < 10*w.Thickness }
