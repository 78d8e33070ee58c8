package working

import (
	"errors"
	"fmt"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
)

// A tolerance is one of a shaft cell, with the text that gives it.
type tolerance struct {
	shaft.Tolerance
	text string
}

func shaftTolerances(list []tolerance) []shaft.Tolerance {
	all := make([]shaft.Tolerance, len(list))
	for i, t := range list {
		all[i] = t.Tolerance
	}
	return all
}

// toleranceWords name what a tolerance is of.
var toleranceWords = map[shaft.Part]string{
	shaft.OuterEven: "diameter", shaft.OuterStart: "diameter", shaft.OuterEnd: "diameter",
	shaft.BoreEven: "bore", shaft.BoreStart: "bore", shaft.BoreEnd: "bore",
	shaft.ShearModulus: "G =", shaft.TorqueValue: "torque",
	shaft.SpreadEven: "torque", shaft.SpreadStart: "torque", shaft.SpreadEnd: "torque",
}

// tolerated evaluates a quantity that may have a tolerance, and returns its middle.
func (r *shaftReader) tolerated(x notation.Expr, of shaft.Part, index int) float64 {
	t, v := r.bracketOf(x, of, index)
	if t != nil {
		r.tol = append(r.tol, *t)
	}
	return v
}

// bracketOf evaluates a quantity. The tolerance is nil if it is one value.
func (r *shaftReader) bracketOf(x notation.Expr, of shaft.Part, index int) (*tolerance, float64) {
	v, ok := r.e.value(x)
	r.ok = r.ok && ok
	if !v.IsBracket {
		if _, written := literalText(notation.Unparen(x)); !written {
			r.read = append(r.read, readNumber{x, v.Number})
		}
		return nil, v.Number
	}
	text := toleranceWords[of] + " " + typeset.Plain(x)
	return &tolerance{shaft.Tolerance{Of: of, Index: index, Low: v.Bracket.Lo, High: v.Bracket.Hi, At: x.Span()}, text}, v.Bracket.Mid()
}

// modulus sets the shear modulus of the pieces below.
func (r *shaftReader) modulus(x notation.Expr) {
	r.gTol, r.g = r.bracketOf(x, shaft.ShearModulus, 0)
}

// tolerateModulus notes that the modulus in force is that of a piece.
func (r *shaftReader) tolerateModulus(piece int) {
	if r.gTol == nil {
		return
	}
	for i := range r.tol {
		if t := &r.tol[i]; t.Of == shaft.ShearModulus && t.At == r.gTol.At {
			t.Last = piece
			return
		}
	}
	t := *r.gTol
	t.Index, t.Last = piece, piece
	r.tol = append(r.tol, t)
}

// tolerantField returns the bounds of a field of a shaft with tolerances.
func (v shaftValue) tolerantField(name string, args []interval.Interval) (interval.Interval, error) {
	if len(args) == 0 {
		switch name {
		case "twist", "spring_back":
			return v.tol.TwistTotal(), nil
		case "permanent_twist":
			return interval.Interval{}, nil
		case "stiffness":
			return v.tol.Stiffness()
		case "stress_max":
			return v.tol.StressMax()
		case "energy":
			return v.tol.Energy()
		}
		return interval.Interval{}, fmt.Errorf("a shaft has no value called %s", name)
	}
	if len(args) == 2 {
		return interval.Interval{}, errors.New("the stress at a radius of a shaft with tolerances is not bounded here; the greatest on the section, S.stress(x), is")
	}
	switch x := args[0]; name {
	case "permanent_twist":
		_, err := v.tol.Twist(x)
		return interval.Interval{}, err
	case "yield_torque", "plastic_torque", "elastic_core":
		return interval.Interval{}, &shaft.YieldError{X: x.Mid(), Reason: shaft.NoYieldStress}
	case "twist", "spring_back":
		return v.tol.Twist(x)
	case "rate":
		return v.tol.TwistRate(x)
	case "torque":
		return v.tol.Torque(x)
	case "stress":
		return v.tol.Stress(x)
	case "d":
		return v.tol.DiameterOver(x)
	case "bore":
		return v.tol.BoreOver(x)
	case "J":
		return v.tol.JOver(x)
	case "rotation":
		return v.tol.Rotation(x)
	case "stiffness_at":
		return v.tol.StiffnessAt(x)
	case "reaction":
		return v.tol.Reaction(x.Mid())
	case "bracket":
		n, err := count(wholeIn(x))
		if err != nil {
			return interval.Interval{}, err
		}
		return v.tol.Bracket(n)
	}
	return interval.Interval{}, fmt.Errorf("a shaft has no value called %s", name)
}

// checkTolerantLimits notes the limits that the nominal shaft keeps, and some
// choice within the tolerances may exceed.
func (e *evaluation) checkTolerantLimits(v shaftValue) {
	over, err := v.s.Exceeded()
	if err != nil {
		return // checkLimits has reported it
	}
	noted := map[shaft.Limit]bool{}
	for _, x := range over {
		noted[x.Limit] = true
	}
	for _, limit := range v.spec.Limits {
		what, greatest := "the shear stress", v.tol.StressMax
		if limit.Of == shaft.TwistRate {
			what, greatest = "the twist per length", v.tol.RateMax
		}
		b, err := greatest()
		if err != nil {
			e.fail(limit.At, CodeShaft, "%s", err)
			continue
		}
		if b.Hi > limit.Value && !noted[limit] {
			e.r.Diagnostics.Notef(limit.At, CodeAllowed, "%s may exceed what is allowed within the tolerances: it reaches up to %s",
				what, e.showLike(limit, b.Hi)).
				Repair = "make the tolerances closer, or the shaft thicker"
		}
	}
}

// toleratedPlace returns where on the shaft a tolerance is, as words that follow it.
func (e *evaluation) toleratedPlace(v shaftValue, t tolerance) string {
	show := func(x float64) string { return e.showShaft(x, shaft.Length) }
	switch t.Of {
	case shaft.ShearModulus:
		return ""
	case shaft.TorqueValue:
		return " at " + show(v.spec.Torques[t.Index].X)
	case shaft.SpreadEven, shaft.SpreadStart, shaft.SpreadEnd:
		p := v.spec.DistributedTorques[t.Index]
		return " from " + show(p.From) + " to " + show(p.To)
	}
	from := 0.0
	for _, p := range v.spec.Pieces[:t.Index] {
		from += pieceLength(&p)
	}
	to := from + pieceLength(&v.spec.Pieces[t.Index])
	switch t.Of {
	case shaft.OuterStart, shaft.BoreStart:
		return " at " + show(from)
	case shaft.OuterEnd, shaft.BoreEnd:
		return " at " + show(to)
	}
	return " from " + show(from) + " to " + show(to)
}

func pieceLength(p *shaft.Piece) float64 {
	if n := len(p.Stations); n > 0 {
		return p.Stations[n-1].X
	}
	return p.Length
}

// mostShares bounds the tolerances whose shares are worked out: each takes
// shafts of its own.
const mostShares = 32

// shareTable returns the share of each tolerance in the width of the twist; nil
// if there is one tolerance, or none of them moves the twist.
func (e *evaluation) shareTable(v shaftValue) *Table {
	if n := len(v.tolerances); n < 2 || n > mostShares {
		return nil
	}
	shares := v.tol.Shares()
	if len(shares) == 0 || shares[0].Width == 0 {
		return nil
	}
	u := e.w.unitFor(shares[0].Width, check.Type{Kind: check.Number, Angle: check.IsAngle})
	percent, _ := unit.Parse("%")
	t := &Table{Headers: []Header{{Label: "tolerance", Words: true}, {Label: "width of the twist from it alone", Unit: u.Text}, {Label: "share", Unit: percent.Text}}}
	three := unit.Rounding{Figures: 3}
	for _, s := range shares {
		text := s.At.Content()
		for _, own := range v.tolerances {
			if own.Tolerance == s.Tolerance {
				text = own.text + e.toleratedPlace(v, own)
			}
		}
		t.Rows = append(t.Rows, []string{text,
			unit.Format(s.Width, unit.Unit{Factor: u.Factor}, three), unit.Format(s.Part, unit.Unit{Factor: percent.Factor}, three)})
		t.Numbers = append(t.Numbers, []float64{float64(s.At.Position().Line), s.Width, s.Part})
	}
	return t
}
