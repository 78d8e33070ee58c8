package typeset

import (
	"html"
	"strings"
	"unicode/utf8"
)

// mathElement writes a box as a <math> element.
func mathElement(b box, o Options) string {
	var w mathmlWriter
	w.WriteString("<math")
	switch o.Style {
	case Row:
		w.WriteString(` displaystyle="true"`)
	case Block:
		w.WriteString(` display="block"`)
	}
	if o.Label != "" {
		w.WriteString(` aria-label="` + clean(o.Label) + `"`)
	}
	w.WriteString(">")
	w.box(b)
	w.WriteString("</math>")
	return w.String()
}

// mathmlWriter writes boxes as MathML Core. The lines of a brace are centred
// unless the page aligns cells of class math-left. Each call of box writes exactly
// one element, since elements such as mfrac count their children.
type mathmlWriter struct{ strings.Builder }

func (w *mathmlWriter) element(name string, children ...box) {
	w.WriteString("<" + name + ">")
	for _, c := range children {
		w.box(c)
	}
	w.WriteString("</" + name + ">")
}

func (w *mathmlWriter) leaf(open, name, content string) {
	w.WriteString("<" + open + ">" + clean(content) + "</" + name + ">")
}

// clean escapes text for XML and replaces what XML forbids.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == utf8.RuneError || r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return '�'
		}
		return r
	}, strings.ToValidUTF8(s, "�"))
	return html.EscapeString(s)
}

func (w *mathmlWriter) box(b box) {
	switch b := b.(type) {
	case nil:
		w.WriteString("<mrow></mrow>")
	case row:
		w.row(b)
	case ident:
		w.ident(b)
	case digits:
		w.leaf("mn", "mn", string(b))
	case op:
		w.op(b)
	case text:
		// Spaces at the ends of a text element are dropped by browsers.
		s := strings.ReplaceAll(string(b), " ", "\u00a0")
		w.leaf("mtext", "mtext", s)
	case thin:
		w.WriteString(`<mspace width="0.1667em"></mspace>`)
	case apply:
		w.WriteString("<mo>\u2061</mo>")
	case fraction:
		w.element("mfrac", b.num, b.den)
	case script:
		w.scripts("msub", "msup", "msubsup", b.base, b.sub, b.sup)
	case limits:
		w.scripts("munder", "mover", "munderover", b.base, b.under, b.over)
	case root:
		w.element("msqrt", b.x)
	case fence:
		w.fence(b)
	case at:
		w.at(b)
	case cases:
		w.cases(b)
	case unit:
		w.unit(string(b))
	}
}

func (w *mathmlWriter) row(b row) {
	if len(b) == 1 {
		w.box(b[0])
		return
	}
	w.WriteString("<mrow>")
	for _, child := range b {
		// A row within a row adds nothing but a sign's place as the first of
		// its row, which its form says outright.
		if inner, ok := child.(row); ok {
			w.children(inner)
			continue
		}
		w.box(child)
	}
	w.WriteString("</mrow>")
}

func (w *mathmlWriter) children(b row) {
	for _, child := range b {
		if inner, ok := child.(row); ok {
			w.children(inner)
			continue
		}
		w.box(child)
	}
}

func (w *mathmlWriter) ident(b ident) {
	if b.upright && utf8.RuneCountInString(b.name) == 1 {
		w.leaf(`mi mathvariant="normal"`, "mi", b.name)
		return
	}
	w.leaf("mi", "mi", b.name)
}

func (w *mathmlWriter) unit(symbol string) {
	w.ident(ident{symbol, true})
}

func (w *mathmlWriter) op(b op) {
	switch b.form {
	case prefix:
		w.leaf(`mo form="prefix"`, "mo", b.sign)
	case tight:
		w.leaf(`mo lspace="0" rspace="0"`, "mo", b.sign)
	case dot:
		w.leaf(`mo lspace="0.1667em" rspace="0.1667em"`, "mo", b.sign)
	case infix, relation:
		w.leaf(`mo form="infix"`, "mo", b.sign)
	default:
		w.leaf("mo", "mo", b.sign)
	}
}

// scripts writes base with what is below and above it, either of them nil.
func (w *mathmlWriter) scripts(below, above, both string, base, lower, upper box) {
	switch {
	case lower == nil && upper == nil:
		w.box(base)
	case upper == nil:
		w.element(below, base, lower)
	case lower == nil:
		w.element(above, base, upper)
	default:
		w.element(both, base, lower, upper)
	}
}

// fence writes delimiters that stretch only where what they hold is tall: a
// stretching bracket is drawn with a room around it that d(x) must not have.
func (w *mathmlWriter) fence(b fence) {
	stretch := `stretchy="false"`
	if tall(b.x) {
		stretch = `stretchy="true"`
	}
	w.WriteString("<mrow>")
	w.leaf(`mo form="prefix" fence="true" `+stretch, "mo", b.open)
	w.box(b.x)
	w.leaf(`mo form="postfix" fence="true" `+stretch, "mo", b.close)
	w.WriteString("</mrow>")
}

func (w *mathmlWriter) at(b at) {
	w.WriteString("<msub><mrow>")
	w.box(b.x)
	w.leaf(`mo form="postfix" fence="true" stretchy="true"`, "mo", "|")
	w.WriteString("</mrow>")
	w.box(b.place)
	w.WriteString("</msub>")
}

func (w *mathmlWriter) cases(b cases) {
	w.WriteString(`<mrow><mo form="prefix" fence="true" stretchy="true">{</mo><mtable>`)
	for _, line := range b {
		w.WriteString(`<mtr><mtd class="math-left">`)
		w.box(line.value)
		w.WriteString(`</mtd><mtd class="math-left">`)
		if line.when == nil {
			w.box(text("otherwise"))
		} else {
			w.box(row{text("if "), line.when})
		}
		w.WriteString("</mtd></mtr>")
	}
	w.WriteString("</mtable></mrow>")
}
