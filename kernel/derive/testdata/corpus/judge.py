# Decides each step of derivations by evaluating it, with mpmath and with a
# reader of its own: nothing here comes from the program that is tested.
#
# Standard input is JSON, a list of derivations, each a list of lines. Standard
# output is JSON, for each derivation a list of [line index, "true" | "false" |
# "undecided: why"] for its judged lines. A step is true if both sides are equal
# (or the relation holds) at all of POINTS random points of the domain, to 9
# digits, 5 where a limit is taken. A number that ends a chain is true if the line
# above rounds to it, its last digit within one unit. Needs python3-mpmath.
import json
import math
import random
import re
import sys
from mpmath import fp

POINTS = 6
DIM = {"torque": (20, 2000), "stress": (1e9, 1e11), "length": (0.2, 2), "number": (0.3, 4)}
PREFIX = {"": 1, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9, "c": 1e-2}
UNITS = {p + u: f * PREFIX[p] for u, f, ps in [
    ("m", 1, ["", "m", "k", "c"]), ("N", 1, ["", "k", "M"]), ("Pa", 1, ["", "k", "M", "G"]), ("W", 1, ["", "k", "M"]),
    ("rad", 1, ["", "m"]), ("s", 1, ["", "m"]), ("J", 1, ["", "k"])] for p in ps}
UNITS |= {"deg": math.pi / 180, "°": math.pi / 180, "rpm": math.pi / 30, "min": 60, "%": 0.01, "in": 0.0254, "Hz": 1}
FUNCS = {"sin": math.sin, "cos": math.cos, "tan": math.tan, "exp": math.exp, "ln": math.log, "log10": math.log10,
         "atan": math.atan, "asin": math.asin, "acos": math.acos, "sqrt": math.sqrt, "abs": abs, "max": max, "min": min}
SUP = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
TOKEN = re.compile(r"\s*(?:(\d+(?:\.\d+)?(?:e-?\d+)?)|([^\W\d]\w*)|([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)|(.))")
RELATIONS = {"∝", "=", "≤", "≥", "<", ">", "≈"}


class Unclear(Exception):
    pass


def unit_after(text, i):
    """Reads a unit at text[i:]; returns its factor and where it ends, or None."""
    m = re.match(r" ?", text[i:])
    j = i + m.end()
    factor, n, divide = 1.0, 0, False
    while True:
        m = re.match(r"(%|°|[A-Za-z]+)(?:\^(-?\d+)|([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+))?", text[j:])
        if not m or m[1] not in UNITS:
            break
        power = int(m[2] or (m[3] or "1").translate(SUP))
        factor *= UNITS[m[1]] ** (-power if divide else power)
        j += m.end()
        n, end = n + 1, j
        if j < len(text) and text[j] in "·/":
            divide = divide or text[j] == "/"
            j += 1
            continue
        break
    return (factor, end) if n else None


def tokens(text):
    out, i = [], 0
    text = text.rstrip()
    while i < len(text):
        m = TOKEN.match(text, i)
        i = m.end()
        if m[1]:
            value = float(m[1])
            u = unit_after(text, i)
            if u:
                value *= u[0]
                i = u[1]
            out.append(("num", value))
        elif m[2]:
            name = m[2]
            # d/dx is left to the lines; a prime belongs to the name before it.
            out.append(("name", name))
        elif m[3]:
            out.append(("sup", int(m[3].translate(SUP))))
        elif m[4].strip():
            out.append(("op", m[4]))
    return out + [("end", "")]


class Reader:
    def __init__(self, text):
        self.t, self.i = tokens(text), 0

    def peek(self):
        return self.t[self.i]

    def take(self, *want):
        if self.t[self.i] in [("op", w) for w in want] + [("name", w) for w in want]:
            self.i += 1
            return self.t[self.i - 1][1]
        return None

    def need(self, want):
        if not self.take(want):
            raise Unclear(f"expected {want} at {self.t[self.i:self.i + 4]}")

    def sum(self):
        e = self.term()
        while op := self.take("+", "−", "-"):
            e = ("+" if op == "+" else "-", e, self.term())
        return e

    def term(self):
        e = self.signed()
        while op := self.take("·", "*", "/"):
            e = ("/" if op == "/" else "*", e, self.signed())
        return e

    def signed(self):
        if self.take("−", "-"):
            return ("-", ("num", 0.0), self.signed())
        if self.take("√"):
            return ("call", "sqrt", [self.signed()])
        if self.take("∛"):
            return ("^", self.signed(), ("num", 1 / 3))
        return self.power()

    def power(self):
        e = self.atom()
        if self.peek()[0] == "sup":
            self.i += 1
            return ("^", e, ("num", float(self.t[self.i - 1][1])))
        if self.take("^"):
            if self.take("−", "-"):
                return ("^", e, ("-", ("num", 0.0), self.power()))
            return ("^", e, self.power())
        return e

    def end(self):
        """One end of a bracket or of ∫: a name, a number, or braces."""
        if self.take("{"):
            if self.peek()[0] == "name" and self.t[self.i + 1] == ("op", "="):
                self.i += 2
            e = self.sum()
            self.need("}")
            return e
        if self.take("∞"):
            return ("∞",)
        return self.atom()

    def form(self, kind):
        self.take("of")
        body = self.sum()
        if kind == "limit":
            self.need("as")
            var = self.name()
            self.need("→")
            return (kind, body, var, ("∞",) if self.take("∞") else self.sum())
        self.need("for")
        var = self.name()
        self.need("from")
        a = self.sum()
        self.need("to")
        return (kind, body, var, a, self.sum())

    def name(self):
        kind, name = self.peek()
        if kind != "name":
            raise Unclear(f"expected a name, not {name}")
        self.i += 1
        return name

    def atom(self):
        kind, x = self.peek()
        self.i += 1
        if kind == "num":
            return ("num", x)
        if kind == "name":
            if x in ("integral", "sum", "root", "limit"):
                return self.form(x)
            if self.take("("):
                args = [self.sum()]
                while self.take(","):
                    args.append(self.sum())
                self.need(")")
                return ("call", x, args)
            # _ of ∫_a is no part of a name here: names hold their own subscript
            return ("name", x)
        if x == "(":
            e = self.sum()
            self.need(")")
            return e
        if x == "|":
            e = self.sum()
            self.need("|")
            return ("call", "abs", [e])
        if x == "[":
            body = self.sum()
            self.need("]")
            self.subscript()
            var = None
            if self.t[self.i] == ("op", "{") and self.t[self.i + 2] == ("op", "="):
                var = self.t[self.i + 1][1]
            a = self.end()
            self.need("^")
            return ("change", body, var, a, self.end())
        if x == "∫":
            self.subscript()
            a = self.end()
            self.need("^")
            b = self.end()
            start = self.i
            for k in range(start, len(self.t)):
                if self.t[k][0] == "name" and re.fullmatch(r"d[^\W\d_]", self.t[k][1]):
                    break
            else:
                raise Unclear("no differential")
            var = self.t[k][1][1:]
            inner = Reader("")
            body = self.t[start:k]
            if body and body[-1] == ("op", "·"):
                body = body[:-1]
            inner.t = body + [("end", "")]
            e = inner.sum()
            self.i = k + 1
            return ("integral", e, var, a, b)
        raise Unclear(f"cannot read {x}")

    def subscript(self):
        kind, x = self.peek()
        if kind == "name" and x.startswith("_"):
            # "_a" was read as one name
            self.t[self.i] = ("num", float(x[1:])) if x[1:].isdigit() else ("name", x[1:])
            if x == "_":
                self.i += 1
            return
        self.need("_")


def whole(text):
    r = Reader(text)
    e = r.sum()
    if r.peek()[0] != "end":
        raise Unclear(f"left over: {r.t[r.i:]}")
    return e


def split(text, signs=RELATIONS):
    """Splits at relations outside of brackets: [side, sign, side, …]."""
    parts, depth, start = [], 0, 0
    for i, c in enumerate(text):
        if c in "([{":
            depth += 1
        elif c in ")]}":
            depth -= 1
        elif c in signs and depth == 0:
            parts += [text[start:i], c]
            start = i + 1
    return parts + [text[start:]]


class Derivation:
    def __init__(self, lines, seed):
        self.rng = random.Random(seed)
        self.given, self.domain, self.fixed = {}, [], {}
        self.values, self.functions, self.elements = {}, {}, {}
        self.lines = lines
        self.limited = False

    # Values.

    def value(self, e, p, element=False):
        k = e[0]
        if k == "num":
            return e[1]
        if k == "name":
            if e[1] in p:
                return p[e[1]]
            if e[1] == "π":
                return math.pi
            if e[1] in self.values:
                return self.value(self.values[e[1]], p, element)
            raise Unclear(f"{e[1]} has no value")
        if k == "call":
            args = [self.value(a, p, element) for a in e[2]]
            if e[1] in self.functions:
                names, body = self.functions[e[1]]
                return self.value(body, p | dict(zip(names, args)), element)
            if e[1] in FUNCS:
                return FUNCS[e[1]](*args)
            raise Unclear(f"no function {e[1]}")
        if k in "+-*/^":
            x, y = self.value(e[1], p, element), self.value(e[2], p, element)
            if k == "+":
                return x + y
            if k == "-":
                return x - y
            if k == "*":
                return x * y
            if k == "/":
                return x / y
            z = x ** y
            if isinstance(z, complex):
                raise Unclear("root of a negative number")
            return z
        if k == "integral":
            a, b = self.value(e[3], p), self.value(e[4], p)
            if element:
                return self.value(e[1], p) * p["d" + e[2]]
            if a == b:
                return 0.0
            return float(fp.quad(lambda x: self.value(e[1], p | {e[2]: x}), [a, b]))
        if k == "change":
            var = e[2] or self.free(e[1], p)
            return self.value(e[1], p | {var: self.value(e[4], p)}) - self.value(e[1], p | {var: self.value(e[3], p)})
        if k == "sum":
            a, b = self.value(e[3], p), self.value(e[4], p)
            return math.fsum(self.value(e[1], p | {e[2]: float(i)}) for i in range(round(a), round(b) + 1))
        if k == "root":
            a, b = self.value(e[3], p), self.value(e[4], p)
            return float(fp.findroot(lambda x: self.value(e[1], p | {e[2]: x}), (a, b), solver="anderson", tol=1e-24, verify=False))
        if k == "limit":
            self.limited = True
            if e[3] != ("∞",):
                to = self.value(e[3], p)
                row = [self.value(e[1], p | {e[2]: to + 0.01 / 2 ** i}) for i in range(6)]
            else:
                row = [self.value(e[1], p | {e[2]: float(16 * 2 ** i)}) for i in range(6)]
            for step in range(1, 6):  # Richardson, for errors in powers of 1/n
                row = [(2 ** step * b - a) / (2 ** step - 1) for a, b in zip(row, row[1:])]
            return row[-1]
        raise Unclear(k)

    def free(self, e, p):
        names = []

        def walk(e):
            if isinstance(e, tuple):
                if e[0] == "name" and e[1] not in p and e[1] not in self.values and e[1] != "π":
                    names.append(e[1])
                for x in e[1:]:
                    walk(x)
            if isinstance(e, list):
                for x in e:
                    walk(x)
        walk(e)
        return names[0]

    def point(self, extra=()):
        for _ in range(4000):
            p = dict(self.fixed)
            for name, (low, high, signed, count) in self.given.items():
                x = low * (high / low) ** self.rng.random()
                if signed and self.rng.random() < 0.5:
                    x = -x
                p[name] = float(self.rng.randrange(2, 9)) if count else x
            try:
                if all(self.holds(c, p, 0) for c in self.domain + list(extra)):
                    return p
            except (ArithmeticError, ValueError):
                continue
        raise Unclear("no point in the domain")

    def holds(self, chain, p, slack):
        xs = [self.value(e, p) for e in chain[::2]]
        for x, sign, y in zip(xs, chain[1::2], xs[1:]):
            room = slack * max(abs(x), abs(y))
            ok = {"<": x < y + room, ">": x > y - room, "≤": x <= y + room, "≥": x >= y - room, "=": abs(x - y) <= 1e-9 * abs(x)}[sign]
            if not ok:
                return False
        return True

    # Lines.

    def read_given(self, text):
        depth, items, start = 0, [], 0
        for i, c in enumerate(text + ","):
            depth += (c in "(") - (c in ")")
            if c == "," and depth == 0:
                items.append(text[start:i].strip())
                start = i + 1
        for item in items:
            m = re.match(r"([^\W\d]\w*)\s*:\s*(.*)$", item)
            word, domain = "", item
            if m:
                n = re.match(r"[^<>≤≥=]*", m[2])
                word = n[0].strip()
                rest = m[2][n.end():]
                domain = m[1] + rest if rest else ""
                self.declare(m[1], word)
            if not domain:
                continue
            parts = split(domain)
            chain = []
            for i, part in enumerate(parts):
                if i % 2:
                    chain.append(part)
                    continue
                if re.fullmatch(r"\s*[^\W\d]\w*\s*", part):
                    self.declare(part.strip(), "length" if "mm" in domain or " m" in domain else "")
                chain.append(whole(part))
            if chain[1:2] == ["="]:
                self.given.pop(chain[0][1], None)
                self.values[chain[0][1]] = chain[2]
                continue
            self.domain.append(chain)
            for x, sign, y in zip(chain, chain[1::2], chain[2::2]):
                if sign in "<≤":
                    x, y = y, x
                if x[0] == "name" and x[1] in self.given and (y == ("num", 0.0) or y[0] == "name" and not self.given.get(y[1], (0, 0, True))[2]):
                    low, high, _, count = self.given[x[1]]
                    self.given[x[1]] = (low, high, False, count)

    def declare(self, name, word):
        if name == "π" or name in self.given and not word:
            return
        low, high = DIM.get(word, (0.2, 3))
        self.given[name] = (low, high, True, word == "whole number")

    def run(self):
        for line in self.lines:
            if line.strip().startswith("given "):
                self.read_given(line.strip()[6:])
        out, above = [], None
        for index, line in enumerate(self.lines):
            text = line.strip()
            if not text or text.startswith("given "):
                continue
            try:
                verdicts, above = self.line(text, above)
            except (Unclear, ArithmeticError, ValueError, IndexError) as err:
                verdicts, above = [f"undecided: {err}"], None
            out += [[index, v] for v in verdicts]
        return out

    def line(self, text, above):
        text = text.split(" because ")[0]
        extra = []
        for mark in (" with ",):
            if mark in text:
                text, clause = text.split(mark, 1)
                name, u = clause.split("=", 1)
                self.with_name, self.with_value = name.strip(), u
                if re.search(r"\bfor " + re.escape(name.strip()) + r"\b", text) is None:
                    self.values.setdefault(name.strip(), whole(u))
        m = re.search(r" for (?=[^()]*[≤<])(?![^≤<]* from )", text)
        if m:
            domain = split(text[m.end():])
            for part in domain[::2]:
                part = part.strip()
                if re.fullmatch(r"[^\W\d]\w*", part) and part not in self.given and part not in self.values and part not in self.fixed:
                    self.declare(part, "length")
            extra = [[whole(s) if i % 2 == 0 else s for i, s in enumerate(domain)]]
            text = text[:m.start()]
        text = re.sub(r"^[⇒∴]\s*", "", text)
        sides = [s.strip() for s in split(text)]
        verdicts = []
        if sides[0] == "":
            sides = sides[1:]
        else:
            first, sides = sides[0], sides[1:]
            above, start = self.begin(first, sides)
            if start is not None:
                verdicts += start
                sides = sides[2:]
        for sign, side in zip(sides[::2], sides[1::2]):
            claim = whole(side.split(" for constant ")[0])
            verdicts.append(self.decide(above, sign, claim, side, extra))
            above = claim
        return verdicts, above

    def begin(self, first, sides):
        """The left side of a line: returns what the sides are compared with, and
        verdicts if the first side is taken care of."""
        m = re.fullmatch(r"d([^\W\d]\w*)/d([^\W\d]\w*)", first)
        if m and sides and m[1] not in self.values:
            self.element(m[1], m[2], ("*", whole(sides[1]), ("name", "d" + m[2])))
            return whole(sides[1]), []
        m = re.fullmatch(r"([^\W\d]\w*)\(([^()]*)\)", first)
        if m and m[1] not in self.functions and m[1] not in FUNCS and all(a.strip() not in FUNCS for a in m[2].split(",")):
            self.functions[m[1]] = ([a.strip() for a in m[2].split(",")], whole(sides[1]))
            return whole(sides[1]), []
        if re.fullmatch(r"[^\W\d]\w*", first) and sides[0] == "=":
            known = first in self.values or first in self.given or first in self.fixed
            e = whole(sides[1])
            dx = re.search(r"·\s*d([^\W\d])\b", sides[1])
            if first[0] == "d" and len(first) > 1 and first[1] != "_" and dx and not known:
                self.element(first[1:], dx[1], e)
                return e, []
            if not known and first in self.elements:
                var, element = self.elements[first]
                self.values[first] = e
                return e, [self.decide(element, "=", e, "", [], element=True)]
            if not known:
                self.values[first] = e
                return e, []
        return whole(first), None

    def element(self, name, var, e):
        for n in (var, "d" + var):
            if n not in self.given:
                self.declare(n, "length")
                self.domain.append([("num", 0.0), "<", ("name", n)])
        self.elements[name] = (var, e)
        self.values["d" + name] = e

    def decide(self, above, sign, claim, text, extra, element=False):
        if above is None:
            return "undecided: nothing above"
        if sign == "∝":
            return self.proportional(above, text)
        if sign == "≈" or self.is_number(above) and re.fullmatch(r"−?\s*\d+(\.\d+)?(e-?\d+)?\s*[^\d()]*(\^\d|[⁰-⁹])?", text):
            return self.rounds(above, claim, text)
        compared = 0
        for _ in range(POINTS * 4):
            p = self.point(extra)
            self.limited = False
            try:
                x, y = self.value(above, p, element), self.value(claim, p, element)
            except (ArithmeticError, ValueError):
                continue
            tolerance = 1e-5 if self.limited else 1e-9
            scale = max(abs(x), abs(y))
            same = abs(x - y) <= tolerance * scale
            holds = {"=": same, "≤": x <= y or same, "≥": x >= y or same, "<": x < y and not same, ">": x > y and not same}[sign]
            if not holds:
                return "false"
            compared += 1
            if compared == POINTS:
                return "true"
        return "undecided: too few points with a value"

    def is_number(self, e):
        """Whether e depends on no given name."""
        if isinstance(e, (tuple, list)):
            if isinstance(e, list):
                return all(map(self.is_number, e))
            if e[0] == "name":
                return e[1] not in self.given and (e[1] not in self.values or self.is_number(self.values[e[1]]))
            if e[0] == "call" and e[1] in self.functions and not self.is_number(self.functions[e[1]][1]):
                return False
            return all(self.is_number(x) for x in e[1:] if isinstance(x, (tuple, list)))
        return True

    def proportional(self, above, text):
        """The quotient is the same at points that agree in the constants."""
        e, _, names = text.partition(" for constant ")
        names = [n.strip() for n in names.split(",")] if names else []
        p, claim = self.point(), whole(e)
        ratios = []
        for _ in range(POINTS):
            q = self.point() | {n: p[n] for n in names}
            ratios.append(self.value(above, q) / self.value(claim, q))
        return "true" if max(ratios) - min(ratios) <= 1e-9 * abs(ratios[0]) else "false"

    def rounds(self, above, claim, text):
        p = self.point()
        x, y = self.value(above, p), self.value(claim, p)
        m = re.match(r"−?\s*(\d+)(?:\.(\d+))?(?:e(-?\d+))?", text)
        digit = 10.0 ** (int(m[3] or 0) - len(m[2] or ""))
        scale = abs(y) / float(m[0].replace("−", "-").replace(" ", "") or 1) if y else 1
        if abs(x - y) <= 1.0000001 * digit * abs(scale):
            return "true"
        return "false"


if __name__ == "__main__":
    result = []
    for number, lines in enumerate(json.load(sys.stdin)):
        result.append(Derivation(lines, number).run())
    json.dump(result, sys.stdout)
