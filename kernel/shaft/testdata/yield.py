#!/usr/bin/env python3
"""Writes yield.csv. Run: python3 yield.py > yield.csv   (mpmath 1.3.0)

A shaft held at x = 0, of one piece whose diameters run linearly, under a torque at
the far end and a distributed torque that runs linearly along all of it. The radius
of the elastic core is found by bisection from the torque that the stresses make,
an integral over the radius; the twist is an integral of tau_Y/(G*rho) along the
shaft, cut where the surface begins to yield. No closed form of the Go code is used.
"""
from mpmath import mp, mpf, pi, quad, findroot, nstr

mp.dps = 22


def torque_of(rho, a, c, tau):
    # Gauss-Legendre has these integrals of cubics and squares exactly
    over = lambda f, p, q: quad(f, [p, q], method="gauss-legendre", maxdegree=2)
    elastic = over(lambda r: tau * r / rho * r * r, a, rho) if rho > a else 0
    return 2 * pi * (elastic + over(lambda r: tau * r * r, rho, c))


def core(T, a, c, tau):
    if T <= torque_of(c, a, c, tau):
        return c
    low, high = (a if a > 0 else c / 10**6), c
    return findroot(lambda rho: torque_of(rho, a, c, tau) - T, (low, high), solver="anderson", tol=mpf(10) ** -18, maxsteps=200)


def solve(d0, d1, b0, b1, L, G, tau, end, w0, w1):
    d0, d1, b0, b1, L = [mpf(v) / 1000 for v in (d0, d1, b0, b1, L)]
    G, tau, end, w0, w1 = mpf(G) * 10**9, mpf(tau) * 10**6, mpf(end), mpf(w0), mpf(w1)
    c = lambda x: (d0 + (d1 - d0) * x / L) / 2
    a = lambda x: (b0 + (b1 - b0) * x / L) / 2
    T = lambda x: end + (L - x) * (w0 + w1 * 1) / 2 if w0 == w1 else end + w0 * (L - x) + (w1 - w0) / L * (L * L - x * x) / 2
    size = lambda x: abs(T(x))
    sign = lambda x: 1 if T(x) >= 0 else -1
    elastic = lambda x: T(x) * 2 / (pi * G * (c(x) ** 4 - a(x) ** 4))
    over = lambda x: size(x) - torque_of(c(x), a(x), c(x), tau)
    # where the surface begins or ceases to yield
    cuts, n = [mpf(0)], 100
    for k in range(n):
        p, q = L * k / n, L * (k + 1) / n
        if (over(p) > 0) != (over(q) > 0):
            cuts.append(findroot(over, (p, q), solver="anderson", tol=mpf(10) ** -18))
    cuts.append(L)

    def lasting(x):
        if over(x) <= 0:
            return mpf(0)
        return sign(x) * tau / (G * core(size(x), a(x), c(x), tau)) - elastic(x)

    def permanent(to):
        ends = [p for p in cuts if p < to] + [to]
        return sum(quad(lasting, [p, q]) for p, q in zip(ends, ends[1:]) if over((p + q) / 2) > 0)

    whole = permanent(L)
    return quad(elastic, [0, L]) + whole, whole, permanent(L / 4), 2 * core(size(mpf(0)), a(mpf(0)), c(mpf(0)), tau)


CASES = {
    "solid": (50, 50, 0, 0, 1200, 77, 150, 4600, 0, 0),
    "solid-near-full": (50, 50, 0, 0, 1200, 77, 150, 4900, 0, 0),
    "solid-just-over": (50, 50, 0, 0, 1200, 77, 150, 3690, 0, 0),
    "tube": (57.15, 57.15, 38.1, 38.1, 1524, 77.2, 145, 4900, 0, 0),
    "thin-tube": (60, 60, 56, 56, 900, 79, 120, 1260, 0, 0),
    "pin-hole": (36, 36, 1, 1, 800, 79, 150, 1700, 0, 0),
    "taper": (36, 54, 0, 0, 800, 79, 150, 1600, 0, 0),
    "taper-backward": (54, 36, 0, 0, 800, 79, 150, -1600, 0, 0),
    "spread": (36, 36, 0, 0, 800, 79, 150, 200, 1700, 1700),
    "spread-growing": (36, 36, 0, 0, 800, 79, 150, -600, 500, 4500),
    "tube-taper": (36, 54, 20, 14, 800, 79, 150, 1500, 0, 0),
    "tube-taper-spread": (36, 54, 20, 14, 800, 79, 150, 1200, 100, 600),
}

print("# Elastic and perfectly plastic torsion: mpmath at 22 digits, see yield.py. Lengths mm, G GPa, yield MPa,")
print("# torque N·m, distributed torque N·m/m; twist rad, permanent also from 0 to L/4, core mm at x = 0.")
print("id,d0,d1,b0,b1,length,G,yield,torque,w0,w1,twist,permanent,permanent_quarter,core")
for name, case in CASES.items():
    twist, permanent, quarter, rho = solve(*case)
    print(",".join([name, *map(str, case), nstr(twist, 18), nstr(permanent, 18), nstr(quarter, 18), nstr(rho * 1000, 18)]))
