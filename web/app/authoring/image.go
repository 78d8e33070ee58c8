package authoring

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What an image that is sent may have.
const (
	MostImage  = 1 << 20 // bytes
	mostPixels = 4096    // of a side
	mostDepth  = 100     // of elements in a drawing
)

// A BadImage is why an image is not taken, in a sentence with a way out.
type BadImage string

func (b BadImage) Error() string { return string(b) }

// ImageName makes the name of an image from that of the file that was sent: small
// letters, digits and hyphens. It is empty for a file that is neither SVG nor PNG.
func ImageName(sent string) string {
	sent = sent[strings.LastIndexAny(sent, `/\`)+1:]
	end := strings.ToLower(path.Ext(sent))
	if end != ".svg" && end != ".png" {
		return ""
	}
	var b strings.Builder
	for _, r := range strings.ToLower(strings.TrimSuffix(sent, path.Ext(sent))) {
		switch {
		case r < utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "image"
	}
	return name[:min(len(name), mostName)] + end
}

// checkImage returns a BadImage for what is not taken: a file that is not what its name
// says, is too large, or holds anything but a picture.
func checkImage(name string, content []byte) error {
	if len(content) > MostImage {
		return BadImage(fmt.Sprintf("This image has more than %d MB. Make it smaller, for example by drawing it as an SVG.", MostImage>>20))
	}
	if path.Ext(name) == ".png" {
		return checkPNG(content)
	}
	return checkSVG(content)
}

func checkPNG(content []byte) error {
	size, err := png.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return BadImage("This is not a PNG image. Save the picture as PNG or SVG and choose it again.")
	}
	if size.Width > mostPixels || size.Height > mostPixels {
		return BadImage(fmt.Sprintf("This image has %d × %d pixels; at most %d × %d can be shown. Make it smaller.", size.Width, size.Height, mostPixels, mostPixels))
	}
	return nil
}

// drawn are the elements of SVG 2 that a drawing may have: shapes, text, and what they
// are painted with. Those that run scripts, hold pages or fetch files are not among them.
var drawn = map[string]bool{
	"svg": true, "g": true, "defs": true, "symbol": true, "use": true, "title": true, "desc": true, "metadata": true, "style": true, "switch": true,
	"path": true, "rect": true, "circle": true, "ellipse": true, "line": true, "polyline": true, "polygon": true,
	"text": true, "tspan": true, "textPath": true, "marker": true, "pattern": true, "clipPath": true, "mask": true,
	"linearGradient": true, "radialGradient": true, "stop": true, "filter": true, "view": true,
	"feGaussianBlur": true, "feOffset": true, "feBlend": true, "feFlood": true, "feComposite": true, "feMerge": true, "feMergeNode": true,
	"feColorMatrix": true, "feMorphology": true, "feDropShadow": true, "feTurbulence": true, "feDisplacementMap": true,
}

const svgSpace = "http://www.w3.org/2000/svg"

// checkSVG reads a drawing and refuses what is more than one. What other programs note
// in namespaces of their own draws nothing and may stay.
func checkSVG(content []byte) error {
	if !utf8.Valid(content) {
		return BadImage("This SVG file is not UTF-8. Save it as plain SVG in UTF-8 and choose it again.")
	}
	d := xml.NewDecoder(bytes.NewReader(content))
	depth, elements := 0, 0
	var open []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && elements > 0 {
			return nil
		}
		if err != nil {
			return BadImage("This is not an SVG image that can be read. Save the picture as plain SVG or PNG and choose it again.")
		}
		switch t := token.(type) {
		case xml.Directive:
			if !isPlainDoctype(string(t)) {
				return BadImage("This SVG file defines entities of its own. Save it as plain SVG and choose it again.")
			}
		case xml.ProcInst:
			if t.Target != "xml" {
				return BadImage("This SVG file asks for another file (<?" + t.Target + "?>). Save it as plain SVG and choose it again.")
			}
		case xml.StartElement:
			depth++
			if elements++; elements == 1 && (t.Name.Local != "svg" || t.Name.Space != svgSpace) {
				return BadImage(`This is not an SVG image: its outermost element must be <svg xmlns="http://www.w3.org/2000/svg">.`)
			}
			if depth > mostDepth {
				return BadImage("The elements of this SVG file are nested too deeply. Save it as plain SVG and choose it again.")
			}
			if err := checkElement(t); err != nil {
				return err
			}
			open = append(open, t.Name.Local)
		case xml.EndElement:
			depth--
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 && open[len(open)-1] == "style" && asksForFiles(string(t)) {
				return BadImage("The styles of this SVG file ask for other files. Take @import and url(…) out, or save it as PNG.")
			}
		}
	}
}

func isPlainDoctype(s string) bool { return !strings.ContainsAny(s, "[<&%") }

func checkElement(t xml.StartElement) error {
	if t.Name.Space == svgSpace && !drawn[t.Name.Local] {
		return BadImage("This SVG file holds <" + t.Name.Local + ">, which is not shown in lessons. Draw it with shapes and text, or save it as PNG.")
	}
	if t.Name.Space != svgSpace && (t.Name.Space == "" || strings.Contains(t.Name.Space, "xhtml") || strings.Contains(t.Name.Space, "MathML") || strings.Contains(t.Name.Space, "xml-events")) {
		return BadImage("This SVG file holds <" + t.Name.Local + ">, which is not a part of a drawing. Save it as plain SVG or PNG.")
	}
	for _, a := range t.Attr {
		name := strings.ToLower(a.Name.Local)
		switch {
		case strings.HasPrefix(name, "on"):
			return BadImage("This SVG file runs a script (" + a.Name.Local + "). Take it out, or save the picture as PNG.")
		case name == "href" || name == "src":
			if to := strings.TrimSpace(a.Value); to != "" && !strings.HasPrefix(to, "#") && t.Name.Space == svgSpace {
				return BadImage("This SVG file refers to another file (" + short(to) + "). Draw it into the file, or save the picture as PNG.")
			}
		case t.Name.Space == svgSpace && asksForFiles(a.Value):
			return BadImage("This SVG file refers to another file (" + short(a.Value) + "). Draw it into the file, or save the picture as PNG.")
		}
	}
	return nil
}

// asksForFiles reports whether styles name anything but a part of the same drawing.
// Backslashes, with which CSS hides words, count as asking.
func asksForFiles(style string) bool {
	s := strings.ToLower(style)
	if strings.Contains(s, "@import") || strings.Contains(s, `\`) || strings.Contains(s, "image-set(") {
		return true
	}
	for {
		_, rest, found := strings.Cut(s, "url(")
		if !found {
			return false
		}
		if inside := strings.TrimLeft(rest, " \t\r\n\"'"); !strings.HasPrefix(inside, "#") {
			return true
		}
		s = rest
	}
}

func short(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
