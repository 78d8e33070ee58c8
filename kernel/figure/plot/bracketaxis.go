package plot

import (
	"io"
	"math"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A BracketAxis shows what many people took for certain about one result: each
// bracket as a bar over an axis of prediction ÷ correct result, so that brackets of
// people with other numbers can stand on one axis. The right result is 1. The
// axis is logarithmic: half and double lie equally far from 1.
type BracketAxis struct {
	Heading string
	Finding string
	Guesses []Guess // from the top
}

// A Guess is one bracket as a multiple of the right result. An end at or below
// 0, which has no place on the axis, runs off its left end.
type Guess struct {
	Label     string
	Low, High float64 // Low ≤ High
}

// The words of a guess, by where the right result lies.
const (
	guessHolds = "holds"
	guessBelow = "too low"
	guessAbove = "too high"
)

// Word returns how the guess did: "holds", "too low" or "too high".
func (g Guess) Word() string {
	switch {
	case g.High < 1:
		return guessBelow
	case g.Low > 1:
		return guessAbove
	}
	return guessHolds
}

var _ stripFigure = (*BracketAxis)(nil)

// Title returns the heading.
func (b *BracketAxis) Title() string {
	if b.Heading == "" {
		return "Predicted brackets compared with the correct result"
	}
	return b.Heading
}

// Caption returns the title and the finding.
func (b *BracketAxis) Caption() string { return figure.CaptionOf(b.Title(), b.Finding) }

// Check returns an error for what cannot be drawn.
func (b *BracketAxis) Check() error {
	if len(b.Guesses) == 0 {
		return figure.Errorf("the bracket axis", "has no bracket")
	}
	for _, g := range b.Guesses {
		part := "bracket " + figure.Quoted(g.Label)
		for _, v := range []float64{g.Low, g.High} {
			if err := checkRatio(part, v); err != nil {
				return err
			}
		}
		if g.Low > g.High {
			return figure.Errorf(part, "has its lower end above its upper end")
		}
	}
	return nil
}

// Description counts the brackets and describes the axis.
func (b *BracketAxis) Description() string {
	count := map[string]int{}
	for _, g := range b.Guesses {
		count[g.Word()]++
	}
	s := countOf(len(b.Guesses), "bracket", "brackets") + " over an axis of prediction ÷ correct result, which is logarithmic: "
	s += countOf(count[guessHolds], "holds", "hold") + " the correct result, "
	s += countOf(count[guessBelow], "lies", "lie") + " below it, "
	s += countOf(count[guessAbove], "lies", "lie") + " above it. A bar that ends in an arrow continues beyond the axis."
	if b.Finding != "" {
		s = strings.TrimSuffix(b.Finding, ".") + ". " + s
	}
	return s
}

// Data lists the brackets.
func (b *BracketAxis) Data() *figure.Data {
	d := &figure.Data{Headers: []string{"who", "lower ÷ right", "upper ÷ right", "bracket"}}
	for _, g := range b.Guesses {
		d.Rows = append(d.Rows, []string{g.Label, figure.FormatNumber(g.Low, 3), figure.FormatNumber(g.High, 3), g.Word()})
	}
	return d
}

// SVG returns the figure for the page.
func (b *BracketAxis) SVG(o figure.Options) ([]byte, error) { return stripSVG(b, o) }

// PNG writes the figure in light colours.
func (b *BracketAxis) PNG(w io.Writer, dpi float64) error { return stripPNG(b, w, dpi) }

// Trace returns the figure as lines, areas and texts.
func (b *BracketAxis) Trace(o figure.Options) (*figure.Trace, error) { return stripTrace(b, o) }

// PDF writes the figure in light colours.
func (b *BracketAxis) PDF(w io.Writer) error { return stripPDF(b, w) }

const (
	barHalf  = 5.0  // half the height of a bar
	wordRoom = 64.0 // of the word beside a bar
)

func (b *BracketAxis) layout(width float64) (float64, func(*canvas.Pen)) {
	names, ends := 0.0, make([]float64, 0, 2*len(b.Guesses))
	for _, g := range b.Guesses {
		names = math.Max(names, canvas.TextWidth(g.Label, canvas.TextSize))
		ends = append(ends, g.Low, g.High)
	}
	names = math.Min(names, 0.3*width)
	const top = 30.0
	s := strip{width: width, x0: names + 18, x1: width - wordRoom - 14, y: top + float64(canvas.RowHeight*float64(len(b.Guesses))) + 6, label: "prediction ÷ correct result, log axis"}
	s.scale = stripScale(s.x1-s.x0, ends)
	s.height = s.y + below
	return s.height, func(p *canvas.Pen) {
		s.draw(p, top-4)
		one := s.axisX(1)
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(one, top-6), canvas.PointAt(one, s.y))
		p.Text(canvas.InkMain, one, top-12, canvas.Middle, "right result")
		for i, g := range b.Guesses {
			y := top + float64(canvas.RowHeight*(float64(i)+0.5))
			p.Text(canvas.InkMain, names+4, y+5, canvas.Right, fitText(g.Label, names))
			g.draw(p, &s, y)
			p.Text(canvas.InkMain, s.x1+14, y+5, canvas.Left, g.Word())
		}
	}
}

// draw draws a bar: filled if the bracket holds, hollow if not, with an arrow
// at an end that lies beyond the axis.
func (g Guess) draw(p *canvas.Pen, s *strip, y float64) {
	a, b := s.axisX(g.Low), s.axisX(g.High)
	if b-a < 3 { // a bracket without width, or one that lies beyond an end
		mid := math.Max(s.x0+1.5, math.Min(s.x1-1.5, (a+b)/2))
		a, b = mid-1.5, mid+1.5
	}
	bar := []canvas.Point{canvas.PointAt(a, y-barHalf), canvas.PointAt(b, y-barHalf), canvas.PointAt(b, y+barHalf), canvas.PointAt(a, y+barHalf)}
	if g.Word() == guessHolds {
		p.Area(canvas.InkFourth, bar...)
	} else {
		p.Outline(canvas.InkMain, canvas.Wide, bar...)
	}
	i := canvas.InkFourth
	if g.Word() != guessHolds {
		i = canvas.InkMain
	}
	if g.Low < s.scale.Min {
		p.LoadHead(i, canvas.PointAt(s.x0-9, y), -1, 0, 9)
	}
	if g.High > s.scale.Max {
		p.LoadHead(i, canvas.PointAt(s.x1+9, y), 1, 0, 9)
	}
}
