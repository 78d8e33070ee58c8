package pattern

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestNew(t *testing.T) {
	digits := New(`\d+`)
	if got := digits().FindString("a 12 b"); got != "12" {
		t.Errorf("%q, want 12", got)
	}
	if first, again := digits(), digits(); first != again {
		t.Error("it was compiled again")
	}
}

// TestAllCompile finds the expressions of the module in its source and compiles them.
func TestAllCompile(t *testing.T) {
	found := 0
	module := os.DirFS("../..")
	err := fs.WalkDir(module, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
			return err
		}
		src, err := fs.ReadFile(module, name)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, src, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			f, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || f.Sel.Name != "New" {
				return true
			}
			if pkg, ok := f.X.(*ast.Ident); !ok || pkg.Name != "pattern" {
				return true
			}
			found++
			literal, ok := call.Args[0].(*ast.BasicLit)
			if !ok {
				t.Errorf("%s: an expression that is no literal is not tested", name)
				return true
			}
			expr, err := strconv.Unquote(literal.Value)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				return true
			}
			if _, err := regexp.Compile(expr); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found < 20 {
		t.Errorf("only %d expressions were found", found)
	}
}
