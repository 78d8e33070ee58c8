"""Evaluates expressions at 30 digits with mpmath, and bounds what rounding to
float64 after every operation can do to them (running error analysis, Higham,
Accuracy and Stability of Numerical Algorithms, 2nd ed., section 3.3).

Reads one Python expression a line, made of the functions below; prints for
each the value and the bound on the absolute error, or "none" where there is
no value.
"""
import sys
import mpmath
from mpmath import mp, mpf

mp.dps = 30
U = mpf(2) ** -53


class Bad(Exception):
    pass


class R:
    """A value with the error that float64 arithmetic may have at this point."""

    def __init__(self, v, e):
        if not mpmath.isfinite(v) or abs(v) > mpf(10) ** 300:
            raise Bad()
        if v != 0 and e > abs(v) * mpf(10) ** -4:
            raise Bad()  # ill-conditioned: nothing to compare
        self.v, self.e = v, e


def rounded(v, e, ulps=1):
    return R(v, e + ulps * U * abs(v) + mpf(10) ** -306)


def lit(s):
    return rounded(mpf(s), 0)


def pi():
    return rounded(+mp.pi, 0)


def add(a, b):
    return rounded(a.v + b.v, a.e + b.e)


def sub(a, b):
    return rounded(a.v - b.v, a.e + b.e)


def mul(a, b):
    return rounded(a.v * b.v, abs(a.v) * b.e + abs(b.v) * a.e + a.e * b.e)


def div(a, b):
    if b.v == 0:
        raise Bad()
    q = a.v / b.v
    return rounded(q, (a.e + abs(q) * b.e) / abs(b.v) * mpf("1.001"))


def power(a, n):
    if a.v == 0 and n < 0:
        raise Bad()
    v = a.v**n
    slope = abs(n * a.v ** (n - 1)) if a.v != 0 else 0
    return rounded(v, slope * a.e * mpf("1.01"), abs(n) + 2)


def root(a):
    if a.v <= 0:
        raise Bad()
    r = mpmath.sqrt(a.v)
    return rounded(r, a.e / (2 * r) * mpf("1.001"))


def neg(a):
    return R(-a.v, a.e)


def fabs(a):
    return R(abs(a.v), a.e)


def function(f, slope, ulps):
    def apply(a):
        v = f(a.v)
        if not isinstance(v, mpf):
            raise Bad()
        return rounded(v, abs(slope(a.v)) * a.e * mpf("1.01"), ulps)

    return apply


# Four ulps are allowed to a library function; Go's are within two.
sin = function(mpmath.sin, mpmath.cos, 4)
cos = function(mpmath.cos, mpmath.sin, 4)
tan = function(mpmath.tan, lambda x: 1 + mpmath.tan(x) ** 2, 6)
atan = function(mpmath.atan, lambda x: 1 / (1 + x * x), 4)
exp = function(mpmath.exp, mpmath.exp, 4)


def ln(a):
    if a.v <= 0:
        raise Bad()
    return rounded(mpmath.log(a.v), a.e / a.v * mpf("1.01"), 4)


def least(a, b):
    return a if a.v <= b.v else b


def greatest(a, b):
    return a if a.v >= b.v else b


def choose(a, b, then, other):
    if abs(a.v - b.v) <= 2 * (a.e + b.e):
        raise Bad()
    return then() if a.v < b.v else other()


def whole(i):
    return R(mpf(i), mpf(0))


def total(f, a, b):
    terms = [f(whole(i)) for i in range(a, b + 1)]
    v = mpmath.fsum(t.v for t in terms)
    size = mpmath.fsum(abs(t.v) for t in terms)
    return R(v, mpmath.fsum(t.e for t in terms) + 16 * U * size)


def product(f, a, b):
    r = whole(1)
    for i in range(a, b + 1):
        r = mul(r, f(whole(i)))
    return r


def integral(f, a, b):
    worst = [mpf(0)]

    def g(x):
        r = f(R(x, U * abs(x)))
        worst[0] = max(worst[0], r.e)
        return r.v

    v, err = mpmath.quad(g, [a, b], error=True, maxdegree=5)
    size = mpmath.quad(lambda x: abs(g(x)), [a, b], maxdegree=4)
    if err > mpf(10) ** -20:
        raise Bad()
    return R(v, worst[0] * abs(b - a) + mpf("2e-12") * abs(v) + 200 * U * abs(size))


for line in sys.stdin:
    try:
        r = eval(line)
        print(mpmath.nstr(r.v, 28), mpmath.nstr(r.e, 5))
    except (Bad, ZeroDivisionError, ValueError, OverflowError):
        print("none")
