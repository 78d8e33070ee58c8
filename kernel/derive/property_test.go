package derive_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// node is an expression that can be rewritten and corrupted: a small tree of
// its own, so that the generator shares nothing with what it tests.
type node struct {
	op   string // "+", "-", "*", "/", "^", "name", "number", "f"
	text string
	kids []*node
}

func leaf(op, text string) *node       { return &node{op: op, text: text} }
func join(op string, k ...*node) *node { return &node{op: op, kids: k} }

func (n *node) String() string {
	switch n.op {
	case "name", "number":
		return n.text
	case "f":
		return n.text + "(" + n.kids[0].String() + ")"
	case "^":
		return "(" + n.kids[0].String() + ")^" + n.kids[1].String()
	}
	sign := map[string]string{"+": " + ", "-": " − ", "*": "·", "/": "/"}[n.op]
	return "(" + n.kids[0].String() + sign + n.kids[1].String() + ")"
}

func (n *node) clone() *node {
	c := &node{op: n.op, text: n.text}
	for _, k := range n.kids {
		c.kids = append(c.kids, k.clone())
	}
	return c
}

func (n *node) all() []*node {
	list := []*node{n}
	for _, k := range n.kids {
		list = append(list, k.all()...)
	}
	return list
}

var propertyNames = []string{"a", "b", "c", "x"}

// grow makes a random expression of pure numbers that is positive for positive
// names, so that roots and logarithms exist.
func grow(r *rand.Rand, depth int, functions bool) *node {
	if depth == 0 || r.IntN(6) == 0 {
		if r.IntN(4) == 0 {
			return leaf("number", fmt.Sprint(1+r.IntN(9)))
		}
		return leaf("name", propertyNames[r.IntN(len(propertyNames))])
	}
	x := grow(r, depth-1, functions)
	switch k := r.IntN(9); {
	case k < 3:
		return join("+", x, grow(r, depth-1, functions))
	case k < 5:
		return join("*", x, grow(r, depth-1, functions))
	case k < 7:
		return join("/", x, grow(r, depth-1, functions))
	case k == 7 && functions:
		return &node{op: "f", text: []string{"sqrt", "exp", "atan"}[r.IntN(3)], kids: []*node{join("/", x, join("+", x.clone(), leaf("number", "1")))}}
	}
	return join("^", x, leaf("number", fmt.Sprint(2+r.IntN(3))))
}

// rewrite applies one valid rule at a random place.
func rewrite(r *rand.Rand, n *node) *node {
	c := n.clone()
	list := c.all()
	at := list[r.IntN(len(list))]
	old := *at
	x := old.clone()
	extra := leaf("name", propertyNames[r.IntN(len(propertyNames))])
	switch r.IntN(9) {
	case 0:
		*at = *join("/", join("*", x, extra), extra.clone())
	case 1:
		*at = *join("-", join("+", x, extra), extra.clone())
	case 2:
		*at = *join("/", join("+", join("*", x, extra), x.clone()), join("+", extra.clone(), leaf("number", "1")))
	case 3:
		*at = *join("/", join("^", x, leaf("number", "3")), join("^", x.clone(), leaf("number", "2")))
	case 4:
		*at = *join("+", join("/", x, leaf("number", "3")), join("/", join("*", leaf("number", "2"), x.clone()), leaf("number", "3")))
	case 5:
		*at = node{op: "f", text: "sqrt", kids: []*node{join("^", x, leaf("number", "2"))}}
	default:
		switch {
		case (old.op == "+" || old.op == "*") && len(old.kids) == 2:
			at.kids = []*node{old.kids[1], old.kids[0]}
		case old.op == "*" && old.kids[0].op == "+":
			s := old.kids[0]
			*at = *join("+", join("*", s.kids[0], old.kids[1]), join("*", s.kids[1], old.kids[1].clone()))
		case old.op == "/" && old.kids[0].op == "+":
			s := old.kids[0]
			*at = *join("+", join("/", s.kids[0], old.kids[1]), join("/", s.kids[1], old.kids[1].clone()))
		case old.op == "^" && old.kids[1].text == "2":
			*at = *join("*", old.kids[0], old.kids[0].clone())
		default:
			*at = *join("*", x, leaf("number", "1"))
		}
	}
	return c
}

// corrupt makes one slip at a random place. What comes out may by chance be
// equal still; the caller asks an independent judge.
func corrupt(r *rand.Rand, n *node) *node {
	c := n.clone()
	for range 50 {
		list := c.all()
		at := list[r.IntN(len(list))]
		switch {
		case at.op == "number":
			at.text += fmt.Sprint(r.IntN(10))
		case at.op == "name":
			at.text = propertyNames[r.IntN(len(propertyNames))]
		case at.op == "+" && r.IntN(2) == 0:
			*at = *at.kids[r.IntN(2)]
		case at.op == "+":
			at.op = "-"
		case at.op == "*" || at.op == "/":
			at.kids[0] = join("*", leaf("number", "2"), at.kids[0])
		case at.op == "^":
			at.kids[1] = leaf("number", fmt.Sprint(5+r.IntN(2)))
		default:
			continue
		}
		if c.String() != n.String() {
			return c
		}
	}
	return c
}

func propertyDerivation(above, claim *node) string {
	return "given a: number > 0, b: number > 0, c: number > 0, x: number > 0\ny = " + above.String() + "\n  = " + claim.String() + "\n"
}

// confusion counts verdicts: by what is true, then by what was said.
type confusion map[bool]map[derive.Kind]int

func (c confusion) add(valid bool, k derive.Kind) {
	if c[valid] == nil {
		c[valid] = map[derive.Kind]int{}
	}
	c[valid][k]++
}

func (c confusion) String() string {
	var b strings.Builder
	b.WriteString("            follows fails open\n")
	for _, valid := range []bool{true, false} {
		name := map[bool]string{true: "valid    ", false: "corrupted"}[valid]
		fmt.Fprintf(&b, "  %s %8d %5d %4d\n", name, c[valid][derive.Follows], c[valid][derive.Fails], c[valid][derive.Open])
	}
	return b.String()
}

// floatsEqual is an independent judge in float64: equal at 40 random points to
// 1e-7; enough to tell a corruption that changed something from one that did not.
func floatsEqual(r *rand.Rand, a, b *node) (equal, clear bool) {
	worst := 0.0
	for range 40 {
		p := map[string]float64{}
		for _, n := range propertyNames {
			p[n] = 0.3 + 2*r.Float64()
		}
		x, y := a.value(p), b.value(p)
		if d := relative(x, y); d > worst {
			worst = d
		}
	}
	return worst < 1e-9, worst < 1e-9 || worst > 1e-6
}

// Random valid rewrites and corrupted ones: none of the valid may fail, none of
// the corrupted may follow.
func TestConfusionMatrix(t *testing.T) {
	if testing.Short() {
		t.Skip("judges 180 random derivations")
	}
	for _, functions := range []bool{false, true} {
		t.Run(fmt.Sprintf("functions=%v", functions), func(t *testing.T) {
			r := rand.New(rand.NewPCG(6, 2026))
			seen := confusion{}
			count := 90
			for range count {
				above := grow(r, 3, functions)
				valid := above
				for range 1 + r.IntN(3) {
					valid = rewrite(r, valid)
				}
				wrong := corrupt(r, valid)
				for _, claim := range []*node{valid, wrong} {
					text := propertyDerivation(above, claim)
					verdict := judgeText(t, text).Verdicts[0]
					equal, clear := floatsEqual(r, above, claim)
					if !clear {
						continue
					}
					seen.add(equal, verdict.Kind)
					switch {
					case equal && verdict.Kind == derive.Fails:
						t.Errorf("a valid step is refused: %s\n%s", verdict.Why, text)
					case !equal && verdict.Kind == derive.Follows:
						t.Errorf("a corrupted step passes: %s\n%s", verdict.Why, text)
					}
				}
			}
			t.Logf("confusion matrix\n%s", seen)
			if seen[true][derive.Follows] < count/2 || seen[false][derive.Fails] < count/2 {
				t.Error("too few steps were decided")
			}
		})
	}
}
