package measure

import (
	"math"
	"testing"
	"unicode/utf8"

	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/tex"
)

// fixed is a font whose letters are all half as wide as they are large, 0.7 high
// and without descenders.
type fixed struct{}

func (fixed) Width(text string, _ Face) float64      { return 0.5 * float64(utf8.RuneCountInString(text)) }
func (fixed) Extent(string, Face) (up, down float64) { return 0.7, 0 }

func lay(tb testing.TB, source string, display bool) Layout {
	b, err := tex.Read(source)
	if err != nil {
		tb.Fatal(err)
	}
	return Lay(b, fixed{}, Options{Size: 10, Display: display})
}

// glyph returns the run of letters that is a text.
func (l *Layout) glyph(tb testing.TB, text string) Glyph {
	for _, g := range l.Glyphs {
		if g.Text == text {
			return g
		}
	}
	tb.Fatalf("no %q in %+v", text, l.Glyphs)
	return Glyph{}
}

func TestPlaces(t *testing.T) {
	for _, test := range []struct {
		name, tex string
		display   bool
		holds     func(t *testing.T, l Layout) bool
	}{
		{"side by side", "ab", false, func(t *testing.T, l Layout) bool { return l.glyph(t, "b").X == 5 && l.Width == 10 }},
		{"room around a relation", "a=b", false, func(t *testing.T, l Layout) bool {
			return math.Abs(l.glyph(t, "b").X-(5+5+2*10*float64(box.Thick))) < 1e-9
		}},
		{"subscript", "a_b", false, func(t *testing.T, l Layout) bool {
			b := l.glyph(t, "b")
			return b.Y == 10*SubDrop && math.Abs(b.Size-10*ScriptSize) < 1e-9 && b.X == 5
		}},
		{"superscript", "a^b", false, func(t *testing.T, l Layout) bool { return l.glyph(t, "b").Y < -3 }},
		{"both scripts apart", "a_b^c", false, func(t *testing.T, l Layout) bool {
			b, c := l.glyph(t, "b"), l.glyph(t, "c")
			return c.Y <= b.Y-0.7*b.Size
		}},
		{"fraction", `\frac{a}{b}`, true, func(t *testing.T, l Layout) bool {
			a, b, bar := l.glyph(t, "a"), l.glyph(t, "b"), l.Shapes[0].Path[0].Y
			return a.Y < bar && b.Y-0.7*b.Size > bar && a.Size == 10
		}},
		{"small fraction", `\frac{a}{b}`, false, func(t *testing.T, l Layout) bool { return l.glyph(t, "a").Size < 10 }},
		{"narrow over wide is centred", `\frac{a}{bcd}`, true, func(t *testing.T, l Layout) bool {
			return math.Abs(l.glyph(t, "a").X+2.5-l.Width/2) < 1e-9
		}},
		{"limits above and below", `\sum_{i}^{n} a`, true, func(t *testing.T, l Layout) bool {
			i, n := l.glyph(t, "i"), l.glyph(t, "n")
			return i.Y > 5 && n.Y < -5 && math.Abs(i.X-n.X) < 1e-9
		}},
		{"limits beside in a sentence", `\sum_{i}^{n} a`, false, func(t *testing.T, l Layout) bool { return l.glyph(t, "i").X > 5 }},
		{"limits of an integral beside", `\int_{a}^{b} x`, true, func(t *testing.T, l Layout) bool { return l.glyph(t, "b").X > 5 }},
		{"root covers its content", `\sqrt{a}`, false, func(t *testing.T, l Layout) bool {
			path := l.Shapes[2].Path
			return path[1].Y < -7 && path[2].X > l.glyph(t, "a").X+5
		}},
		{"degree of a root", `\sqrt[3]{a}`, false, func(t *testing.T, l Layout) bool {
			three := l.glyph(t, "3")
			return three.Y < -3 && three.X >= 0 && three.X < l.glyph(t, "a").X
		}},
		{"brackets of the font", `\left(a\right)`, false, func(t *testing.T, l Layout) bool { return len(l.Shapes) == 0 }},
		{"brackets as tall as a fraction", `\left(\frac{a}{b}\right)`, true, func(t *testing.T, l Layout) bool {
			top, bottom := math.Inf(1), math.Inf(-1)
			for _, p := range l.Shapes[0].Path {
				top, bottom = min(top, p.Y), max(bottom, p.Y)
			}
			return top <= l.glyph(t, "a").Y-7 && bottom >= l.glyph(t, "b").Y
		}},
		{"columns of an equation", `\begin{aligned} aa &= b \\ c &= d \end{aligned}`, true, func(t *testing.T, l Layout) bool {
			b, d := l.glyph(t, "b"), l.glyph(t, "d")
			return b.X == d.X && b.Y < d.Y
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			if l := lay(t, test.tex, test.display); !test.holds(t, l) {
				t.Errorf("%s: %+v", test.tex, l)
			}
		})
	}
}

func TestScriptsHaveALeastSize(t *testing.T) {
	b, err := tex.Read(`a^{b^{c^{d}}}`)
	if err != nil {
		t.Fatal(err)
	}
	l := Lay(b, fixed{}, Options{Size: 10, Least: 6})
	if d := l.glyph(t, "d"); d.Size != 6 {
		t.Errorf("the innermost script is set in %g", d.Size)
	}
}

// FuzzLay checks that everything of a layout has a place within it.
func FuzzLay(f *testing.F) {
	for _, source := range []string{`\theta = \int_0^L \frac{T}{G\,J(x)}\,\mathrm{d}x`, `\sqrt[3]{\frac{a}{b}}`,
		`\left\{\begin{cases}1&2\\3&4\end{cases}\right.`, `\underbrace{\vec{a}+\hat{b}}_{c}`, `\sum_{i=1}^{n}\theta_i`} {
		f.Add(source, true)
	}
	f.Fuzz(func(t *testing.T, source string, display bool) {
		b, err := tex.Read(source)
		if err != nil {
			return
		}
		l := Lay(b, fixed{}, Options{Size: 10, Least: 4, Display: display})
		const slack = 10
		inside := func(x, y float64) {
			if !(y >= -l.Up-slack && y <= l.Down+slack) || math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%q: (%g, %g) lies outside %g, %g", source, x, y, l.Up, l.Down)
			}
		}
		for _, g := range l.Glyphs {
			inside(g.X, g.Y)
		}
		for _, s := range l.Shapes {
			for _, p := range s.Path {
				inside(p.X, p.Y)
			}
		}
	})
}
