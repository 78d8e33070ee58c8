// Package figuretest holds what every figure must keep: its golden file, the
// structure of its SVG, and that its trace and its cached SVG are the same
// drawing.
package figuretest

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A Case is a figure of the tests; Name is also the name of its golden file.
type Case struct {
	Name    string
	Picture func() figure.Picture
}

var update = flag.Bool("update", false, "rewrite the golden figures")

// Test holds figures to everything that this package checks.
func Test(t *testing.T, cases []Case) {
	t.Run("golden", func(t *testing.T) { golden(t, cases) })
	t.Run("structure", func(t *testing.T) { structure(t, cases) })
	t.Run("labels", func(t *testing.T) { labels(t, cases) })
	t.Run("trace", func(t *testing.T) { trace(t, cases) })
	t.Run("cache", func(t *testing.T) { cached(t, cases) })
	t.Run("gallery", func(t *testing.T) { writeGallery(t, cases) })
}

func golden(t *testing.T, cases []Case) {
	for _, g := range cases {
		t.Run(g.Name, func(t *testing.T) {
			got, err := g.Picture().SVG(figure.Options{ID: g.Name})
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("testdata", g.Name+".svg")
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("differs from %s; look at both, then run with -update", file)
			}
		})
	}
}

// allowed are the attributes the figures may carry. A style attribute would
// break the content security policy of the page.
var allowed = map[string][]string{
	"svg":   {"xmlns", "class", "viewBox", "role", "aria-labelledby", "fill", "font-family", "font-size", "stroke-linejoin"},
	"title": {"id"}, "desc": {"id"}, "g": {"class", "data-axis", "data-cuts"},
	"path": {"class", "color", "opacity", "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "d"},
	"text": {"x", "y", "text-anchor", "class", "color"}, "tspan": {"font-style", "dx", "dy", "font-size"},
}

// Widths are the widths of a figure to try, in units of the view box.
var Widths = []float64{320, 360, 480, 640, 960, 1280}

func structure(t *testing.T, cases []Case) {
	for _, g := range cases {
		for _, w := range Widths {
			t.Run(g.Name+" "+strconv.Itoa(int(w)), func(t *testing.T) {
				svg, err := g.Picture().SVG(figure.Options{ID: "f1", Width: w})
				if err != nil {
					t.Fatal(err)
				}
				CheckStructure(t, svg)
			})
		}
	}
}

// CheckStructure reads a figure as XML and checks names, attributes, classes,
// the accessible name and that every text lies within the view box.
func CheckStructure(t *testing.T, svg []byte) {
	t.Helper()
	var width, height float64
	var ids []string
	var labelled, content string
	var x, y, written float64 // of a text: its place and its width so far
	size, italic := float64(canvas.TextSize), false
	at := ""
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			name := e.Name.Local
			attrs := map[string]string{}
			for _, a := range e.Attr {
				attrs[a.Name.Local] = a.Value
				if !slices.Contains(allowed[name], a.Name.Local) {
					t.Errorf("<%s> has an attribute %s", name, a.Name.Local)
				}
			}
			if c := attrs["class"]; c != "" && !knownClass(c) {
				t.Errorf("<%s> has the unknown class %q", name, c)
			}
			switch name {
			case "svg":
				if v := strings.Fields(attrs["viewBox"]); len(v) == 4 {
					width, height = number(t, v[2]), number(t, v[3])
				}
				labelled = attrs["aria-labelledby"]
				if attrs["role"] != "img" {
					t.Error("the figure has no role")
				}
			case "title", "desc":
				ids = append(ids, attrs["id"])
				content = ""
			case "text":
				content, written = "", 0
				x, y = number(t, attrs["x"]), number(t, attrs["y"])
				at = attrs["text-anchor"]
			case "tspan":
				italic = attrs["font-style"] == "italic"
				if attrs["font-size"] != "" {
					size = number(t, attrs["font-size"])
				}
				if attrs["dx"] != "" {
					written += number(t, attrs["dx"])
				}
			case "path":
				if strings.Contains(attrs["d"], "NaN") {
					t.Error("a path has a value that is not a number")
				}
			}
		case xml.CharData:
			content += string(e)
			if italic {
				written += canvas.TextWidth(canvas.Quantity(string(e)), size)
			} else {
				written += canvas.TextWidth(string(e), size)
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "tspan":
				italic, size = false, canvas.TextSize
			case "title", "desc":
				if strings.TrimSpace(content) == "" {
					t.Errorf("the %s is empty", e.Name.Local)
				}
			case "text":
				w := written
				x0 := x
				switch at {
				case "middle":
					x0 -= float64(w / 2)
				case "end":
					x0 -= w
				}
				if x0 < -0.5 || x0+w > width+0.5 || y-canvas.Ascent*canvas.TextSize < -0.5 || y+canvas.Descent*canvas.TextSize > height+0.5 {
					t.Errorf("%q reaches out of the figure: x %.1f to %.1f of %g, y %.1f of %g", content, x0, x0+w, width, y, height)
				}
			}
		}
	}
	if strings.Join(ids, " ") != labelled || len(ids) != 2 {
		t.Errorf("labelled by %q, but the ids are %q", labelled, ids)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// classes are the classes that the style sheet of the page gives a colour.
var classes = strings.Fields(`fig fig-curves fig-moving fig-cuts fig-ink fig-thin fig-faint
	fig-torque fig-twist fig-stress fig-fourth`)

func knownClass(class string) bool { return slices.Contains(classes, class) }

// labels holds every figure to labels that neither leave it nor cover each other.
func labels(t *testing.T, cases []Case) {
	for _, g := range cases {
		for _, o := range Places {
			wrong, err := Labels(g.Picture(), o)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range wrong {
				t.Errorf("%s: %s", g.Name, w)
			}
		}
	}
}
