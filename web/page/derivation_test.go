package page

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/web/app/derivation"
)

const given = "given T: torque > 0, G: Pa, d_1 > d_0 > 0 mm\n"

func judgedRows(t *testing.T, text string, gaps ...string) *Judged {
	t.Helper()
	o, err := derivation.Judge(context.Background(), derivation.Input{Text: text, Gaps: gaps})
	if err != nil {
		t.Fatal(err)
	}
	return Judge(t.Context(), "derive-1", o)
}

func TestRowsOfADerivation(t *testing.T) {
	for _, c := range []struct {
		name, text  string
		row         int
		want, never []string
	}{
		{"what is given, in words that can break", given, 0,
			[]string{`data-kind="given"`, "given <span", ">torque <math", " in Pa</span>, <span"}, []string{`class="step-follows"`}},
		{"a step that follows", given + "a = 2·T\n  = T + T because it is twice", 2,
			[]string{`data-verdict="follows"`, `class="step-follows"`, "</svg>", "(1)", "because it is twice"}, []string{`data-verdict="fails"`}},
		{"a substitution, which a narrow page sets below", given + "a = 2·T\n  = T + T with u = d_0 because it is twice", 2,
			[]string{`</math> <span class="substitution">with <math`, "because it is twice"}, nil},
		{"the first step that does not", given + "a = 2·T\n  = T because I say so", 2,
			[]string{`data-verdict="fails"`, `data-first="true"`, `class="wrong-first"`, "half of the line above.", `data-slip="factor"`, `<span class="quantity">`}, nil},
		{"an inequality with a left side of its own", given + "a = 2·T\na < T because it is less", 2,
			[]string{`data-verdict="fails"`, "the left side is <span", "</span> and the right side <span"}, []string{"the line above is", "for example"}},
		{"a later one", given + "a = 2·T\n  = T\n  = 3·T", 3, []string{`data-verdict="fails"`, `data-first="false"`}, []string{"wrong-first"}},
		{"dimensions", given + "a = 2·T\n  = 2·T·G", 2, []string{`data-verdict="fails"`, "m·kg²·s⁻⁴", `data-slip="power"`}, nil},
		{"nothing can be told", given + "a = T/0\n  = T/0", 2, []string{`data-verdict="open"`, `class="step-open"`}, []string{`data-verdict="fails"`}},
		{"a gap", given + "a = 2·T\n  = ? because it is twice", 2,
			[]string{`data-shape="gap 1"`, `class="step-gap"`, `<label for="derive-1-gap-1">`, `form="derive-1-form"`, "because it is twice"}, []string{"<p>"}},
		{"a line that cannot be read", given + "a = 2·T)", 1, []string{`data-kind="bad"`, "a = 2·T<mark>)</mark>"}, []string{`data-verdict="f`}},
		{"markup is text", given + "a = 2·T because <b>bold</b>", 1, []string{"because &lt;b&gt;bold"}, []string{"<b>"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			row := string(judgedRows(t, c.text).Rows[c.row])
			for _, want := range c.want {
				if !strings.Contains(row, want) {
					t.Errorf("the row lacks %q:\n%s", want, row)
				}
			}
			for _, never := range c.never {
				if strings.Contains(row, never) {
					t.Errorf("the row holds %q:\n%s", never, row)
				}
			}
		})
	}
}

func TestSummaryOfADerivation(t *testing.T) {
	const start = given + "a = 2·T\n"
	var got strings.Builder
	for _, c := range []struct{ name, text, outcome string }{
		{"nothing", "", "none"},
		{"one step", start + "= T + T", "follows"},
		{"all steps", start + "= T + T\n= 3·T − T", "follows"},
		{"a gap", start + "= T + T\n= ?", "unfinished"},
		{"only gaps", start + "= ?\n= ?", "unfinished"},
		{"a wrong step", start + "= T\n= T + 0·T", "fails"},
		{"two wrong steps", start + "= T\n= T + T", "fails"},
		{"unreadable", start + "= T + T)", "unread"},
		{"undecided", start + "= T/0", "unfinished"},
	} {
		t.Run(c.name, func(t *testing.T) {
			judged := judgedRows(t, c.text)
			if !strings.Contains(string(judged.Summary), `data-outcome="`+c.outcome+`"`) {
				t.Errorf("%q, want the outcome %s", judged.Summary, c.outcome)
			}
			fmt.Fprintf(&got, "%s: %s.\n", c.name, judged.Spoken)
		})
	}
	golden(t, "summary.golden", got.String())
}

func TestALongDerivationDoesNotSpoilItsLesson(t *testing.T) {
	var b strings.Builder
	text := source.NewText("", strings.Repeat("a = 1\n", derivation.LineLimit+1))
	if err := Derivation(t.Context(), &b, "derive-1", text, nil); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), `class="message"`) {
		t.Errorf("the page does not say that the derivation is too long:\n%s", b.String())
	}
}

func TestMarksOfADerivation(t *testing.T) {
	const text = given + "a = 2·T\n = T because I say so\n = ?"
	marks := judgedRows(t, text, "T)").Marks
	if len(marks) != 1 || marks[0].Kind != "error" {
		t.Fatalf("marks %v, want the wrong step alone", marks)
	}
	if got := string([]rune(text)[marks[0].From:marks[0].To]); got != "= T" {
		t.Errorf("marked is %q, want the wrong step; what fills a gap is not in the text", got)
	}
}
