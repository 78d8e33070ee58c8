package tex

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/kernel/typeset/box"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// childCount is how many children an element of MathML Core must have
// (W3C MathML Core, section 3).
var childCount = map[string]int{"mfrac": 2, "msub": 2, "msup": 2, "munder": 2, "mover": 2, "mroot": 2, "msubsup": 3,
	"munderover": 3, "semantics": 2}

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

// TestSubset reads a formula for each construct of the author's guide, and one
// for each command. The golden file holds the MathML of each.
func TestSubset(t *testing.T) {
	file := filepath.Join("testdata", "subset.txt")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	seen := map[string]bool{}
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSuffix(line, "\n")
		if line == "" || line[0] == ' ' {
			continue
		}
		out.WriteString(line + "\n")
		if line[0] == '#' {
			continue
		}
		for rest := line; ; {
			_, after, found := strings.Cut(rest, `\`)
			if !found {
				break
			}
			seen[commandName(`\`+after)], rest = true, strings.TrimPrefix(after, `\`)
		}
		b, err := Read(line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		markup := box.Element{}.Write(b)
		if err := wellFormed(markup); err != nil {
			t.Errorf("%s: %v in %s", line, err, markup)
		}
		out.WriteString("  " + strings.TrimSuffix(strings.TrimPrefix(markup, "<math>"), "</math>") + "\n")
	}
	for _, name := range Commands() {
		if !seen[name] {
			t.Errorf("no formula with \\%s in %s", name, file)
		}
	}
	if *update {
		if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if out.String() != string(data) {
		t.Errorf("the MathML differs from %s; run with -update and read the difference", file)
	}
}

// TestReadsBack writes formulas as TeX and reads that again.
func TestReadsBack(t *testing.T) {
	for _, source := range []string{
		`\theta = \int_0^L \frac{T}{G\,J(x)}\,\mathrm{d}x`, `\sum_{i=1}^{n} \theta_i`, `\left(\frac{a}{b}\right)^2`,
		`\sqrt[3]{16T/(\pi\tau)}`, `\begin{aligned}a&=b\\&=c\end{aligned}`, `\tfrac{1}{2}qL`, `\vec{a}`, `x\quad y`,
		`\begin{cases}1&\text{if }x>0\\0&\text{otherwise}\end{cases}`,
	} {
		first, err := Read(source)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Read(box.TeX(first))
		if err != nil {
			t.Errorf("%s: written as %s: %v", source, box.TeX(first), err)
			continue
		}
		if got, want := box.TeX(again), box.TeX(first); got != want {
			t.Errorf("%s: got %s, want %s", source, got, want)
		}
	}
}

// TestFaults gives the piece of each formula that cannot be typeset, and a part
// of the way out.
func TestFaults(t *testing.T) {
	for _, test := range []struct{ name, tex, piece, repair string }{
		{"no braces", `1+\tfrac12`, `\tfrac`, `\tfrac{…}{…}`},
		{"sign in upright word", `\mathrm{N\cdot m}`, `\`, `\cdot`},
		{"two digits raised", `x^10`, `^10`, `^{10}`},
		{"two subscripts", `a_1_2`, `_`, "braces"},
		{"unknown command", `\mathbb R`, `\mathbb`, "guide"},
		{"misspelt command", `\thta`, `\thta`, `\theta`},
		{"exchanged letters", `\fracc{a}{b}`, `\fracc`, `\frac`},
		{"other case", `\lamdba`, `\lamdba`, `\lambda`},
		{"unknown environment", `\begin{matrix}a\end{matrix}`, `\begin`, "aligned"},
		{"column outside a table", `a & b`, `&`, "aligned"},
		{"column within a group", `\begin{aligned}{a & b}\end{aligned}`, `&`, "aligned"},
		{"line end outside a table", `a \\ b`, `\\`, "aligned"},
		{"open brace", `\frac{a}{b`, `{`, "}"},
		{"open environment", `\begin{cases} a`, `}`, `\end{cases}`},
		{"stray brace", `a}`, `}`, "remove"},
		{"right without left", `a\right)`, `\right`, `\left`},
		{"left without bracket", `\left a`, `\left`, `\left(`},
		{"left without right", `\left( a`, `(`, `\right`},
		{"comment", `50%`, `%`, `\%`},
		{"nothing raised", `x^`, `^`, "braces"},
		{"nothing to raise", `^2`, `^`, "before it"},
		{"command raised without braces", `x^\frac{1}{2}`, `^`, "braces"},
		{"empty words", `\text{}`, `\text`, `\quad`},
		{"empty", " ", " ", `\$`},
		{"lone backslash", `a\`, `\`, "remove"},
		{"control character", "a\x01b", "\x01", "remove"},
		{"too deep", strings.Repeat("{", 30) + strings.Repeat("}", 30), "{", "simplify"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read(test.tex)
			var fault *Fault
			if !errors.As(err, &fault) {
				t.Fatalf("%s passed: %v", test.tex, err)
			}
			if got := test.tex[fault.Start:fault.End]; got != test.piece {
				t.Errorf("%s: %s at %q, want %q", test.tex, fault.Message, got, test.piece)
			}
			if !strings.Contains(fault.Repair, test.repair) {
				t.Errorf("%s: the way out is %q, without %q", test.tex, fault.Repair, test.repair)
			}
		})
	}
}

// FuzzTeX checks that every text gives either well-formed MathML or a fault with
// a place within the text and a way out.
func FuzzTeX(f *testing.F) {
	data, err := os.ReadFile(filepath.Join("testdata", "subset.txt"))
	if err != nil {
		f.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		if line[0] != ' ' {
			f.Add(strings.TrimSpace(line))
		}
	}
	f.Add(`{a & b} \begin{aligned} x_{\sum} \\ \end{cases}`)
	f.Fuzz(func(t *testing.T, source string) {
		b, err := Read(source)
		if err != nil {
			var fault *Fault
			if !errors.As(err, &fault) {
				t.Fatalf("an error without a place: %v", err)
			}
			if fault.Start < 0 || fault.Start >= fault.End || fault.End > max(len(source), 1) || fault.Repair == "" {
				t.Fatalf("%q: fault %+v", source, fault)
			}
			return
		}
		markup := box.Element{TeX: source}.Write(b)
		if err := wellFormed(markup); err != nil {
			t.Fatalf("%q: %v in %s", source, err, markup)
		}
		box.TeX(b)
	})
}

func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		list, err := Read(`\theta = \frac{32\,T}{\pi G}\cdot\frac{1}{3k}\left(\frac{1}{d_0^3} - \frac{1}{d_1^3}\right)`)
		if err != nil {
			b.Fatal(err)
		}
		_ = box.Element{}.Write(list)
	}
}
