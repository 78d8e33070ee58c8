#!/usr/bin/env python3
"""Writes functions.csv: values of elementary functions to 50 digits.

Run: python3 generate.py > functions.csv     (mpmath 1.3.0 at 80 digits)

Arguments are exact float64, in hexadecimal. A row has one argument x, or two
(x, y) for atan2 (y first) and pow; or it is a range row, whose two arguments
are the ends and whose two values are the least and the greatest value there.
"""
import math
import random

import mpmath
from mpmath import mp, mpf

mp.dps = 80
random.seed(1788)


def text(v):
    return mpmath.nstr(v, 50, strip_zeros=False, min_fixed=1, max_fixed=0)


def row(name, args, values):
    print(",".join([name, " ".join(a.hex() for a in args), " ".join(text(v) for v in values)]))


def spread(low, high):
    """A random size between 2^low and 2^high, with a random sign."""
    return random.choice((-1, 1)) * math.ldexp(1 + random.random(), random.randrange(low, high))


def wave(f, crest, a, b):
    """Range of sin or cos, whose crests lie at crest + 2πk, troughs π further."""
    ends = [f(mpf(a)), f(mpf(b))]
    lo, hi = min(ends), max(ends)
    holds = lambda at: mpmath.ceil((mpf(a) - at) / (2 * mp.pi)) <= mpmath.floor((mpf(b) - at) / (2 * mp.pi))
    return (mpf(-1) if holds(crest + mp.pi) else lo), (mpf(1) if holds(crest) else hi)


print("# Values from mpmath %s at 80 digits, printed to 50; see generate.py." % mpmath.__version__)
print("# function,arguments (exact float64),values")
one = dict(exp=mp.exp, ln=mp.log, log10=mp.log10, sin=mp.sin, cos=mp.cos, tan=mp.tan,
           asin=mp.asin, acos=mp.acos, atan=mp.atan, sqrt=mp.sqrt)
for i in range(150):
    near1 = 1 + spread(-50, -1)
    arguments = dict(exp=spread(-30, 9), ln=abs(spread(-1020, 1020)), log10=abs(spread(-300, 300)),
                     sin=spread(-30, 40), cos=spread(-30, 40), tan=spread(-30, 40),
                     asin=random.uniform(-1, 1), acos=random.uniform(-1, 1), atan=spread(-40, 60),
                     sqrt=abs(spread(-1000, 1000)))
    for name, x in arguments.items():
        row(name, [x], [one[name](mpf(x))])
    row("ln", [near1], [mp.log(mpf(near1))])
    row("log10", [near1], [mp.log10(mpf(near1))])
    inside = 1 - abs(spread(-50, -3))
    for name in ("asin", "acos"):
        for x in (inside, -inside, spread(-60, -2)):
            row(name, [x], [one[name](mpf(x))])
    # the float64 next to a multiple of π/2, where a short π loses all digits
    x = float(random.randrange(1, 10 ** random.randrange(1, 15)) * (mp.pi / 2))
    for name in ("sin", "cos", "tan"):
        row(name, [x], [one[name](mpf(x))])
    x, y = spread(-300, 300), spread(-300, 300)
    if i % 2:
        x, y = spread(-5, 5), spread(-5, 5)
    row("atan2", [y, x], [mp.atan2(mpf(y), mpf(x))])
    x, y = abs(spread(-20, 20)), spread(-5, 5)
    row("pow", [x, y], [mpf(x) ** mpf(y)])
    x, y = 1 + spread(-30, -1), spread(8, 20)
    if abs(y * math.log(x)) < 700:
        row("pow", [x, y], [mpf(x) ** mpf(y)])
    a = spread(-3, 10)
    b = a + abs(spread(-6, 3))
    row("sin-range", [a, b], wave(mp.sin, mp.pi / 2, a, b))
    row("cos-range", [a, b], wave(mp.cos, mpf(0), a, b))
for x in (math.pi / 2, math.pi, 2 * math.pi, 355.0, 1e5, 1e10, 1e15, 2.0 ** 50, 5e-324):
    for name in ("sin", "cos", "tan"):
        row(name, [x], [one[name](mpf(x))])
for x in (-745.0, -740.5, -709.0, 709.7, 1e-300):
    row("exp", [x], [mp.exp(mpf(x))])
