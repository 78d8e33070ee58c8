package derive_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// derivationExamples lists the examples of errors in derivations that the tests and
// the codes of notation have.
func derivationExamples(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, file := range []string{"../notation/testdata/errors.txt", "../notation/codes.go", "../check/type.go"} {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(file, ".txt") {
			all = append(all, strings.Split(strings.TrimSuffix(string(content), "\n"), "\n---\n")...)
			continue
		}
		for _, m := range regexp.MustCompile(`(?m)^\s*// Example: (.*)$`).FindAllStringSubmatch(string(content), -1) {
			all = append(all, strings.ReplaceAll(m[1], "⏎", "\n"))
		}
	}
	return all
}

// buttons lists the replacements that messages offer, with the message of each.
func buttons(list source.List) (fixes []source.Fix, of []source.Diagnostic) {
	for _, d := range list {
		all := d.Choices
		if d.Fix != nil {
			all = append([]source.Fix{*d.Fix}, all...)
		}
		for _, fix := range all {
			fixes, of = append(fixes, fix), append(of, d)
		}
	}
	return fixes, of
}

func reportOn(t *testing.T, text string) derive.Report {
	t.Helper()
	return derive.JudgeText(t.Context(), source.NewText("", text), derive.Settings{})
}

// TestRepairsOfExamples presses every button that an example of an error offers where
// it is a line of a derivation: the error must then be gone, or the next be about
// something else.
func TestRepairsOfExamples(t *testing.T) {
	const givens = "given T: torque > 0, G: stress > 0, J: second moment of area > 0, L: length > 0, d > 0 mm\n"
	pressed := 0
	for _, example := range derivationExamples(t) {
		line, isDerivation := strings.CutPrefix(example, "derive: ")
		if !isDerivation && (strings.HasPrefix(example, "shaft:") || strings.HasPrefix(example, "answer:")) {
			continue
		}
		text := givens + line
		fixes, of := buttons(reportOn(t, text).Diagnostics)
		for i, fix := range fixes {
			pressed++
			after := text[:fix.Span.Start] + fix.Text + text[fix.Span.End:]
			for _, again := range reportOn(t, after).Diagnostics {
				if again.Code == of[i].Code && again.Span.Start <= of[i].Span.Start && again.Message == of[i].Message {
					t.Errorf("%q → %q: %s", line, after[len(givens):], again.Error())
				}
			}
		}
	}
	if pressed < 10 {
		t.Errorf("only %d buttons were offered", pressed)
	}
	t.Logf("%d buttons pressed", pressed)
}

// A button is offered where the line then means what one rule says was meant.
func TestRepairsOfDerivations(t *testing.T) {
	const givens = "given T: torque > 0, G: stress > 0, J: second moment of area > 0, L: length > 0, M: torque > 0, m: mass > 0\n"
	for _, c := range []struct {
		name, text string
		makes      []string
	}{
		{"a product without a sign", "θ = T L/(G J)", []string{"θ = T·L/(G·J)"}},
		{"a bracket before a differential that has lost its sign of integration", "θ = T/(G·J) dx", nil},
		{"a differential without the sign of integration", "θ = (G·J) dx", nil},
		{"an integral whose differential is not that of its ends", "θ = ∫_0^L T/(G·J) dx", nil},
		{"a product with a differential on both sides", "given x: length\ndx = 1 mm\nθ = T dx/(G J)", []string{"given x: length\ndx = 1 mm\nθ = T·dx/(G·J)"}},
		{"a misspelt name of another dimension", "θ = T·L/(G·I)", nil},
		{"a sum of two dimensions", "θ = T + L", nil},
		{"two numbers side by side", "θ = 2 3·T·L/(G·J)", nil},
		{"a fraction of a product", "θ = T·L/G J", []string{"θ = T·L/(G·J)", "θ = T·L/G·J"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			fixes, _ := buttons(reportOn(t, givens+c.text).Diagnostics)
			for _, fix := range fixes {
				text := givens + c.text
				got = append(got, text[len(givens):fix.Span.Start]+fix.Text+text[fix.Span.End:])
			}
			if strings.Join(got, "; ") != strings.Join(c.makes, "; ") {
				t.Errorf("the buttons make %q, want %q", got, c.makes)
			}
		})
	}
}
