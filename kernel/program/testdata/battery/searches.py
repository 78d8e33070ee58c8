#!/usr/bin/env python3
"""Writes searches.csv: roots, largest and smallest values to 40 digits.

Values are closed forms, or found with mpmath at 60 digits from a start next to
the root or extreme that is meant. A root without a value is one that does not
exist. Run: python3 searches.py > searches.csv
"""
import sys
from mpmath import mp, mpf as M, findroot, exp, sin, cos, tan, log, sqrt, pi, atan, nstr, diff

mp.dps = 60
rows = []

def root(text, a, b, f, start=None):
    v = "" if f is None else nstr(f if start is None else findroot(f, M(start)), 40)
    rows.append(("root", text, a, b, v))

def largest(text, a, b, v):  rows.append(("largest", text, a, b, nstr(M(v), 40)))
def smallest(text, a, b, v): rows.append(("smallest", text, a, b, nstr(M(v), 40)))
def peak(f, start, half="0.02"):
    """The extreme of f next to start: the slope is bisected to 60 digits."""
    with mp.workdps(160):
        a, b = M(start) - M(half), M(start) + M(half)
        up = diff(f, a) > 0
        assert up != (diff(f, b) > 0)
        for _ in range(210):
            m = (a + b)/2
            if (diff(f, m) > 0) == up:
                a = m
            else:
                b = m
        return f((a + b)/2)

root("cos(x) - x", "0", "1", lambda x: cos(x) - x, "0.7")
root("x^2 - 2", "0", "2", sqrt(M(2)))
root("x^2 - 2", "2", "-2", sqrt(M(2)))
root("x^2 - 2", "-2", "2", -sqrt(M(2)))
root("x^3 - x - 1", "0", "2", lambda x: x**3 - x - 1, "1.3")
root("exp(x) - 3*x^2", "-1", "0.5", lambda x: exp(x) - 3*x*x, "-0.45")
root("tan(x) - x", "4", "4.6", lambda x: tan(x) - x, "4.4934")
root("ln(x) + x", "0.1", "2", lambda x: log(x) + x, "0.56")
root("sin(50*x)", "0.01", "1", pi/50)
root("sin(50*x)", "1", "0.01", 15*pi/50)
root("(x - 0.3015)*(x - 0.3016)", "0", "1", M("0.3015"))
root("(x - 0.30150)*(x - 0.30151)", "0", "1", M("0.3015"))
root("(x - 0.3015)*(x - 0.3015001)*(x - 0.9)", "0", "1", M("0.3015"))
root("x^2 - 1.000001*x + 0.25", "0", "1", (M("1.000001") - sqrt(M("1.000001")**2 - 1))/2)
root("exp(-((x - 0.5)/1e-4)^2) - 0.5", "0", "1", M("0.5") - M("1e-4")*sqrt(log(M(2))))
root("exp(-((x - 0.123)/1e-3)^2) - 0.9", "0", "1", M("0.123") - M("1e-3")*sqrt(-log(M("0.9"))))
root("(x - 0.4)^2", "0", "1", M("0.4"))
root("x^2 - 0.8*x + 0.16", "0", "1", M("0.4"))
root("(x - 0.25)^3", "0", "1", M("0.25"))
root("x^4 - x^2", "0.5", "2", 1)
root("abs(x - 0.7) - 0.2", "0", "1", M("0.5"))
root("(if x < 0.5 then x - 0.2 else x)", "0", "1", M("0.2"))
root("max(x, 0.1) - 0.5", "0", "1", M("0.5"))
root("atan(1000*(x - 0.3))", "0", "1", M("0.3"))
root("x*exp(x) - 1", "0", "1", lambda x: x*exp(x) - 1, "0.567")
root("1/x - 3", "0.1", "1", M(1)/3)
root("(integral of 3*t^2 for t from 0 to x) - 0.5", "0", "1", M("0.5")**(M(1)/3))
root("(sum of x^k for k from 1 to 5) - 2", "0", "1", lambda x: sum(x**k for k in range(1, 6)) - 2, "0.7")
root("sqrt(x) - 0.75", "0", "1", M("0.5625"))
root("x^2 + 1e-9", "-1", "1", None)
root("(x - 0.4)^2 + 1e-12", "0", "1", None)
root("2 + sin(20*x)", "0", "1", None)
root("exp(x)", "-5", "5", None)

largest("sin(x)", "0", "3", 1)
smallest("sin(x)", "0", "5", -1)
largest("x*(1 - x)^2", "0", "1", M(4)/27)
largest("x*exp(-x)", "0", "5", exp(M(-1)))
smallest("x*ln(x)", "0.1", "1", -exp(M(-1)))
largest("exp(-((x - 0.4)/1e-4)^2) + 1", "0", "1", 2)
largest("exp(-((x - 0.41237)/1e-5)^2) + x", "0", "1", peak(lambda x: exp(-((x - M("0.41237"))/M("1e-5"))**2) + x, "0.41237", "1e-5"))
largest("(if x > 0.52 and x < 0.5203 then 5 else 2)", "0", "1", 5)
largest("1/(if x > 0.52 and x < 0.5203 then 0.03 else 0.04)^3", "0", "1", M("0.03")**-3)
smallest("abs(x - 0.25)", "-1", "2", 0)
smallest("(x - 0.3)^2 + 1e-6", "0", "1", M("1e-6"))
largest("sin(50*x)*exp(-x)", "0", "1", peak(lambda x: sin(50*x)*exp(-x), pi/100, "0.01"))
smallest("sin(50*x)*exp(-x)", "0", "1", peak(lambda x: sin(50*x)*exp(-x), 3*pi/100))
largest("sin(x) + sin(10*x/3)", "2.7", "7.5", peak(lambda x: sin(x) + sin(10*x/3), "6.2"))
smallest("sin(x) + sin(10*x/3)", "2.7", "7.5", peak(lambda x: sin(x) + sin(10*x/3), "5.1457"))
largest("x^4 - 3*x^3 + 2", "0", "3", 2)
smallest("x^4 - 3*x^3 + 2", "0", "3", M("2.25")**4 - 3*M("2.25")**3 + 2)
largest("min(x, 1 - x)", "0", "1", M(1)/2)
smallest("max(x^2, 2 - x)", "-3", "3", 1)
largest("1/(0.04 - 0.01*exp(-((x - 0.777)/0.001)^2))^3", "0", "1", M("0.03")**-3)
largest("x", "2", "5", 5)
smallest("7", "2", "5", 7)
largest("sqrt(x*(1 - x))", "0.01", "0.99", M(1)/2)
largest("atan(x)", "0", "10", atan(M(10)))
smallest("x + 1/x", "0.1", "10", 2)
largest("x - floor(x)", "0.25", "0.75", M("0.75"))
largest("cos(cos(x) + 3*sin(x) + 2*cos(2*x) + 3*cos(3*x))", "0", "3", 1)

out = sys.stdout
out.write("# Written by searches.py with mpmath %s at 60 digits.\n" % __import__("mpmath").__version__)
out.write("kind,formula,from,to,value\n")
for r in rows:
    out.write(",".join('"%s"' % c if "," in c else c for c in r) + "\n")
sys.stderr.write("%d searches\n" % len(rows))
