# Reads lines "above<TAB>claim" and says for each whether sympy finds them
# equal for positive a, b, c, x: "equal" or "differs". Needs python3-sympy.
import sys
import sympy as s
names = {n: s.Symbol(n, positive=True) for n in "abcx"}
names |= {"sqrt": s.sqrt, "exp": s.exp, "atan": s.atan}
for line in sys.stdin:
    above, claim = (s.sympify(t, locals=names, rational=True) for t in line.rstrip("\n").split("\t"))
    difference = s.cancel(s.together(above - claim))
    if difference != 0:
        difference = s.powdenest(s.simplify(difference), force=True)
    zero = difference == 0 or difference.equals(0)
    print("equal" if zero else "differs", flush=True)
