package program

import (
	"bufio"
	"bytes"
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// A generator writes random expressions, once in the notation and once for
// testdata/reference.py.
type generator struct {
	*rand.Rand
	names []string // bound names in reach
}

func (g *generator) leaf() (ours, theirs string) {
	if n := len(g.names); n > 0 && g.IntN(2) == 0 {
		name := g.names[g.IntN(n)]
		return name, name
	}
	switch g.IntN(4) {
	case 0:
		n := strconv.Itoa(1 + g.IntN(9))
		return n, "lit('" + n + "')"
	case 1:
		return "π", "pi()"
	case 2:
		d := strconv.FormatFloat(float64(1+g.IntN(999999))/1e4, 'f', -1, 64)
		return d, "lit('" + d + "')"
	}
	d := fmt.Sprintf("%d.%04de%d", 1+g.IntN(9), g.IntN(10000), g.IntN(9)-4)
	return d, "lit('" + d + "')"
}

func (g *generator) expr(depth int) (ours, theirs string) {
	if depth == 0 {
		return g.leaf()
	}
	a, pa := g.expr(depth - 1)
	switch g.IntN(22) {
	case 0, 1, 2:
		b, pb := g.expr(depth - 1)
		return "(" + a + " + " + b + ")", "add(" + pa + "," + pb + ")"
	case 3, 4:
		b, pb := g.expr(depth - 1)
		return "(" + a + " − " + b + ")", "sub(" + pa + "," + pb + ")"
	case 5, 6, 7:
		b, pb := g.expr(depth - 1)
		return "(" + a + "·" + b + ")", "mul(" + pa + "," + pb + ")"
	case 8, 9:
		b, pb := g.expr(depth - 1)
		return "(" + a + ")/(" + b + ")", "div(" + pa + "," + pb + ")"
	case 10:
		n := g.IntN(9) - 4
		return fmt.Sprintf("(%s)^(%d)", a, n), fmt.Sprintf("power(%s,%d)", pa, n)
	case 11:
		return "√|" + a + "|", "root(fabs(" + pa + "))"
	case 12:
		return "(−(" + a + "))", "neg(" + pa + ")"
	case 13:
		f := []string{"sin", "cos", "tan", "atan"}[g.IntN(4)]
		return f + "(" + a + ")", f + "(" + pa + ")"
	case 14:
		return "exp(sin(" + a + "))", "exp(sin(" + pa + "))"
	case 15:
		return "ln(|" + a + "| + 0.1)", "ln(add(fabs(" + pa + "),lit('0.1')))"
	case 16:
		b, pb := g.expr(depth - 1)
		if g.IntN(2) == 0 {
			return "min(" + a + ", " + b + ")", "least(" + pa + "," + pb + ")"
		}
		return "max(" + a + ", " + b + ")", "greatest(" + pa + "," + pb + ")"
	case 17:
		b, pb := g.leaf()
		c, pc := g.expr(depth - 1)
		d, pd := g.leaf()
		return "(if " + a + " < " + b + " then " + c + " else " + d + ")",
			"choose(" + pa + "," + pb + ",lambda:" + pc + ",lambda:" + pd + ")"
	}
	return g.form(depth)
}

// form writes a sum, product or integral; its body sees one more name.
func (g *generator) form(depth int) (ours, theirs string) {
	if len(g.names) >= 2 {
		return g.leaf()
	}
	outermost := len(g.names) == 0
	name := []string{"u", "v"}[len(g.names)]
	g.names = append(g.names, name)
	a, pa := g.expr(depth - 1)
	g.names = g.names[:len(g.names)-1]
	from, n := g.IntN(4), 1+g.IntN(12)
	switch kind := g.IntN(4); {
	case kind == 0 && outermost && depth <= 2: // mpmath is slow at these
		return fmt.Sprintf("(integral of 1/(2 + sin(%s)) for %s from %d to %d)", a, name, from, from+2),
			fmt.Sprintf("integral(lambda %s:div(lit('1'),add(lit('2'),sin(%s))),%d,%d)", name, pa, from, from+2)
	case kind == 1:
		return fmt.Sprintf("(product of (1 + %s/1000) for %s from %d to %d)", a, name, from, from+n),
			fmt.Sprintf("product(lambda %s:add(lit('1'),div(%s,lit('1000'))),%d,%d)", name, pa, from, from+n)
	}
	return fmt.Sprintf("(sum of %s for %s from %d to %d)", a, name, from, from+n),
		fmt.Sprintf("total(lambda %s:%s,%d,%d)", name, pa, from, from+n)
}

// reference asks mpmath. It is installed from Debian in CI.
func reference(t *testing.T, lines []string) []string {
	t.Helper()
	cmd := exec.Command("/usr/bin/python3", "testdata/reference.py")
	cmd.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: this test needs mpmath; install it with: apt-get install python3-mpmath", err)
	}
	var answers []string
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		answers = append(answers, s.Text())
	}
	if len(answers) != len(lines) {
		t.Fatalf("%d answers to %d questions", len(answers), len(lines))
	}
	return answers
}

// TestAgainstMpmath compares random expressions with mpmath at 30 digits. The
// error must stay within what rounding each operation can do, and the bracket
// of each expression must hold the true value.
func TestAgainstMpmath(t *testing.T) {
	if testing.Short() {
		t.Skip("starts Python")
	}
	const count = 400
	g := &generator{Rand: rand.New(rand.NewPCG(2026, 11))}
	var ours, theirs []string
	for range count {
		a, b := g.expr(1 + g.IntN(4))
		ours, theirs = append(ours, a), append(theirs, b)
	}
	compared := 0
	for i, answer := range reference(t, theirs) {
		want, bound, ok := strings.Cut(answer, " ")
		if !ok {
			continue // no value, or none that float64 could find
		}
		compared++
		checkReference(t, ours[i], want, bound)
	}
	if compared < count/2 {
		t.Errorf("only %d of %d expressions could be compared", compared, count)
	}
	t.Logf("%d of %d expressions compared", compared, count)
}

func checkReference(t *testing.T, text, want, bound string) {
	exact, _, err := big.ParseFloat(want, 10, 200, big.ToNearestEven)
	if err != nil {
		t.Fatal(err)
	}
	allowed, _ := strconv.ParseFloat(bound, 64)
	e := parse(t, text)
	v, list := Evaluate(newRun(), e, names{})
	if err := list.Err(); err != nil {
		t.Errorf("%s: %s; mpmath has %s", text, list.FirstError().Render(), want)
		return
	}
	difference, _ := new(big.Float).Sub(new(big.Float).SetFloat64(v.Number), exact).Float64()
	if max(difference, -difference) > allowed {
		t.Errorf("%s = %v, mpmath has %s: off by %.3g, allowed %.3g", text, v.Number, want, difference, allowed)
	}
	if strings.Contains(text, "integral") {
		return // enclosed by slices, and slow
	}
	b, list := EvaluateBracket(newRun(), e, nil, names{})
	if list.HasErrors() {
		return // a bracket may hold a point without value
	}
	low, high := new(big.Float).SetFloat64(b.Lo), new(big.Float).SetFloat64(b.Hi)
	if low.Cmp(exact) > 0 || high.Cmp(exact) < 0 {
		t.Errorf("%s = %s lies outside of its bracket %v", text, want, b)
	}
}
