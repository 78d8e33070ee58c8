package shaft

import (
	"math"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/interval"
)

// A ductile is a solid or hollow round section of one material that is elastic
// up to its yield stress in shear and yields at that stress from there on. Plane
// sections stay plane, so the shear strain grows with the radius, and the stress
// too, up to the rim of the elastic core; from there outward it is the yield
// stress. With a, ρ, c the radii of the bore, of the elastic core, and of the
// outside,
//
//	T = 2π·τ_Y·((ρ⁴ − a⁴)/(4ρ) + (c³ − ρ³)/3)        dθ/dx = τ_Y/(G·ρ)
//
// F. P. Beer, E. R. Johnston, J. T. DeWolf, D. F. Mazurek, Mechanics of
// Materials, sections 3.8 to 3.10 (3.9 to 3.11 in other editions), for solid sections.
type ductile struct {
	outer, bore float64 // diameters, m
	g, yield    float64 // Pa
}

// yieldTorque returns the torque at which the surface begins to yield, N·m:
// T_Y = τ_Y·J/c.
func (s ductile) yieldTorque() float64 {
	return s.yield * polarMoment(s.outer, s.bore) / (s.outer / 2)
}

// plasticTorque returns the torque under which all of the section yields, N·m:
// T_p = ⅔π·τ_Y·(c³ − a³), in the product form, which loses no digits for a thin
// wall.
func (s ductile) plasticTorque() float64 {
	squares := float64(s.outer*s.outer) + float64(s.outer*s.bore) + float64(s.bore*s.bore)
	return math.Pi / 12 * s.yield * (s.outer - s.bore) * squares
}

// core returns the diameter of the elastic core under a torque smaller in size
// than plasticTorque, m: the outside diameter where nothing yields.
//
// With u = ρ/c, β = a/c and p = 4·(1 − T/(⅔π·τ_Y·c³)) the torque above is
//
//	u⁴ − p·u + 3β⁴ = 0
//
// which is u = ∛p for a solid section, and by Ferrari's way the larger root of
// u² − √y·u + … = 0, where y³ − 12β⁴·y − p² = 0, for a hollow one.
func (s ductile) core(torque float64) float64 {
	t := math.Abs(torque)
	if t <= s.yieldTorque() {
		return s.outer
	}
	solid := math.Pi / 12 * s.yield * s.outer * s.outer * s.outer
	p := max(4*(1-t/solid), 0)
	if s.bore == 0 {
		return s.outer * min(elementary.Pow(p, 1.0/3), 1)
	}
	q := s.bore / s.outer
	q3 := q * q * q
	left := max(4*(float64(s.plasticTorque())-t)/solid, 0) // p − 4β³ without cancellation
	half := float64(p * p / 2)
	root := math.Sqrt(left / 2 * (p + float64(4*q3)) * (half + float64(8*q3*q3)))
	w := elementary.Pow(half+root, 1.0/3)
	y := w + float64(4*q3*q)/w
	a := math.Sqrt(y)
	u := (a + math.Sqrt(max(float64(2*p)/a-y, 0))) / 2
	return s.outer * min(max(u, q), 1)
}

// permanentRate returns the twist per length that stays after unloading, which
// is elastic: dθ/dx − T/(G·J), rad/m.
//
// The difference loses all its digits where the surface just begins to yield.
// With e = T/T_Y − 1, and u and β as in core, that equation is
//
//	(1 − u)·(u + u² + u³ − 3β⁴) = 3·e·u·(1 − β⁴)
//
// and the difference a product, small as e² and with as many digits as e has:
//
//	dθ/dx − T/(G·J) = τ_Y/(G·c) · (1 − u)²·(3 + 2u + u²) / (3·u·(1 − β⁴))
func (s ductile) permanentRate(torque float64) float64 {
	first := s.yieldTorque()
	over := math.Abs(torque) - first
	if over <= 0 {
		return 0
	}
	u := s.core(torque) / s.outer
	q2 := float64(s.bore / s.outer * (s.bore / s.outer))
	ring := (s.outer - s.bore) / s.outer * (1 + s.bore/s.outer) * (1 + q2)
	cubic := u + float64(u*u) + float64(u*u*u)
	lost := 3 * over / first * u * ring / (cubic - float64(3*q2*q2))
	shape := lost * lost * (3 + float64(2*u) + float64(u*u)) / (3 * u * ring)
	return math.Copysign(2*s.yield/(s.g*s.outer)*shape, torque)
}

// A ductileExpr is a ductile in the operations of certified functions.
type ductileExpr struct {
	b                     *certify.Builder
	outer, bore, g, yield certify.Expr
	solid                 bool
}

func (s ductileExpr) pi(over float64) certify.Expr {
	return s.b.Div(s.b.Const(interval.Pi), s.b.Number(over))
}

// moment is J.
func (s ductileExpr) moment() certify.Expr {
	b := s.b
	if s.solid {
		return b.Mul(s.pi(32), b.PowInt(s.outer, 4))
	}
	ring := b.Mul(b.Sub(s.outer, s.bore), b.Add(s.outer, s.bore))
	return b.Mul(s.pi(32), b.Mul(ring, b.Add(b.PowInt(s.outer, 2), b.PowInt(s.bore, 2))))
}

func (s ductileExpr) yieldTorque() certify.Expr {
	b := s.b
	if s.solid {
		return b.Mul(b.Mul(s.pi(16), s.yield), b.PowInt(s.outer, 3))
	}
	return b.Div(b.Mul(b.Mul(b.Number(2), s.yield), s.moment()), s.outer)
}

// solidTorque is the torque of a section without the bore that yields throughout.
func (s ductileExpr) solidTorque() certify.Expr {
	return s.b.Mul(s.b.Mul(s.pi(12), s.yield), s.b.PowInt(s.outer, 3))
}

func (s ductileExpr) plasticTorque() certify.Expr {
	b := s.b
	if s.solid {
		return s.solidTorque()
	}
	return b.Mul(b.Mul(s.pi(12), s.yield), b.Sub(b.PowInt(s.outer, 3), b.PowInt(s.bore, 3)))
}

// core is the diameter of the elastic core under the size of a torque that makes
// the section yield.
func (s ductileExpr) core(size certify.Expr) certify.Expr {
	b := s.b
	p := b.Mul(b.Number(4), b.Sub(b.Number(1), b.Div(size, s.solidTorque())))
	if s.solid {
		return b.Mul(s.outer, b.PowRational(p, 1, 3))
	}
	q := b.Div(s.bore, s.outer)
	left := b.Mul(b.Number(4), b.Div(b.Sub(s.plasticTorque(), size), s.solidTorque()))
	half := b.Mul(b.Number(0.5), b.PowInt(p, 2))
	sum := b.Add(p, b.Mul(b.Number(4), b.PowInt(q, 3)))
	square := b.Mul(b.Mul(b.Number(0.5), b.Mul(left, sum)), b.Add(half, b.Mul(b.Number(8), b.PowInt(q, 6))))
	w := b.PowRational(b.Add(half, b.Sqrt(square)), 1, 3)
	y := b.Add(w, b.Div(b.Mul(b.Number(4), b.PowInt(q, 4)), w))
	a := b.Sqrt(y)
	u := b.Mul(b.Number(0.5), b.Add(a, b.Sqrt(b.Sub(b.Div(b.Mul(b.Number(2), p), a), y))))
	return b.Mul(s.outer, u)
}

// permanentRate is the size of ductile.permanentRate under the size of a torque.
func (s ductileExpr) permanentRate(size certify.Expr) certify.Expr {
	b := s.b
	first := s.yieldTorque()
	return b.If(b.LessEq(size, first), b.Number(0), s.rateBeyond(size, first))
}

// rateBeyond is permanentRate under a torque beyond the first at which the surface
// yields.
func (s ductileExpr) rateBeyond(size, first certify.Expr) certify.Expr {
	b := s.b
	u := b.Div(s.core(size), s.outer)
	ring, hole := b.Number(1), b.Number(0)
	if !s.solid {
		hole = b.PowInt(b.Div(s.bore, s.outer), 4)
		ring = b.Sub(b.Number(1), hole)
	}
	cubic := b.Mul(u, b.Add(b.Number(1), b.Mul(u, b.Add(b.Number(1), u))))
	share := b.Div(b.Mul(b.Number(3), b.Mul(u, ring)), b.Sub(cubic, b.Mul(b.Number(3), hole)))
	lost := b.Mul(b.Div(b.Sub(size, first), first), share)
	shape := b.Mul(b.PowInt(lost, 2), b.Add(b.Number(3), b.Mul(u, b.Add(b.Number(2), u))))
	return b.Div(b.Mul(b.Mul(b.Number(2), s.yield), shape), b.Mul(b.Mul(s.g, s.outer), b.Mul(b.Number(3), b.Mul(u, ring))))
}
