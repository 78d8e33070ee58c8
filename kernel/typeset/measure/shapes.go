package measure

import (
	"math"

	"shaftbook/kernel/typeset/box"
)

// root draws a root sign over its content (rule 11 of appendix G).
func (s setter) root(b box.Root) Layout {
	inner := s
	inner.display = false
	x := inner.box(b.X)
	t := s.em(thickness)
	top := max(x.Up, s.em(0.5)) + s.em(0.12) + float64(t/2)
	bottom := max(x.Down, 0) + s.em(0.04)
	var l Layout
	left := 0.0
	if b.Degree != nil {
		degree := s.scripts()
		degree.size = max(degree.size*0.75, min(s.least, degree.size))
		d := degree.box(b.Degree)
		left = max(0, d.Width-s.em(0.26))
		l.add(d, left+s.em(0.26)-d.Width, -max(s.em(0.42), float64((top+bottom)*0.5)-bottom+s.em(0.1)))
	}
	tick, foot, sign := left+s.em(0.06), left+s.em(0.34), left+s.em(0.62)
	knee := -s.em(0.28) + float64((bottom-s.em(0.04))*0.4)
	l.Shapes = append(l.Shapes,
		Shape{[]Step{{Kind: Move, X: tick, Y: knee + s.em(0.05)}, {Kind: Line, X: tick + s.em(0.11), Y: knee}}, t},
		Shape{[]Step{{Kind: Move, X: tick + s.em(0.11), Y: knee}, {Kind: Line, X: foot, Y: bottom}}, 1.8 * t},
		Shape{[]Step{{Kind: Move, X: foot, Y: bottom}, {Kind: Line, X: sign, Y: -top}, {Kind: Line, X: sign + x.Width + s.em(0.08), Y: -top}}, t})
	l.add(x, sign+s.em(0.02), 0)
	l.Up, l.Down = max(l.Up, top+t), max(l.Down, bottom)
	l.Width = sign + x.Width + s.em(0.12)
	return l
}

func (s setter) fence(b box.Fence) Layout {
	return s.fenced(b.Open, b.Close, s.box(b.X), b.Grows())
}

// fenced sets brackets around x, drawn where those of the font are too small.
func (s setter) fenced(open, close string, x Layout, grows bool) Layout {
	half := max(x.Up-s.em(axis), x.Down+s.em(axis)) + s.em(0.04) // about the axis
	bracket := func(sign string, right bool) Layout {
		switch {
		case sign == "":
			return Layout{}
		case !grows || half < s.em(0.56):
			return s.text(sign, false)
		}
		return s.delimiter(sign, half, right)
	}
	left, right := bracket(open, false), bracket(close, true)
	var l Layout
	l.add(left, 0, 0)
	l.add(x, left.Width, 0)
	l.add(right, left.Width+x.Width, 0)
	l.Width = left.Width + x.Width + right.Width
	return l
}

// delimiter draws a bracket that reaches as far above the axis as below it.
func (s setter) delimiter(sign string, half float64, right bool) Layout {
	middle := -s.em(axis)
	t := s.em(thickness)
	var l Layout
	switch sign {
	case "(", ")":
		l = s.paren(half)
	case "{", "}":
		l = s.brace(half)
	case "⟨", "⟩":
		w := s.em(0.3)
		l = Layout{Width: w, Shapes: []Shape{{polyline(w-t, middle-half, t, middle, w-t, middle+half), t}}}
	case "[", "]", "⌊", "⌋", "⌈", "⌉":
		w := s.em(0.26)
		var points []float64
		if sign != "⌊" && sign != "⌋" {
			points = append(points, w+s.em(0.04), middle-half)
		}
		points = append(points, s.em(0.1), middle-half, s.em(0.1), middle+half)
		if sign != "⌈" && sign != "⌉" {
			points = append(points, w+s.em(0.04), middle+half)
		}
		l = Layout{Width: w + s.em(0.06), Shapes: []Shape{{polyline(points...), t}}}
	default: // a bar
		l = Layout{Width: s.em(0.3)}
		l.rule(s.em(0.15), middle-half, s.em(0.15), middle+half, t)
	}
	if right {
		l.mirror()
	}
	l.Up, l.Down = half-middle, half+middle
	return l
}

// mirror turns a layout of shapes over, left to right.
func (l *Layout) mirror() {
	for _, s := range l.Shapes {
		for i := range s.Path {
			p := &s.Path[i]
			p.X, p.X1, p.X2 = l.Width-p.X, l.Width-p.X1, l.Width-p.X2
		}
	}
}

func polyline(points ...float64) []Step {
	var path []Step
	for i := 0; i+1 < len(points); i += 2 {
		kind := Line
		if i == 0 {
			kind = Move
		}
		path = append(path, Step{Kind: kind, X: points[i], Y: points[i+1]})
	}
	return path
}

// paren is a round bracket that opens: the area between two arcs.
func (s setter) paren(half float64) Layout {
	w := s.em(0.2) + math.Min(0.1*half, s.em(0.2))
	middle := -s.em(axis)
	tip, belly, thick := w, s.em(0.06), s.em(0.085)
	top, bottom, reach := middle-half, middle+half, half*0.6
	// In the middle a cubic curve has gone three quarters of the way to its
	// control points.
	outer := tip + (belly-tip)/0.75
	inner := tip + (belly+thick-tip)/0.75
	const blunt = 0.02
	return Layout{Width: w + s.em(0.06), Shapes: []Shape{{Path: []Step{
		{Kind: Move, X: tip, Y: top},
		{Kind: Curve, X1: outer, Y1: top + half - float64(reach*0.5), X2: outer, Y2: bottom - half + float64(reach*0.5), X: tip, Y: bottom},
		{Kind: Line, X: tip + s.em(blunt), Y: bottom - s.em(blunt)},
		{Kind: Curve, X1: inner, Y1: bottom - half + float64(reach*0.5), X2: inner, Y2: top + half - float64(reach*0.5), X: tip + s.em(blunt), Y: top + s.em(blunt)},
		{Kind: Line, X: tip, Y: top},
	}}}}
}

// brace is a curly bracket that opens.
func (s setter) brace(half float64) Layout {
	w := s.em(0.42)
	middle := -s.em(axis)
	point, bend, end := s.em(0.05), w/2, w-s.em(0.05)
	top, bottom := middle-half, middle+half
	turn := math.Min(half/2, s.em(0.35))
	return Layout{Width: w + s.em(0.08), Shapes: []Shape{{Width: s.em(0.065), Path: []Step{
		{Kind: Move, X: end, Y: top},
		{Kind: Curve, X1: bend, Y1: top, X2: bend, Y2: top + turn/3, X: bend, Y: top + turn},
		{Kind: Line, X: bend, Y: middle - turn},
		{Kind: Curve, X1: bend, Y1: middle - turn/3, X2: bend, Y2: middle, X: point, Y: middle},
		{Kind: Curve, X1: bend, Y1: middle, X2: bend, Y2: middle + turn/3, X: bend, Y: middle + turn},
		{Kind: Line, X: bend, Y: bottom - turn},
		{Kind: Curve, X1: bend, Y1: bottom - turn/3, X2: bend, Y2: bottom, X: end, Y: bottom},
	}}}}
}

// accent draws a sign over a formula or under it.
func (s setter) accent(b box.Accent) Layout {
	l := s.box(b.X)
	t := s.em(thickness)
	mid := float64(l.Width / 2)
	if id, ok := b.X.(box.Ident); ok && !id.Upright {
		mid += s.em(0.06) // an italic letter leans
	}
	y := -l.Up - s.em(0.1)
	half := s.em(0.2)
	switch b.Sign {
	case "¯":
		if b.Wide {
			l.rule(s.em(0.02), y, l.Width-s.em(0.02), y, t)
		} else {
			l.rule(mid-half, y, mid+half, y, t)
		}
		l.Up += s.em(0.16)
	case "^":
		l.Shapes = append(l.Shapes, Shape{polyline(mid-half, y, mid, y-s.em(0.14), mid+half, y), t})
		l.Up += s.em(0.28)
	case "~":
		l.Shapes = append(l.Shapes, Shape{[]Step{
			{Kind: Move, X: mid - half, Y: y},
			{Kind: Curve, X1: mid - float64(half/2), Y1: y - s.em(0.2), X2: mid + float64(half/2), Y2: y + s.em(0.12), X: mid + half, Y: y - s.em(0.08)},
		}, t})
		l.Up += s.em(0.24)
	case "→":
		l.rule(mid-half, y, mid+half, y, t)
		l.Shapes = append(l.Shapes, Shape{polyline(mid+half-s.em(0.1), y-s.em(0.08), mid+half, y, mid+half-s.em(0.1), y+s.em(0.08)), t})
		l.Up += s.em(0.22)
	case "˙":
		l.dot(mid, y, s.em(0.06))
		l.Up += s.em(0.2)
	case "¨":
		l.dot(mid-s.em(0.1), y, s.em(0.06))
		l.dot(mid+s.em(0.1), y, s.em(0.06))
		l.Up += s.em(0.2)
	case "⏞":
		l.levelBrace(y, -s.em(0.22), t)
		l.Up += s.em(0.38)
	case "⏟":
		l.levelBrace(max(l.Down, 0)+s.em(0.1), s.em(0.22), t)
		l.Down = max(l.Down, 0) + s.em(0.38)
	}
	return l
}

// dot fills a circle, as four cubic curves.
func (l *Layout) dot(x, y, r float64) {
	const k = 0.5523 // of the radius: control points of a quarter of a circle (from memory)
	l.Shapes = append(l.Shapes, Shape{Path: []Step{
		{Kind: Move, X: x + r, Y: y},
		{Kind: Curve, X1: x + r, Y1: y + float64(k*r), X2: x + float64(k*r), Y2: y + r, X: x, Y: y + r},
		{Kind: Curve, X1: x - float64(k*r), Y1: y + r, X2: x - r, Y2: y + float64(k*r), X: x - r, Y: y},
		{Kind: Curve, X1: x - r, Y1: y - float64(k*r), X2: x - float64(k*r), Y2: y - r, X: x, Y: y - r},
		{Kind: Curve, X1: x + float64(k*r), Y1: y - r, X2: x + r, Y2: y - float64(k*r), X: x + r, Y: y},
	}})
}

// levelBrace draws a brace along the whole width, its point reaching by depth.
func (l *Layout) levelBrace(y, depth, width float64) {
	mid, end := float64(l.Width/2), l.Width
	turn := math.Min(mid/2, math.Abs(depth)*1.5)
	bend := y + float64(depth/2)
	l.Shapes = append(l.Shapes, Shape{[]Step{
		{Kind: Move, X: 0, Y: y},
		{Kind: Curve, X1: 0, Y1: bend, X2: turn / 3, Y2: bend, X: turn, Y: bend},
		{Kind: Line, X: mid - turn, Y: bend},
		{Kind: Curve, X1: mid - float64(turn/3), Y1: bend, X2: mid, Y2: bend, X: mid, Y: y + depth},
		{Kind: Curve, X1: mid, Y1: bend, X2: mid + float64(turn/3), Y2: bend, X: mid + turn, Y: bend},
		{Kind: Line, X: end - turn, Y: bend},
		{Kind: Curve, X1: end - turn/3, Y1: bend, X2: end, Y2: bend, X: end, Y: y},
	}, width})
}
