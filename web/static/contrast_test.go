package static

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/figure/canvas"
)

// A colour is red, green and blue from 0 to 255.
type colour [3]float64

func colourOf(s string) colour {
	hex := strings.TrimPrefix(s, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	v, err := strconv.ParseUint(hex, 16, 32)
	if err != nil {
		panic(fmt.Errorf("%s is no colour: %w", s, err))
	}
	return colour{float64(v >> 16), float64(v >> 8 & 255), float64(v & 255)}
}

// over lays a colour on a ground with an opacity.
func (c colour) over(ground colour, opacity float64) colour {
	for i := range c {
		c[i] = opacity*c[i] + (1-opacity)*ground[i]
	}
	return c
}

// luminance and contrast are WCAG 2.2's definitions of relative luminance and
// contrast ratio.
func (c colour) luminance() float64 {
	linear := func(v float64) float64 {
		v /= 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}

func contrast(a, b colour) float64 {
	la, lb := a.luminance(), b.luminance()
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

var (
	pairs  = regexp.MustCompile(`--(torque|twist|stress|fourth): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)`)
	single = regexp.MustCompile(`--(paper|paper-cell|paper-raised|ink): (?:light-dark\()?(#[0-9a-f]{6})(?:, (#[0-9a-f]{6})\))?`)
)

// schemes reads the colours of figures and of what they stand on from the style
// sheets: light, dark, and on paper.
func schemes(t *testing.T) map[string]map[string]colour {
	t.Helper()
	read := func(name string) string {
		b, err := files.ReadFile("css/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	light, dark := map[string]colour{}, map[string]colour{}
	for _, m := range single.FindAllStringSubmatch(read("tokens.css"), -1) {
		switch {
		case m[3] != "":
			light[m[1]], dark[m[1]] = colourOf(m[2]), colourOf(m[3])
		case light[m[1]] == colour{}:
			light[m[1]] = colourOf(m[2])
		default:
			dark[m[1]] = colourOf(m[2])
		}
	}
	print := map[string]colour{"paper": colourOf("#ffffff"), "paper-cell": colourOf("#ffffff"), "paper-raised": colourOf("#ffffff"), "ink": colourOf("#000000")}
	found := 0
	for _, m := range pairs.FindAllStringSubmatch(read("figure.css"), -1) {
		light[m[1]], dark[m[1]], print[m[1]] = colourOf(m[2]), colourOf(m[3]), colourOf(m[2])
		if class := "fig-" + m[1]; canvas.Palette()[class] != m[2] {
			t.Errorf("PNG and PDF have %s for %s, the page %s", canvas.Palette()[class], class, m[2])
		}
		found++
	}
	if found != len(canvas.Palette()) {
		t.Errorf("%d quantities have a colour on the page, %d in figures", found, len(canvas.Palette()))
	}
	return map[string]map[string]colour{"light": light, "dark": dark, "print": print}
}

// TestContrastOfFigures wants 3:1 for every curve (WCAG 2.2, 1.4.11) and 4.5:1 for
// the text of figures (1.4.3), on every ground that a figure may stand on and,
// for text, also where it stands on the wash of a diagram.
func TestContrastOfFigures(t *testing.T) {
	for name, c := range schemes(t) {
		for _, on := range []string{"paper", "paper-cell", "paper-raised"} {
			ground, ok := c[on]
			if !ok {
				t.Fatalf("%s: no --%s in the tokens", name, on)
			}
			for _, q := range []string{"torque", "twist", "stress", "fourth"} {
				if got := contrast(c[q], ground); got < 3 {
					t.Errorf("%s: %s on %s has %.2f", name, q, on, got)
				}
				washed := c[q].over(ground, 0.12)
				if got := contrast(c["ink"], washed); got < 4.5 {
					t.Errorf("%s: text on the wash of %s on %s has %.2f", name, q, on, got)
				}
				if got := contrast(c[q], washed); got < 3 {
					t.Errorf("%s: %s on its own wash on %s has %.2f", name, q, on, got)
				}
			}
			if got := contrast(c["ink"], ground); got < 4.5 {
				t.Errorf("%s: text on %s has %.2f", name, on, got)
			}
		}
	}
}
