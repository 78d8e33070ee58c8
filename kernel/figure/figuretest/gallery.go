package figuretest

import (
	"flag"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"codeberg.org/go-fonts/stix/stix2mathregular"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	"codeberg.org/go-fonts/stix/stix2textregular"

	"shaftbook/kernel/figure"
)

var gallery = flag.String("gallery", "", "write every kind of figure to this folder, as a page and as PNG and PDF")

// The page's part of the agreement: a class sets color, nothing else.
const gallerySheet = `
@font-face{font-family:"STIX Two Text";src:url(regular.otf)}
@font-face{font-family:"STIX Two Text";font-style:italic;src:url(italic.otf)}
@font-face{font-family:"STIX Two Math";src:url(math.otf)}
body{margin:1rem;font:17px/1.4 serif;color:#111;background:#f3f4ea}
.dark{color:#e8e8e8;background:#222a2d;padding:.5rem}
.fig{display:block;width:100%;max-width:640px}
.narrow .fig{max-width:340px}
.fig-torque{color:#c25100}.fig-twist{color:#0068a3}.fig-stress{color:#00805c}.fig-fourth{color:#b4578f}
.dark .fig-torque{color:#e58a5a}.dark .fig-twist{color:#56b4e9}.dark .fig-stress{color:#3fb98c}.dark .fig-fourth{color:#e28bb9}
figure{margin:1rem 0}figcaption{max-width:640px}
`

// writeGallery draws every kind of figure once, to be looked at:
//
//	go test ./kernel/figure -run Gallery -gallery /tmp/figures
func writeGallery(t *testing.T, cases []Case) {
	if *gallery == "" {
		t.Skip("no -gallery folder given")
	}
	if err := os.MkdirAll(*gallery, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, mode := range []struct {
		file, class string
		width       float64
	}{{"light", "", 640}, {"dark", "dark", 640}, {"narrow", "narrow", 340}} {
		var b strings.Builder
		fmt.Fprintf(&b, "<!doctype html><meta charset=utf-8><title>Figures</title><link rel=stylesheet href=sheet.css><body class=%q>\n", mode.class)
		for _, g := range cases {
			p := g.Picture()
			svg, err := p.SVG(figure.Options{ID: g.Name, Width: mode.width})
			if err != nil {
				t.Fatalf("%s: %v", g.Name, err)
			}
			fmt.Fprintf(&b, "<figure id=%q>%s<figcaption>%s. %s</figcaption></figure>\n", "f-"+g.Name, svg, html.EscapeString(p.Title()), html.EscapeString(p.Description()))
		}
		write(t, mode.file+".html", []byte(b.String()))
	}
	write(t, "sheet.css", []byte(gallerySheet))
	write(t, "regular.otf", stix2textregular.TTF)
	write(t, "italic.otf", stix2textitalic.TTF)
	write(t, "math.otf", stix2mathregular.TTF)
	for _, g := range cases {
		var png, pdf strings.Builder
		if err := g.Picture().PNG(&png, 96); err != nil {
			t.Fatal(err)
		}
		if err := g.Picture().PDF(&pdf); err != nil {
			t.Fatal(err)
		}
		write(t, g.Name+".png", []byte(png.String()))
		write(t, g.Name+".pdf", []byte(pdf.String()))
	}
}

func write(t *testing.T, name string, b []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(*gallery, name), b, 0o644); err != nil {
		t.Fatal(err)
	}
}
