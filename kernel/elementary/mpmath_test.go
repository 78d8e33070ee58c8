package elementary

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

var pointCount = flag.Int("points", 60_000, "how many points are compared with mpmath; 450000 take it most of a minute")

var update = flag.Bool("update", false, "rewrite the files under testdata")

// A reference is a true value: the float64 nearest to it, and how far it lies
// above that in units in the last place.
type reference struct{ near, above float64 }

// ask asks mpmath, which is installed from Debian in CI, on two cores.
func ask(t *testing.T, list []point) []reference {
	t.Helper()
	answers := make([]reference, len(list))
	var wait sync.WaitGroup
	half := (len(list) + 1) / 2
	for from := 0; from < len(list); from += half {
		wait.Go(func() {
			part := list[from:min(from+half, len(list))]
			var in bytes.Buffer
			for _, p := range part {
				in.WriteString(functions[p.function].name)
				fmt.Fprintf(&in, " %x", p.x)
				if functions[p.function].two != nil {
					fmt.Fprintf(&in, " %x", p.y)
				}
				in.WriteByte('\n')
			}
			cmd := exec.Command("/usr/bin/python3", "testdata/reference.py")
			cmd.Stdin, cmd.Stderr = &in, os.Stderr
			out, err := cmd.Output()
			if err != nil {
				t.Errorf("%v: this test needs mpmath; install it with: apt-get install python3-mpmath", err)
				return
			}
			lines := strings.Split(strings.TrimSpace(string(out)), "\n")
			if len(lines) != len(part) {
				t.Errorf("%d answers to %d questions", len(lines), len(part))
				return
			}
			for i, line := range lines {
				if answers[from+i], err = readReference(line); err != nil {
					t.Errorf("%q: %v", line, err)
				}
			}
		})
	}
	wait.Wait()
	if t.Failed() {
		t.FailNow()
	}
	return answers
}

func readReference(text string) (r reference, err error) {
	near, above, _ := strings.Cut(text, " ")
	if r.near, err = strconv.ParseFloat(near, 64); err != nil {
		return r, err
	}
	r.above, err = strconv.ParseFloat(above, 64)
	return r, err
}

func (p point) value() float64 {
	if f := functions[p.function]; f.two != nil {
		return f.two(p.x, p.y)
	}
	return functions[p.function].one(p.x)
}

// off returns the error of got in units in the last place of the true value.
func (r reference) off(got float64) float64 {
	if got == r.near {
		return math.Abs(r.above)
	}
	_, e := math.Frexp(r.near)
	unit := max(e-53, -1074)
	return math.Abs(math.Ldexp(got, -unit) - math.Ldexp(r.near, -unit) - r.above)
}

// faithful reports whether the true value lies strictly between the neighbours
// of got, which the brackets of package interval rely on.
func (r reference) faithful(got float64) bool {
	switch {
	case got == r.near:
		return math.Abs(got) != 0 || r.above > -1 && r.above < 1
	case got < r.near:
		return math.Nextafter(got, math.Inf(1)) == r.near && r.above < 0
	}
	return math.Nextafter(got, math.Inf(-1)) == r.near && r.above > 0
}

// check compares every point and returns the greatest error of each function
// and how many results are not the nearest float64.
func check(t *testing.T, list []point, answers []reference) {
	t.Helper()
	worst, other, count := make([]float64, len(functions)), make([]int, len(functions)), make([]int, len(functions))
	misses := 0
	for i, p := range list {
		r, got := answers[i], p.value()
		f := functions[p.function]
		off := r.off(got)
		count[p.function]++
		if got != r.near {
			other[p.function]++
		}
		if off > worst[p.function] {
			worst[p.function] = off
		}
		if !(off <= f.bound) || !r.faithful(got) {
			if misses++; misses < 20 {
				t.Errorf("%s(%x, %x) = %x, off by %.4f of %.2f units: %x %+.4f", f.name, p.x, p.y, got, off, f.bound, r.near, r.above)
			}
		}
	}
	for f := range functions {
		t.Logf("%-6s %6d points, greatest error %.4f units, %d not the nearest float64", functions[f].name, count[f], worst[f], other[f])
	}
	t.Logf("%d points, %d misses", len(list), misses)
}

// TestAgainstMpmath compares hard points with mpmath, as many as -points asks for.
func TestAgainstMpmath(t *testing.T) {
	count := *pointCount
	if *update {
		count = max(count, 450_000)
	}
	if testing.Short() {
		count = 20_000
	}
	list := hardPoints(count)
	answers := ask(t, list)
	check(t, list, answers)
	if *update && !testing.Short() {
		writeHardest(t, list, answers)
	}
}

const (
	hardestFile = "testdata/hardest.txt"
	hardestEach = 350 // of each function
)

// writeHardest keeps the points whose true value lies closest to the middle
// between two float64, where a small error changes the result.
func writeHardest(t *testing.T, list []point, answers []reference) {
	t.Helper()
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	fromTie := func(i int) float64 { return math.Abs(math.Abs(answers[i].above) - 0.5) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(fromTie(a), fromTie(b)) })
	kept := make([]int, len(functions))
	var b strings.Builder
	b.WriteString("# The hardest of the points of TestAgainstMpmath: function, arguments, the nearest\n" +
		"# float64, and how far the true value lies above it in units in the last place.\n" +
		"# Values by mpmath 1.3.0 (reference.py); written by go test -run TestAgainstMpmath -update.\n")
	for _, i := range order {
		p, r := list[i], answers[i]
		if kept[p.function]++; kept[p.function] > hardestEach {
			continue
		}
		fmt.Fprintf(&b, "%s %x %x %x %.9f\n", functions[p.function].name, p.x, p.y, r.near, r.above)
	}
	if err := os.WriteFile(hardestFile, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestHardest compares with the values that are kept in testdata, also where
// there is no mpmath.
func TestHardest(t *testing.T) {
	content, err := os.ReadFile(hardestFile)
	if err != nil {
		t.Fatal(err)
	}
	index := map[string]int{}
	for i, f := range functions {
		index[f.name] = i
	}
	var list []point
	var answers []reference
	for line := range strings.Lines(string(content)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Fields(line)
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(f[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, point{index[f[0]], v[0], v[1]})
		answers = append(answers, reference{v[2], v[3]})
	}
	if len(list) < 4000 {
		t.Errorf("only %d points", len(list))
	}
	check(t, list, answers)
}
