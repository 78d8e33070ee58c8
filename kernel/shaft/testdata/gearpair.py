#!/usr/bin/env python3
"""Prints the twists in TestGearBounds. Run: python3 gearpair.py   (mpmath 1.3.0)

Shaft A is held at 0 and carries T at x; shaft B is held at its end and carries U
at y. The gears, of a and b teeth, are at the end of A and at the start of B:
a*phi_A + b*phi_B = 0 and M_A/a = M_B/b. Worked out apart from the Go code.
"""
from mpmath import mp, mpf, pi

mp.dps = 40
G = mpf(79) * 10**9


def flexibility(d):
    return 32 / (pi * G * mpf(d) ** 4)


fa, fb = flexibility("0.0441"), flexibility("0.0227")
la, lb, x, y = mpf("0.8392"), mpf("0.1553"), mpf("0.5712"), mpf("0.085")
T, U = mpf(-202), mpf("174.3")
ratio = mpf(18) / 28
# phi_A = fa*(T*x + M*la), phi_B = fb*(U*(lb - y) + ratio*M*lb)
M = -(fa * T * x + ratio * fb * U * (lb - y)) / (fa * la + ratio**2 * fb * lb)
phi_b = fb * (U * (lb - y) + ratio * M * lb)
at_y = fb * (U + ratio * M) * (lb - y)
print("B between its loads", mp.nstr(at_y - phi_b, 22))
print("B as a whole", mp.nstr(-phi_b, 22))
print("A as a whole", mp.nstr(fa * (T * x + M * la), 22))
