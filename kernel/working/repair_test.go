package working_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// errorExamples lists the examples of errors that the tests and the codes of
// notation and check have, those of cells.
func errorExamples(t *testing.T) []string {
	t.Helper()
	read := func(file string) string {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(content)
	}
	examples := strings.Split(strings.TrimSuffix(read("../notation/testdata/errors.txt"), "\n"), "\n---\n")
	comment := regexp.MustCompile(`(?m)^\s*// Example: (.*)$`)
	for _, file := range []string{"../notation/codes.go", "../check/type.go"} {
		for _, m := range comment.FindAllStringSubmatch(read(file), -1) {
			examples = append(examples, strings.NewReplacer("⏎", "\n", "; ", "\n").Replace(m[1]))
		}
	}
	return examples
}

// exampleCell evaluates an example, with every name that it uses and does not
// define given the value 2 beside it.
func exampleCell(t *testing.T, example string, given []string) []working.Result {
	t.Helper()
	cell := calcCell("a", example)
	if text, isShaft := strings.CutPrefix(example, "shaft:"); isShaft {
		cell = working.Cell{ID: "a", Kind: working.Shaft, Name: "S", Text: source.NewText("a", strings.TrimPrefix(text, " "))}
	}
	var lines []string
	for _, name := range given {
		lines = append(lines, name+" = 2")
	}
	w := newWorking(t, cell, calcCell("given", strings.Join(lines, "\n")))
	return w.Results("a")
}

// TestRepairsOfExamples presses every button that an example of an error offers: the
// error must then be gone, or the next be about something else.
func TestRepairsOfExamples(t *testing.T) {
	pressed := 0
	for _, example := range errorExamples(t) {
		if strings.HasPrefix(example, "derive:") || strings.HasPrefix(example, "answer:") {
			continue
		}
		prefix := ""
		if strings.HasPrefix(example, "shaft:") {
			prefix = "shaft: "
			example = strings.TrimPrefix(strings.TrimPrefix(example, "shaft:"), " ")
		}
		given := namesOf(example)
		before := exampleCell(t, prefix+example, given)
		for _, r := range before {
			for _, d := range r.Diagnostics {
				fixes := d.Choices
				if d.Fix != nil {
					fixes = append([]source.Fix{*d.Fix}, fixes...)
				}
				for _, fix := range fixes {
					pressed++
					text := example[:fix.Span.Start] + fix.Text + example[fix.Span.End:]
					after := exampleCell(t, prefix+text, given)
					if says(after, d) {
						t.Errorf("%q → %q: %s", example, text, after[0].Diagnostics.Err())
					}
				}
			}
		}
	}
	if pressed < 20 {
		t.Errorf("only %d buttons were offered", pressed)
	}
	t.Logf("%d buttons pressed", pressed)
}

// namesOf lists the words of an example that may be names and that it does not
// define.
func namesOf(example string) []string {
	var names []string
	seen := map[string]bool{}
	for _, word := range regexp.MustCompile(`[\pL][\pL\d_]*`).FindAllString(example, -1) {
		if seen[word] || regexp.MustCompile(`(?m)^`+word+`(\(.*?\))? ?=`).MatchString(example) {
			continue
		}
		seen[word] = true
		if _, builtin := notation.LookupBuiltin(word); !builtin && len([]rune(word)) == 1 && word != "π" {
			names = append(names, word)
		}
	}
	return names
}

func says(results []working.Result, d source.Diagnostic) bool {
	for _, r := range results {
		for _, again := range r.Diagnostics {
			if again.Code == d.Code && again.Span.Start <= d.Span.Start && again.Message == d.Message {
				return true
			}
		}
	}
	return false
}

// Some repairs were offered that changed what was meant, or made matters worse.
func TestRepairsThatAreNotSure(t *testing.T) {
	tests := []struct{ name, text string }{
		{"a function and its argument's unit", "x = sin 30 deg"},
		{"the name of a function", "d(x) = 2·x\ny = π/32 d(1)^4"},
		{"a unit that is a name", "T = 4 N·m\nL = 2 m\nx = 2 T L"},
		{"two decimal marks", "x = 1.000,5"},
		{"a pasted dash", "x = 3 – 2"},
		{"an operator lost before a number", "a = 2\nx = a  1"},
		{"an operator lost before a bracket", "a = 2\nx = 3(a + 1)"},
		{"a name between two others", "d_0 = 2\nd_1 = 3\nx = 2·d_2"},
		{"two names written together", "G = 2\nx = Gπ/32"},
	}
	meant := map[string]string{"x = sin 30 deg": "0.5", "x = 3 – 2": "1", "T = 4 N·m\nL = 2 m\nx = 2 T L": "16 N·m²", "x = 1.000,5": "1000.5",
		"d(x) = 2·x\ny = π/32 d(1)^4": "1.571", "G = 2\nx = Gπ/32": "0.1963"}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			w := newWorking(t, calcCell("a", test.text))
			results := w.Results("a")
			last := results[len(results)-1]
			for _, d := range last.Diagnostics {
				if d.Fix == nil {
					continue
				}
				text := test.text[:d.Fix.Span.Start] + d.Fix.Text + test.text[d.Fix.Span.End:]
				after := newWorking(t, calcCell("a", text)).Results("a")
				if got := after[len(after)-1].Text; got != meant[test.text] {
					t.Errorf("a button makes %q, which is %q", text, got)
				}
			}
		})
	}
}

// A given without its unit is found from what its uses need; the lines that wait
// for it are counted and have no message of their own.
func TestCauseOfErrors(t *testing.T) {
	const rest = "\nG = 79 GPa\nL = 0.8 m\nd_1 = 54 mm\nJ(d) = π/32·d^4\nθ = T·L/(G·J(d_0)) in deg\nτ = 16·T/(π·d_0^3) in MPa\ntwice = 2·θ\nexpect θ > 0\nmean = (d_0 + d_1)/2 in mm"
	tests := []struct {
		name, text string
		line       int
		code       source.Code
		waiting    int
		fix        string // the text of the button, "" for none
		choices    int
	}{
		{"a torque without its unit", "T = 420\nd_0 = 36 mm" + rest, 1, working.CodeMisfit, 4, "", 4},
		{"a diameter without its unit, of the size of another", "T = 420 N·m\nd_0 = 36" + rest, 2, working.CodeMisfit, 5, "36 mm", 0},
		{"a diameter with the unit of a force", "T = 420 N·m\nd_0 = 36 N" + rest, 2, working.CodeMisfit, 5, "36 mm", 0},
		{"a name that is misspelt where it is defined", "T = 420 N·m\nd_O = 36 mm" + rest, 2, check.CodeUndefined, 5, "d_0", 0},
		{"a definition that cannot be read", "T 420 N·m\nd_0 = 36 mm" + rest, 1, notation.MissingMultiply, 4, "", 0},
		{"a formula of the wrong power", "T = 420 N·m\nd_0 = 36 mm" + strings.Replace(rest, "d^4", "d^3", 1), 6, working.CodeMisfit, 3, "", 0},
		{"a name that is the unit of a given above", "T = 420 N·m\nd_0 = 36 mm" + rest + "\nw = 5 N\nN = 8", 13, working.CodeHidesUnit, 1, "N_1", 0},
		{"an error of its own, which nothing waits for", "T = 420 N·m\nd_0 = 36 mm" + rest + "\nx = T + L", 12, check.CodeDimension, 0, "", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			w := newWorking(t, calcCell("a", test.text))
			var found source.List
			for _, r := range w.Results("a") {
				if d := r.Said(false).FirstError(); d != nil {
					found = append(found, *d)
				}
			}
			if len(found) != 1 {
				t.Fatalf("%d messages, want 1:\n%v", len(found), found)
			}
			d := found[0]
			if line := d.Span.Position().Line; line != test.line || d.Code != test.code || d.Waiting != test.waiting || len(d.Choices) != test.choices {
				t.Errorf("line %d, %s, %d waiting, %d choices: %s", line, d.Code, d.Waiting, len(d.Choices), d.Render())
			}
			if got := fixText(d); got != test.fix {
				t.Errorf("the button makes %q, want %q", got, test.fix)
			}
		})
	}
}

func fixText(d source.Diagnostic) string {
	if d.Fix == nil {
		return ""
	}
	return d.Fix.Text
}

// A given keeps its unit if its name has the dimension that it usually has, wherever
// a name of that spelling is defined.
func TestUnitOfAGivenThatIsAName(t *testing.T) {
	for _, text := range []string{"L = 1.2 m\nm = 10 kg", "m = 10 kg\nL = 1.2 m", "F = 5 N\nN = 8", "d_0 = 36 mm\nmm = 3"} {
		w := newWorking(t, calcCell("a", text))
		for _, r := range w.Results("a") {
			if len(r.Diagnostics) > 0 {
				t.Errorf("%q: %v", text, r.Diagnostics)
			}
		}
	}
}

// Of many errors in a cell three are open, and the next says how many there are.
func TestErrorsOfACellAreCounted(t *testing.T) {
	w := newWorking(t, calcCell("a", strings.Repeat("1 m + 1 s\n", 7)))
	var open, more int
	for _, r := range w.Results("a") {
		for _, d := range r.Said(false) {
			if d.Code == working.CodeMore {
				more++
			} else {
				open++
			}
		}
		if r.Errors != 7 {
			t.Errorf("the cell has %d errors, want 7", r.Errors)
		}
	}
	if open != 3 || more != 1 {
		t.Errorf("%d messages and %d counts of more, want 3 and 1", open, more)
	}
}
