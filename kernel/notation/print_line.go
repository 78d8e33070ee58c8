package notation

import "strconv"

func (w *printer) statement(s Stmt) {
	switch s := s.(type) {
	case *BadStmt:
		w.WriteString(s.At.Content())
	case *Define:
		w.words(s.Name.Ident, " = ")
		w.expr(s.Expr, levelOr, levelOr)
		w.display(s.Display)
	case *DefineFunc:
		w.head(s.Name, s.Params)
		w.expr(s.Body, levelOr, levelOr)
	case *Show:
		w.expr(s.Expr, levelOr, levelOr)
		w.display(s.Display)
	case *Vary:
		w.words("vary ", s.Name.Ident, " from ", s.From, " to ", s.To)
		w.option("by", s.Step)
		w.option("starting at", s.Start)
		w.typedEnds(s)
	case *Expect:
		w.expect(s)
	case *Table:
		w.WriteString("table ")
		w.columns(s.Columns)
		w.sampling(s.Range, "rows")
	case *SegmentTable:
		w.words("table of ", s.Shaft.Ident, " in ", s.Segments, " segments")
		w.display(s.Display)
	case *ToleranceTable:
		w.words("table of tolerances of ", s.Expr)
		w.display(s.Display)
	case *Trials:
		w.trials(s)
	case *Readings:
		w.readings(s)
	case *Line:
		w.line(s)
	case *PlotLine:
		w.plotLine(s)
	case *Plot:
		w.WriteString("plot ")
		w.columns(s.Columns)
		w.sampling(s.Range, "points")
		switch {
		case s.LogX && s.LogY:
			w.WriteString(" on log axes")
		case s.LogX:
			w.WriteString(" on log x axis")
		case s.LogY:
			w.WriteString(" on log y axis")
		}
	case *Draw:
		w.WriteString("draw ")
		switch s.Form {
		case DrawSection:
			w.words("section of ", s.Shaft.Ident, " at ", s.X)
		case DrawCut:
			w.words("cut of ", s.Shaft.Ident, " at ", s.X)
		case DrawTwisting:
			w.words(s.Shaft.Ident, " before and after")
		case DrawCompanions:
			w.words(s.Shaft.Ident, " between uniform companions")
		default:
			w.WriteString(s.Shaft.Ident)
		}
		if s.Segments != nil {
			w.words(" in ", s.Segments, " segments")
		}
		if s.Times != nil {
			w.words(" twisted ", s.Times, " times")
		}
		if s.Axial {
			w.WriteString(" with axial arrows")
		}
		if s.Alone {
			w.WriteString(" alone")
		}
	case *Prefer:
		w.WriteString("prefer ")
		for i, u := range s.Units {
			if i > 0 {
				w.WriteString(", ")
			}
			w.WriteString(u.Text)
		}
	}
}

// head writes "f(x, y) = ".
func (w *printer) head(name *Name, params []*Name) {
	w.WriteString(name.Ident)
	if params != nil {
		w.WriteByte('(')
		for i, p := range params {
			if i > 0 {
				w.WriteString(", ")
			}
			w.WriteString(p.Ident)
		}
		w.WriteByte(')')
	}
	w.WriteString(" = ")
}

func (w *printer) expect(s *Expect) {
	w.WriteString("expect ")
	if s.Cond != nil {
		w.expr(s.Cond, levelOr, levelOr)
		return
	}
	w.expr(s.X, levelOr, levelOr)
	switch {
	case s.Low != nil:
		w.words(" between ")
		w.expr(s.Low, levelSum, levelAnd)
		w.words(" and ", s.High)
	case s.Bracket != nil:
		w.WriteString(" within ")
		w.expr(s.Bracket, levelPlusMinus, levelOr)
	default:
		w.words(" ≈ ", s.Approx, " within ", s.Tolerance)
	}
}

func (w *printer) display(d Display) {
	if d.Unit != nil {
		w.words(" in ", d.Unit.Text)
	}
	switch {
	case d.HasPlaces:
		w.words(" to ", strconv.Itoa(d.Places), " places")
	case d.Figures > 0:
		w.words(" to ", strconv.Itoa(d.Figures), " figures")
	}
}

func (w *printer) columns(list []*Column) {
	for i, c := range list {
		if i > 0 {
			w.WriteString(", ")
		}
		w.column(c)
	}
}

func (w *printer) column(c *Column) {
	w.expr(c.Expr, levelOr, levelOr)
	w.display(c.Display)
	if c.Label != "" {
		w.words(` as "`, c.Label, `"`)
	}
}

// sampling writes " for x from A to B" and its parts; count is the word after
// the number of rows or points.
func (w *printer) sampling(r *Range, count string) {
	w.words(" for ", r.Var.Ident, " from ", r.From, " to ", r.To)
	w.option("by", r.Step)
	if r.Rows != nil {
		w.words(" in ", r.Rows, " ", count)
	}
	if r.Ratio {
		w.WriteString(" spaced by ratio")
	}
	w.option("marked at", r.Mark)
}

func (w *printer) shaftLine(line ShaftLine) {
	switch s := line.(type) {
	case *ShaftBad:
		w.WriteString(s.At.Content())
	case *ShaftModulus:
		w.words("G = ")
		w.tolerated(s.G)
	case *ShaftYield:
		w.words("yields at ", s.Stress)
	case *ShaftSolid:
		w.words("solid ")
		w.fromTo(s.D0, s.D1)
		w.option("for", s.Length)
	case *ShaftHollow:
		w.words("hollow ")
		w.fromTo(s.D0, s.D1)
		w.words(" bore ")
		w.fromTo(s.B0, s.B1)
		w.option("for", s.Length)
	case *ShaftProfile:
		w.words("profile ", s.D)
		w.option("bore", s.Bore)
		w.option("for", s.Length)
	case *ShaftMeasured:
		w.WriteString("measured ")
		for i, x := range s.X {
			if i > 0 {
				w.WriteString(", ")
			}
			w.words(x, ": ", s.D[i])
		}
	case *ShaftSection:
		w.section(s)
	case *ShaftCore:
		w.words("core ", s.D, " G ", s.G)
	case *ShaftHold:
		if s.Fixed {
			w.words("fixed at ", s.X)
		} else {
			w.words("hold at ", s.X)
		}
		w.option("stiffness", s.Stiffness)
	case *ShaftTorque:
		w.words("torque ")
		w.tolerated(s.T)
		w.words(" at ", s.X)
	case *ShaftSpread:
		if s.Distributed {
			w.WriteString("distributed ")
		}
		w.words("torque ")
		w.fromTo(s.T0, s.T1)
		w.words(" from ", s.From, " to ", s.To)
	case *ShaftPower:
		w.words("power ", s.P)
		if s.Out {
			w.WriteString(" out")
		}
		w.words(" at ", s.Speed, " at ", s.X)
	case *ShaftAllow:
		w.words("allow ", s.What, " ", s.Limit)
	case *ShaftGear:
		w.words("gear ", s.Teeth, " teeth at ", s.X, " drives ", s.Other.Ident, " ", s.OtherTeeth, " teeth at ", s.OtherX)
	}
}

// tolerated writes a value that may have a tolerance.
func (w *printer) tolerated(e Expr) {
	if e != nil {
		w.expr(e, levelPlusMinus, levelOr)
	}
}

// fromTo writes one value, or "a to b".
func (w *printer) fromTo(a, b Expr) {
	w.tolerated(a)
	if b != nil {
		w.words(" to ")
		w.tolerated(b)
	}
}

func (w *printer) section(s *ShaftSection) {
	w.words(s.Kind.String(), " ")
	switch s.Kind {
	case Rectangle, Ellipse:
		w.words(s.Sizes[0], " by ", s.Sizes[1])
	case ThinTube:
		w.words("area ", s.Sizes[0], " around ", s.Sizes[1], " wall ", s.Sizes[2])
	case OpenWall:
		for i := 0; i+1 < len(s.Sizes); i += 2 {
			if i > 0 {
				w.words(" and ")
			}
			w.words("wall ", s.Sizes[i], " along ", s.Sizes[i+1])
		}
	default:
		w.words(s.Sizes[0])
	}
	w.option("for", s.Length)
}

func (w *printer) deriveLine(line DeriveLine) {
	switch s := line.(type) {
	case *DeriveBad:
		w.WriteString(s.At.Content())
	case *Given:
		w.given(s)
	case *DeriveDefine:
		w.lead(s.Lead)
		if s.Over != nil {
			w.words(s.Name.Ident, "/", s.Over.Ident, " = ")
		} else {
			w.head(s.Name, s.Params)
		}
		w.expr(s.Expr, levelOr, levelOr)
		w.reason(s.Reason)
	case *DeriveStep:
		w.lead(s.Lead)
		if s.Left != nil {
			w.expr(s.Left, levelOr, levelOr)
			w.WriteByte(' ')
		}
		w.words(s.Op.String(), " ")
		if s.Gap {
			w.WriteByte('?')
		} else {
			w.expr(s.X, levelOr, levelOr)
		}
		if s.Domain != nil {
			w.WriteString(" for ")
			w.expr(s.Domain, levelOr, levelOr)
		}
		for i, name := range s.Constant {
			w.words([]string{", ", " for constant "}[max(0, 1-i)], name.Ident)
		}
		if s.Small != nil && s.SmallTo == nil {
			w.words(" for small ", s.Small.Ident)
		} else if s.Small != nil {
			w.words(" for ", s.Small.Ident, " ≪ ", s.SmallTo)
		}
		if s.With != nil {
			w.words(" with ", s.With.Ident, " = ")
			w.expr(s.WithX, levelOr, levelOr)
		}
		w.reason(s.Reason)
	}
}

// lead writes the sign before a line.
func (w *printer) lead(sign string) {
	if sign != "" {
		w.words(sign, " ")
	}
}

func (w *printer) reason(text string) {
	if text != "" {
		w.words(" because ", text)
	}
}

// given writes the items; the names of one chain share it and write it once.
func (w *printer) given(g *Given) {
	w.WriteString("given ")
	var written *Compare
	for i, item := range g.Items {
		shared := item.Word == "" && item.Unit == nil
		if shared && item.Domain == written {
			continue
		}
		if i > 0 {
			w.WriteString(", ")
		}
		if shared {
			written = item.Domain
			w.expr(item.Domain, levelOr, levelOr)
			continue
		}
		w.words(item.Name.Ident, ": ", item.Word)
		if item.Unit != nil {
			w.WriteString(item.Unit.Text)
		}
		if item.Domain == nil {
			continue
		}
		for j, x := range item.Domain.Xs[1:] {
			w.words(" ", item.Domain.Ops[j].String(), " ")
			after := levelCompare
			if j == len(item.Domain.Ops)-1 {
				after = levelOr
			}
			w.expr(x, levelPlusMinus, after)
		}
	}
}

// typedEnds writes what may be typed beyond the ends of a slider.
func (w *printer) typedEnds(s *Vary) {
	if !s.hasTyped() {
		return
	}
	w.WriteString(" typed")
	w.option("from", s.TypedFrom)
	w.option("up to", s.TypedTo)
}
