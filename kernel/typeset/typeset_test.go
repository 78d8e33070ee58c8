package typeset

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

func parseExpr(tb testing.TB, text string) notation.Expr {
	e, list := notation.ParseExpr(source.NewText("", text))
	if list.HasErrors() {
		tb.Fatalf("%s: %s", text, list[0].Render())
	}
	return e
}

// childCount is how many children an element of MathML Core must have
// (W3C MathML Core, section 3).
var childCount = map[string]int{"mfrac": 2, "msub": 2, "msup": 2, "munder": 2, "mover": 2, "msubsup": 3, "munderover": 3}

// wellFormed reports what is wrong with the form of a <math> element.
func wellFormed(markup string) error {
	decoder := xml.NewDecoder(strings.NewReader(markup))
	type open struct {
		name     string
		children int
	}
	stack := []open{{}}
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			stack[len(stack)-1].children++
			stack = append(stack, open{name: token.Name.Local})
			for _, a := range token.Attr {
				if a.Name.Local == "style" {
					return errors.New("style attribute")
				}
			}
		case xml.EndElement:
			top := stack[len(stack)-1]
			if want, fixed := childCount[top.name]; fixed && top.children != want {
				return errors.New(top.name + " with the wrong number of children")
			}
			stack = stack[:len(stack)-1]
		}
	}
	if stack[0].children != 1 {
		return errors.New("not one element")
	}
	return nil
}

// balanced reports whether the braces and the \left … \right of TeX match.
func balanced(tex string) bool {
	depth := 0
	for i := 0; i < len(tex); i++ {
		switch tex[i] {
		case '\\':
			i++
		case '{':
			depth++
		case '}':
			depth--
		}
		if depth < 0 {
			return false
		}
	}
	lefts := strings.Count(tex, `\left`) - strings.Count(tex, `\leftarrow`)
	return depth == 0 && lefts == strings.Count(tex, `\right`)
}

func TestWellFormed(t *testing.T) {
	for _, g := range readGoldens(t) {
		for _, n := range g.nodes(t) {
			for _, style := range []Style{Row, Inline, Block} {
				if err := wellFormed(MathML(n, Options{Style: style, Label: Spoken(n)})); err != nil {
					t.Errorf("%s: %s: %v", g.file, Plain(n), err)
				}
			}
			if tex := TeX(n); !balanced(tex) {
				t.Errorf("%s: unbalanced TeX %s", g.file, tex)
			}
		}
	}
}

// TestPlainReadsBack reads the plain text of every form again: the copy of a
// working must mean the same.
func TestPlainReadsBack(t *testing.T) {
	for _, g := range readGoldens(t) {
		if strings.Contains(g.file, "unreadable") {
			continue
		}
		nodes := g.nodes(t)
		var copied strings.Builder
		for _, n := range nodes {
			copied.WriteString(Plain(n) + "\n")
		}
		again := g.read(t, copied.String())
		if len(again) != len(nodes) {
			t.Errorf("%s: %d lines read back, want %d", g.file, len(again), len(nodes))
			continue
		}
		for i, n := range nodes {
			if got, want := MathML(again[i], Options{}), MathML(n, Options{}); got != want {
				t.Errorf("%s: %s reads back as %s", g.file, Plain(n), Plain(again[i]))
			}
		}
	}
}

// TestNumbersReadBack does the same with the numbers put in.
func TestNumbersReadBack(t *testing.T) {
	for _, g := range readGoldens(t) {
		for _, n := range g.nodes(t) {
			with, changed := WithNumbers(n, g.lookup())
			if !changed {
				continue
			}
			again := g.read(t, Plain(with))
			if len(again) != 1 || TeX(again[0]) != TeX(with) {
				t.Errorf("%s: %s", g.file, Plain(with))
			}
		}
	}
}

// withoutBrackets copies a tree without its Paren nodes, as a rewriting of the
// tree would build it.
func withoutBrackets(e notation.Expr) notation.Expr {
	switch e := e.(type) {
	case *notation.Paren:
		return withoutBrackets(e.X)
	case *notation.Binary:
		c := *e
		c.X, c.Y = withoutBrackets(e.X), withoutBrackets(e.Y)
		return &c
	case *notation.Unary:
		c := *e
		c.X = withoutBrackets(e.X)
		return &c
	case *notation.Bind:
		c := *e
		c.Body = withoutBrackets(e.Body)
		return &c
	case *notation.Logic:
		c := *e
		c.X, c.Y = withoutBrackets(e.X), withoutBrackets(e.Y)
		return &c
	}
	return e
}

func TestBracketsWhereNeeded(t *testing.T) {
	for _, text := range []string{
		"(a + b)·c", "c·(a + b)", "a − (b + c)", "a − (b − c)", "(a + b)^2", "(a·b)^2", "(a/b)^2", "(−x)^2",
		"(x^2)^3", "a·(−b)", "a + (−b)", "(36 mm)^4", "(3.2×10^-5)^2", "(sum of i for i from 1 to n) + 1",
		"sum of (a + b) for i from 1 to n", "(36 mm ± 1 mm)·2",
		"(if x > 0 then 1 else 2)·3", "(integral of x for x from 0 to 1)·2", "a^(b + c)", "(a + b)/(c + d)",
	} {
		e := parseExpr(t, text)
		if got, want := TeX(withoutBrackets(e)), TeX(e); got != want {
			t.Errorf("%s: without brackets in the tree %s, with them %s", text, got, want)
		}
	}
}

func TestNumbersKeepsWhatItCannotReplace(t *testing.T) {
	lookup := func(ident string) (string, bool) {
		switch ident {
		case "a":
			return "36 mm", true
		case "b":
			return "not available", true
		}
		return "", false
	}
	for _, test := range []struct{ name, text, want string }{
		{"value", "a + c", `36\,\mathrm{mm}+c`},
		{"text that is no value", "a + b", `36\,\mathrm{mm}+b`},
		{"bound name", "a + (sum of a for a from 1 to 2)", `36\,\mathrm{mm}+\left(\sum_{a=1}^2a\right)`},
		{"power", "a^4", `(36\,\mathrm{mm})^4`},
		{"constant", "π·a", `\pi\times36\,\mathrm{mm}`},
		{"function name", "a(a)", `a(36\,\mathrm{mm})`},
	} {
		t.Run(test.name, func(t *testing.T) {
			with, changed := WithNumbers(parseExpr(t, test.text), lookup)
			if got := TeX(with); got != test.want || !changed {
				t.Errorf("got %s (changed %v), want %s", got, changed, test.want)
			}
		})
	}
	if got := Numbers(parseExpr(t, "2·x"), lookup, Options{}); got != "" {
		t.Errorf("nothing to replace: got %s", got)
	}
}

// TestQuantity follows the SI Brochure, 9th edition, 5.4: a space between
// number and unit except before °, roman unit symbols, a true minus sign.
func TestQuantity(t *testing.T) {
	const space = `<mspace width="0.1667em"></mspace>`
	for _, test := range []struct{ shown, want string }{
		{"36 mm", `<mrow><mn>36</mn>` + space + `<mi>mm</mi></mrow>`},
		{"0.9706 deg", `<mrow><mn>0.9706</mn><mi mathvariant="normal">°</mi></mrow>`},
		{"-5 m", `<mrow><mo form="prefix">−</mo><mn>5</mn>` + space + `<mi mathvariant="normal">m</mi></mrow>`},
		{"3.2×10⁻⁵ m", `<mrow><mn>3.2</mn><mo form="infix">×</mo><msup><mn>10</mn><mrow><mo form="prefix">−</mo><mn>5</mn></mrow></msup>` +
			space + `<mi mathvariant="normal">m</mi></mrow>`},
		{"12", `<mn>12</mn>`},
		{"holds", `<mtext>holds</mtext>`},
	} {
		want := `<math displaystyle="true">` + test.want + `</math>`
		if got := Quantity(test.shown, Options{}); got != want {
			t.Errorf("%s:\n got %s\nwant %s", test.shown, got, want)
		}
	}
}

func TestUnitSpoken(t *testing.T) {
	for _, test := range []struct{ unit, one, many string }{
		{"N·m", "newton metre", "newton metres"},
		{"mm⁴", "millimetre to the fourth", "millimetres to the fourth"},
		{"kg/m^3", "kilogram per cubic metre", "kilograms per cubic metre"},
		{"µm", "micrometre", "micrometres"},
		{"GPa", "gigapascal", "gigapascals"},
		{"deg/m", "degree per metre", "degrees per metre"},
		{"lbf·in", "pound-force inch", "pound-force inches"},
		{"min", "minute", "minutes"},
	} {
		if got := unitSpoken(test.unit, false); got != test.one {
			t.Errorf("1 %s: got %q, want %q", test.unit, got, test.one)
		}
		if got := unitSpoken(test.unit, true); got != test.many {
			t.Errorf("2 %s: got %q, want %q", test.unit, got, test.many)
		}
	}
}

// FuzzTypeset checks that whatever was parsed is typeset: without panic, as
// well-formed MathML, as balanced TeX.
func FuzzTypeset(f *testing.F) {
	for _, g := range readGoldens(f) {
		f.Add(g.parts["input"])
	}
	f.Fuzz(func(t *testing.T, text string) {
		src := source.NewText("", text)
		var nodes []notation.Node
		cell, _ := notation.ParseCell(src)
		for _, n := range cell.Stmts {
			nodes = append(nodes, n)
		}
		shaft, _ := notation.ParseShaft(src)
		for _, n := range shaft.Lines {
			nodes = append(nodes, n)
		}
		derive, _ := notation.ParseDerivation(src)
		for _, n := range derive.Lines {
			nodes = append(nodes, n)
		}
		e, _ := notation.ParseExpr(src)
		nodes = append(nodes, e)
		for _, n := range nodes {
			if err := wellFormed(MathML(n, Options{Label: Spoken(n)})); err != nil {
				t.Fatalf("%v: %s", err, MathML(n, Options{}))
			}
			if tex := TeX(n); !strings.Contains(text, "\\") && !balanced(tex) {
				t.Fatalf("unbalanced TeX %s", tex)
			}
			Numbers(n, func(string) (string, bool) { return "−3.2×10⁻⁵ mm", true }, Options{})
			Plain(n)
		}
	})
}

func BenchmarkMathML(b *testing.B) {
	e, list := notation.ParseExpr(source.NewText("", "32·T/(π·G)·(1/d_0^3 − 1/d_1^3)/(3·k)"))
	if list.HasErrors() {
		b.Fatal(list)
	}
	b.ReportAllocs()
	for b.Loop() {
		MathML(e, Options{})
	}
}
