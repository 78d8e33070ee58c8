package shaft

import (
	"errors"
	"math"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// complianceOf makes the function 1/(G·J)·sᵏ of the local place on one stretch of
// a piece, where s = (x − from)/length of the stretch. nil if a profile cannot be
// written as one.
func (p *piece) complianceOf(o *outward, from, length interval.Interval, k int) *certify.Function {
	b := certify.NewBuilder()
	x := b.Variable()
	gj, ok := p.stiffnessExpr(o, b, x, from.Mid())
	if !ok {
		return nil
	}
	y := b.Div(b.Number(1), gj)
	if k > 0 {
		s := b.Div(b.Sub(x, b.Const(from)), b.Const(length))
		y = b.Mul(y, b.PowInt(s, k))
	}
	f, _ := b.Function(x, y)
	return f
}

// stiffnessExpr writes G·J at the local place x. near is a place of the stretch,
// which decides between which stations it lies.
func (p *piece) stiffnessExpr(o *outward, b *certify.Builder, x certify.Expr, near float64) (certify.Expr, bool) {
	g := b.Const(o.given(p.G))
	if s := p.Section; s != nil {
		return b.Mul(g, b.Const(o.section(s.J))), true
	}
	outer, ok := p.outerExpr(o, b, x, near)
	if !ok {
		return 0, false
	}
	c32 := b.Div(b.Const(interval.Pi), b.Number(32))
	if c := p.Core; c != nil {
		core := b.Const(o.given(c.Diameter))
		shell := b.Mul(g, b.Sub(b.PowInt(outer, 4), b.PowInt(core, 4)))
		inner := b.Mul(b.Const(o.given(c.G)), b.PowInt(core, 4))
		return b.Mul(c32, b.Add(shell, inner)), true
	}
	if p.Bore == nil {
		return b.Mul(b.Mul(g, c32), b.PowInt(outer, 4)), true
	}
	bore, ok := p.profileExpr(o, b, x, *p.Bore)
	if !ok {
		return 0, false
	}
	squares := b.Add(b.PowInt(outer, 2), b.PowInt(bore, 2))
	ring := b.Mul(b.Mul(b.Sub(outer, bore), b.Add(outer, bore)), squares)
	return b.Mul(b.Mul(g, c32), ring), true
}

func (p *piece) profileExpr(o *outward, b *certify.Builder, x certify.Expr, f Profile) (certify.Expr, bool) {
	switch {
	case f.Func == nil && f.Start == f.End:
		return b.Const(o.given(f.Start)), true
	case f.Func == nil:
		start, end := b.Const(o.given(f.Start)), b.Const(o.given(f.End))
		growth := b.Div(b.Sub(end, start), b.Const(o.given(p.Length)))
		return b.Add(start, b.Mul(growth, x)), true
	case f.Build == nil:
		return 0, false
	}
	return f.Build(b, x), true
}

// slopeError is the relative error of the slopes of the curve through stations,
// which are worked out in a few operations.
const slopeError = 1e-13

func (p *piece) outerExpr(o *outward, b *certify.Builder, x certify.Expr, near float64) (certify.Expr, bool) {
	if p.measured == nil {
		return p.profileExpr(o, b, x, p.Outer)
	}
	i := 1
	for i < len(p.Stations)-1 && p.Stations[i].X <= near {
		i++
	}
	from, to := p.Stations[i-1], p.Stations[i]
	h := b.Sub(b.Const(o.given(to.X)), b.Const(o.given(from.X)))
	slope := func(at float64) certify.Expr {
		m := p.measured.PredictDerivative(at)
		return b.Mul(h, b.Const(widened(m, slopeError*math.Abs(m))))
	}
	m0, m1 := slope(from.X), slope(to.X)
	d0 := b.Const(o.given(from.Diameter))
	rise := b.Sub(b.Const(o.given(to.Diameter)), d0)
	t := b.Div(b.Sub(x, b.Const(o.given(from.X))), h)
	// Hermite's cubic: d₀ + m₀t + (3Δ − 2m₀ − m₁)t² + (m₀ + m₁ − 2Δ)t³.
	c2 := b.Sub(b.Mul(b.Number(3), rise), b.Add(b.Mul(b.Number(2), m0), m1))
	c3 := b.Sub(b.Add(m0, m1), b.Mul(b.Number(2), rise))
	return b.Add(d0, b.Mul(t, b.Add(m0, b.Mul(t, b.Add(c2, b.Mul(t, c3)))))), true
}

// ErrNotEnclosed says that an integral along a piece could not be enclosed.
var ErrNotEnclosed = errors.New("the compliance of a piece could not be enclosed along its length")

// panelWork bounds the work on the enclosure of one panel.
const panelWork = 20_000

// A panel counts as resolved if the rule differs from its enclosure by no more
// than a share of the panel's own value, or of the whole stretch.
const (
	panelProof = 1e-13
	wholeProof = 2e-15
)

// proof returns a function that reports whether the 15-point rule has the
// integral of the compliance over a panel right. A rule of fixed points walks
// past a groove that lies between two of them, and its own estimate of its error
// does too. Where nothing can be proven the panel is taken as it is, and
// unproven set. The function is nil for a piece whose diameters are lines and
// cubics, which the rule resolves.
func (p *piece) proof(unproven *bool) func(a, b, value, whole float64) bool {
	if p.Outer.Func == nil && (p.Bore == nil || p.Bore.Func == nil) {
		return nil
	}
	f := p.complianceOf(&outward{}, interval.Interval{}, point(1), 0)
	if f == nil {
		*unproven = true
		return nil
	}
	return func(a, b, value, whole float64) bool {
		e, err := certify.Integrate(f, nil, point(a), point(b), certify.Options{Work: panelWork})
		if err != nil || !e.Certain || e.Width() > panelWide*whole {
			*unproven = true
			return true
		}
		slack := float64(panelProof*value) + float64(wholeProof*whole)
		return value >= e.Low-slack && value <= e.High+slack
	}
}

// panelWide is how wide the enclosure of a panel may be, as a share of the whole
// stretch, to prove anything about it.
const panelWide = 1e-12
