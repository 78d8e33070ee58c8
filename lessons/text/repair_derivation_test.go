package text_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// rightDerivations collects the derivations of the lessons and those of the corpus
// of package derive without its mistakes.
func rightDerivations(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, l := range shelf(t).Lessons {
		for _, c := range l.CellsOf(lessons.Derive) {
			all = append(all, c.Text.Content)
		}
	}
	files, err := filepath.Glob("../../kernel/derive/testdata/corpus/*.derive")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus: %v", err)
	}
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		right := regexp.MustCompile(`(?m)^(\s*✗.*|#([^#].*)?)\n`).ReplaceAllString(string(content), "")
		parts := strings.Split(right, "\n## ")
		for _, part := range parts[1:] {
			_, lines, _ := strings.Cut(part, "\n")
			all = append(all, strings.Trim(parts[0], "\n")+"\n"+strings.Trim(lines, "\n"))
		}
	}
	return all
}

// slipsOfDerivations are mistyped in derivations only.
var slipsOfDerivations = []slipOfTheKeys{
	{"a sign of integration left out", replaceOne(`∫(_\S+ )?`, always(""))},
	{"a differential apart", replaceOne(`·d\pL\b`, func(_ *rand.Rand, found string) string { return " " + found[len("·"):] })},
	{"a product in brackets without its sign", replaceOne(`\(\pL·\pL\)`, func(_ *rand.Rand, found string) string { return strings.Replace(found, "·", " ", 1) })},
	{"a word of a given misspelt", replaceOne(`\b(torque|length|stress|number|given|from|area)\b`, mistyped)},
}

// A sheet is a derivation in which lines are mistyped.
type sheet struct {
	lines  []string
	report derive.Report
}

var derivationMemory = derive.NewMemory(10_000)

func judgeLines(t *testing.T, lines []string) derive.Report {
	t.Helper()
	text := source.NewText("", strings.Join(lines, "\n"))
	return derive.JudgeText(t.Context(), text, derive.Settings{Memory: derivationMemory})
}

// TestRepairsOfMistypedDerivations is TestRepairsOfMistypedLines for the lines of
// derivations.
func TestRepairsOfMistypedDerivations(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 17))
	var sheets []sheet
	for _, text := range rightDerivations(t) {
		lines := strings.Split(text, "\n")
		sheets = append(sheets, sheet{lines, judgeLines(t, lines)})
	}
	slips := append(slices.Clone(slipsOfTheKeys), slipsOfDerivations...)
	tried, pressed := 0, 0
	for tried < *mutations/8 {
		s := &sheets[r.IntN(len(sheets))]
		at := r.IntN(len(s.lines))
		slip := slips[r.IntN(len(slips))]
		typed := slip.typeIt(r, s.lines[at])
		if typed == s.lines[at] || strings.TrimSpace(typed) == "" || strings.HasPrefix(strings.TrimSpace(typed), "#") {
			continue
		}
		tried++
		lines := slices.Clone(s.lines)
		lines[at] = typed
		for _, d := range judgeLines(t, lines).Diagnostics {
			if d.Fix != nil {
				pressed++
				s.press(t, slip.name, at, lines, d, *d.Fix, true)
			}
			for _, choice := range d.Choices {
				pressed++
				s.press(t, slip.name, at, lines, d, choice, false)
			}
		}
	}
	t.Logf("%d lines, %d buttons pressed", tried, pressed)
	if pressed < tried/10 {
		t.Errorf("only %d buttons were offered for %d lines", pressed, tried)
	}
}

// press presses a button of a derivation whose line at is mistyped, and then those
// that follow, up to eight.
func (s *sheet) press(t *testing.T, slip string, at int, lines []string, d source.Diagnostic, fix source.Fix, isSure bool) {
	t.Helper()
	typed := lines[at]
	for range 8 {
		text := fix.Span.Text.Content
		lines = strings.Split(text[:fix.Span.Start]+fix.Text+text[fix.Span.End:], "\n")
		report := judgeLines(t, lines)
		next := report.Diagnostics.FirstError()
		if next == nil {
			if isSure && !s.meansTheSame(t, at, lines, report) {
				t.Errorf("%s: %q → %q, and it was %q (%s)", slip, typed, lines[at], s.lines[at], d.Error())
			}
			return
		}
		if next.Code == d.Code && next.Span.Start == d.Span.Start && next.Message == d.Message {
			t.Errorf("%s: %q → %q says the same again: %s", slip, typed, lines[at], next.Error())
			return
		}
		if next.Fix == nil {
			return
		}
		d, fix = *next, *next.Fix
	}
	t.Errorf("%s: %q is not right after 8 repairs: %q", slip, typed, lines[at])
}

// meansTheSame reports whether a mended line means what it meant before it was
// mistyped: it is written the same; or no step has another verdict, and its right side
// equals the one that it had.
func (s *sheet) meansTheSame(t *testing.T, at int, lines []string, report derive.Report) bool {
	t.Helper()
	written := func(lines []string) string {
		cell, _ := derive.ChooseReadings(notation.ParseDerivation(source.NewText("", strings.Join(lines, "\n"))))
		var all []string
		for _, line := range cell.Lines {
			all = append(all, notation.Print(line))
		}
		return strings.Join(all, "\n")
	}
	if written(lines) == written(s.lines) {
		return true
	}
	if len(report.Verdicts) != len(s.report.Verdicts) {
		return false
	}
	for i, v := range report.Verdicts {
		if v.Kind != s.report.Verdicts[i].Kind {
			return false
		}
	}
	if strings.HasPrefix(s.lines[at], "given") {
		return true
	}
	sides := [2]string{}
	for i, list := range [][]string{s.lines, lines} {
		_, right, ok := strings.Cut(list[at], "=")
		if !ok {
			return false
		}
		sides[i], _, _ = strings.Cut(right, " because")
	}
	asked := append(slices.Clone(s.lines[:at+1]), "zz_probe = "+sides[0], "= "+sides[1])
	found := judgeLines(t, asked).Verdicts
	if len(found) == 0 {
		return false
	}
	kind := found[len(found)-1].Kind
	return kind == derive.Follows || kind == derive.Agrees
}
