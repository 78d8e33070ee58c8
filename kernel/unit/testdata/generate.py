#!/usr/bin/env python3
"""Writes units.csv. Run: python3 generate.py > units.csv   (mpmath 1.3.0)

The column nearest is the float64 nearest to the exact factor, worked out here
from the definitions with fractions and a 60-digit π, apart from the Go code.
The columns printed and source are figures as published, given to the digits
shown there; "from memory" where the page was not at hand.
"""
from fractions import Fraction as F

from mpmath import mp, mpf

mp.dps = 60
LB, G0, IN, FT = F("0.45359237"), F("9.80665"), F("0.0254"), F("0.3048")
LBF = LB * G0
BASE = "SI Brochure, 9th ed., table 2 (from memory)"
NAMED = "SI Brochure, 9th ed., table 4 (from memory)"
NONSI = "SI Brochure, 9th ed., table 8 (from memory)"
NIST = "NIST SP 811 (2008), App. B.8"
MEM = NIST + " (from memory)"

rows = []


def add(symbol, base, exact, printed, source, pi=0):
    v = float(F(exact)) if pi == 0 else float(mpf(F(exact).numerator) / F(exact).denominator * mp.pi ** pi)
    rows.append((symbol, base, repr(v), printed, source))


for symbol, base in [("m", "m"), ("kg", "kg"), ("s", "s"), ("A", "A"), ("K", "K"), ("mol", "mol"), ("cd", "cd")]:
    add(symbol, base, 1, "1", BASE)
add("g", "kg", F(1, 1000), "0.001", BASE)
for symbol, base in [
    ("rad", "1"), ("sr", "1"), ("Hz", "s⁻¹"), ("N", "m·kg·s⁻²"), ("Pa", "m⁻¹·kg·s⁻²"), ("J", "m²·kg·s⁻²"),
    ("W", "m²·kg·s⁻³"), ("C", "s·A"), ("V", "m²·kg·s⁻³·A⁻¹"), ("F", "m⁻²·kg⁻¹·s⁴·A²"), ("Ω", "m²·kg·s⁻³·A⁻²"),
    ("S", "m⁻²·kg⁻¹·s³·A²"), ("Wb", "m²·kg·s⁻²·A⁻¹"), ("T", "kg·s⁻²·A⁻¹"), ("H", "m²·kg·s⁻²·A⁻²"),
    ("lm", "cd"), ("lx", "m⁻²·cd"), ("Bq", "s⁻¹"), ("Gy", "m²·s⁻²"), ("Sv", "m²·s⁻²"), ("kat", "s⁻¹·mol"),
]:
    add(symbol, base, 1, "1", NAMED)
add("min", "s", 60, "60", NONSI)
add("h", "s", 3600, "3600", NONSI)
add("d", "s", 86400, "86400", NONSI)
add("deg", "1", F(1, 180), "1.745329e-2", NIST, pi=1)
add("°", "1", F(1, 180), "1.745329e-2", NIST, pi=1)
add("mdeg", "1", F(1, 180000), "1.745329e-5", MEM, pi=1)
add("′", "1", F(1, 10800), "2.908882e-4", MEM, pi=1)
add("″", "1", F(1, 648000), "4.848137e-6", MEM, pi=1)
add("ha", "m²", 10000, "1e4", NONSI)
add("L", "m³", F(1, 1000), "1e-3", NONSI)
add("l", "m³", F(1, 1000), "1e-3", NONSI)
add("t", "kg", 1000, "1e3", NONSI)
add("au", "m", 149597870700, "149597870700", NONSI)
add("Da", "kg", F("1.66053906660e-27"), "1.66053906660e-27", NONSI)
add("eV", "m²·kg·s⁻²", F("1.602176634e-19"), "1.602176634e-19", NONSI)
add("%", "1", F(1, 100), "0.01", "SI Brochure, 9th ed., 5.4.7 (from memory)")
add("rev", "1", 2, "6.283185", MEM, pi=1)
add("rpm", "s⁻¹", F(2, 60), "1.047198e-1", NIST, pi=1)
add("r/min", "s⁻¹", F(2, 60), "1.047198e-1", NIST, pi=1)
add("r/s", "s⁻¹", F(2), "6.283185", NIST, pi=1)
add("in", "m", IN, "0.0254", MEM)
add("ft", "m", FT, "0.3048", MEM)
for mil in ("mil", "thou"):
    add(mil, "m", IN / 1000, "2.54e-5", MEM)
add("yd", "m", 3 * FT, "0.9144", MEM)
add("mi", "m", 5280 * FT, "1.609344e3", MEM)
add("lb", "kg", LB, "4.535924e-1", MEM)
add("oz", "kg", LB / 16, "2.834952e-2", MEM)
add("slug", "kg", LBF / FT, "1.459390e1", MEM)
add("lbf", "m·kg·s⁻²", LBF, "4.448222", MEM)
add("ozf", "m·kg·s⁻²", LBF / 16, "2.780139e-1", MEM)
add("kip", "m·kg·s⁻²", 1000 * LBF, "4.448222e3", MEM)
add("tonf", "m·kg·s⁻²", 2000 * LBF, "8.896443e3", MEM)
add("psi", "m⁻¹·kg·s⁻²", LBF / IN**2, "6.894757e3", MEM)
add("ksi", "m⁻¹·kg·s⁻²", 1000 * LBF / IN**2, "6.894757e6", MEM)
for msi in ("Msi", "Mpsi"):
    add(msi, "m⁻¹·kg·s⁻²", 10**6 * LBF / IN**2, "6.894757e9", MEM)
add("hp", "m²·kg·s⁻³", 550 * FT * LBF, "7.456999e2", MEM)
# compounds
add("lbf·in", "m²·kg·s⁻²", LBF * IN, "1.129848e-1", NIST)
add("lbf·ft", "m²·kg·s⁻²", LBF * FT, "1.355818", NIST)
add("lb/in^3", "m⁻³·kg", LB / IN**3, "2.767990e4", MEM)
add("lb/ft^3", "m⁻³·kg", LB / FT**3, "1.601846e1", MEM)
add("lbf/in", "kg·s⁻²", LBF / IN, "1.751268e2", MEM)
add("lbf/ft", "kg·s⁻²", LBF / FT, "1.459390e1", MEM)
add("in^4", "m⁴", IN**4, "4.162314e-7", MEM)
add("in³", "m³", IN**3, "1.638706e-5", MEM)
add("in²", "m²", IN**2, "6.4516e-4", MEM)
add("ft/min", "m·s⁻¹", FT / 60, "5.08e-3", MEM)
add("mi/h", "m·s⁻¹", 5280 * FT / 3600, "4.4704e-1", MEM)
add("km/h", "m·s⁻¹", F(1000, 3600), "2.777778e-1", MEM)
add("kW·h", "m²·kg·s⁻²", 3600000, "3.6e6", MEM)
add("rev/min", "s⁻¹", F(2, 60), "1.047198e-1", NIST, pi=1)
add("lbf·in/rad", "m²·kg·s⁻²", LBF * IN, "1.129848e-1", NIST)
add("ft·lbf/s", "m²·kg·s⁻³", FT * LBF, "1.355818", MEM)
add("N·m/m", "m·kg·s⁻²", 1, "1", "ratio of metres")
add("mm⁴", "m⁴", F(1, 10**12), "1e-12", "SI Brochure, 9th ed., 5.2 (from memory)")
add("GPa", "m⁻¹·kg·s⁻²", 10**9, "1e9", "SI Brochure, 9th ed., table 7 (from memory)")
add("W/(m·K)", "m·kg·s⁻³·K⁻¹", 1, "1", "SI Brochure, 9th ed., table 6 (from memory)")
add("1/s", "s⁻¹", 1, "1", BASE)
add("m^(1/2)", "m^(1/2)", 1, "1", BASE)

print("# symbol,dimension,nearest float64,published figure,source; see generate.py")
for r in rows:
    print(",".join('"%s"' % c if "," in c else c for c in r))
