#!/usr/bin/env python3
"""Prints the twists in TestMeasuredBounds. Run: python3 measured.py   (mpmath 1.3.0)

Slice theory at 40 digits; the slopes of the curve through the stations after
F. N. Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, worked
out here, apart from the Go code. Sizes in mm.
"""
from mpmath import mp, mpf, pi, quad

mp.dps = 40
G = mpf(79) * 10**9


def slopes(x, d):
    h = [b - a for a, b in zip(x, x[1:])]
    s = [(b - a) / k for a, b, k in zip(d, d[1:], h)]

    def inner(g, h, a, b):
        return 3 * (g + h) / ((g + 2 * h) / a + (2 * g + h) / b) if a * b > 0 else mpf(0)

    def end(h, g, a, b):
        v = ((g + 2 * h) * a - h * b) / (g + h)
        if v * a <= 0:
            return mpf(0)
        return 3 * a if a * b <= 0 and abs(v) > 3 * abs(a) else v

    middle = [inner(h[i], h[i + 1], s[i], s[i + 1]) for i in range(len(s) - 1)]
    return [end(h[0], h[1], s[0], s[1])] + middle + [end(h[-1], h[-2], s[-1], s[-2])]


def metres(sizes):
    return [mpf(v) / 1000 for v in sizes.split()]


def measured(places, diameters, until=None):
    x, d = metres(places), metres(diameters)
    m = slopes(x, d)
    total = mpf(0)
    for k in range(len(x) - 1):
        h = x[k + 1] - x[k]
        stop = x[k + 1] if until is None else min(x[k + 1], mpf(until) / 1000)

        def diameter(v):
            t = (v - x[k]) / h
            rise = t * t * (3 - 2 * t)
            return d[k] + (d[k + 1] - d[k]) * rise + h * t * (1 - t) * ((1 - t) * m[k] - t * m[k + 1])

        if stop > x[k]:
            total += quad(lambda v: 32 / (pi * G * diameter(v) ** 4), [x[k], (x[k] + stop) / 2, stop])
    return total


def solid(diameter, length):
    return 32 * mpf(length) / 1000 / (pi * G * (mpf(diameter) / 1000) ** 4)


five = "0 91.3 207.7 333.1 421.9", "42.1 42.1 37.3 55.5 48.7"
near = "0 317.4 323.6", "37.3 58.9 55.6"
for name, twist in [
    ("thick, thin", 100 * (solid("60", "500") + measured("0 365.4 503.7", "40 60 20"))),
    ("near the end", 100 * (solid("40", "500") + measured(*near))),
    ("beyond a station", 100 * (solid("40", "500") + measured(*near, "318"))),
    ("five stations", 250 * (solid("35.7", "137.3") + measured(*five))),
    ("between stations", 250 * (solid("35.7", "137.3") + measured(*five, "300"))),
]:
    print(name, mp.nstr(twist, 22))
