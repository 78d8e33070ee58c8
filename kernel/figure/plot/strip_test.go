package plot

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/figure"
)

func guesses() *BracketAxis {
	b := &BracketAxis{
		Heading: "Guessed brackets of the quill’s twist",
		Finding: "Half of the class were sure of too narrow a bracket",
	}
	for i, g := range [][2]float64{
		{0.8, 1.3}, {0.5, 2}, {0.9, 1.05}, {0.25, 0.7}, {1.2, 3}, {0, 1.4}, {0.6, 40}, {0.99, 0.99}, {-1, -0.5}, {25, 90},
	} {
		b.Guesses = append(b.Guesses, Guess{fmt.Sprintf("Student %02d", i+1), g[0], g[1]})
	}
	return b
}

func answers() *DotPlot {
	d := &DotPlot{Heading: "Answers to the quill’s twist", Low: 0.42, High: 2.1}
	right := DotGroup{Label: "right", Sign: FullSign}
	for i := range 30 {
		right.Values = append(right.Values, 1+0.0005*float64(i%7-3))
	}
	d.Groups = []DotGroup{
		right,
		{"radius for diameter", LetterSign, "a", []float64{16, 16, 16, 16}},
		{"mean diameter for the whole taper", LetterSign, "b", []float64{0.91, 0.93, 0.9}},
		{"a power of a thousand", LetterSign, "c", []float64{1000, 0.001}},
		{"none of these", DiamondSign, "", []float64{1.6, 0.35, -1, 0}},
	}
	return d
}

func TestStripErrors(t *testing.T) {
	answer := func(v, low, high float64) figure.Picture {
		return &DotPlot{Low: low, High: high, Groups: []DotGroup{{Label: "right", Values: []float64{v}}}}
	}
	for _, c := range []struct {
		name string
		pic  figure.Picture
		want string
	}{
		{"no bracket", &BracketAxis{}, "has no bracket"},
		{"ends the wrong way round", &BracketAxis{Guesses: []Guess{{"Student 01", 2, 1}}}, "bracket “Student 01” has its lower end above"},
		{"an end that is no number", &BracketAxis{Guesses: []Guess{{"Student 01", math.NaN(), 1}}}, "not a number"},
		{"an endless bracket", &BracketAxis{Guesses: []Guess{{"Student 01", 0, math.Inf(1)}}}, "infinite"},
		{"no answer", &DotPlot{Groups: []DotGroup{{Label: "right"}}}, "has no answer"},
		{"an answer that is no number", answer(math.NaN(), 0, 0), "answers “right” has a value of ratio that is not a number"},
		{"an infinite answer", answer(math.Inf(-1), 0, 0), "infinite"},
		{"bounds the wrong way round", answer(1, 2, 0.5), "are not two numbers above zero"},
		{"a bound that is no number", answer(1, 0.5, math.NaN()), "not a number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.pic.SVG(figure.Options{})
			var fe *figure.Error
			if !errors.As(err, &fe) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if c.pic.PNG(new(bytes.Buffer), 96) == nil || c.pic.PDF(new(bytes.Buffer)) == nil {
				t.Error("PNG or PDF drew it")
			}
		})
	}
}

func TestGuessWord(t *testing.T) {
	for _, c := range []struct {
		name      string
		low, high float64
		want      string
	}{
		{"round the result", 0.9, 1.1, "holds"}, {"the result itself", 1, 1, "holds"},
		{"below", 0.1, 0.999, "too low"}, {"above", 1.001, 5, "too high"}, {"of the other sign", -3, -1, "too low"},
	} {
		if got := (Guess{"", c.low, c.high}).Word(); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestStripsNeverHoldNaN draws whatever comes: the answer is a figure or an
// *Error, and every text lies within the figure.
func TestStripsNeverHoldNaN(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-2, 30), rapid.Just(math.NaN()), rapid.Just(1.0))
		label := rapid.StringN(0, 60, -1)
		b := &BracketAxis{}
		for range rapid.IntRange(0, 5).Draw(t, "guesses") {
			b.Guesses = append(b.Guesses, Guess{label.Draw(t, "who"), value.Draw(t, "low"), value.Draw(t, "high")})
		}
		d := &DotPlot{Low: value.Draw(t, "bound"), High: value.Draw(t, "bound")}
		for range rapid.IntRange(0, 5).Draw(t, "groups") {
			d.Groups = append(d.Groups, DotGroup{label.Draw(t, "kind"), DotSign(rapid.IntRange(0, 2).Draw(t, "sign")), "a", rapid.SliceOfN(value, 0, 40).Draw(t, "values")})
		}
		for _, p := range []stripFigure{b, d} {
			svg, err := p.SVG(figure.Options{Width: rapid.Float64().Draw(t, "width")})
			var fe *figure.Error
			if err != nil && !errors.As(err, &fe) {
				t.Fatalf("another kind of error: %v", err)
			}
			body := string(svg)
			if i := strings.Index(body, "</desc>"); i >= 0 {
				body = body[i:] // a name may be "Inf"
			}
			for _, part := range strings.Split(body, ` d="`)[min(1, len(body)):] {
				data, _, _ := strings.Cut(part, `"`)
				if strings.ContainsAny(data, "NI") {
					t.Fatalf("a path holds a value that is not a number: %s", data)
				}
			}
			p.Data()
			p.Description()
		}
	})
}

// TestLongStacksAreCounted holds that no answer is left out without a word.
func TestLongStacksAreCounted(t *testing.T) {
	svg, err := answers().SVG(figure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf(">+%d<", 30+1-mostDots); !bytes.Contains(svg, []byte(want)) {
		t.Errorf("the stack of 30 right answers and one beside them is not counted as %s above %d signs", want, mostDots)
	}
}
