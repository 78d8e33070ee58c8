package box

import (
	"html"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// An Element holds the attributes of a <math> element.
type Element struct {
	Display bool   // full-size fractions and limits above and below, within a line
	Block   bool   // centred, on lines of its own
	Label   string // aria-label, none if empty
	TeX     string // the source of the formula, kept as an annotation; none if empty
}

// Write writes a box as a <math> element.
func (m Element) Write(b Box) string {
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

// mathmlWriter writes boxes as MathML Core. Cells of tables are centred unless
// the page aligns those of the classes math-left and math-right. Each call of box writes exactly
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
	case Space:
		w.WriteString(`<mspace width="` + strconv.FormatFloat(math.Round(float64(b)*1e4)/1e4, 'f', -1, 64) + `em"></mspace>`)
	case Apply:
		w.WriteString("<mo>\u2061</mo>")
	case Fraction:
		w.fraction(b)
	case Script:
		w.scripts("msub", "msup", "msubsup", b.Base, b.Sub, b.Sup)
	case Limits:
		w.scripts("munder", "mover", "munderover", b.Base, b.Under, b.Over)
	case Root:
		if b.Degree == nil {
			w.element("msqrt", b.X)
			return
		}
		w.element("mroot", b.X, b.Degree)
	case Fence:
		w.fence(b)
	case At:
		w.valueAt(b)
	case Cases:
		w.box(b.Table())
	case Accent:
		w.accent(b)
	case Table:
		w.table(b)
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
		// its row, which its form attribute states.
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
		open := `mo lspace="0" rspace="0"`
		if b.Sign == "|" {
			open += ` stretchy="false"`
		}
		w.leaf(open, "mo", b.Sign)
	case Dot:
		w.leaf(`mo lspace="0.1667em" rspace="0.1667em"`, "mo", b.Sign)
	case Infix, Relation:
		w.leaf(`mo form="infix"`, "mo", b.Sign)
	case Opening:
		w.leaf(`mo form="prefix" stretchy="false"`, "mo", b.Sign)
	case Closing:
		w.leaf(`mo form="postfix" stretchy="false"`, "mo", b.Sign)
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

// fence writes delimiters that stretch only where what they hold is tall: a
// stretching bracket is drawn with a room around it that d(x) must not have.
func (w *mathmlWriter) fence(b Fence) {
	stretch := `stretchy="false"`
	if b.Grows() {
		stretch = `stretchy="true"`
	}
	w.WriteString("<mrow>")
	if b.Open != "" {
		w.leaf(`mo form="prefix" fence="true" `+stretch, "mo", b.Open)
	}
	w.box(b.X)
	if b.Close != "" {
		w.leaf(`mo form="postfix" fence="true" `+stretch, "mo", b.Close)
	}
	w.WriteString("</mrow>")
}

func (w *mathmlWriter) valueAt(b At) {
	w.WriteString("<msub><mrow>")
	w.box(b.X)
	w.leaf(`mo form="postfix" fence="true" stretchy="true"`, "mo", "|")
	w.WriteString("</mrow>")
	w.box(b.Place)
	w.WriteString("</msub>")
}

func (w *mathmlWriter) fraction(b Fraction) {
	w.WriteString([...]string{ByPlace: "<mfrac>", Full: `<mfrac displaystyle="true">`, Small: `<mfrac displaystyle="false">`}[b.Size])
	w.box(b.Num)
	w.box(b.Den)
	w.WriteString("</mfrac>")
}

func (w *mathmlWriter) accent(b Accent) {
	name, attribute := "mover", ` accent="true"`
	if b.Below {
		name, attribute = "munder", ` accentunder="true"`
	}
	if b.Sign == "⏞" || b.Sign == "⏟" {
		attribute = ""
	}
	stretch := `stretchy="false"`
	if b.Wide {
		stretch = `stretchy="true"`
	}
	w.WriteString("<" + name + attribute + ">")
	w.box(b.X)
	w.leaf("mo "+stretch, "mo", b.Sign)
	w.WriteString("</" + name + ">")
}

func (w *mathmlWriter) table(t Table) {
	if t.Columns == Conditions {
		w.WriteString(`<mrow><mo form="prefix" fence="true" stretchy="true">{</mo>`)
		defer w.WriteString("</mrow>")
	}
	w.WriteString("<mtable")
	if t.Columns == Equation {
		w.WriteString(` displaystyle="true"`)
	}
	w.WriteString(">")
	for _, line := range t.Lines {
		w.WriteString("<mtr>")
		for j, cell := range line {
			class := "math-left"
			if t.Columns == Equation && j%2 == 0 {
				class = "math-right"
			}
			w.WriteString(`<mtd class="` + class + `">`)
			w.box(cell)
			w.WriteString("</mtd>")
		}
		w.WriteString("</mtr>")
	}
	w.WriteString("</mtable>")
}
