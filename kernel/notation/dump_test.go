package notation

import (
	"fmt"
	"strings"
)

// dump writes a tree as a compact s-expression, so that tests can state what a
// text means without spelling out nodes.
func dump(n Node) string {
	if isNil(n) {
		return "-"
	}
	switch n := n.(type) {
	case *Bad:
		return "bad"
	case *Number:
		return fmt.Sprint(n.Value)
	case *Quantity:
		return fmt.Sprintf("[%v %s]", n.Number.Value, n.Unit.Text)
	case *Name:
		return n.Ident
	case *Call:
		return list(n.Fun.Ident+"()", nodes(n.Args)...)
	case *Field:
		head := n.X.Ident + "." + n.Field
		if n.HasArgs {
			head += "()"
		}
		return list(head, nodes(n.Args)...)
	case *Infinity:
		return []string{"-inf", "", "inf"}[n.Sign+1]
	case *Unary:
		return list(n.Op.String(), n.X)
	case *Binary:
		op := n.Op.String()
		switch {
		case n.Superscript:
			op = "sup"
		case n.UnitBehind:
			op = "behind"
		}
		return list(op, n.X, n.Y)
	case *Paren:
		return list("()", n.X)
	case *Abs:
		return list("||", n.X)
	case *Root:
		return list("√", n.X)
	case *Between:
		return list("between", n.Low, n.High)
	case *PlusMinus:
		return list("±", n.Mid, n.Half)
	case *Bind:
		head := n.Kind.String()
		if n.Glyph {
			head += "*"
		}
		return list(head, n.Var, n.Body, n.From, n.To)
	case *If:
		return list("if", n.Cond, n.Then, n.Else)
	case *Compare:
		var b strings.Builder
		for i, op := range n.Ops {
			fmt.Fprintf(&b, "%s %s ", dump(n.Xs[i]), op)
		}
		return "(" + b.String() + dump(n.Xs[len(n.Xs)-1]) + ")"
	case *Logic:
		if n.Op == OpNot {
			return list("not", n.X)
		}
		return list(n.Op.String(), n.X, n.Y)
	}
	return dumpLine(n)
}

func dumpLine(n Node) string {
	switch n := n.(type) {
	case *Define:
		return list("define", n.Name, n.Expr) + dumpDisplay(n.Display)
	case *DefineFunc:
		return list("function "+n.Name.Ident, append(nodes(n.Params), n.Body)...)
	case *Show:
		return list("show", n.Expr) + dumpDisplay(n.Display)
	case *Vary:
		if s := list("vary", n.Name, n.From, n.To, n.Step, n.Start); !n.hasTyped() {
			return s
		} else {
			return s + list("typed", n.TypedFrom, n.TypedTo)
		}
	case *Expect:
		switch {
		case n.Cond != nil:
			return list("expect", n.Cond)
		case n.Bracket != nil:
			return list("within", n.X, n.Bracket)
		case n.Low != nil:
			return list("expect-between", n.X, n.Low, n.High)
		}
		return list("approx", n.X, n.Approx, n.Tolerance)
	case *Column:
		s := dump(n.Expr) + dumpDisplay(n.Display)
		if n.Label != "" {
			s += fmt.Sprintf(" %q", n.Label)
		}
		return s
	case *Range:
		s := list("range", n.Var, n.From, n.To, n.Step, n.Rows)
		if n.Ratio {
			s += "ratio"
		}
		if n.Mark != nil {
			s += "marked" + dump(n.Mark)
		}
		return s
	case *Table:
		return list("table", append(nodes(n.Columns), n.Range)...)
	case *Plot:
		return list("plot", append(nodes(n.Columns), n.Range)...) + fmt.Sprintf("{%t %t}", n.LogX, n.LogY)
	case *ToleranceTable:
		return list("tolerances", n.Expr) + dumpDisplay(n.Display)
	case *SegmentTable:
		return list("segments", n.Shaft, n.Segments) + dumpDisplay(n.Display)
	case *Trials:
		s := list("trials", append(nodes(n.Columns), present(n.Low, n.High, n.Bracket, n.Var)...)...)
		s += list("at", nodes(n.Tried)...)
		for _, g := range n.Guesses {
			s += list("guess", g.Value, g.At)
		}
		return s
	case *ShaftHold:
		s := list("ShaftHold", n.X, n.Stiffness)
		if n.Stiffness == nil {
			s = list("ShaftHold", n.X)
		}
		if n.Fixed {
			s += "fixed"
		}
		return s
	case *ShaftSpread:
		s := list("ShaftSpread", present(n.T0, n.T1, n.From, n.To)...)
		if n.Distributed {
			s += "distributed"
		}
		return s
	case *Readings:
		s := list("readings", n.Name, n.X.Name, n.X.Unit, n.Y.Name, n.Y.Unit)
		for i, x := range n.Xs {
			s += list("", x, n.Ys[i])
		}
		return s
	case *Line:
		s := list("line", n.Name, n.Through)
		if n.Origin {
			s += "origin"
		}
		if len(n.Without) > 0 {
			s += list("without", nodes(n.Without)...)
		}
		return s
	case *PlotLine:
		if n.Residuals {
			return list("plot-residuals", n.Of)
		}
		return list("plot-line", n.Of)
	case *Draw:
		s := list("draw", n.Shaft, n.Segments, n.Times)
		if n.Form != DrawShaft {
			s = list([...]string{"draw", "section", "cut", "twisting", "companions"}[n.Form], present(n.Shaft, n.X, n.Times)...)
		}
		if n.Alone {
			s += "alone"
		}
		if n.Axial {
			s += "axial"
		}
		return s
	case *UnitRef:
		return n.Text
	case *Given:
		var items []string
		for _, i := range n.Items {
			items = append(items, fmt.Sprintf("%s:%s%s %s", i.Name.Ident, i.Word, dump(i.Unit), dump(i.Domain)))
		}
		return "(given " + strings.Join(items, "; ") + ")"
	case *DeriveDefine:
		head := n.Lead + "start " + n.Name.Ident
		if n.Over != nil {
			head += "/" + n.Over.Ident
		}
		return list(head, append(nodes(n.Params), n.Expr)...) + n.Reason
	case *DeriveStep:
		if n.Gap {
			return "(gap)" + n.Reason
		}
		head := n.Lead + "step"
		if n.Op != OpEqual {
			head += " " + n.Op.String()
		}
		if n.Left != nil {
			head += " " + dump(n.Left)
		}
		for _, name := range n.Constant {
			head += " constant " + name.Ident
		}
		if n.Small != nil {
			head += " small " + n.Small.Ident + " to " + dump(n.SmallTo)
		}
		return list(head, n.X, n.With, n.WithX) + n.Reason
	case *ShaftAllow:
		return list("allow "+n.What, n.Limit)
	case *ShaftPower:
		return list(fmt.Sprintf("power %t", n.Out), n.P, n.Speed, n.X)
	}
	name := strings.TrimPrefix(fmt.Sprintf("%T", n), "*notation.")
	return list(name, Children(n)...)
}

func dumpDisplay(d Display) string {
	s := ""
	if d.Unit != nil {
		s += " in " + d.Unit.Text
	}
	if d.HasPlaces {
		s += fmt.Sprintf(" %d places", d.Places)
	}
	if d.Figures > 0 {
		s += fmt.Sprintf(" %d figures", d.Figures)
	}
	return s
}

func list(head string, parts ...Node) string {
	var b strings.Builder
	b.WriteString("(" + head)
	for _, p := range parts {
		b.WriteString(" " + dump(p))
	}
	return b.String() + ")"
}
