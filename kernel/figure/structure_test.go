package figure

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden figures")

func TestGolden(t *testing.T) {
	for _, g := range galleryPictures {
		t.Run(g.name, func(t *testing.T) {
			got, err := g.pic().SVG(Options{ID: g.name})
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("testdata", g.name+".svg")
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
	"title": {"id"}, "desc": {"id"}, "g": {"class"},
	"path": {"class", "color", "opacity", "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "d"},
	"text": {"x", "y", "text-anchor", "class", "color"}, "tspan": {"font-style", "dy", "font-size"},
}

var widths = []float64{320, 360, 480, 640, 960, 1280}

func TestStructure(t *testing.T) {
	for _, g := range galleryPictures {
		for _, w := range widths {
			t.Run(g.name+" "+strconv.Itoa(int(w)), func(t *testing.T) {
				svg, err := g.pic().SVG(Options{ID: "f1", Width: w})
				if err != nil {
					t.Fatal(err)
				}
				checkStructure(t, svg)
			})
		}
	}
}

// checkStructure reads a figure as XML and checks names, attributes, classes,
// the accessible name and that every text lies within the view box.
func checkStructure(t *testing.T, svg []byte) {
	t.Helper()
	var width, height float64
	var ids []string
	var labelled, content string
	var x, y float64
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
				content = ""
				x, y = number(t, attrs["x"]), number(t, attrs["y"])
				at = attrs["text-anchor"]
			case "tspan":
				content += opening(attrs)
			case "path":
				if strings.Contains(attrs["d"], "NaN") {
					t.Error("a path has a value that is not a number")
				}
			}
		case xml.CharData:
			content += string(e)
		case xml.EndElement:
			switch e.Name.Local {
			case "title", "desc":
				if strings.TrimSpace(content) == "" {
					t.Errorf("the %s is empty", e.Name.Local)
				}
			case "text":
				w := measure(content, textSize)
				x0 := x
				switch at {
				case "middle":
					x0 -= w / 2
				case "end":
					x0 -= w
				}
				if x0 < -0.5 || x0+w > width+0.5 || y-ascent*textSize < -0.5 || y+descent*textSize > height+0.5 {
					t.Errorf("%q reaches out of the figure: x %.1f to %.1f of %g, y %.1f of %g", content, x0, x0+w, width, y, height)
				}
			}
		}
	}
	if strings.Join(ids, " ") != labelled || len(ids) != 2 {
		t.Errorf("labelled by %q, but the ids are %q", labelled, ids)
	}
}

// opening marks the text of a tspan as the canvas was given it, for measuring.
func opening(attrs map[string]string) string {
	mark := []rune{italicOff, subscriptOff}
	if attrs["font-style"] == "italic" {
		mark[0] = italicOn
	}
	if attrs["font-size"] != "" {
		mark[1] = subscriptOn
	}
	return string(mark)
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func knownClass(c string) bool {
	if slices.Contains([]string{"fig", "fig-curves", "fig-moving"}, c) {
		return true
	}
	return slices.ContainsFunc(inks[:], func(s inkSpec) bool { return s.class == c })
}

// TestNoTextOnText checks every text of the shaft drawings against every other.
func TestNoTextOnText(t *testing.T) {
	for _, g := range galleryPictures {
		s, ok := g.pic().(*ShaftDrawing)
		if !ok {
			continue
		}
		for _, w := range widths {
			t.Run(g.name+" "+strconv.Itoa(int(w)), func(t *testing.T) {
				for _, o := range overlaps(s, w) {
					t.Error(o)
				}
			})
		}
	}
}

// overlaps draws a shaft and returns the texts that touch each other or leave
// the figure.
func overlaps(s *ShaftDrawing, width float64) []string {
	return overlapsOn(s.plan(Options{Width: width}))
}

func overlapsOn(l *shaftPlan) []string {
	p := newPen(newSVGCanvas(nil, l.height), l.height)
	l.draw(p)
	var out []string
	for i, a := range p.boxes {
		if a.x0 < 0 || a.x1 > l.width || a.y0 < 0 || a.y1 > l.height {
			out = append(out, fmt.Sprintf("%q leaves the figure", a.text))
		}
		for _, b := range p.boxes[:i] {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y0+1 < b.y1 && b.y0+1 < a.y1 {
				out = append(out, fmt.Sprintf("%q and %q overlap", a.text, b.text))
			}
		}
	}
	return out
}

// TestTwoDecimals keeps the figures small.
func TestTwoDecimals(t *testing.T) {
	svg, err := twisted().SVG(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if i := bytes.Index(svg, []byte(" d=\"")); i < 0 {
		t.Fatal("no path")
	}
	for _, part := range strings.Split(string(svg), " d=\"")[1:] {
		data, _, _ := strings.Cut(part, "\"")
		for _, n := range strings.FieldsFunc(data, func(r rune) bool { return !strings.ContainsRune("0123456789.", r) }) {
			if _, decimals, _ := strings.Cut(n, "."); len(decimals) > 2 {
				t.Fatalf("coordinate %s has more than two decimals", n)
			}
		}
	}
	if len(svg) > 24<<10 {
		t.Errorf("the richest drawing has %d bytes", len(svg))
	}
}
