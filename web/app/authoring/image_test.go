package authoring

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"strings"
	"testing"
)

func svg(inside string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 4 1">` + inside + `</svg>`
}

func TestDrawings(t *testing.T) {
	for _, c := range []struct{ name, content, wrong string }{
		{"shapes", svg(`<g fill="red" style="stroke: #123"><path d="M0 0h4"/><text x="1">θ</text></g>`), ""},
		{"a gradient of its own", svg(`<defs><linearGradient id="a"/></defs><rect fill="url(#a)" style="fill: url('#a')"/><use xlink:href="#a" href="#a"/>`), ""},
		{"styles", svg(`<style>.a { fill: url(#b); stroke-width: 2 }</style>`), ""},
		{"what a drawing program notes", svg(`<metadata><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" rdf:about="https://example.org"/></metadata>`), ""},
		{"a plain doctype", `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">` + `<svg xmlns="http://www.w3.org/2000/svg"/>`, ""},

		{"a script", svg(`<script>alert(1)</script>`), "<script>"},
		{"a script in capitals", svg(`<SCRIPT>alert(1)</SCRIPT>`), "<SCRIPT>"},
		{"a script of another space", svg(`<script xmlns="http://www.w3.org/1999/xhtml">alert(1)</script>`), "<script>"},
		{"a script without a space", svg(`<x:script xmlns:x="">alert(1)</x:script>`), "script"},
		{"a handler", svg(`<path d="M0 0" onload="alert(1)"/>`), "runs a script"},
		{"a handler in capitals", svg(`<path d="M0 0" OnClick="alert(1)"/>`), "runs a script"},
		{"a handler of the outermost element", `<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`, "runs a script"},
		{"a page", svg(`<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">x</p></foreignObject>`), "<foreignObject>"},
		{"an animation, which can change a link", svg(`<animate attributeName="href" to="javascript:alert(1)"/>`), "<animate>"},
		{"a link", svg(`<a href="https://example.org"><path/></a>`), "<a>"},
		{"an image inside", svg(`<image href="x.png"/>`), "<image>"},
		{"a use of another file", svg(`<use href="other.svg#a"/>`), "refers to another file"},
		{"a use by the old name", svg(`<use xlink:href="//example.org/a.svg#a"/>`), "refers to another file"},
		{"a fill from elsewhere", svg(`<path fill="url(https://example.org/a.svg#a)"/>`), "refers to another file"},
		{"a style from elsewhere", svg(`<path style="fill:URL( 'https://example.org/a')"/>`), "refers to another file"},
		{"an import", svg(`<style>@import "https://example.org/a.css";</style>`), "other files"},
		{"an import in hidden letters", svg(`<style>@\69mport "a.css";</style>`), "other files"},
		{"a style sheet", `<?xml-stylesheet href="a.css"?><svg xmlns="http://www.w3.org/2000/svg"/>`, "asks for another file"},
		{"entities", `<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg">&a;</svg>`, "entities"},
		{"another document", `<html xmlns="http://www.w3.org/1999/xhtml"/>`, "outermost"},
		{"a name without its space", `<svg/>`, "outermost"},
		{"not closed", `<svg xmlns="http://www.w3.org/2000/svg"><g>`, "cannot"},
		{"nothing", "", "not an SVG"},
		{"no text", "\xff\xfe<svg/>", "UTF-8"},
		{"too deep", svg(strings.Repeat("<g>", 200) + strings.Repeat("</g>", 200)), "too deeply"},
		{"too large", svg(strings.Repeat(" ", MostImage)), "1 MB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := checkImage("a.svg", []byte(c.content))
			var bad BadImage
			switch {
			case c.wrong == "" && err != nil:
				t.Errorf("refused: %v", err)
			case c.wrong != "" && (!errors.As(err, &bad) || !strings.Contains(strings.ReplaceAll(string(bad), "that can be read", "cannot"), c.wrong)):
				t.Errorf("said %v, want something about %q", err, c.wrong)
			}
		})
	}
}

func TestPictures(t *testing.T) {
	encoded := func(w, h int) string {
		var b bytes.Buffer
		if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	for _, c := range []struct{ name, content, wrong string }{
		{"small", encoded(8, 8), ""},
		{"too wide", encoded(mostPixels+1, 1), "pixels"},
		{"cut off", encoded(8, 8)[:20], "not a PNG"},
		{"another kind", "GIF89a", "not a PNG"},
	} {
		err := checkImage("a.png", []byte(c.content))
		if (err == nil) != (c.wrong == "") || err != nil && !strings.Contains(err.Error(), c.wrong) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Whatever is taken as a drawing has none of the words with which a file runs something
// or asks for another file.
func FuzzDrawing(f *testing.F) {
	for _, seed := range []string{svg(`<path onload="x"/>`), svg(`<use href="a"/>`), svg("<style>@import</style>"), svg(`<g><text>x</text></g>`)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, content string) {
		if checkSVG([]byte(content)) != nil {
			return
		}
		low := strings.ToLower(content)
		for _, word := range []string{"<script", "<foreignobject", "<iframe", "<!entity"} {
			if strings.Contains(low, word) && !strings.Contains(low, "<!--") && !strings.Contains(low, "<![cdata[") {
				t.Errorf("%q was taken", content)
			}
		}
	})
}

func TestNames(t *testing.T) {
	for sent, want := range map[string]string{
		"Wheel Shaft.SVG": "wheel-shaft.svg", "../../x.png": "x.png", `C:\a\b.png`: "b.png", "Welle (2) θ.png": "welle-2.png", "….svg": "image.svg",
		"a.jpg": "", "svg": "", "a.svg.exe": "", ".svg": "image.svg", strings.Repeat("a", 99) + ".png": strings.Repeat("a", mostName) + ".png",
	} {
		if got := ImageName(sent); got != want {
			t.Errorf("%s: %s, want %s", sent, got, want)
		} else if got != "" && !IsImageName(got) {
			t.Errorf("%s is made but not served", got)
		}
	}
	for name, want := range map[string]bool{"wheel": true, "wheel-2": true, "": false, "-a": false, "a--b": false, "A": false, "a/b": false, "..": false, "readme": false, "nul": false, "a.b": false} {
		if IsSlug(name) != want {
			t.Errorf("%q: %v", name, !want)
		}
	}
	for typed, want := range map[string]string{"The mill’s shaft": "the-mill-s-shaft", "a.md": "a", "../x": "x", "  ": ""} {
		if got := NameFrom(typed); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}
