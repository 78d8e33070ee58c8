package working

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
)

// A shaftReader turns the lines of a shaft cell into the numbers of a shaft.
type shaftReader struct {
	e    *evaluation
	of   *item // whose lines are read: the evaluated shaft or another of its train
	spec shaft.Spec
	g    float64      // the shear modulus in force
	y    shaft.Piece  // whose Yield and YieldAt are the yield stress in force
	read []readNumber // what is worked out from other numbers
	tol  []tolerance
	gTol *tolerance // of the modulus in force; nil if it is one value
	ok   bool

	gearLines int        // how many were read
	pairs     []gearPair // those that join it to another shaft
}

// readShaft evaluates the quantities of a shaft cell. Trouble goes to the
// evaluation's result; ok is false if there was any.
func (e *evaluation) readShaft(it *item, cell *notation.ShaftCell) shaftReader {
	r := shaftReader{e: e, of: it, ok: true}
	r.spec = shaft.Spec{Name: it.defines, At: nameSpan(it), Show: e.showShaft}
	for _, line := range cell.Lines {
		r.line(line)
	}
	if len(r.tol) > 0 && it.train != nil {
		r.fail(r.tol[0].At, "a shaft that gears join to another has no tolerances").
			Repair = "leave out the gears and give the torque of the mesh, or write the shafts at each end of the tolerance"
	}
	if len(r.tol) > 0 && r.y.YieldAt.IsValid() {
		r.fail(r.tol[0].At, "a shaft that yields has no tolerances: their brackets are those of an elastic one").
			Repair = "leave out yields at, or write the shafts at each end of the tolerance"
	}
	w, read := e.w, r.read
	r.spec.Off = func() (float64, error) { return w.off(read) }
	return r
}

// shaft evaluates a shaft cell and solves the shaft, together with those
// that gears join it to, if any.
func (e *evaluation) shaft(cell *notation.ShaftCell) {
	r := e.readShaft(e.it, cell)
	if !r.ok {
		return
	}
	s, list := r.solve()
	e.r.Diagnostics = append(e.r.Diagnostics, list...)
	if list.HasErrors() || s == nil {
		return
	}
	v := shaftValue{s: s, spec: r.spec, tolerances: r.tol, read: r.read}
	v.sizesOff = r.sizesOff()
	if e.it.info.Type.Kind == check.Bracket {
		if v.tol, list = shaft.NewTolerant(r.spec, shaftTolerances(r.tol)); list.HasErrors() {
			e.r.Diagnostics = append(e.r.Diagnostics, list...)
			return
		}
	}
	e.obj = v
	e.r.Text = e.summary(v)
	e.checkLimits(s)
	e.checkOpenWalls(cell, v.spec)
	if v.tol != nil {
		e.checkTolerantLimits(v)
		e.r.Table = e.shareTable(v)
	}
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
			e.showLike(x.Limit, x.Greatest), e.showShaft(x.X, shaft.Length)).
			Repair = "make the shaft thicker there, or the load smaller"
	}
}

// showLike prints a value in the unit in which its limit is written.
func (e *evaluation) showLike(limit shaft.Limit, value float64) string {
	for _, line := range e.it.node.(*notation.ShaftCell).Lines {
		allow, ok := line.(*notation.ShaftAllow)
		if !ok || allow.Span() != limit.At {
			continue
		}
		if q, ok := notation.Unparen(allow.Limit).(*notation.Quantity); ok {
			return unit.Format(value, q.Unit.Unit, unit.Rounding{})
		}
	}
	return e.showShaft(value, limit.Of)
}

// summary returns the shaft's results in one line.
func (e *evaluation) summary(v shaftValue) string {
	u := e.w.unitFor(v.s.TwistTotal(), check.Type{Angle: check.IsAngle})
	twist := v.markedWhole("twist", v.s.TwistTotal(), u)
	if v.tol != nil {
		b := v.tol.TwistTotal()
		twist = unit.FormatBracket(b.Lo, b.Hi, u, unit.Rounding{})
	}
	text := "length " + v.markedWhole("length", v.s.Length(), e.shaftUnit(v.s.Length(), shaft.Length)) + ", twist " + twist
	if v.s.Yields() {
		text += ", of which " + v.markedWhole("permanent_twist", v.s.PermanentTotal(), u) + " remains after unloading"
	}
	return text
}

// showShaft prints a value for the shaft's own messages.
func (e *evaluation) showShaft(value float64, q shaft.Quantity) string {
	return unit.Format(value, e.shaftUnit(value, q), unit.Rounding{})
}

// shaftUnit is the unit in which showShaft prints.
func (e *evaluation) shaftUnit(value float64, q shaft.Quantity) unit.Unit {
	dim, hint := shaftDimension(q)
	prefer := e.w.preferred
	if q == shaft.TwistRate {
		prefer = append(slices.Clip(prefer), degreesPerMetre)
	}
	return unit.Choose(value, dim, prefer, hint)
}

// degreesPerMetre is how the trade states an allowable twist.
var degreesPerMetre, _ = unit.Parse("deg/m")

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

// number evaluates one quantity of a line; nil means 0.
func (r *shaftReader) number(x notation.Expr) float64 {
	if x == nil {
		return 0
	}
	v, ok := r.e.number(x)
	r.ok = r.ok && ok
	if _, written := literalText(notation.Unparen(x)); !written {
		r.read = append(r.read, readNumber{x, v})
	}
	return v
}

// A readNumber is a number of a shaft that is more than a decimal with a unit.
type readNumber struct {
	x notation.Expr
	v float64
}

// sizesOff returns a function that tells how far the numbers of the pieces are from the
// exact values of their texts, as a share of each.
func (r *shaftReader) sizesOff() func() (float64, error) {
	var sizes []readNumber
	for _, n := range r.read {
		at := n.x.Span()
		if slices.ContainsFunc(r.spec.Pieces, func(p shaft.Piece) bool { return p.At.Start <= at.Start && at.End <= p.At.End }) {
			sizes = append(sizes, n)
		}
	}
	w := r.e.w
	return sync.OnceValues(func() (float64, error) { return w.off(sizes) })
}

// off returns how far the numbers of a shaft are from the exact values of their
// texts, as a share of each.
func (w *Working) off(numbers []readNumber) (float64, error) {
	worst := 0.0
	for _, n := range numbers {
		b, err := w.encloseExpr(n.x, scope{w})
		if err != nil {
			return 0, fmt.Errorf("no bracket of %s is certain: %w", typeset.Plain(n.x), err)
		}
		far := max(b.Hi-n.v, n.v-b.Lo)
		if far > 0 && n.v == 0 {
			return 0, fmt.Errorf("%s is 0 only by rounding", typeset.Plain(n.x))
		}
		if far > 0 {
			worst = max(worst, far/abs(n.v))
		}
	}
	return worst, nil
}

// ends returns the profile that runs from d0 to d1, of the parts of the next piece
// or distributed torque; nil d1 means uniform.
func (r *shaftReader) ends(d0, d1 notation.Expr, even, start, end shaft.Part) shaft.Profile {
	i := len(r.spec.Pieces)
	if even.IsLoad() {
		i = len(r.spec.DistributedTorques)
	}
	if d1 == nil {
		return shaft.Uniform(r.tolerated(d0, even, i))
	}
	return shaft.Profile{Start: r.tolerated(d0, start, i), End: r.tolerated(d1, end, i)}
}

// outer and bore return the diameters of the next piece.
func (r *shaftReader) outer(d0, d1 notation.Expr) shaft.Profile {
	return r.ends(d0, d1, shaft.OuterEven, shaft.OuterStart, shaft.OuterEnd)
}

func (r *shaftReader) bore(d0, d1 notation.Expr) *shaft.Profile {
	p := r.ends(d0, d1, shaft.BoreEven, shaft.BoreStart, shaft.BoreEnd)
	return &p
}

func (r *shaftReader) line(line notation.ShaftLine) {
	at := line.Span()
	switch l := line.(type) {
	case *notation.ShaftModulus:
		r.modulus(l.G)
		if r.ok && r.g <= 0 {
			r.fail(l.G.Span(), "a shear modulus of %s is not possible", r.e.showShaft(r.g, shaft.Modulus)).
				Repair = "give a modulus above zero, as in 79 GPa"
		}
	case *notation.ShaftYield:
		r.y = shaft.Piece{Yield: r.number(l.Stress), YieldAt: at}
		if r.ok && r.y.Yield <= 0 {
			r.fail(l.Stress.Span(), "a yield stress of %s is not possible", r.e.showShaft(r.y.Yield, shaft.Stress)).
				Repair = "give a stress above zero, as in 150 MPa"
		}
	case *notation.ShaftSolid:
		r.piece(shaft.Piece{Outer: r.outer(l.D0, l.D1), Length: r.number(l.Length), At: at})
	case *notation.ShaftHollow:
		r.piece(shaft.Piece{Outer: r.outer(l.D0, l.D1), Bore: r.bore(l.B0, l.B1), Length: r.number(l.Length), At: at})
	case *notation.ShaftProfile:
		r.profile(l)
	case *notation.ShaftMeasured:
		r.measured(l)
	case *notation.ShaftSection:
		r.section(l)
	case *notation.ShaftCore:
		r.core(l)
	case *notation.ShaftHold:
		r.spec.Supports = append(r.spec.Supports, shaft.Support{X: r.number(l.X),
			Elastic: l.Stiffness != nil, Stiffness: r.number(l.Stiffness), At: at})
	case *notation.ShaftTorque:
		r.spec.Torques = append(r.spec.Torques, shaft.Torque{X: r.number(l.X), Value: r.tolerated(l.T, shaft.TorqueValue, len(r.spec.Torques)), At: at})
	case *notation.ShaftSpread:
		p := r.ends(l.T0, l.T1, shaft.SpreadEven, shaft.SpreadStart, shaft.SpreadEnd)
		r.spec.DistributedTorques = append(r.spec.DistributedTorques, shaft.DistributedTorque{From: r.number(l.From), To: r.number(l.To), Start: p.Start, End: p.End, At: at})
	case *notation.ShaftPower:
		r.power(l)
	case *notation.ShaftAllow:
		of := shaft.Stress
		if l.What == "twist" {
			of = shaft.TwistRate
		}
		r.spec.Limits = append(r.spec.Limits, shaft.Limit{Of: of, Value: r.number(l.Limit), At: at})
	case *notation.ShaftGear:
		r.gears(l)
	}
}

func (r *shaftReader) piece(p shaft.Piece) {
	p.G, p.Yield, p.YieldAt = r.g, r.y.Yield, r.y.YieldAt
	r.tolerateModulus(len(r.spec.Pieces))
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

// budget returns the run for a diameter that a shaft asks for: on the budget of
// the statement that is evaluated, or, for a drawing made later, on its own.
func (w *Working) budget() (*program.Run, error) {
	if run := w.current.Load(); run != nil {
		return run.Aside()
	}
	return program.NewRun(context.WithoutCancel(w.ctx), w.limits), nil
}

// diameter compiles a diameter d(x), which the shaft keeps for as long as it
// lives.
func (r *shaftReader) diameter(x notation.Expr) shaft.Profile {
	names := scope{r.e.w}
	p, list := program.Compile(x, []string{"x"}, names)
	r.e.r.Diagnostics = append(r.e.r.Diagnostics, list...)
	if list.HasErrors() {
		r.ok = false
		return shaft.Profile{}
	}
	w := r.e.w
	return shaft.Profile{
		Func: func(dst, x []float64) error {
			run, err := w.budget()
			if err != nil {
				return err
			}
			return p.Block(run, dst, x)
		},
		Enclose: func(at interval.Interval) (interval.Interval, error) {
			run, err := w.budget()
			if err != nil {
				return interval.Interval{}, err
			}
			b, list := program.EvaluateSlice(run, x, "x", at, names)
			return b, list.Err()
		},
		Build: program.Build(x, "x", names),
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
		r.fail(l.Span(), "a core must follow the piece it is bonded into, and there is no piece above").
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
