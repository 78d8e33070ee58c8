package notation

import (
	"testing"

	"shaftbook/kernel/source"
)

// mapped holds each form of an expression with x and y as its parts, and the same
// with the parts exchanged.
var mapped = []struct{ name, text, want string }{
	{"call", "max(x, y)", "max(y, x)"},
	{"field", "S.twist(x)", "S.twist(y)"},
	{"unary", "−x", "−y"},
	{"binary", "x/y", "y/x"},
	{"brackets", "(x + y)·x", "(y + x)·y"},
	{"absolute value", "|x|", "|y|"},
	{"root", "√x", "√y"},
	{"bracket", "between x and y", "between y and x"},
	{"plus or minus", "x ± y", "y ± x"},
	{"sum", "sum of x·i for i from x to y", "sum of y·i for i from y to x"},
	{"limit", "limit of x·i as i → infinity", "limit of y·i as i → infinity"},
	{"case", "if x < y then x else y", "if y < x then y else x"},
	{"logic", "if x < y and not x > y then 1 else 2", "if y < x and not y > x then 1 else 2"},
	{"quantity", "3 mm·x", "3 mm·y"},
}

// exchange puts y for x and x for y.
func exchange(e Expr) Expr {
	n, ok := e.(*Name)
	if !ok {
		return Map(e, exchange)
	}
	other := *n
	switch n.Ident {
	case "x":
		other.Ident = "y"
	case "y":
		other.Ident = "x"
	default:
		return n
	}
	return &other
}

func TestMap(t *testing.T) {
	for _, c := range mapped {
		t.Run(c.name, func(t *testing.T) {
			e := mustParse(t, c.text)
			before := Print(e)
			got := Print(exchange(e))
			if want := Print(mustParse(t, c.want)); got != want {
				t.Errorf("got %s, want %s", got, want)
			}
			if Print(e) != before {
				t.Errorf("the tree was changed into %s", Print(e))
			}
			if again := Print(exchange(exchange(e))); again != before {
				t.Errorf("twice: %s, want %s", again, before)
			}
		})
	}
}

// TestMapReachesEveryPart compares with Inspect: each free name that Inspect
// finds, and that is not called, is a part for Map.
func TestMapReachesEveryPart(t *testing.T) {
	for _, c := range mapped {
		e := mustParse(t, c.text)
		var inspected, visited int
		Inspect(e, func(n Node) bool {
			if name, ok := n.(*Name); ok && (name.Ident == "x" || name.Ident == "y") {
				inspected++
			}
			return true
		})
		var visit func(Expr) Expr
		visit = func(e Expr) Expr {
			if name, ok := e.(*Name); ok && (name.Ident == "x" || name.Ident == "y") {
				visited++
			}
			return Map(e, visit)
		}
		if visit(e) != e {
			t.Errorf("%s: a tree that nothing changed was copied", c.name)
		}
		if visited != inspected {
			t.Errorf("%s: %d names visited, want %d", c.name, visited, inspected)
		}
	}
}

func mustParse(t *testing.T, text string) Expr {
	t.Helper()
	e, list := ParseExpr(source.NewText("", text))
	if err := list.Err(); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return e
}
