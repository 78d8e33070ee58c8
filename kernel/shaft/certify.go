package shaft

import (
	"errors"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// complianceOf makes the function 1/(G·J)·sᵏ of the local place on one stretch of
// a piece, where s = (x − from)/length of the stretch, which lies in the given
// cell between stations. nil if a profile cannot be written as one.
func (p *piece) complianceOf(o *outward, from, length interval.Interval, cell, k int) *certify.Function {
	b := certify.NewBuilder()
	x := b.Variable()
	gj, ok := p.stiffnessExpr(o, b, x, cell)
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

// stiffnessExpr writes G·J at the local place x in a cell between stations.
func (p *piece) stiffnessExpr(o *outward, b *certify.Builder, x certify.Expr, cell int) (certify.Expr, bool) {
	g := b.Const(o.given(p.G))
	if s := p.Section; s != nil {
		return b.Mul(g, b.Const(o.section(s.J))), true
	}
	outer, ok := p.outerExpr(o, b, x, cell)
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

func (p *piece) outerExpr(o *outward, b *certify.Builder, x certify.Expr, cell int) (certify.Expr, bool) {
	if p.measured == nil {
		return p.profileExpr(o, b, x, p.Outer)
	}
	curve := p.measured.curve(o)
	by, h := curve.cubic(o, cell)
	t := b.Div(b.Sub(x, b.Const(curve.x[cell])), b.Const(h))
	d := b.Const(by[3])
	for i := 2; i >= 0; i-- {
		d = b.Add(b.Const(by[i]), b.Mul(t, d))
	}
	return d, true
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
	f := p.complianceOf(&outward{}, interval.Interval{}, point(1), 0, 0)
	if f == nil {
		*unproven = true
		return nil
	}
	return func(a, b, value, whole float64) bool {
		e, err := certify.Integrate(f, nil, point(a), point(b), certify.Options{Work: panelWork})
		if err != nil || !e.Certain {
			*unproven = true
			return true
		}
		slack := float64(panelProof*value) + float64(wholeProof*whole)
		if value < e.Low-slack || value > e.High+slack {
			return false // however wide the enclosure is
		}
		if e.Width() > panelWide*whole {
			*unproven = true
		}
		return true
	}
}

// panelWide is how wide the enclosure of a panel may be, as a share of the whole
// stretch, to prove anything about it.
const panelWide = 1e-12
