package box

import (
	"strings"
	"testing"
)

func TestPieces(t *testing.T) {
	id := func(name string) Box { return Ident{Name: name} }
	eq, plus, minus := Op{"=", Relation}, Op{"+", Infix}, Op{"−", Infix}
	for _, c := range []struct {
		name string
		box  Box
		want string // pieces, with a bar between
	}{
		{"nothing", Row(nil), ""},
		{"one name", id("a"), "a"},
		{"a definition", Row{id("a"), eq, id("b")}, "a|= b"},
		{"sums, in rows of their own", Row{id("a"), eq, Row{Row{id("b"), plus, id("c")}, minus, id("d")}}, "a|= b|+ c|− d"},
		{"a sign belongs to what follows", Row{Op{"−", Prefix}, id("a"), plus, id("b")}, "−a|+ b"},
		{"a relation that begins keeps what follows", Row{eq, id("b")}, "= b"},
		{"not inside brackets", Row{id("a"), eq, Fence{Open: "(", Close: ")", X: Row{id("b"), plus, id("c")}}}, "a|= (b + c)"},
		{"not inside a fraction", Fraction{Num: Row{id("a"), plus, id("b")}, Den: id("c")}, "(a + b)/c"},
		{"after a comma, and before words", Row{id("a"), Op{",", Comma}, id("b"), Text(" for "), id("c")}, "a,|b|for c"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, p := range Pieces(c.box) {
				got = append(got, strings.TrimSpace(Plain(p)))
			}
			if s := strings.Join(got, "|"); s != c.want {
				t.Errorf("%q, want %q", s, c.want)
			}
		})
	}
}

func TestWriteLines(t *testing.T) {
	short := Row{Ident{Name: "a"}, Op{"=", Relation}, Digits("1")}
	if got := (Element{Block: true}).WriteLines(short); strings.Count(got, "<math") != 1 || !strings.Contains(got, `display="block"`) {
		t.Errorf("a short formula: %s", got)
	}
	lengthy := Row{Ident{Name: strings.Repeat("a", long)}, Op{"=", Relation}, Digits("1")}
	got := Element{Block: true, TeX: "a"}.WriteLines(lengthy)
	if strings.Count(got, "<math displaystyle=\"true\">") != 2 || strings.Count(got, "<annotation") != 1 {
		t.Errorf("a long formula: %s", got)
	}
}
