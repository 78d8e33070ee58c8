package kernel

import (
	"context"

	"shaftbook/kernel/bracket"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A shaftReader turns the lines of a shaft cell into the numbers of a shaft.
type shaftReader struct {
	e    *evaluation
	spec shaft.Spec
	gear *notation.ShaftGear // nil if none
	g    float64             // the shear modulus in force
	ok   bool
}

// readShaft evaluates the quantities of a shaft cell. Trouble goes to the
// evaluation's result; ok is false if there was any.
func (e *evaluation) readShaft(it *item, cell *notation.ShaftCell) shaftReader {
	r := shaftReader{e: e, ok: true}
	r.spec = shaft.Spec{Name: it.defines, At: nameSpan(it), Show: e.showShaft}
	for _, line := range cell.Lines {
		r.line(line)
	}
	return r
}

// shaft evaluates a shaft cell and solves the shaft, together with the shaft
// that gears join it to, if any.
func (e *evaluation) shaft(cell *notation.ShaftCell) {
	r := e.readShaft(e.it, cell)
	if !r.ok {
		return
	}
	s, list := r.solve(e.it.partner)
	e.r.Diagnostics = append(e.r.Diagnostics, list...)
	if list.HasErrors() || s == nil {
		return
	}
	e.obj = shaftValue{s, r.spec}
	e.r.Text = e.summary(s)
	e.checkLimits(s)
}

// solve solves the shaft alone or, where it has a partner, the pair.
func (r *shaftReader) solve(partner *item) (*shaft.Shaft, source.List) {
	if partner == nil {
		return shaft.New(r.spec)
	}
	other := r.e.partnerReader(partner)
	if !other.ok {
		return nil, nil // partnerReader has said so
	}
	driver, driven, first := r, &other, true
	if r.gear == nil {
		driver, driven, first = &other, r, false
	}
	mesh := shaft.Mesh{At: r.spec.At,
		XA: r.number(driver.gear.X), XB: r.number(driver.gear.OtherX),
		TeethA: r.number(driver.gear.Teeth), TeethB: r.number(driver.gear.OtherTeeth)}
	if first {
		mesh.At = driver.gear.Span()
	}
	pair, list := shaft.NewPair(driver.spec, driven.spec, mesh)
	if list.HasErrors() {
		return nil, list
	}
	x, torque, s := mesh.XA, pair.TorqueA, pair.A
	if !first {
		x, torque, s = mesh.XB, pair.TorqueB, pair.B
	}
	r.spec.Torques = append(r.spec.Torques, shaft.Torque{X: x, Value: torque, At: mesh.At})
	return s, list
}

// partnerReader reads the cell of the shaft on the other side of a gear pair.
func (e *evaluation) partnerReader(partner *item) shaftReader {
	kept := e.r.Diagnostics
	r := e.readShaft(partner, partner.node.(*notation.ShaftCell))
	e.r.Diagnostics = kept
	if r.ok && !partner.parsed.HasErrors() && !partner.checked.HasErrors() {
		return r
	}
	r.ok = false
	e.fail(e.it.span(), CodeNeeds, "the gears join this shaft to %s, which has an error", partner.defines).
		Repair = "mend that shaft first"
	return r
}

// checkLimits reports where an allowable stress or twist is exceeded.
func (e *evaluation) checkLimits(s *shaft.Shaft) {
	over, err := s.Exceeded()
	if err != nil {
		e.fail(e.it.span(), CodeShaft, "%s", err)
		return
	}
	for _, x := range over {
		what := "the shear stress"
		if x.Limit.Of == shaft.TwistRate {
			what = "the twist per length"
		}
		e.r.Diagnostics.Notef(x.Limit.At, CodeAllowed, "%s exceeds what is allowed from x = %s to %s: it reaches %s at x = %s",
			what, e.showShaft(x.From, shaft.Length), e.showShaft(x.To, shaft.Length),
			e.showShaft(x.Greatest, x.Limit.Of), e.showShaft(x.X, shaft.Length)).
			Repair = "make the shaft thicker there, or the load smaller"
	}
}

// summary says in one line what the shaft comes to.
func (e *evaluation) summary(s *shaft.Shaft) string {
	return "length " + e.showShaft(s.Length(), shaft.Length) +
		", twist " + unit.Format(s.TwistTotal(), e.w.unitFor(s.TwistTotal(), check.Type{Angle: check.IsAngle}), unit.Rounding{})
}

// showShaft prints a value for the shaft's own messages.
func (e *evaluation) showShaft(value float64, q shaft.Quantity) string {
	dim, hint := shaftDimension(q)
	u := unit.Choose(value, dim, e.w.preferred, hint)
	return unit.Format(value, u, unit.Rounding{})
}

func shaftDimension(q shaft.Quantity) (unit.Dimension, unit.Hint) {
	switch q {
	case shaft.Length, shaft.Diameter:
		return unit.Base(1, 0, 0), unit.NoHint
	case shaft.MomentPer:
		return unit.Base(1, 1, -2), unit.TorquePerLength
	case shaft.Modulus, shaft.Stress:
		return unit.Base(-1, 1, -2), unit.NoHint
	case shaft.TwistRate:
		return unit.Base(-1, 0, 0), unit.Angle
	}
	return unit.Base(2, 1, -2), unit.NoHint // torque, stiffness of a hold
}

// number evaluates one quantity of a line; nil stands for 0.
func (r *shaftReader) number(x notation.Expr) float64 {
	if x == nil {
		return 0
	}
	v, ok := r.e.number(x)
	r.ok = r.ok && ok
	return v
}

// ends returns the profile that runs from d0 to d1; nil d1 means uniform.
func (r *shaftReader) ends(d0, d1 notation.Expr) shaft.Profile {
	p := shaft.Uniform(r.number(d0))
	if d1 != nil {
		p.End = r.number(d1)
	}
	return p
}

func (r *shaftReader) line(line notation.ShaftLine) {
	at := line.Span()
	switch l := line.(type) {
	case *notation.ShaftModulus:
		r.g = r.number(l.G)
	case *notation.ShaftSolid:
		r.piece(shaft.Piece{Outer: r.ends(l.D0, l.D1), Length: r.number(l.Length), At: at})
	case *notation.ShaftHollow:
		bore := r.ends(l.B0, l.B1)
		r.piece(shaft.Piece{Outer: r.ends(l.D0, l.D1), Bore: &bore, Length: r.number(l.Length), At: at})
	case *notation.ShaftProfile:
		r.profile(l)
	case *notation.ShaftMeasured:
		r.measured(l)
	case *notation.ShaftSection:
		r.section(l)
	case *notation.ShaftCore:
		r.core(l)
	case *notation.ShaftHold:
		r.spec.Holds = append(r.spec.Holds, shaft.Hold{X: r.number(l.X),
			Elastic: l.Stiffness != nil, Stiffness: r.number(l.Stiffness), At: at})
	case *notation.ShaftTorque:
		r.spec.Torques = append(r.spec.Torques, shaft.Torque{X: r.number(l.X), Value: r.number(l.T), At: at})
	case *notation.ShaftSpread:
		start := r.number(l.T0)
		end := start
		if l.T1 != nil {
			end = r.number(l.T1)
		}
		r.spec.Spreads = append(r.spec.Spreads, shaft.Spread{From: r.number(l.From), To: r.number(l.To), Start: start, End: end, At: at})
	case *notation.ShaftPower:
		r.power(l)
	case *notation.ShaftAllow:
		of := shaft.Stress
		if l.What == "twist" {
			of = shaft.TwistRate
		}
		r.spec.Limits = append(r.spec.Limits, shaft.Limit{Of: of, Value: r.number(l.Limit), At: at})
	case *notation.ShaftGear:
		if r.gear != nil {
			r.fail(at, "a shaft has one gear pair here, and this is a second one").Repair = "solve the shafts pair by pair"
			return
		}
		r.gear = l
	}
}

func (r *shaftReader) piece(p shaft.Piece) {
	p.G = r.g
	r.spec.Pieces = append(r.spec.Pieces, p)
}

// profile makes a piece whose diameters are functions of x, the distance from
// the start of the piece.
func (r *shaftReader) profile(l *notation.ShaftProfile) {
	p := shaft.Piece{Length: r.number(l.Length), At: l.Span(), Outer: r.diameter(l.D)}
	if l.Bore != nil {
		bore := r.diameter(l.Bore)
		p.Bore = &bore
	}
	if r.ok {
		r.piece(p)
	}
}

// diameter compiles a diameter d(x). The shaft keeps it for as long as it
// lives, so it does not run on the budget of this evaluation.
func (r *shaftReader) diameter(x notation.Expr) shaft.Profile {
	names := scope{r.e.w}
	p, list := program.Compile(x, []string{"x"}, names)
	r.e.r.Diagnostics = append(r.e.r.Diagnostics, list...)
	if list.HasErrors() {
		r.ok = false
		return shaft.Profile{}
	}
	limits := r.e.w.limits
	return shaft.Profile{
		Func: func(dst, x []float64) error {
			return p.Block(program.NewRun(context.Background(), limits), dst, x)
		},
		Enclose: func(at bracket.Bracket) (bracket.Bracket, error) {
			run := program.NewRun(context.Background(), limits)
			b, list := program.EvaluateBracket(run, x, map[string]bracket.Bracket{"x": at}, names)
			return b, list.Err()
		},
	}
}

func (r *shaftReader) measured(l *notation.ShaftMeasured) {
	p := shaft.Piece{At: l.Span()}
	for i := range l.X {
		p.Stations = append(p.Stations, shaft.Station{X: r.number(l.X[i]), Diameter: r.number(l.D[i]),
			At: l.X[i].Span().To(l.D[i].Span())})
	}
	r.piece(p)
}

func (r *shaftReader) core(l *notation.ShaftCore) {
	core := shaft.Core{Diameter: r.number(l.D), G: r.number(l.G), At: l.Span()}
	if len(r.spec.Pieces) == 0 {
		r.fail(l.Span(), "a core stands below the piece it is bonded into, and there is none above").
			Repair = "write the piece first: solid 36 mm for 200 mm"
		return
	}
	last := &r.spec.Pieces[len(r.spec.Pieces)-1]
	if last.Core != nil {
		r.fail(l.Span(), "this piece has a core already").Repair = "a piece has at most one core"
		return
	}
	last.Core = &core
}

func (r *shaftReader) section(l *notation.ShaftSection) {
	sizes := make([]float64, len(l.Sizes))
	for i, x := range l.Sizes {
		sizes[i] = r.number(x)
	}
	if !r.ok {
		return
	}
	section, err := sectionOf(l.Kind, sizes)
	if err != nil {
		r.fail(l.Span(), "%s", err).Repair = "check the sizes of the section"
		return
	}
	r.piece(shaft.Piece{Length: r.number(l.Length), Section: section, At: l.Span()})
}

func sectionOf(kind notation.SectionKind, sizes []float64) (*shaft.Section, error) {
	switch kind {
	case notation.Square:
		return shaft.Square(sizes[0])
	case notation.Rectangle:
		return shaft.Rectangle(sizes[0], sizes[1])
	case notation.Ellipse:
		return shaft.Ellipse(sizes[0], sizes[1])
	case notation.Triangle:
		return shaft.EquilateralTriangle(sizes[0])
	}
	return shaft.ThinTube(sizes[0], shaft.Wall{Length: sizes[1], Thickness: sizes[2]})
}

// power adds the torque of a power at a speed, T = P/ω.
func (r *shaftReader) power(l *notation.ShaftPower) {
	p, speed := r.number(l.P), r.number(l.Speed)
	if !r.ok {
		return
	}
	torque, err := shaft.PowerTorque(p, speed)
	if err != nil {
		r.fail(l.Span(), "%s", err).Repair = "give the speed of rotation, as in 1450 rpm"
		return
	}
	if l.Out {
		torque = -torque
	}
	r.spec.Torques = append(r.spec.Torques, shaft.Torque{X: r.number(l.X), Value: torque, At: l.Span()})
}

func (r *shaftReader) fail(at source.Span, format string, args ...any) *source.Diagnostic {
	r.ok = false
	return r.e.fail(at, CodeShaft, format, args...)
}
