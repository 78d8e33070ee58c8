package text_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/lessons"
	"shaftbook/lessons/guess"
)

// sameByChance lists numbers that stand open in a lesson, are the answer of one of its
// guesses in two to four figures, and are something else.
var sameByChance = map[string]string{
	"uniform-shaft twice-as-thick 16":           "the factor of a radius in the place of a diameter",
	"can-it-be-right furthest-off 0.6933":       "the twist itself, from which a claim of none is as far off",
	"can-it-be-right furthest-off 0.693":        "the same",
	"how-shafts-break factor-of-the-fillet 1.5": "the ratio of the diameters in the labels of a chart",
}

// TestGuessesAreNotGivenAway looks for the answers of guesses in all that a reader can see
// before making them: the text with its covers, which is also what a search finds, the lines
// of the cells, open results, tables and the words of figures, in two to four figures.
func TestGuessesAreNotGivenAway(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		c, list, err := l.Covering(t.Context())
		if err != nil || list.HasErrors() {
			t.Fatal(err, list)
		}
		var all []string
		for _, p := range c.Passages(l) {
			all = append(all, p.Text())
		}
		shown := results(t, working(l), l)
		for _, g := range l.Guesses {
			open := slices.Clone(all)
			for _, r := range shown {
				listed := slices.ContainsFunc(g.Covers, func(c guess.Cover) bool { return c.Name == r.Name })
				if listed && r.Kind == kernel.KindValue && r.Value != nil && r.Value.Dim.IsNumber() && !slices.Contains(c.Of(&r), g.ID) {
					t.Errorf("the guess %s covers %s, which is open since it is given: “%s”", g.ID, r.Name, r.Span.Line())
				}
				if !slices.Contains(c.Of(&r), g.ID) {
					open = append(open, shownBy(r)...)
				}
			}
			name := strings.TrimPrefix(g.ID, "guess-")
			for _, answer := range answersOf(g, c.Truths[g.ID]) {
				for _, text := range open {
					for _, found := range saying(text, answer) {
						if sameByChance[l.Slug+" "+name+" "+found.number] == "" {
							t.Errorf("%s is the answer of the guess %s, and stands open in “%s”", found.number, name, found.around)
						}
					}
				}
			}
		}
	})
}

// shownBy returns what an open row shows.
func shownBy(r kernel.Result) []string {
	text := []string{r.Text}
	if r.Figure != nil {
		text = append(text, r.Figure.Caption(), r.Figure.Description())
	}
	if r.Table != nil {
		for _, row := range r.Table.Marked() {
			for k, cell := range row {
				if k < len(r.Table.Headers) {
					text = append(text, cell+" "+r.Table.Headers[k].Unit)
				}
			}
		}
	}
	return text
}

// answersOf returns the values of a guess that its question and its items do not say.
func answersOf(g *guess.Guess, truth guess.Truth) []string {
	if g.Kind == guess.Number {
		return []string{truth.Text}
	}
	var list []string
	for i, v := range truth.Values {
		said := g.Items[i].Text
		if len(saying(said, v)) == 0 && !isCount(v) {
			list = append(list, v)
		}
	}
	return list
}

func isCount(value string) bool {
	x, err := strconv.ParseFloat(value, 64)
	return err == nil && x == math.Trunc(x) && x < 100
}

type said struct{ number, around string }

var inDigits = regexp.MustCompile(`\d+(?:\.\d+)?`)

// saying finds a value in a text, rounded to two, three or four figures.
func saying(text, value string) []said {
	value = strings.TrimPrefix(value, kernel.Mark)
	number, unit, _ := strings.Cut(value, " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return nil
	}
	var found []said
	for _, at := range inDigits.FindAllStringIndex(text, -1) {
		digits := text[at[0]:at[1]]
		figures := len(strings.TrimLeft(strings.Replace(digits, ".", "", 1), "0"))
		y, _ := strconv.ParseFloat(digits, 64)
		if figures < 2 || y != rounded(x, min(figures, 4)) || at[0] > 0 && strings.ContainsAny(text[at[0]-1:at[0]], ".,_") {
			continue
		}
		after := strings.TrimLeft(text[at[1]:], " \u00a0\u202f)")
		switch {
		case unit == "" && (strings.HasPrefix(after, "°") || strings.HasPrefix(after, "%")):
			continue
		case unit == "deg" && strings.HasPrefix(after, "°"):
		case !strings.HasPrefix(after, unit):
			continue
		}
		found = append(found, said{digits, text[max(0, at[0]-60):min(len(text), at[1]+40)]})
	}
	return found
}

func rounded(x float64, figures int) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	return y
}

// TestExercisesAreNotGivenAway finds answers, and values of lines of the solution, in what is
// given and in the words of figures as they are before the exercise is done; and numbers that
// are given and named nowhere.
func TestExercisesAreNotGivenAway(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		for _, c := range l.CellsOf(lessons.Exercise) {
			e, list := exercises.Parse(c.Name, c.Text)
			if list.HasErrors() {
				t.Fatal(list.Err())
			}
			always := map[string]int{} // by structure, part and value: in how many sets of numbers it is given away
			sets := map[string]int{}
			for learner := range 5 {
				v, err := e.Variant(t.Context(), exercises.HeadlessKey, fmt.Sprint("Student ", learner), 0)
				if err != nil {
					t.Fatal(err)
				}
				way := v.Structure.Name
				sets[way]++
				for what := range givenAway(t, v) {
					always[way+"|"+what]++
				}
				for _, g := range v.Given {
					if _, err := strconv.ParseFloat(strings.TrimSuffix(g.Text, " %"), 64); err == nil && !namesGiven(v, g.Name) {
						t.Errorf("%s %s: %s = %s is given, and no word says what it is", e.ID, way, g.Name, g.Text)
					}
				}
			}
			for key, n := range always {
				if way, what, _ := strings.Cut(key, "|"); n == sets[way] && n > 1 {
					t.Errorf("%s %s: %s", e.ID, way, what)
				}
			}
		}
	})
}

// givenAway lists what of the solution of a variant is given or in its figures.
func givenAway(t *testing.T, v *exercises.Variant) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	var given []string
	for _, g := range v.Given {
		given = append(given, g.Text)
	}
	figures, err := v.Figures(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range v.Structure.Parts {
		if part.Kind != marking.Number {
			continue
		}
		expected, err := v.Expected(t.Context(), part.Name)
		if err != nil {
			t.Fatal(err)
		}
		if slices.Contains(given, expected.Value) {
			found["the answer of "+part.Name+" is given"] = true
		}
		worked, err := v.Worked(t.Context(), part.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range worked.Lines {
			if slices.Contains(given, line.Result) || isCount(line.Result) {
				continue
			}
			for _, f := range figures {
				if f.Figure == nil {
					continue
				}
				bare := figure.Bare(f.Figure)
				if len(saying(bare.Caption()+" "+bare.Description(), line.Result)) > 0 {
					found["the figure of "+part.Name+" shows "+line.Symbol] = true
				}
			}
		}
	}
	return found
}

// namesGiven reports whether the words of a variant name a given number.
func namesGiven(v *exercises.Variant, name string) bool {
	text := v.Structure.Text
	for _, part := range v.Structure.Parts {
		text += " " + part.Text + " " + part.Question
		for _, o := range part.Options {
			text += " " + o.Text
		}
	}
	bare := regexp.MustCompile(`(^|[^\p{L}\d_])` + regexp.QuoteMeta(name) + `([^\p{L}\d_]|$)`)
	return bare.MatchString(strings.ReplaceAll(text, `\varepsilon`, "ε")) || strings.Contains(v.Exercise.Text.Content, "{"+name)
}
