#!/usr/bin/env python3
"""Writes yieldonset.csv. Run: python3 yieldonset.py > yieldonset.csv   (mpmath 1.3.0)

Shafts of one piece, 800 mm long, held at x = 0, G = 79 GPa, yielding at 150 MPa, of
five kinds, under forty loads each, the first of which makes the surface yield over a
small part of the length only. The elastic core follows from the torque that the
stresses make, T = 2*pi*tau*((rho^4 - a^4)/(4*rho) + (c^3 - rho^3)/3), by bisection
and secants at 40 digits; what remains of the twist is the integral of
tau/(G*rho) - T/(G*J), subtracted as it stands, over the parts that yield, whose ends
are roots found at 40 digits. The curve through measured sizes is that of F. N.
Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304. Sizes in mm.
"""
from mpmath import mp, mpf, pi, quad, findroot, sin, nstr, floor, log10

mp.dps = 40
L, G, tau = mpf("0.8"), mpf(79) * 10**9, mpf(150) * 10**6
mm = mpf(1) / 1000

STATIONS = [(0, "36.1"), (150, "37.9"), (300, "40.2"), (800, "45")]


def curve():
    x = [mpf(p) * mm for p, _ in STATIONS]
    d = [mpf(v) * mm for _, v in STATIONS]
    h = [b - a for a, b in zip(x, x[1:])]
    s = [(b - a) / k for a, b, k in zip(d, d[1:], h)]
    inner = lambda g, h, a, b: 3 * (g + h) / ((g + 2 * h) / a + (2 * g + h) / b)
    end = lambda h, g, a, b: ((g + 2 * h) * a - h * b) / (g + h)  # of the sign of a here
    m = [end(h[0], h[1], s[0], s[1])]
    m += [inner(h[i], h[i + 1], s[i], s[i + 1]) for i in range(len(s) - 1)]
    m += [end(h[-1], h[-2], s[-1], s[-2])]
    assert all(v > 0 for v in m)

    def diameter(v):
        k = max(i for i in range(len(h)) if v >= x[i])
        t = (v - x[k]) / h[k]
        return d[k] + (d[k + 1] - d[k]) * t * t * (3 - 2 * t) + h[k] * t * (1 - t) * ((1 - t) * m[k] - t * m[k + 1])

    return diameter


zero = lambda x: mpf(0)
whole = lambda T: lambda x: T
KINDS = {  # diameter, bore, torque at x of a load, places where the sizes bend, load of first yield
    "taper": (lambda x: 36 * mm + 18 * mm * x / L, zero, whole, []),
    "distributed": (lambda x: 36 * mm, zero, lambda w: lambda x: w * (L - x), []),
    "measured": (curve(), zero, whole, [mpf(p) * mm for p, _ in STATIONS[1:-1]]),
    "profile": (lambda x: 45 * mm - 9 * mm * sin(pi * x / L), zero, whole, [L / 2]),
    "hollow": (lambda x: 54 * mm - 18 * mm * x / L, lambda x: 30 * mm, whole, []),
}
WORST = {"taper": 0, "distributed": 0, "measured": 0, "profile": L / 2, "hollow": L}


def first(c, a):
    return tau * pi / 2 * (c**4 - a**4) / c


def full(c, a):
    return 2 * pi * tau * (c**3 - a**3) / 3


def made(rho, a, c):
    return 2 * pi * tau * ((rho**4 - a**4) / (4 * rho) + (c**3 - rho**3) / 3)


def core(T, a, c):
    low, high = max(a, c * mpf(10) ** -8), c
    for _ in range(30):
        mid = (low + high) / 2
        low, high = (mid, high) if made(mid, a, c) > T else (low, mid)
    return findroot(lambda rho: made(rho, a, c) - T, (low, high), solver="secant", tol=mpf(10) ** -70)


def solve(kind, load):
    d, b, of, bends = KINDS[kind]
    c, a, T = (lambda x: d(x) / 2), (lambda x: b(x) / 2), of(load)
    over = lambda x: T(x) - first(c(x), a(x))
    elastic = lambda x: 2 * T(x) / (pi * G * (c(x) ** 4 - a(x) ** 4))
    places = sorted({L * k / 200 for k in range(201)} | set(bends))
    cuts = set(bends) | {mpf(0), L}
    for p, q in zip(places, places[1:]):
        if (over(p) > 0) != (over(q) > 0):
            cuts.add(findroot(over, (p, q), solver="anderson", tol=mpf(10) ** -60, maxsteps=300))

    def lasting(x):
        return tau / (G * core(T(x), a(x), c(x))) - elastic(x)

    def permanent(to):
        ends = sorted(p for p in cuts if p < to) + [to]
        return sum(quad(lasting, [p, q], maxdegree=5) for p, q in zip(ends, ends[1:]) if over((p + q) / 2) > 0)

    return quad(elastic, sorted(set(bends) | {mpf(0), L / 4, L})) + permanent(L), permanent(L), permanent(mpf("0.3"))


print("# Twist at and beyond first yield: mpmath at 40 digits, see yieldonset.py. Torque N·m, distributed N·m/m; twists rad.")
print("kind,load,twist,permanent,permanent_300")
for kind, (d, b, of, _) in KINDS.items():
    x = WORST[kind]
    unit = of(mpf(1))(x)
    begin, end = (f(d(x) / 2, b(x) / 2) / unit for f in (first, full))
    for k in range(40):
        # from a part in 10^7 beyond first yield to a part in 100 below the last
        share = mpf(10) ** (-7 + mpf(k) * 7 / 39) * (end / begin * mpf("0.99") - 1)
        load = begin * (1 + share)
        load = floor(load * 10**6) / 10**6
        if load <= begin:
            load += mpf(10) ** -6
        print(",".join([kind, nstr(load, 15), *(nstr(v, 18) for v in solve(kind, load))]), flush=True)
