package working_test

import (
	"strings"
	"testing"
)

// TestTypedEnds types values into the field of a slider.
func TestTypedEnds(t *testing.T) {
	for _, c := range []struct {
		name, text string
		typed      float64
		want       float64 // in the unit of the slider
	}{
		{"within the slider", "vary n from 1 to 40 by 1 starting at 4 typed up to 1000", 40, 40},
		{"beyond it", "vary n from 1 to 40 by 1 starting at 4 typed up to 1000", 200, 200},
		{"at the end of what may be typed", "vary n from 1 to 40 by 1 starting at 4 typed up to 10^3", 1000, 1000},
		{"beyond that", "vary n from 1 to 40 by 1 starting at 4 typed up to 1000", 1001, 1000},
		{"below", "vary d from 20 mm to 60 mm by 1 mm typed from 0.5 cm", 6, 6},
		{"below what may be typed", "vary d from 20 mm to 60 mm by 1 mm typed from 0.5 cm", 4, 5},
		{"without typed", "vary n from 1 to 40 by 1 starting at 4", 60, 40},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := c.text[5:6]
			w := newWorking(t, calcCell("a", c.text+"\ny = 2·"+name))
			if err := w.Vary(name, c.typed); err != nil {
				t.Fatal(err)
			}
			evaluate(t, w)
			slider := find(t, w, "a", name).Slider
			if slider == nil || slider.Value != c.want {
				t.Fatalf("slider %+v, want it at %g", slider, c.want)
			}
			if x, y := find(t, w, "a", name).Value.Number, find(t, w, "a", "y").Value.Number; y != 2*x {
				t.Errorf("the line below has %g of %g", y, x)
			}
			place := w.Sliders()[name]
			if got := slider.Outside != ""; got != (c.typed != c.want) {
				t.Errorf("said to lie outside: %q", slider.Outside)
			}
			if got := place.Allows(c.typed); got != (c.typed == c.want) {
				t.Errorf("%g is allowed: %v", c.typed, got)
			}
			if place.Whole && place.Allows(2.5) {
				t.Error("2.5 is allowed of a count")
			}
		})
	}
}

// TestTypedEndsThatDoNotFit has mistakes in the ends of what may be typed.
func TestTypedEndsThatDoNotFit(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"inside the slider", "vary n from 1 to 40 typed up to 30", "ends below the slider’s upper end"},
		{"begins inside", "vary n from 1 to 40 typed from 3", "begins above the slider’s lower end"},
		{"another dimension", "vary d from 1 mm to 40 mm typed up to 3 N", "the largest value to type does not fit the range"},
		{"another dimension below", "vary d from 1 mm to 40 mm typed from 1 N", "the smallest value to type does not fit the range"},
		{"a bracket", "vary n from 1 to 40 typed up to (50 ± 1)", "the largest value to type must be one value, not a bracket"},
		{"no value", "vary n from 1 to 40 typed up to 1/0", "zero"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWorking(t, calcCell("a", c.text))
			r := w.Results("a")[0]
			if len(r.Diagnostics) != 1 || !strings.Contains(r.Diagnostics[0].Message, c.want) {
				t.Errorf("got %v, want %q", r.Diagnostics, c.want)
			}
			if r.Slider != nil {
				t.Error("there is a slider all the same")
			}
		})
	}
}

// TestARangeThatShrinks: a value that an edit leaves outside the range is said to be, the
// end next to it is used, and it is in force again where the range has room for it.
func TestARangeThatShrinks(t *testing.T) {
	w := newWorking(t, calcCell("a", "L = 1 m\nvary x from 0 m to L by 0.001 m"))
	if err := w.Vary("x", 0.8); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		length  string
		want    float64
		outside string
	}{
		{"1 m", 0.8, ""}, {"0.5 m", 0.5, "0.8 m"}, {"0.1 m + 0.7 m", 0.8, ""}, {"0.9 m", 0.8, ""},
	} {
		if err := w.Edit("a", "L = "+c.length+"\nvary x from 0 m to L by 0.001 m"); err != nil {
			t.Fatal(err)
		}
		evaluate(t, w)
		s := find(t, w, "a", "x").Slider
		if s == nil || s.Value != c.want || s.Outside != c.outside {
			t.Errorf("up to %s: %+v, want %g and %q outside", c.length, s, c.want, c.outside)
		}
	}
}

// TestTypedToIsMended presses the button of a slider that is typed to a value.
func TestTypedToIsMended(t *testing.T) {
	for _, text := range []string{"vary n from 1 to 40 typed to 1000", "vary n from 1 to 40 typed from 0.5 to 1000"} {
		w := newWorking(t, calcCell("a", text))
		d := w.Results("a")[0].Diagnostics.FirstError()
		if d == nil || d.Fix == nil {
			t.Fatalf("%s: no repair: %v", text, d)
		}
		if err := w.Edit("a", text[:d.Fix.Span.Start]+d.Fix.Text+text[d.Fix.Span.End:]); err != nil {
			t.Fatal(err)
		}
		evaluate(t, w)
		if s := find(t, w, "a", "n").Slider; s == nil || s.High != 1000 {
			t.Errorf("%s: mended to %+v", text, s)
		}
	}
}
