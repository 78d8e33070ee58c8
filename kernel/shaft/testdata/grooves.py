#!/usr/bin/env python3
"""Writes grooves.csv. Run: python3 grooves.py > grooves.csv   (mpmath 1.3.0)

Shafts with what a rule of fixed points walks past: slots, smooth grooves, soft
necks between two holds. Slice theory at 40 digits, every integral split at the
breaks; the formulas are worked out here, apart from the Go code.

Columns: name; shaft cell; twist at the far end (rad); twist at the place in the
next column (rad); that place (m); greatest shear stress (Pa).
"""
import random

from mpmath import exp, inf, mp, mpf, pi, quad

mp.dps = 40
G = mpf(79) * 10**9
T = mpf(400)


def compliance(d):
    return 1 / (G * pi / 32 * d**4)


def stress(torque, d):
    return 16 * abs(torque) / (pi * d**3)


def row(name, cell, twist, inside, x, peak):
    n = lambda v: mp.nstr(v, 25)
    print(",".join([name, '"' + cell.replace("\n", " ; ") + '"', n(twist), n(inside), n(x), n(peak)]))


def profile(d):
    return f"G = 79 GPa\nprofile {d} for 1 m\nhold at 0 m\ntorque 400 N·m at 1 m"


print("# name,shaft cell,twist,twist inside,where,greatest stress; see grooves.py")
random.seed(13)
thin, thick = mpf("0.030"), mpf("0.040")
slots = [("groove of 30 mm", 520, 550)]
for k in range(24):
    width = [2, 5, 10, 20, 30, 50][k % 6]
    at = random.randint(60, 900)
    slots.append((f"slot {k + 1} of {width} mm", at, at + width))
for name, p, q in slots:
    cell = profile(f"(if x > {p} mm and x < {q} mm then 30 mm else 40 mm)")
    w = mpf(q - p) / 1000
    twist = T * ((1 - w) * compliance(thick) + w * compliance(thin))
    middle = (mpf(p) / 1000 * compliance(thick) + w / 2 * compliance(thin)) * T
    row(name, cell, twist, middle, mpf(p + q) / 2000, stress(T, thin))
w = mpf("0.004")
for k in range(16):
    p = mpf(random.randint(40, 960)) / 1000
    cell = profile(f"40 mm − 10 mm·exp(−((x − {mp.nstr(p * 1000, 5)} mm)/(4 mm))^2)")
    d = lambda x: thick - mpf("0.010") * exp(-(((x - p) / w) ** 2))
    cuts = sorted({mpf(0), mpf(1)} | {min(max(p + j * w, mpf(0)), mpf(1)) for j in range(-9, 10)})
    twist = T * quad(lambda x: compliance(d(x)), cuts)
    middle = T * quad(lambda x: compliance(d(x)), [c for c in cuts if c <= p])
    row(f"smooth groove {k + 1}", cell, twist, middle, p, stress(T, thin))
# Two rigid holds, 60 mm either side of a neck of 1 m; the torque acts at 300 mm.
for neck in ("1", "0.3"):
    d = mpf(neck) / 1000
    cell = f"G = 79 GPa\nsolid 60 mm for 1 m\nsolid {neck} mm for 1 m\nsolid 60 mm for 1 m\nhold at 0 m\nhold at 3 m\ntorque 400 N·m at 300 mm"
    stiff, soft = compliance(mpf("0.060")), compliance(d)
    before = mpf("0.3") * stiff
    total = 2 * stiff + soft
    right = T * before / total  # internal torque beyond the load, taken off: −right
    left = T - right
    inside = -(-right) * mpf("0.5") * stiff  # from the far hold back to 2.5 m
    row(f"neck of {neck} mm", cell, mpf(0), inside, mpf("2.5"), max(stress(left, mpf("0.060")), stress(right, d)))
