package notation

import (
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// seeds adds the golden error cells, the examples of the README and a few
// whole cells.
func seeds(f *testing.F) {
	f.Helper()
	input, err := os.ReadFile("testdata/errors.txt")
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range strings.Split(string(input), "\n---\n") {
		for _, kind := range []string{"shaft: ", "derive: ", "answer: "} {
			s = strings.TrimPrefix(s, kind)
		}
		f.Add(s)
	}
	for _, s := range readmeBlocks(f) {
		f.Add(s)
	}
	f.Add(benchmarkCell(3))
	for _, s := range []string{
		"vary n from 1 to 40 by 1 starting at 4 typed from 1 up to 1000",
		"trials of θ_n in deg to 4 figures between a and b for n at 2, 4 guessed 0.7 deg at 8, 0.71 deg at 16",
		"trials of S.segments(n) within S.bracket(n) for n at 36 mm, 2 L",
		"table of S in 2·n segments in deg to 6 figures",
		"table of tolerances of T·L/(G·J) in deg to 4 figures",
		"readings test of T in N·m, θ in deg ab 0: 0.02",
		"readings test of T in N·m, θ in deg: 0 ab 0.02",
		"readings test of T in N·m, θ in deg: 0: 0.02, 10: 0.31 deg,\n 20: (0.6 deg + e)",
		"line fit through test and origin without 7, k\nplot fit\nplot residuals of fit",
		"yields at 150 MPa",
		"yields at τ_Y/2 + 1 ksi # in shear",
	} {
		f.Add(s)
	}
	typed, err := os.ReadFile("../working/testdata/typed.txt")
	if err != nil {
		f.Fatal(err)
	}
	for _, row := range strings.Split(string(typed), "\n") {
		if line, _, ok := strings.Cut(row, " ¦ "); ok {
			f.Add(line)
		}
	}
	for _, form := range blackboard {
		f.Add(form.text)
		f.Add("y = " + form.text)
	}
	for _, form := range blackboardLines {
		f.Add(form.above + "\n" + form.text)
	}
}

// checkList checks what holds for the messages about any text.
func checkList(t *testing.T, text *source.Text, list source.List) {
	t.Helper()
	errorAt := map[int]bool{} // lines with an error
	for _, d := range list {
		if d.Span.Text != text || d.Span.Start < 0 || d.Span.End < d.Span.Start || d.Span.End > len(text.Content) {
			t.Fatalf("%q: the span %d–%d is outside the text", text.Content, d.Span.Start, d.Span.End)
		}
		if d.Message == "" || d.Code == "" {
			t.Fatalf("%q: a message without words or code: %+v", text.Content, d)
		}
		if d.Severity != source.Error {
			continue
		}
		if line := d.Span.Position().Line; errorAt[line] {
			t.Fatalf("%q: line %d has two errors: %v", text.Content, line, list)
		} else {
			errorAt[line] = true
		}
	}
	list.Err()
}

// checkSpans checks that every part lies in the text and inside its whole.
func checkSpans(t *testing.T, text *source.Text, n Node) {
	t.Helper()
	Inspect(n, func(n Node) bool {
		outer := n.Span()
		if outer.Text != text || outer.Start > outer.End || outer.End > len(text.Content) {
			t.Fatalf("%q: %T has the span %d–%d", text.Content, n, outer.Start, outer.End)
		}
		for _, c := range Children(n) {
			if in := c.Span(); in.Start < outer.Start || in.End > outer.End {
				t.Fatalf("%q: %T %d–%d stands outside its %T %d–%d", text.Content, c, in.Start, in.End, n, outer.Start, outer.End)
			}
		}
		return true
	})
}

func FuzzParseCell(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, content string) {
		text := source.NewText("", content)
		cell, list := ParseCell(text)
		checkList(t, text, list)
		for _, s := range cell.Stmts {
			checkSpans(t, text, s)
		}
		if !list.HasErrors() {
			checkRoundTrip(t, content, cell.Stmts, func(again *source.Text) ([]Stmt, source.List) {
				c, l := ParseCell(again)
				return c.Stmts, l
			})
		}
	})
}

func FuzzParseExpr(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, content string) {
		text := source.NewText("", content)
		e, list := ParseExpr(text)
		checkList(t, text, list)
		checkSpans(t, text, e)
		ParseAnswer(text)
		for _, n := range FreeNames(e) {
			if Canonical(n.Ident) != n.Ident || !utf8.ValidString(n.Ident) {
				t.Fatalf("%q: the name %q is not canonical", content, n.Ident)
			}
		}
		if !list.HasErrors() {
			checkRoundTrip(t, content, []Expr{e}, func(again *source.Text) ([]Expr, source.List) {
				e, l := ParseExpr(again)
				return []Expr{e}, l
			})
		}
	})
}

func FuzzParseShaft(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, content string) {
		text := source.NewText("", content)
		cell, list := ParseShaft(text)
		checkList(t, text, list)
		for _, s := range cell.Lines {
			checkSpans(t, text, s)
		}
		if !list.HasErrors() {
			checkRoundTrip(t, content, cell.Lines, func(again *source.Text) ([]ShaftLine, source.List) {
				c, l := ParseShaft(again)
				return c.Lines, l
			})
		}
	})
}

func FuzzParseDerivation(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, content string) {
		text := source.NewText("", content)
		cell, list := ParseDerivation(text)
		checkList(t, text, list)
		for _, s := range cell.Lines {
			checkSpans(t, text, s)
		}
		if !list.HasErrors() {
			checkRoundTrip(t, content, cell.Lines, func(again *source.Text) ([]DeriveLine, source.List) {
				c, l := ParseDerivation(again)
				return c.Lines, l
			})
		}
	})
}

// checkRoundTrip prints what was read, reads that, and expects the same tree
// and the same text.
func checkRoundTrip[N Node](t *testing.T, content string, read []N, parse func(*source.Text) ([]N, source.List)) {
	t.Helper()
	printed := printLines(read)
	if len(printed) > MaxText {
		return // spaces that printing puts in can make it longer
	}
	again, list := parse(source.NewText("", printed))
	if list.HasErrors() {
		t.Fatalf("%q prints as %q, which does not read: %v", content, printed, list[0].Render())
	}
	if got, want := dumpAll(again), dumpAll(read); got != want {
		t.Fatalf("%q prints as %q, which reads as\n%s\nnot\n%s", content, printed, got, want)
	}
	if second := printLines(again); second != printed {
		t.Fatalf("%q prints as %q, then as %q", content, printed, second)
	}
}

func dumpAll[N Node](list []N) string {
	var lines []string
	for _, n := range list {
		lines = append(lines, dump(n))
	}
	return strings.Join(lines, "\n")
}
