package markdown

import (
	"encoding/xml"
	"html"
	"slices"
	"strings"

	"github.com/wyatt915/treeblood"
)

// typesetTeX returns TeX as MathML Core without style attributes, with the TeX
// as an annotation. Alignment in tables is left to the page, by the classes
// math-left and math-right of mtd.
func typesetTeX(tex string, block bool) (string, *texFault) {
	if fault := checkTeX(tex); fault != nil {
		return "", fault
	}
	whole := &texFault{0, len(tex), "this formula cannot be typeset", "write it in another way, or as a calculation cell"}
	raw, err := treeblood.TexToMML(tex, nil, block, false)
	if err != nil {
		return "", whole
	}
	row, ok := readMathML(raw)
	if !ok {
		return "", whole
	}
	var b strings.Builder
	b.WriteString("<math")
	if block {
		b.WriteString(` display="block"`)
	}
	b.WriteString("><semantics>")
	row.write(&b)
	b.WriteString(`<annotation encoding="application/x-tex">` + html.EscapeString(strings.TrimSpace(tex)) + "</annotation></semantics></math>")
	return b.String(), nil
}

// An element is an element of MathML: either children or text.
type element struct {
	name     string
	attrs    []xml.Attr
	text     string
	children []*element
}

// mathAttributes are the attributes of MathML Core that are kept, by element;
// what else there is (style, class, long dropped attributes) goes.
var mathAttributes = map[string][]string{
	"mi": {"mathvariant"}, "mn": nil, "mtext": nil, "mrow": {"displaystyle"}, "msup": nil, "msub": nil, "msubsup": nil,
	"mo":     {"fence", "form", "largeop", "lspace", "movablelimits", "rspace", "stretchy", "symmetric"},
	"mspace": {"width"}, "mfrac": {"displaystyle", "linethickness"}, "msqrt": nil, "mroot": nil, "mpadded": nil,
	"munder": {"accentunder"}, "mover": {"accent"}, "munderover": nil,
	"mstyle": {"displaystyle", "scriptlevel"}, "mtable": {"displaystyle"}, "mtr": nil, "mtd": nil,
}

// readMathML returns the row within <semantics>. ok is false if the markup
// holds anything but the elements above, such as an error of the typesetter.
func readMathML(raw string) (*element, bool) {
	start := strings.Index(raw, "<semantics>")
	end := strings.LastIndex(raw, "<annotation")
	if start < 0 || end < start {
		return nil, false
	}
	decoder := xml.NewDecoder(strings.NewReader("<mrow>" + raw[start+len("<semantics>"):end] + "</mrow>"))
	decoder.Strict = false
	decoder.Entity = xml.HTMLEntity
	root := &element{}
	open := []*element{root}
	for {
		token, err := decoder.Token()
		if err != nil {
			break
		}
		top := open[len(open)-1]
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attrs: token.Attr}
			if _, known := mathAttributes[e.name]; !known {
				return nil, false
			}
			top.children = append(top.children, e)
			open = append(open, e)
		case xml.EndElement:
			if len(open) == 1 {
				return nil, false
			}
			open = open[:len(open)-1]
		case xml.CharData:
			top.text += string(token)
		}
	}
	if len(open) != 1 || len(root.children) != 1 {
		return nil, false
	}
	return simplified(root.children[0]), true
}

// simplified drops rows of one element, joins the letters of an upright word,
// which the typesetter writes one by one, and sets a slash and a full stop
// without room around them, as TeX does.
func simplified(e *element) *element {
	for i, c := range e.children {
		e.children[i] = simplified(c)
	}
	if e.name == "mrow" || e.name == "msqrt" || e.name == "mtd" {
		e.children = roomAroundFunctions(e.children)
	}
	if e.name == "mpadded" {
		e = word(e)
	}
	if sign := strings.TrimSpace(e.text); e.name == "mo" && (sign == "/" || sign == ".") {
		e.attrs = []xml.Attr{{Name: xml.Name{Local: "lspace"}, Value: "0"}, {Name: xml.Name{Local: "rspace"}, Value: "0"}}
	}
	if (e.name == "mrow" || e.name == "mpadded") && len(e.children) == 1 && len(e.attrs) == 0 {
		return e.children[0]
	}
	return e
}

// roomAroundFunctions puts a thin space between the name of a function and a
// symbol or number beside it, as TeX does: sin x, not sinx.
func roomAroundFunctions(in []*element) []*element {
	var out []*element
	for i, e := range in {
		if i > 0 && in[i-1].name != "mo" && e.name != "mo" && e.name != "mspace" && (isFunction(e) || isFunction(in[i-1])) {
			out = append(out, &element{name: "mspace", attrs: []xml.Attr{{Name: xml.Name{Local: "width"}, Value: "0.1667em"}}})
		}
		out = append(out, e)
	}
	return out
}

// isFunction reports whether e is a function's name, perhaps with scripts. The
// typesetter marks such names, and only these, with a space on the left.
func isFunction(e *element) bool {
	switch e.name {
	case "msup", "msub", "msubsup", "munder", "mover", "munderover":
		return len(e.children) > 0 && isFunction(e.children[0])
	case "mi":
		return slices.ContainsFunc(e.attrs, func(a xml.Attr) bool { return a.Name.Local == "lspace" })
	}
	return false
}

// word turns a padded run of upright letters into one identifier.
func word(e *element) *element {
	var letters strings.Builder
	for _, c := range e.children {
		if c.name != "mi" && c.name != "mn" {
			return &element{name: "mrow", children: e.children}
		}
		letters.WriteString(strings.TrimSpace(c.text))
	}
	out := &element{name: "mi", text: letters.String()}
	if len([]rune(out.text)) == 1 {
		out.attrs = []xml.Attr{{Name: xml.Name{Local: "mathvariant"}, Value: "normal"}}
	}
	return out
}

// namedSigns are signs that the typesetter writes by names that XML lacks.
var namedSigns = strings.NewReplacer("&OverBrace;", "⏞", "&UnderBrace;", "⏟")

func (e *element) write(b *strings.Builder) {
	b.WriteString("<" + e.name)
	for _, name := range mathAttributes[e.name] {
		i := slices.IndexFunc(e.attrs, func(a xml.Attr) bool { return a.Name.Local == name })
		if i >= 0 {
			b.WriteString(" " + name + `="` + html.EscapeString(e.attrs[i].Value) + `"`)
		}
	}
	if class := alignment(e); class != "" {
		b.WriteString(` class="` + class + `"`)
	}
	b.WriteString(">")
	if len(e.children) == 0 {
		b.WriteString(html.EscapeString(namedSigns.Replace(strings.Trim(e.text, " \t\n"))))
	}
	for _, c := range e.children {
		c.write(b)
	}
	b.WriteString("</" + e.name + ">")
}

// alignment returns the class that stands for the alignment in a style.
func alignment(e *element) string {
	if e.name != "mtd" {
		return ""
	}
	for _, a := range e.attrs {
		switch {
		case a.Name.Local != "style":
		case strings.Contains(a.Value, "text-align:left"):
			return "math-left"
		case strings.Contains(a.Value, "text-align:right"):
			return "math-right"
		}
	}
	return ""
}
