package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
)

func (v *voice) stmt(n notation.Stmt) {
	switch n := n.(type) {
	case *notation.Define:
		v.say(n.Name, "equals", n.Expr)
	case *notation.DefineFunc:
		v.head(n.Name, n.Params)
		v.say("equals", n.Body)
	case *notation.Show:
		v.expr(n.Expr)
	case *notation.Vary:
		v.say("vary", n.Name, "from", n.From, "to", n.To)
		v.also("in steps of", n.Step)
		v.also("starting at", n.Start)
		if n.TypedFrom != nil && n.TypedTo != nil {
			v.pause()
			v.say("typed from", n.TypedFrom, "up to", n.TypedTo)
			break
		}
		v.also("typed from", n.TypedFrom)
		v.also("typed up to", n.TypedTo)
	case *notation.Expect:
		v.expect(n)
	case *notation.Table:
		v.columns("table of", n.Columns, n.Range)
	case *notation.Plot:
		v.columns("plot of", n.Columns, n.Range)
	case *notation.Readings:
		v.readings(n)
	case *notation.Line:
		v.straightLine(n)
	case *notation.PlotLine:
		v.plotLine(n)
	case *notation.SegmentTable:
		v.say("table of", n.Shaft, "in", n.Segments, segments(n.Segments))
	case *notation.ToleranceTable:
		v.say("table of tolerances of", n.Expr)
	case *notation.Trials:
		v.trials(n)
	case *notation.Draw:
		v.say(strings.TrimSpace(drawnWords[n.Form]), n.Shaft)
		switch {
		case n.X != nil:
			v.say("at", n.X)
		case n.Form == notation.DrawTwisting:
			v.say("before and after twisting")
		case n.Form == notation.DrawCompanions:
			v.say("between its uniform companions")
		}
		if n.Segments != nil {
			v.say("in", n.Segments, segments(n.Segments))
		}
		if n.Times != nil {
			v.pause()
			v.say("twist shown", n.Times, "times")
		}
		if n.Axial {
			v.pause()
			v.say("with axial arrows")
		}
		if n.Alone {
			v.say("alone")
		}
	case *notation.Prefer:
		v.say("units preferred:")
		for i, u := range n.Units {
			if i > 0 {
				v.pause()
			}
			v.say(unitSpoken(u.Text, true))
		}
	default:
		v.say(n.Span().Content())
	}
}

// also speaks words and an expression if there is one.
func (v *voice) also(words string, e notation.Expr) {
	if e != nil {
		v.say(words, e)
	}
}

func (v *voice) head(name *notation.Name, params []*notation.Name) {
	v.say(name, "of")
	for i, p := range params {
		if i > 0 {
			v.say("and")
		}
		v.name(p)
	}
}

func (v *voice) expect(n *notation.Expect) {
	v.say("expect")
	switch {
	case n.Low != nil || n.High != nil:
		v.say(n.X, "between", n.Low, "and", n.High)
	case n.Bracket != nil:
		v.say(n.X, "within", n.Bracket)
	case n.Approx != nil:
		v.say(n.X, "is about", n.Approx)
		v.also("within", n.Tolerance)
	default:
		v.expr(n.Cond)
	}
}

func (v *voice) columns(words string, columns []*notation.Column, r *notation.Range) {
	v.say(words)
	for i, c := range columns {
		if i > 0 {
			v.pause()
		}
		v.expr(c.Expr)
	}
	if r == nil {
		return
	}
	v.pause()
	v.say("for")
	v.span(r)
}

func (v *voice) span(r *notation.Range) {
	v.say(r.Var, "from", r.From, "to", r.To)
	v.also("in steps of", r.Step)
	if r.Rows != nil {
		v.say("at", r.Rows, "places")
	}
	v.also("marked at", r.Mark)
}

// line speaks a line of a shaft cell or of a derivation.
func (v *voice) line(n notation.Node) {
	switch n := n.(type) {
	case *notation.ShaftModulus:
		v.say("shear modulus", n.G)
	case *notation.ShaftYield:
		v.say("yields at a shear stress of", n.Stress)
	case *notation.ShaftSolid:
		v.say("solid, diameter", n.D0)
		v.also("to", n.D1)
		v.say("for", n.Length)
	case *notation.ShaftHollow:
		v.say("hollow, diameter", n.D0)
		v.also("to", n.D1)
		v.say("bore", n.B0)
		v.also("to", n.B1)
		v.say("for", n.Length)
	case *notation.ShaftProfile:
		v.say("profile, diameter", n.D)
		v.also("bore", n.Bore)
		v.say("for", n.Length)
	case *notation.ShaftMeasured:
		v.say("measured")
		for i := range min(len(n.X), len(n.D)) {
			v.pause()
			v.say("at", n.X[i], "diameter", n.D[i])
		}
	case *notation.ShaftSection:
		for i, size := range n.Sizes {
			v.say(sizeWord(n, i), size)
		}
		v.say("for", n.Length)
	case *notation.ShaftCore:
		v.say("core, diameter", n.D, "with shear modulus", n.G)
	case *notation.ShaftHold:
		word := "hold at"
		if n.Fixed {
			word = "fixed at"
		}
		v.say(word, n.X)
		v.also("with stiffness", n.Stiffness)
	case *notation.ShaftTorque:
		v.say("torque", n.T, "at", n.X)
	case *notation.ShaftSpread:
		word := "torque"
		if n.Distributed {
			word = "distributed torque"
		}
		v.say(word, n.T0)
		v.also("to", n.T1)
		v.say("from", n.From, "to", n.To)
	case *notation.ShaftPower:
		v.say("power", n.P)
		if n.Out {
			v.say("out")
		}
		v.say("at", n.Speed, "at", n.X)
	case *notation.ShaftAllow:
		v.say("allow", n.What, n.Limit)
	case *notation.ShaftGear:
		v.say("gear of", n.Teeth, "teeth at", n.X, "drives", n.Other, "with", n.OtherTeeth, "teeth at", n.OtherX)
	default:
		v.deriveLine(n)
	}
}

func (v *voice) deriveLine(n notation.Node) {
	switch n := n.(type) {
	case *notation.Given:
		v.given(n)
	case *notation.DeriveDefine:
		v.lead(n.Lead)
		if n.Over != nil {
			v.say("d", nameSpoken(n.Name.Ident[1:]), "over d", nameSpoken(n.Over.Ident[1:]), "equals", n.Expr)
			return
		}
		if n.Params == nil {
			v.say(n.Name, "equals", n.Expr)
			return
		}
		v.head(n.Name, n.Params)
		v.say("equals", n.Expr)
	case *notation.DeriveStep:
		v.lead(n.Lead)
		if n.Gap {
			v.say("equals something yet to be found")
			return
		}
		if n.Left != nil {
			v.say(n.Left)
		}
		v.say(spokenStep(n.Op), n.X)
		if n.Domain != nil {
			v.say("for", n.Domain)
		}
		switch {
		case n.SmallTo != nil:
			v.say("for", n.Small, "much less than", n.SmallTo)
		case n.Small != nil:
			v.say("for small", n.Small)
		}
		for i, name := range n.Constant {
			v.say([]string{"and", "for constant"}[max(0, 1-i)], name)
		}
		if n.With != nil {
			v.pause()
			v.say("with", n.With, "equals", n.WithX)
		}
		if n.Reason != "" {
			v.pause()
			v.say("because", n.Reason)
		}
	default:
		v.say(n.Span().Content())
	}
}

// lead says the sign before a line.
func (v *voice) lead(sign string) {
	switch sign {
	case "⇒":
		v.say("it follows that")
	case "∴":
		v.say("therefore")
	}
}

func (v *voice) given(n *notation.Given) {
	v.say("given")
	shown := map[*notation.Compare]bool{}
	for i, item := range n.Items {
		if i > 0 {
			v.pause()
		}
		if item.Domain != nil && shown[item.Domain] {
			continue
		}
		v.say(item.Word)
		if item.Domain != nil {
			shown[item.Domain] = true
			v.expr(item.Domain)
		} else {
			v.name(item.Name)
		}
		if item.ShowsUnit() {
			v.say("in", unitSpoken(item.Unit.Text, true))
		}
	}
}

// spokenStep is the relation with which a step begins.
func spokenStep(op notation.Op) string {
	switch op {
	case notation.OpEqual:
		return "equals"
	case notation.OpApprox:
		return "is approximately"
	}
	return relationWords[op]
}
