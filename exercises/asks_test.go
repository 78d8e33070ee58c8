package exercises

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/exercises/marking"
)

// TestAskingTellsNothing asks about the same number written in the same way where one
// of the readings is right, where the other is and where none is: all but the number
// must be the same, or asking, which uses no try, would find the answer.
func TestAskingTellsNothing(t *testing.T) {
	right := map[string]float64{"twist": quillTwist, "rigidity": 300 * 0.5 / (79e9 * 251327e-12), "part": 16.0 / 81, "percentage": 100 * 16.0 / 81, "speed": 49110 / 284.2}
	for _, c := range []struct {
		exercise, form string
		inverse        func(v float64) float64 // what is written for a value
	}{
		{"twist", "%.6f", func(v float64) float64 { return v }},
		{"twist", "%.6f", func(v float64) float64 { return v * 180 / math.Pi }},
		{"twist", "θ = %.6f", func(v float64) float64 { return v }},
		{"twist", "%.6f·180/π", func(v float64) float64 { return v }},
		{"twist", "%.6f + 0", func(v float64) float64 { return v * 180 / math.Pi }},
		{"rigidity", "%.6f·180·T·L/(π·G·J)", func(float64) float64 { return 1 }},
		{"part", "%.6f", func(v float64) float64 { return v }},
		{"part", "%.6f", func(v float64) float64 { return 100 * v }},
		{"percentage", "%.6f %%", func(v float64) float64 { return v }},
		{"percentage", "%.6f %%", func(v float64) float64 { return v / 100 }},
		{"speed", "%.6f Hz", func(v float64) float64 { return v }},
		{"speed", "%.6f Hz", func(v float64) float64 { return v / (2 * math.Pi) }},
		{"speed", "%.6f 1/s", func(v float64) float64 { return v }},
	} {
		a := asked[c.exercise]
		v := set(t, a.block)
		said := func(share float64) string {
			typed := fmt.Sprintf(c.form, share*c.inverse(right[c.exercise]))
			got := mark(t, v, a.part, typed)
			if got.Kind.IsTry() || got.Compared || got.Points != 0 || len(got.Slips) > 0 || len(got.Choices) < 2 {
				t.Fatalf("%s is not asked about: %+v", typed, got)
			}
			return string(got.Kind) + strings.Map(func(r rune) rune {
				if strings.ContainsRune("0123456789.", r) {
					return -1
				}
				return r
			}, got.Message)
		}
		if at, off := said(1), said(1.31); at != off {
			t.Errorf("%s %s: the right value is asked about otherwise than a wrong one:\n%s\n%s", c.exercise, c.form, at, off)
		}
	}
}

// TestNumbersWithoutUnitUseNoTry holds for any number where an angle is asked.
func TestNumbersWithoutUnitUseNoTry(t *testing.T) {
	v := set(t, quill)
	rapid.Check(t, func(r *rapid.T) {
		x := rapid.Float64Range(-1e4, 1e4).Draw(r, "x")
		typed := fmt.Sprintf(rapid.SampledFrom([]string{"%.3f", "%.6g", "= %.2f", "%.4e"}).Draw(r, "form"), x)
		got, err := v.Mark(t.Context(), "twist", typed)
		if err != nil {
			r.Fatal(err)
		}
		isZero := strings.Trim(typed, "=-0. ") == "" || strings.HasPrefix(strings.TrimLeft(typed, "=- "), "0.0000e")
		if isZero == (got.Kind == marking.UnitMissing) {
			r.Fatalf("%s: %+v", typed, got)
		}
	})
}

// TestKeptNumbersKeepTheirVerdict judges answers again that were kept without a unit,
// which was read as radians.
func TestKeptNumbersKeepTheirVerdict(t *testing.T) {
	v := set(t, quill)
	for kept, want := range map[string]marking.VerdictKind{"0.0121": marking.Right, "0.6933": marking.UnitMissing, "0.02": marking.Off} {
		got, err := v.MarkText(t.Context(), "twist", kept, kept)
		if err != nil || got.Kind != want {
			t.Errorf("%s: %+v, %v; want %s", kept, got, err, want)
		}
	}
}

// TestOffersAreProved reads what is offered in place of an answer that cannot be read:
// it has one reading, of the quantity that is asked.
func TestOffersAreProved(t *testing.T) {
	for _, row := range typedRows(t) {
		a := asked[row.exercise]
		v := set(t, a.block)
		got := mark(t, v, a.part, row.typed)
		if got.Kind != marking.Unreadable && got.Kind != marking.WrongDimension {
			continue
		}
		for _, c := range got.Choices {
			again, err := v.MarkText(t.Context(), a.part, c.Text, row.typed)
			if err != nil || again.Kind == marking.Unreadable || again.Kind == marking.Ambiguous || again.Kind == marking.WrongDimension || again.Kind == marking.UnitMissing {
				t.Errorf("%s: what is offered, %s, is %+v, %v", row.typed, c.Text, again, err)
			}
		}
		if len(got.Choices) == 0 && strings.Contains(got.Message, "Did you mean") {
			t.Errorf("%s: a repair without a button: %s", row.typed, got.Message)
		}
	}
}

// TestMistypedAnswersAreOfferedWhatIsRead changes answers of the table in one place:
// whatever is offered then is read as it says, and asking again gives the same.
func TestMistypedAnswersAreOfferedWhatIsRead(t *testing.T) {
	rows := typedRows(t)
	variants := map[string]*Variant{}
	for name, a := range asked {
		variants[name] = set(t, a.block)
	}
	letters := []rune("0123456789.,()'°·*/^+-−=≥Ø degradmNpi%π?! ")
	rapid.Check(t, func(r *rapid.T) {
		row := rapid.SampledFrom(rows).Draw(r, "row")
		typed := []rune(row.typed)
		at := rapid.IntRange(0, len(typed)-1).Draw(r, "at")
		letter := rapid.SampledFrom(letters).Draw(r, "letter")
		switch rapid.IntRange(0, 3).Draw(r, "change") {
		case 0:
			typed = append(typed[:at:at], typed[at+1:]...)
		case 1:
			typed[at] = letter
		case 2:
			typed = append(typed[:at:at], append([]rune{letter}, typed[at:]...)...)
		case 3:
			if at+1 < len(typed) {
				typed[at], typed[at+1] = typed[at+1], typed[at]
			}
		}
		v, part, text := variants[row.exercise], asked[row.exercise].part, string(typed)
		got, err := v.Mark(t.Context(), part, text)
		if err != nil {
			r.Fatal(err)
		}
		read, err := v.Read(t.Context(), part, text)
		if err != nil || len(read.Choices) != len(got.Choices) || len(got.Choices) > 0 && got.Kind.IsTry() {
			r.Fatalf("%q: %+v, %+v, %v", text, got, read, err)
		}
		for _, c := range got.Choices {
			again, err := v.MarkText(t.Context(), part, c.Text, text)
			if err != nil || again.Text != c.Text || again.Kind == marking.UnitMissing || len(again.Choices) > 0 {
				r.Fatalf("%q: the choice %s is %+v, %v", text, c.Text, again, err)
			}
		}
	})
}
