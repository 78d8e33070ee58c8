package derive_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// rows are the mistakes that the corpus must hold three times each: the slips of
// the trade that can be made in a derivation. README.md of the corpus explains
// them.
var rows = []string{
	"radius for diameter", "diameter for radius", "bending in place of torsion", "Young's modulus for the shear modulus",
	"degrees and radians mixed", "degrees put in where radians belong", "millimetres not converted", "a decimal place slipped",
	"mean diameter for the whole taper", "mean of J over the ends", "mean of the two uniform twists", "one end's diameter",
	"slope of the taper wrong", "chain-rule factor forgotten", "k of the substitution lost", "wrong power after integrating",
	"diameters subtracted before the power", "subtracted with the wrong power", "stiffnesses added in series",
	"one torque for every piece", "sign of an opposing torque dropped", "split by length, ignoring J", "rpm taken as rad/s",
	"60 or 2π of rpm lost", "rounded early", "stress at the wrong end", "denominator split", "a limit lost", "taken at the wrong end",
	"absolute value lost", "power of 2 under a cube or fourth root",
}

// The bars that the corpus holds.
const (
	leastDerivations = 150
	leastOfRow       = 3
	mostOpen         = 2  // per cent of the steps
	leastNamed       = 90 // per cent of the mistakes
)

// A derivation of the corpus. Its last line is the mistake, if it has one.
type derivation struct {
	name  string // file and heading
	lines []string
	row   string   // of the mistake, "" if every step is true
	slips []string // codes, any of which names it
}

var mistakeLine = regexp.MustCompile(`^\s*✗\s*(.*?)\s*# (.*) \(([a-z|-]+)\)$`)

// readCorpus takes a file apart: the derivations as they are headed, and for each
// line marked ✗ one that ends there: in place of the step above it, or below
// the line above it if that begins a chain.
func readCorpus(t testing.TB, file string) []derivation {
	t.Helper()
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var list []derivation
	var common []string
	var right *derivation
	var wrong []derivation
	end := func() {
		if right != nil {
			list = append(append(list, *right), wrong...)
		}
		right, wrong = nil, nil
	}
	for n, line := range strings.Split(string(content), "\n") {
		line = strings.TrimRight(line, " ")
		switch m := mistakeLine.FindStringSubmatch(line); {
		case strings.HasPrefix(line, "## "):
			end()
			heading, _, _ := strings.Cut(line[3:], " — ")
			right = &derivation{name: strings.TrimSuffix(filepath.Base(file), ".derive") + ": " + heading, lines: slices.Clone(common)}
		case line == "" || strings.HasPrefix(line, "#"):
		case right == nil:
			common = append(common, line)
		case m != nil:
			d := derivation{name: right.name + ": " + m[1], lines: append(slices.Clone(right.lines), m[1]), row: m[2], slips: strings.Split(m[3], "|")}
			if last := len(right.lines) - 1; isStep(right.lines[last]) || !isStep(m[1]) {
				d.lines = append(slices.Clone(right.lines[:last]), m[1])
			}
			wrong = append(wrong, d)
		case strings.Contains(line, "✗"):
			t.Fatalf("%s:%d: write ✗ line # row (slip)", file, n+1)
		default:
			right.lines = append(right.lines, line)
		}
	}
	end()
	return list
}

func isStep(line string) bool {
	line = strings.TrimLeft(line, " ")
	return line != "" && strings.ContainsRune("=≤≥<>≈∝", []rune(line)[0])
}

// truths asks an evaluator of its own, in Python, which lines are true: for each
// derivation the outcomes of its judged lines, by line from 0.
func truths(t *testing.T, corpus []derivation) []map[int][]string {
	t.Helper()
	var lines [][]string
	for _, d := range corpus {
		lines = append(lines, d.lines)
	}
	in, err := json.Marshal(lines)
	if err != nil {
		t.Fatal(err)
	}
	var complaint bytes.Buffer
	cmd := exec.Command("/usr/bin/python3", "testdata/corpus/judge.py")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("the second opinion needs Debian's python3 and python3-mpmath (apt install python3-mpmath): %v\n%s", err, complaint.String())
	}
	var found [][][2]any
	if err := json.Unmarshal(out, &found); err != nil || len(found) != len(corpus) {
		t.Fatalf("%v: %d answers to %d derivations", err, len(found), len(corpus))
	}
	all := make([]map[int][]string, len(found))
	for i, list := range found {
		all[i] = map[int][]string{}
		for _, x := range list {
			line := int(x[0].(float64))
			all[i][line] = append(all[i][line], x[1].(string))
		}
	}
	return all
}

// tally counts what the judge makes of the corpus.
type corpusTally struct {
	derivations, mistaken, steps     int
	falseAccepted, trueRefused, open int
	named, misnamed                  int
	rows                             map[string]int
}

// The corpus: no false step is accepted, no true one refused, few are left open,
// and most mistakes are named rightly. What is true is decided by another
// program.
func TestCorpus(t *testing.T) {
	if testing.Short() {
		t.Skip("judges some two hundred derivations, and starts Python")
	}
	files, err := filepath.Glob("testdata/corpus/*.derive")
	if err != nil {
		t.Fatal(err)
	}
	var corpus []derivation
	for _, file := range files {
		corpus = append(corpus, readCorpus(t, file)...)
	}
	truth := truths(t, corpus)
	sum := corpusTally{rows: map[string]int{}}
	for i, d := range corpus {
		sum.derivations++
		r := derive.JudgeText(context.Background(), source.NewText("", strings.Join(d.lines, "\n")), derive.Settings{})
		checkTruth(t, d, truth[i])
		for _, m := range r.Diagnostics {
			if m.Severity != source.Error {
				continue
			}
			if d.row == "" || m.Span.Position().Line < len(d.lines) {
				t.Errorf("%s: %s", d.name, m.Render())
			}
		}
		if d.row != "" {
			sum.mistaken++
			sum.rows[d.row]++
		}
		sum.judge(t, d, r.Verdicts, truth[i])
	}
	sum.check(t)
}

// checkTruth holds the marks of a derivation against the other program's opinion:
// the last line of a mistaken one is false, and all others are true.
func checkTruth(t *testing.T, d derivation, truth map[int][]string) {
	t.Helper()
	for _, line := range slices.Sorted(maps.Keys(truth)) {
		for k, word := range truth[line] {
			want := "true"
			if d.row != "" && line == len(d.lines)-1 && k == len(truth[line])-1 {
				want = "false"
			}
			if word != want {
				t.Errorf("%s: %s is marked %s, the evaluator finds it %s", d.name, d.lines[line], want, word)
			}
		}
	}
}

// judge compares the verdicts with the truth, line by line.
func (c *corpusTally) judge(t *testing.T, d derivation, verdicts []derive.Verdict, truth map[int][]string) {
	t.Helper()
	ofLine := map[int][]derive.Verdict{}
	for _, v := range verdicts {
		ofLine[v.Line-1] = append(ofLine[v.Line-1], v)
	}
	if len(verdicts) == 0 {
		t.Errorf("%s: nothing was judged", d.name)
	}
	for line, words := range truth {
		list := ofLine[line]
		if len(list) != len(words) {
			t.Errorf("%s: %s has %d verdicts, the evaluator %d", d.name, d.lines[line], len(list), len(words))
			continue
		}
		// The lines above a mistake are judged in the derivation without it.
		if d.row != "" && line != len(d.lines)-1 {
			continue
		}
		for k, v := range list {
			c.steps++
			accepted := v.Kind == derive.Follows || v.Kind == derive.Agrees
			switch {
			case v.Kind == derive.Open:
				c.open++
				t.Logf("open: %s: %s: %s", d.name, d.lines[line], v.Why)
			case words[k] == "false" && accepted:
				c.falseAccepted++
				t.Errorf("accepted: %s: %s: %s", d.name, d.lines[line], v.Why)
			case words[k] == "true" && !accepted:
				c.trueRefused++
				t.Errorf("refused: %s: %s: %s", d.name, d.lines[line], v.Why)
			}
			if words[k] != "false" {
				continue
			}
			named, misnamed := d.isNamed(v)
			if named {
				c.named++
			}
			if misnamed {
				c.misnamed++
				t.Logf("misnamed: %s\n\twant %v, got %q %q: %s", d.name, d.slips, v.Slip, v.Also, v.Why)
			}
		}
	}
}

// isNamed reports whether a verdict names the mistake rightly. A mistake marked
// none must not be given a name, and has none.
func (d derivation) isNamed(v derive.Verdict) (named, misnamed bool) {
	for _, s := range d.slips {
		if s == "none" && v.Slip == derive.NoSlip {
			return false, false
		}
		if v.Is(derive.Slip(s)) {
			return !bare[v.Slip], false
		}
	}
	return false, v.Slip != derive.NoSlip
}

// bare are the codes that describe a wrong line without naming a mistake.
var bare = map[derive.Slip]bool{derive.WrongFactor: true, derive.SpecialCase: true, derive.Dimensions: true}

func (c *corpusTally) check(t *testing.T) {
	t.Helper()
	open, named := 100*float64(c.open)/float64(c.steps), 100*float64(c.named)/float64(c.mistaken)
	t.Logf("%d derivations, %d of them with one mistake; %d steps: false accepted %d, true refused %d, open %d (%.1f %%); mistakes named rightly %.1f %%, wrongly %d",
		c.derivations, c.mistaken, c.steps, c.falseAccepted, c.trueRefused, c.open, open, named, c.misnamed)
	var counts []string
	for _, row := range rows {
		counts = append(counts, fmt.Sprintf("%s %d", row, c.rows[row]))
		if c.rows[row] < leastOfRow {
			t.Errorf("the mistake “%s” occurs %d times", row, c.rows[row])
		}
	}
	t.Log(strings.Join(counts, ", "))
	for row := range c.rows {
		if row != "other" && !slices.Contains(rows, row) {
			t.Errorf("the row “%s” is not in the list", row)
		}
	}
	if c.derivations < leastDerivations || c.derivations-c.mistaken < leastDerivations/2 || c.mistaken < leastDerivations/2 {
		t.Errorf("only %d derivations, %d of them mistaken", c.derivations, c.mistaken)
	}
	if open > mostOpen || named < leastNamed || 100*c.misnamed > c.mistaken {
		t.Errorf("open %.1f %%, named rightly %.1f %%, wrongly %d of %d", open, named, c.misnamed, c.mistaken)
	}
}
