package notation

import (
	"flag"
	"fmt"
	"go/ast"
	goparser "go/parser"
	gotoken "go/token"
	"os"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

var update = flag.Bool("update", false, "write the golden files")

// read reads an example: a calculation cell, or another kind of text if it
// begins with its name.
func read(example string) (string, source.List) {
	kind, text, _ := strings.Cut(example, ":")
	switch kind {
	case "shaft":
		text = strings.TrimPrefix(text, " ")
		cell, list := ParseShaft(source.NewText("", text))
		return cell.String(), list
	case "derive":
		text = strings.TrimPrefix(text, " ")
		cell, list := ParseDerivation(source.NewText("", text))
		return cell.String(), list
	case "answer":
		e, list := ParseExpr(source.NewText("", strings.TrimPrefix(text, " ")))
		return Print(e), list
	}
	cell, list := ParseCell(source.NewText("", example))
	return cell.String(), list
}

// TestErrors compares the messages for the cells of testdata/errors.txt, which
// are separated by lines of ---, with errors.golden.
func TestErrors(t *testing.T) {
	input, err := os.ReadFile("testdata/errors.txt")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, example := range strings.Split(strings.TrimSuffix(string(input), "\n"), "\n---\n") {
		_, list := read(example)
		if len(list) == 0 {
			t.Errorf("no message for %q", example)
		}
		for _, d := range list {
			fmt.Fprintf(&b, "[%s] %s", d.Code, d.Render())
			if d.Fix != nil {
				fmt.Fprintf(&b, "  fix: %q → %q\n", d.Fix.Span.Content(), d.Fix.Text)
			}
		}
		b.WriteString("---\n")
	}
	const golden = "testdata/errors.golden"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	got, expected := strings.Split(b.String(), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(expected)) {
		if i >= len(got) || i >= len(expected) || got[i] != expected[i] {
			t.Fatalf("line %d of %s differs\n got %q\nwant %q", i+1, golden, got[min(i, len(got)-1)], expected[min(i, len(expected)-1)])
		}
	}
}

// TestFixes carries out every fix of the golden cells: the text must then be
// free of that message at that place.
func TestFixes(t *testing.T) {
	input, err := os.ReadFile("testdata/errors.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, example := range strings.Split(strings.TrimSuffix(string(input), "\n"), "\n---\n") {
		if strings.HasPrefix(example, "shaft:") || strings.HasPrefix(example, "derive:") || strings.HasPrefix(example, "answer:") {
			continue
		}
		_, list := read(example)
		for _, d := range list {
			if d.Fix == nil {
				continue
			}
			fixed := example[:d.Fix.Span.Start] + d.Fix.Text + example[d.Fix.Span.End:]
			_, after := read(fixed)
			for _, again := range after {
				if again.Code == d.Code && again.Span.Start <= d.Span.Start {
					t.Errorf("%q fixed to %q still says %s", example, fixed, again.Message)
				}
			}
		}
	}
}

// TestCodes reads the examples in the comments of codes.go and expects the code
// they are at, first and only.
func TestCodes(t *testing.T) {
	file, err := goparser.ParseFile(gotoken.NewFileSet(), "codes.go", nil, goparser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, decl := range file.Decls {
		group, ok := decl.(*ast.GenDecl)
		if !ok || group.Tok != gotoken.CONST {
			continue
		}
		for _, spec := range group.Specs {
			value := spec.(*ast.ValueSpec)
			code, err := strconv.Unquote(value.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			if seen[code] {
				t.Errorf("the code %q stands twice", code)
			}
			seen[code] = true
			doc := value.Doc.Text()
			if !strings.HasPrefix(doc, value.Names[0].Name) {
				t.Errorf("%s has no comment that begins with its name", value.Names[0].Name)
			}
			for _, line := range strings.Split(doc, "\n") {
				if example, ok := strings.CutPrefix(line, "Example: "); ok {
					expectCode(t, source.Code(code), unescape(example))
				}
			}
		}
	}
}

func unescape(example string) string {
	return strings.NewReplacer(`\xff`, "\xff", `\u200b`, "\u200b", "⏎", "\n").Replace(example)
}

func expectCode(t *testing.T, code source.Code, example string) {
	t.Helper()
	_, list := read(example)
	if len(list) != 1 || list[0].Code != code {
		t.Errorf("%q: got %v, want %s alone", example, list, code)
	}
}

func TestTooManyErrors(t *testing.T) {
	cell, list := ParseCell(source.NewText("", strings.Repeat("a 2\n", 1000)))
	if len(list) != MaxFound+1 || list[MaxFound].Code != TooManyErrors || len(cell.Stmts) != MaxFound {
		t.Errorf("%d messages, %d statements", len(list), len(cell.Stmts))
	}
}

// The bounds have no short example.
func TestBounds(t *testing.T) {
	tests := []struct {
		name, text string
		want       source.Code
	}{
		{"text", strings.Repeat("x = 1\n", MaxText/6+1), TextTooLong},
		{"brackets", strings.Repeat("(", 1000) + "1" + strings.Repeat(")", 1000), TooDeep},
		{"open brackets", strings.Repeat("(", 30000), TooDeep},
		{"bars", "x = " + strings.Repeat("|", 30000), TooDeep},
		{"signs", strings.Repeat("-", 30000) + "1", TooDeep},
		{"roots", strings.Repeat("√", 10000) + "1", TooDeep},
		{"powers", strings.Repeat("2^", 10000) + "2", TooDeep},
		{"not", strings.Repeat("not ", 10000) + "a < b", TooDeep},
		{"forms", strings.Repeat("sum of ", 5000) + "1", TooDeep},
		{"conditions", strings.Repeat("if 1 < 2 then 1 else ", 1000) + "1", TooDeep},
		{"betweens", strings.Repeat("between ", 5000) + "1", TooDeep},
		{"calls", strings.Repeat("f(", 10000), TooDeep},
		{"terms", "1" + strings.Repeat(" + 1", 10000), TooManyParts},
		{"comparisons", "1" + strings.Repeat(" < 1", 10000), TooManyParts},
		{"arguments", "max(1" + strings.Repeat(", 1", 10000) + ")", TooManyParts},
		{"superscripts", "x" + strings.Repeat("²", 1000), LiteralTooLong},
		{"literal", strings.Repeat("1", 1000), LiteralTooLong},
		{"unit", "1 m" + strings.Repeat("·m", 1000), UnitPower},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, list := ParseCell(source.NewText("", test.text))
			if len(list) != 1 || list[0].Code != test.want {
				t.Errorf("got %v, want %s alone", list, test.want)
			}
		})
	}
}
