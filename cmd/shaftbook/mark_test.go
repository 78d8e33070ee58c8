package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const barLesson = "---\ntitle: Bar\norder: 1\nsummary: A bar.\nminutes: 5\n---\n\nA bar.\n\n```exercise bar\n" + `title: The bar
given:
  T: {from: 240 N·m, to: 320 N·m, by: 10 N·m}
  L: 0.8 m
  d: 36 mm
  G: 79 GPa
ask: The twist of the far end
answer: T·L/(G·π/32·d^4)
unit: deg
bounds: {low: 0.1 deg, high: 20 deg}
slips: [bending-for-torsion, radius-for-diameter]
` + "```\n"

func writeBar(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "bar.md")
	if err := os.WriteFile(name, []byte(barLesson), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func runJSON(t *testing.T, into any, args ...string) {
	t.Helper()
	var out bytes.Buffer
	if err := run(context.Background(), args, &out); err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(&out)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		t.Fatal(err)
	}
}

// TestVariantThenMark takes the printed numbers, works the answer out by hand,
// and has it marked.
func TestVariantThenMark(t *testing.T) {
	file := writeBar(t)
	seen := map[string]bool{}
	for _, learner := range []string{"Student 01", "Student 02", "Student 03", "Student 04"} {
		var v jsonVariant
		runJSON(t, &v, "variant", file, "bar", "--learner", learner, "--json")
		if v.Learner != learner || v.Exercise != "bar" || len(v.Given) != 4 || len(v.Asks) != 1 {
			t.Fatalf("%+v", v)
		}
		seen[v.Given[0].Text] = true
		twist := *v.Given[0].SI * 0.8 / (79e9 * 3.14159265 / 32 * 0.036 * 0.036 * 0.036 * 0.036)
		for answer, want := range map[string]string{
			fmt.Sprintf("%.4g rad", twist):   "right",
			fmt.Sprintf("%.4g rad", 2*twist): "slip",
			"1 N·m":                          "wrong-dimension",
			"q":                              "unreadable",
		} {
			var got jsonMark
			runJSON(t, &got, "mark", file, "bar", "--learner", learner, "--answer", answer, "--json")
			if string(got.Verdict) != want || got.Message == "" || (got.Slip != nil) != (want == "slip") || got.Points != map[string]float64{"right": 1}[want] {
				t.Errorf("%s: %s gets %+v, want %s", learner, answer, got, want)
			}
		}
	}
	if len(seen) < 2 {
		t.Errorf("four learners have the torque %v", seen)
	}
}

func TestMarkCalledWrongly(t *testing.T) {
	file := writeBar(t)
	for _, c := range []struct {
		name string
		args []string
		says string
	}{
		{"no learner", []string{"mark", file, "bar", "--answer", "1"}, errUsage.Error()},
		{"no exercise", []string{"variant", file, "--learner", "a"}, errUsage.Error()},
		{"unknown exercise", []string{"variant", file, "rod", "--learner", "a"}, "it has bar"},
		{"unknown part", []string{"mark", file, "bar", "--learner", "a", "--part", "x", "--answer", "1"}, "part-1"},
		{"no such file", []string{"variant", file + "x", "bar", "--learner", "a"}, "no such file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := run(context.Background(), c.args, &bytes.Buffer{})
			if err == nil || !strings.Contains(err.Error(), c.says) && !errors.Is(err, errUsage) {
				t.Errorf("got %v, want %s", err, c.says)
			}
		})
	}
}

// TestCheckProvesExercises wants an exercise with a fault found at its line.
func TestCheckProvesExercises(t *testing.T) {
	folder := t.TempDir()
	lesson := strings.Replace(barLesson, "high: 20 deg", "high: 0.2 deg", 1)
	if err := os.WriteFile(filepath.Join(folder, "bar.md"), []byte(lesson), 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	err := run(context.Background(), []string{"check", folder}, &out)
	if !errors.Is(err, errFailed) || !strings.Contains(out.String(), "bar.md: fault: line 20, column 15: the answer is outside its own bounds") {
		t.Errorf("%v\n%s", err, out.String())
	}
}
