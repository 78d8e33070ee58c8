package derive_test

import (
	"bytes"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// sympy asks a general computer-algebra library whether pairs are equal.
func sympy(t *testing.T, pairs [][2]*node) []bool {
	t.Helper()
	var in, complaint bytes.Buffer
	spell := strings.NewReplacer("^", "**", "·", "*", "−", "-")
	for _, p := range pairs {
		in.WriteString(spell.Replace(p[0].String()) + "\t" + spell.Replace(p[1].String()) + "\n")
	}
	cmd := exec.Command("/usr/bin/python3", "testdata/judge.py")
	cmd.Stdin, cmd.Stderr = &in, &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("the second opinion needs Debian's python3 and python3-sympy (apt install python3-sympy): %v\n%s", err, complaint.String())
	}
	var equal []bool
	for _, word := range strings.Fields(string(out)) {
		equal = append(equal, word == "equal")
	}
	if len(equal) != len(pairs) {
		t.Fatalf("%d answers to %d questions", len(equal), len(pairs))
	}
	return equal
}

// The judge and sympy must agree on random steps, right and wrong.
func TestSecondOpinion(t *testing.T) {
	if testing.Short() {
		t.Skip("starts Python")
	}
	r := rand.New(rand.NewPCG(1, 1))
	var pairs [][2]*node
	for i := range 16 {
		above := grow(r, 2, i%4 == 0)
		valid := rewrite(r, rewrite(r, above))
		pairs = append(pairs, [2]*node{above, valid}, [2]*node{above, corrupt(r, valid)})
	}
	want := sympy(t, pairs)
	seen := confusion{}
	for i, p := range pairs {
		v := judgeText(t, propertyDerivation(p[0], p[1])).Verdicts[0]
		seen.add(want[i], v.Kind)
		if (v.Kind == derive.Follows) != want[i] {
			t.Errorf("sympy says equal: %v, the judge %s: %s\n%s", want[i], v.Kind, v.Why, propertyDerivation(p[0], p[1]))
		}
	}
	t.Logf("against sympy\n%s", seen)
}
