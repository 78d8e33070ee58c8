package text_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

var (
	mutations    = flag.Int("mutations", 2000, "how many mistyped lines TestRepairsOfMistypedLines tries")
	mutationSeed = flag.Uint64("mutation-seed", 11, "which lines TestRepairsOfMistypedLines mistypes")
)

const probeCell, probeName = "probe", "zz_probe"

// The shaft of a bench for the lines of a shaft, and what its values are asked for.
const (
	probeShaft  = "zz_shaft"
	valuesCell  = "values"
	shaftValues = probeShaft + ".twist\n" + probeShaft + ".stress\n" + probeShaft + ".length\n" +
		probeShaft + ".twist(10 mm)\n" + probeShaft + ".twist(130 mm)\n" + probeShaft + ".torque(10 mm)\n" + probeShaft + ".torque(130 mm)"
)

// A typedLine is a line of a lesson as it is right, with a name of its own, so that
// nothing needs it.
type typedLine struct {
	text    string
	outcome string // its value, or what a check says
}

// A bench is a lesson with one more cell, in which lines are tried: a calculation, or
// a copy of one of its shafts.
type bench struct {
	w     *kernel.Working
	shaft string // the text of the shaft, "" of a calculation
	lines []typedLine
}

// newShaftBench evaluates a lesson with a copy of a shaft of it.
func newShaftBench(t *testing.T, l *lessons.Lesson, shaft kernel.Cell) *bench {
	t.Helper()
	w := kernel.NewWorking(kernel.Limits{})
	cells := append([]kernel.Cell{}, l.WorkingCells()...)
	w.SetCells(append(cells, kernel.Cell{ID: probeCell, Kind: kernel.Shaft, Name: probeShaft, Text: shaft.Text},
		kernel.Cell{ID: valuesCell, Kind: kernel.Calc, Text: source.NewText(valuesCell, shaftValues)}))
	b := &bench{w: w, shaft: strings.TrimSuffix(shaft.Text.Content, "\n")}
	if got, _ := b.try(t, b.shaft); got.Failed() {
		t.Fatalf("%s: %v", b.shaft, got.Diagnostics)
	}
	for _, line := range strings.Split(b.shaft, "\n") {
		if strings.TrimSpace(line) != "" && !strings.HasPrefix(line, "#") {
			b.lines = append(b.lines, typedLine{text: line, outcome: b.outcome(nil)})
		}
	}
	return b
}

// full returns the text of the bench's cell for a line in the place of another.
func (b *bench) full(line typedLine, text string) string {
	if b.shaft == "" {
		return text
	}
	return strings.Replace("\n"+b.shaft+"\n", "\n"+line.text+"\n", "\n"+text+"\n", 1)[1:]
}

// outcome is outcomeOf the statement that was tried; of a shaft it is its values.
func (b *bench) outcome(r *kernel.Result) string {
	if b.shaft == "" {
		return outcomeOf(r)
	}
	var values []string
	for _, r := range b.w.Results(valuesCell) {
		values = append(values, outcomeOf(&r))
	}
	return strings.Join(values, "; ")
}

// newBench evaluates a lesson and collects its definitions, shown values and
// checks that stand on one line.
func newBench(t *testing.T, l *lessons.Lesson) *bench {
	t.Helper()
	w := kernel.NewWorking(kernel.Limits{})
	cells := append([]kernel.Cell{}, l.WorkingCells()...)
	w.SetCells(append(cells, kernel.Cell{ID: probeCell, Kind: kernel.Calc, Text: source.NewText(probeCell, "")}))
	b := &bench{w: w}
	for _, r := range results(t, w, l) {
		text := r.Span.Content()
		switch r.Node.(type) {
		case *notation.Define, *notation.DefineFunc:
			text = probeName + text[len(r.Name):]
			if !strings.HasPrefix(r.Span.Content(), r.Name) {
				continue
			}
		case *notation.Show, *notation.Expect:
		default:
			continue
		}
		if line := (typedLine{text: text}); !strings.Contains(text, "\n") {
			got, _ := b.try(t, text)
			if got.Failed() {
				t.Fatalf("%s: %v", text, got.Diagnostics)
			}
			line.outcome = outcomeOf(&got)
			b.lines = append(b.lines, line)
		}
	}
	return b
}

// try evaluates a text in the bench's cell; more is how many statements it holds
// beside the first.
func (b *bench) try(t *testing.T, text string) (r kernel.Result, more int) {
	t.Helper()
	if err := b.w.Edit(probeCell, text); err != nil {
		t.Fatal(err)
	}
	if err := b.w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	all := b.w.Results(probeCell)
	if len(all) == 0 {
		return kernel.Result{}, 0
	}
	return all[0], len(all) - 1
}

// outcomeOf returns what a statement amounts to, to ten digits.
func outcomeOf(r *kernel.Result) string {
	switch {
	case r.Verdict != nil:
		return fmt.Sprint(r.Verdict.Holds, r.Verdict.Margin)
	case r.Value == nil:
		return "" // a function; its uses are other lines
	}
	v := r.Value
	return fmt.Sprintf("%.10g %.10g %.10g %v %v", v.Number, v.Low, v.High, v.Truth, v.Dim)
}

// A slipOfTheKeys mistypes a line in one of the ways in which people do. It returns
// the line as it is if there is nothing in it to mistype so.
type slipOfTheKeys struct {
	name   string
	typeIt func(r *rand.Rand, line string) string
}

// replaceOne replaces one match of an expression, drawn at random.
func replaceOne(pattern string, with func(r *rand.Rand, found string) string) func(*rand.Rand, string) string {
	expression := regexp.MustCompile(pattern)
	return func(r *rand.Rand, line string) string {
		all := expression.FindAllStringIndex(line, -1)
		if len(all) == 0 {
			return line
		}
		at := all[r.IntN(len(all))]
		return line[:at[0]] + with(r, line[at[0]:at[1]]) + line[at[1]:]
	}
}

func always(text string) func(*rand.Rand, string) string {
	return func(*rand.Rand, string) string { return text }
}

func oneOf(texts ...string) func(*rand.Rand, string) string {
	return func(r *rand.Rand, _ string) string { return texts[r.IntN(len(texts))] }
}

// mistyped changes, doubles, leaves out or swaps a letter.
func mistyped(r *rand.Rand, word string) string {
	letters := []rune(word)
	i := r.IntN(len(letters))
	switch r.IntN(5) {
	case 0:
		return string(letters[:i]) + string(letters[i+1:])
	case 1:
		return string(letters[:i+1]) + string(letters[i:])
	case 2:
		if i+1 < len(letters) {
			letters[i], letters[i+1] = letters[i+1], letters[i]
		}
	case 3:
		if upper := strings.ToUpper(word); upper != word {
			return upper
		}
		return strings.ToLower(word)
	default:
		others := []rune("abdehknoqstvwz23459_")
		if i == 0 {
			others = others[:14] // a digit begins a number
		}
		letters[i] = others[r.IntN(len(others))]
	}
	return string(letters)
}

// mistypedUnit is mistyped without the slips from mm that make square metres and the
// like, which are right as they are.
func mistypedUnit(r *rand.Rand, word string) string {
	switch typed := mistyped(r, word); typed {
	case "m2", "m3", "m4":
		return word
	default:
		return typed
	}
}

const unitWords = `\b(mm|m|GPa|MPa|N·m|kW|deg|rad|mm⁴|N|rpm|psi|lbf·in)\b`

var slipsOfTheKeys = []slipOfTheKeys{
	{"an operator left out", replaceOne(`[·+−/^=]`, always(""))},
	{"a space for a product", replaceOne(`·`, always(" "))},
	{"a product written together", replaceOne(`·`, always(""))},
	{"a bracket left out", replaceOne(`[()]`, always(""))},
	{"a bracket too many", replaceOne(`[()]`, func(_ *rand.Rand, found string) string { return found + found })},
	{"a unit left out", replaceOne(`(\d) ?`+unitWords, func(_ *rand.Rand, found string) string { return found[:1] })},
	{"a comma for the point", replaceOne(`\d\.\d`, func(_ *rand.Rand, found string) string { return found[:1] + "," + found[2:] })},
	{"digits in groups", replaceOne(`(^|[^.\d])\d{4,}`, func(r *rand.Rand, found string) string {
		return found[:len(found)-3] + []string{" ", ",", "_", "'"}[r.IntN(4)] + found[len(found)-3:]
	})},
	{"a pasted sign", replaceOne(`[−·/^]`, func(r *rand.Rand, found string) string {
		signs := map[string][]string{"−": {"–", "—", "-", "‐"}, "·": {"×", "*", "∙", "•", "∗"}, "/": {"÷", "∕", ":"}, "^": {"**"}}[found]
		return signs[r.IntN(len(signs))]
	})},
	{"a unit mistyped", replaceOne(unitWords, mistypedUnit)},
	{"a name misspelt", replaceOne(`\p{L}+_\p{L}+|\p{L}+_\d|\b\p{L}\b`, mistyped)},
	{"a function without brackets", replaceOne(`(sqrt|abs|low|high|width|mid|ln|round|ceil)\(`, func(_ *rand.Rand, found string) string {
		return strings.TrimSuffix(found, "(") + " "
	})},
	{"a powered unit on the line", replaceOne(`mm⁴|m⁴`, oneOf("mm4", "mm^ 4", "mm**4"))},
	{"something behind the line", replaceOne(`$`, oneOf(";", ".", ",", " =", ")", "\u00a0", "\u200b"))},
	{"a word misspelt", replaceOne(`\b(integral|sum|expect|within|between|figures|from|solid|hollow|for|hold|torque|bore|stiffness)\b`, mistyped)},
	{"a word left out", replaceOne(`\b(to|for|at|from) `, always(""))},
	{"a space in a number", replaceOne(`\d\d`, func(_ *rand.Rand, found string) string { return found[:1] + " " + found[1:] })},
}

// TestRepairsOfMistypedLines mistypes lines of the lessons and presses every
// button that is offered. The error must then be gone, or the next be about
// something else; and where no error is left, the line must mean what it meant
// before it was mistyped.
func TestRepairsOfMistypedLines(t *testing.T) {
	r := rand.New(rand.NewPCG(7, *mutationSeed)) // the same lines in every run
	var benches []*bench
	for _, l := range shelf(t).Lessons {
		if b := newBench(t, l); len(b.lines) > 0 {
			benches = append(benches, b)
		}
		for _, c := range l.WorkingCells() {
			if c.Kind == kernel.Shaft {
				benches = append(benches, newShaftBench(t, l, c))
			}
		}
	}
	tried, wrong, pressed, ofShafts, pressedOfShafts := 0, 0, 0, 0, 0
	for tried < *mutations {
		b := benches[r.IntN(len(benches))]
		line := b.lines[r.IntN(len(b.lines))]
		slip := slipsOfTheKeys[r.IntN(len(slipsOfTheKeys))]
		text := slip.typeIt(r, line.text)
		if text == line.text {
			continue
		}
		tried++
		if b.shaft != "" {
			ofShafts++
		}
		text = b.full(line, text)
		if got, _ := b.try(t, text); got.Failed() {
			wrong++
		}
		n := b.pressAll(t, slip.name, line, text)
		pressed += n
		if b.shaft != "" {
			pressedOfShafts += n
		}
	}
	t.Logf("%d lines, %d with an error, %d buttons pressed; of shafts %d and %d", tried, wrong, pressed, ofShafts, pressedOfShafts)
	if pressed < tried/10 || pressedOfShafts < ofShafts/20 {
		t.Errorf("only %d buttons were offered for %d lines, of which %d for %d of shafts", pressed, tried, pressedOfShafts, ofShafts)
	}
}

// pressAll presses each button of a mistyped line in turn and returns how many
// there were.
func (b *bench) pressAll(t *testing.T, slip string, line typedLine, text string) int {
	t.Helper()
	got, _ := b.try(t, text)
	pressed := 0
	for _, d := range got.Diagnostics {
		if d.Fix != nil {
			pressed++
			b.press(t, slip, line, text, d, *d.Fix, true)
		}
		for _, choice := range d.Choices {
			pressed++
			b.press(t, slip, line, text, d, choice, false)
		}
	}
	return pressed
}

// press presses a button, and then those that follow, up to eight.
func (b *bench) press(t *testing.T, slip string, line typedLine, text string, d source.Diagnostic, fix source.Fix, isSure bool) {
	t.Helper()
	const most = 8
	typed := text
	for range most {
		if fix.Span.Text.Name != probeCell {
			return // it mends another line
		}
		text = text[:fix.Span.Start] + fix.Text + text[fix.Span.End:]
		got, more := b.try(t, text)
		if more > 0 {
			t.Errorf("%s: %q → %q makes more statements of one", slip, typed, text)
			return
		}
		next := got.Diagnostics.FirstError()
		if next == nil {
			if isSure && b.outcome(&got) != line.outcome {
				t.Errorf("%s: %q → %q is %s, and %q is %s (%s)", slip, typed, text, b.outcome(&got), line.text, line.outcome, d.Error())
			}
			return
		}
		narrower := len(next.Choices) < len(d.Choices) // the question is the same, with less to choose from
		if next.Code == d.Code && next.Span.Start <= d.Span.Start && next.Message == d.Message && !narrower {
			t.Errorf("%s: %q → %q says the same again: %s", slip, typed, text, next.Error())
			return
		}
		if next.Fix == nil {
			return
		}
		d, fix = *next, *next.Fix
	}
	t.Errorf("%s: %q is not right after %d repairs: %q", slip, typed, most, text)
}
