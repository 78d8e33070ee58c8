package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// phrase lays out words and expressions in turn: a string is running words
// (with a space on each side added as needed), a nil expression and the word
// before it fall away.
func (s setter) phrase(parts ...any) box.Box {
	var out box.Row
	for i := 0; i < len(parts); i++ {
		switch part := parts[i].(type) {
		case string:
			if i+1 < len(parts) {
				if e, ok := parts[i+1].(optional); ok && e.Expr == nil {
					i++
					continue
				}
			}
			if len(out) > 0 {
				part = " " + part
			}
			if i+1 < len(parts) {
				part += " "
			}
			out = append(out, box.Text(part))
		case optional:
			out = append(out, s.expr(part.Expr))
		case notation.Expr:
			out = append(out, s.expr(part))
		case box.Box:
			out = append(out, part)
		}
	}
	return out
}

// optional marks an expression that may be absent.
type optional struct{ notation.Expr }

// shaftLine sets a line of a shaft cell: its words, with quantities typeset.
func (s setter) shaftLine(n notation.ShaftLine) box.Box {
	switch n := n.(type) {
	case *notation.ShaftModulus:
		return s.equation(box.Ident{Name: "G", Upright: false}, n.G)
	case *notation.ShaftYield:
		return s.phrase("yields at", n.Stress)
	case *notation.ShaftSolid:
		return s.phrase("solid", n.D0, "to", optional{n.D1}, "for", n.Length)
	case *notation.ShaftHollow:
		return s.phrase("hollow", n.D0, "to", optional{n.D1}, "bore", n.B0, "to", optional{n.B1}, "for", n.Length)
	case *notation.ShaftProfile:
		return s.phrase("profile", n.D, "bore", optional{n.Bore}, "for", n.Length)
	case *notation.ShaftMeasured:
		return s.measured(n)
	case *notation.ShaftSection:
		return s.section(n)
	case *notation.ShaftCore:
		return s.phrase("core", n.D, "of", box.Box(box.Row{box.Ident{Name: "G", Upright: false}, box.Op{Sign: "=", Form: box.Relation}}), n.G)
	case *notation.ShaftHold:
		word := "hold at"
		if n.Fixed {
			word = "fixed at"
		}
		return s.phrase(word, n.X, "stiffness", optional{n.Stiffness})
	case *notation.ShaftTorque:
		return s.phrase("torque", n.T, "at", n.X)
	case *notation.ShaftSpread:
		word := "torque"
		if n.Distributed {
			word = "distributed torque"
		}
		return s.phrase(word, n.T0, "to", optional{n.T1}, "from", n.From, "to", n.To)
	case *notation.ShaftPower:
		if n.Out {
			return s.phrase("power", n.P, "out at", n.Speed, "at", n.X)
		}
		return s.phrase("power", n.P, "at", n.Speed, "at", n.X)
	case *notation.ShaftAllow:
		return s.phrase("allow "+n.What, n.Limit)
	case *notation.ShaftGear:
		return s.phrase("gear", n.Teeth, "teeth at", n.X, "drives", nameOrNothing(n.Other), box.Box(box.Text(" ")), n.OtherTeeth, "teeth at", n.OtherX)
	default:
		return asWritten(n)
	}
}

func (s setter) measured(n *notation.ShaftMeasured) box.Box {
	out := box.Row{box.Text("measured ")}
	for i := range min(len(n.X), len(n.D)) {
		if i > 0 {
			out = append(out, box.Op{Sign: ",", Form: box.Comma})
		}
		out = append(out, s.expr(n.X[i]), box.Text(": "), s.expr(n.D[i]))
	}
	return out
}

// sectionWords are the words before each size of a section; those of an open wall go on
// with moreWall.
var sectionWords = map[notation.SectionKind][]string{
	notation.Square:    {"square"},
	notation.Rectangle: {"rectangle", "by"},
	notation.Ellipse:   {"ellipse", "by"},
	notation.Triangle:  {"triangle"},
	notation.ThinTube:  {"tube area", "around", "wall"},
	notation.OpenWall:  {"open wall", "along"},
}

// moreWall are the words before the sizes of a further part of an open wall.
var moreWall = [...]string{"and wall", "along"}

// sizeWord returns the word before a size of a section.
func sizeWord(n *notation.ShaftSection, i int) string {
	if words := sectionWords[n.Kind]; i < len(words) {
		return words[i]
	}
	return moreWall[i%2]
}

func (s setter) section(n *notation.ShaftSection) box.Box {
	var parts []any
	for i, size := range n.Sizes {
		parts = append(parts, sizeWord(n, i), size)
	}
	return s.phrase(append(parts, "for", n.Length)...)
}
