# Reads lines "above<TAB>claim<TAB>n" and says for each whether the first power of k in
# above − claim, by sympy's series, is higher than n: "holds" or "fails". Needs
# python3-sympy.
import sys
import sympy as s
k, a = s.Symbol("k"), s.Symbol("a", positive=True)
names = {"k": k, "a": a, "sqrt": s.sqrt, "exp": s.exp, "atan": s.atan}
for line in sys.stdin:
    above, claim, n = line.rstrip("\n").split("\t")
    rest = s.sympify(above, locals=names, rational=True) - s.sympify(claim, locals=names, rational=True)
    known = s.series(rest, k, 0, int(n) + 1).removeO()
    print("holds" if s.simplify(known) == 0 else "fails", flush=True)
