package box

import (
	"html"
	"strings"
	"unicode/utf8"
)

// A Math says how a <math> element is written.
type Math struct {
	Display bool   // full-size fractions and limits above and below, within a line
	Block   bool   // centred, on lines of its own
	Label   string // aria-label, none if empty
	TeX     string // the source of the formula, kept as an annotation; none if empty
}

// Write writes a box as a <math> element.
func (m Math) Write(b Box) string {
	var w mathmlWriter
	w.WriteString("<math")
	switch {
	case m.Block:
		w.WriteString(` display="block"`)
	case m.Display:
		w.WriteString(` displaystyle="true"`)
	}
	if m.Label != "" {
		w.WriteString(` aria-label="` + clean(m.Label) + `"`)
	}
	w.WriteString(">")
	if m.TeX == "" {
		w.box(b)
	} else {
		w.WriteString("<semantics>")
		w.box(b)
		w.leaf(`annotation encoding="application/x-tex"`, "annotation", m.TeX)
		w.WriteString("</semantics>")
	}
	w.WriteString("</math>")
	return w.String()
}

// mathmlWriter writes boxes as MathML Core. The lines of a brace are centred
// unless the page aligns cells of class math-left. Each call of box writes exactly
// one element, since elements such as mfrac count their children.
type mathmlWriter struct{ strings.Builder }

func (w *mathmlWriter) element(name string, children ...Box) {
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

func (w *mathmlWriter) box(b Box) {
	switch b := b.(type) {
	case nil:
		w.WriteString("<mrow></mrow>")
	case Row:
		w.row(b)
	case Ident:
		w.ident(b)
	case Digits:
		w.leaf("mn", "mn", string(b))
	case Op:
		w.op(b)
	case Text:
		// Spaces at the ends of a text element are dropped by browsers.
		s := strings.ReplaceAll(string(b), " ", "\u00a0")
		w.leaf("mtext", "mtext", s)
	case Thin:
		w.WriteString(`<mspace width="0.1667em"></mspace>`)
	case Apply:
		w.WriteString("<mo>\u2061</mo>")
	case Fraction:
		w.element("mfrac", b.Num, b.Den)
	case Script:
		w.scripts("msub", "msup", "msubsup", b.Base, b.Sub, b.Sup)
	case Limits:
		w.scripts("munder", "mover", "munderover", b.Base, b.Under, b.Over)
	case Root:
		w.element("msqrt", b.X)
	case Fence:
		w.fence(b)
	case At:
		w.at(b)
	case Cases:
		w.cases(b)
	case Unit:
		w.unit(string(b))
	}
}

func (w *mathmlWriter) row(b Row) {
	if len(b) == 1 {
		w.box(b[0])
		return
	}
	w.WriteString("<mrow>")
	for _, child := range b {
		// A Row within a row adds nothing but a sign's place as the first of
		// its row, which its form says outright.
		if inner, ok := child.(Row); ok {
			w.children(inner)
			continue
		}
		w.box(child)
	}
	w.WriteString("</mrow>")
}

func (w *mathmlWriter) children(b Row) {
	for _, child := range b {
		if inner, ok := child.(Row); ok {
			w.children(inner)
			continue
		}
		w.box(child)
	}
}

func (w *mathmlWriter) ident(b Ident) {
	if b.Upright && utf8.RuneCountInString(b.Name) == 1 {
		w.leaf(`mi mathvariant="normal"`, "mi", b.Name)
		return
	}
	w.leaf("mi", "mi", b.Name)
}

func (w *mathmlWriter) unit(symbol string) {
	w.ident(Ident{symbol, true})
}

func (w *mathmlWriter) op(b Op) {
	switch b.Form {
	case Prefix:
		w.leaf(`mo form="prefix"`, "mo", b.Sign)
	case Tight:
		w.leaf(`mo lspace="0" rspace="0"`, "mo", b.Sign)
	case Dot:
		w.leaf(`mo lspace="0.1667em" rspace="0.1667em"`, "mo", b.Sign)
	case Infix, Relation:
		w.leaf(`mo form="infix"`, "mo", b.Sign)
	default:
		w.leaf("mo", "mo", b.Sign)
	}
}

// scripts writes base with what is below and above it, either of them nil.
func (w *mathmlWriter) scripts(below, above, both string, base, lower, upper Box) {
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

// Fence writes delimiters that stretch only where what they hold is tall: a
// stretching bracket is drawn with a room around it that d(x) must not have.
func (w *mathmlWriter) fence(b Fence) {
	stretch := `stretchy="false"`
	if tall(b.X) {
		stretch = `stretchy="true"`
	}
	w.WriteString("<mrow>")
	w.leaf(`mo form="prefix" fence="true" `+stretch, "mo", b.Open)
	w.box(b.X)
	w.leaf(`mo form="postfix" fence="true" `+stretch, "mo", b.Close)
	w.WriteString("</mrow>")
}

func (w *mathmlWriter) at(b At) {
	w.WriteString("<msub><mrow>")
	w.box(b.X)
	w.leaf(`mo form="postfix" fence="true" stretchy="true"`, "mo", "|")
	w.WriteString("</mrow>")
	w.box(b.Place)
	w.WriteString("</msub>")
}

func (w *mathmlWriter) cases(b Cases) {
	w.WriteString(`<mrow><mo form="prefix" fence="true" stretchy="true">{</mo><mtable>`)
	for _, line := range b {
		w.WriteString(`<mtr><mtd class="math-left">`)
		w.box(line.Value)
		w.WriteString(`</mtd><mtd class="math-left">`)
		if line.When == nil {
			w.box(Text("otherwise"))
		} else {
			w.box(Row{Text("if "), line.When})
		}
		w.WriteString("</mtd></mtr>")
	}
	w.WriteString("</mtable></mrow>")
}
