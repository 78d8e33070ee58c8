#!/usr/bin/env python3
"""Values of elementary functions, by mpmath 1.3.0.

Reads lines "name x" or "name x y" (hexadecimal float64) and writes for each the
nearest float64 and how far the true value lies above it, in units in the last
place of that float64: "0x1.8p+1 -0.31250000000". "inf" stands for a value that
rounds past the largest float64. The working precision is raised until the
answer no longer depends on it.
"""
import math
import sys

from mpmath import mp, mpf

FUNCTIONS = dict(
    exp=mp.exp, expm1=mp.expm1, ln=mp.log, log10=mp.log10, log2=lambda x: mp.log(x) / mp.log(2), log1p=mp.log1p,
    sin=mp.sin, cos=mp.cos, tan=mp.tan, asin=mp.asin, acos=mp.acos, atan=mp.atan,
    sinh=mp.sinh, cosh=mp.cosh, atan2=mp.atan2, pow=lambda x, y: mp.power(x, y))


def ulp(v):
    return math.ldexp(1.0, max(math.frexp(v)[1] - 53, -1074))


def nearest(v):
    """The float64 nearest to v; float() of mpmath rounds subnormals twice."""
    if not v:
        return 0.0
    _, e = mp.frexp(v)
    if e > 1024:
        return math.copysign(math.inf, v)
    unit = max(e - 53, -1074)
    n = int(mp.nint(mp.ldexp(v, -unit)))
    try:
        return math.ldexp(float(n), unit)
    except OverflowError:
        return math.copysign(math.inf, v)


def value(name, args):
    last = None
    mp.prec = 200
    while True:
        v = FUNCTIONS[name](*[mpf(a) for a in args])
        r = nearest(v)
        if math.isinf(r):
            answer = (r, 0.0)
        else:
            answer = (r, float((v - mpf(r)) / mpf(ulp(r))))
        if last is not None and last[0] == answer[0] and abs(last[1] - answer[1]) < 1e-9:
            return answer
        last, mp.prec = answer, mp.prec + 140
        if mp.prec > 4000:
            raise SystemExit("no value for %s %r" % (name, args))


for line in sys.stdin:
    name, *args = line.split()
    r, above = value(name, [float.fromhex(a) for a in args])
    print("%s %.9f" % (r.hex() if not math.isinf(r) else "inf", above))
