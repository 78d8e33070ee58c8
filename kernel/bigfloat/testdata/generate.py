# Writes functions.csv: values of functions, integrals, limits and roots by
# mpmath at 80 digits. Run with a Python that has mpmath (python3-mpmath).
from mpmath import mp, mpf, quad, inf, linspace
import mpmath as m, random
mp.dps = 80
random.seed(6)
print("name,argument,value")
def show(name, x, y): print(f"{name},{x},{m.nstr(y, 65)}")
fs = {"exp": m.exp, "ln": m.log, "log10": m.log10, "sqrt": m.sqrt, "sin": m.sin, "cos": m.cos, "tan": m.tan,
      "asin": m.asin, "acos": m.acos, "atan": m.atan}
for name, f in fs.items():
    for i in range(24):
        if name in ("asin", "acos"): x = random.uniform(-1, 1)
        elif name in ("ln", "log10", "sqrt"): x = 10 ** random.uniform(-12, 12)
        elif name == "exp": x = random.uniform(-200, 200)
        elif name == "atan": x = random.choice([-1, 1]) * 10 ** random.uniform(-6, 8)
        else: x = random.choice([random.uniform(-3, 3), random.uniform(-1e5, 1e5)])
        show(name, repr(x), f(mpf(x)))
for x in ("1.0000000000000002", "0.9999999999999999"):
    show("ln", x, m.log(mpf(float(x))))
for a in (0.02, 0.3, 2.0, 9.0):
    show("integral 1/(1+x)^4", a, quad(lambda x: (1 + x) ** -4, linspace(0, mpf(a), 9)))
    show("integral exp(-x^2)", a, quad(lambda x: m.exp(-x * x), linspace(0, mpf(a), 9)))
    show("integral 1/(1+x^2)", a, m.atan(mpf(a)))
    show("root x^3+x-a", a, m.findroot(lambda x: x ** 3 + x - mpf(a), 0.5))
for a in (0.02, 2.0):
    show("integral 1/sqrt(x)", a, 2 * m.sqrt(mpf(a)))
    show("integral sqrt(a^2-x^2)", a, m.pi * mpf(a) ** 2 / 4)
    show("integral ln(x)", a, mpf(a) * (m.log(mpf(a)) - 1))
show("limit (1+1/n)^n", 0, m.e)
show("pi", 0, m.pi)
