package notation

import (
	"fmt"
	goparser "go/parser"
	gotoken "go/token"
	"strings"
	"testing"
	"time"

	"shaftbook/kernel/source"
)

// benchmarkCell returns a cell of about ten lines for each n, all kinds mixed.
func benchmarkCell(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `T_%[1]d = 420 N·m          # torque of this run
L_%[1]d = 1200 mm
d_%[1]d(x) = 36 mm + 18 mm·x/L_%[1]d
J_%[1]d(x) = π/32·d_%[1]d(x)^4
θ_%[1]d = integral of T_%[1]d/(79 GPa·J_%[1]d(x)) for x from 0 m to L_%[1]d in deg to 4 figures
s_%[1]d = sum of T_%[1]d·(L_%[1]d/n)/(79 GPa·J_%[1]d((i − 1/2)·L_%[1]d/n)) for i from 1 to n
expect θ_%[1]d between 0.1 deg and 20 deg
table x in mm, d_%[1]d(x) in mm, J_%[1]d(x) in mm⁴ for x from 0 m to L_%[1]d in 6 rows
plot d_%[1]d(x) in mm as "diameter" for x from 0 m to L_%[1]d
w_%[1]d = if s_%[1]d < θ_%[1]d and n > 3 then |s_%[1]d − θ_%[1]d| else 0
`, i)
	}
	return b.String()
}

// BenchmarkParseCell reads a cell of 200 lines. The ratio is its time for a
// byte over that of go/parser for a Go file of such expressions, in this run.
func BenchmarkParseCell(b *testing.B) {
	text := source.NewText("", benchmarkCell(20))
	if _, list := ParseCell(text); list.HasErrors() {
		b.Fatal(list)
	}
	goText := "package p\n" + strings.Repeat("var a = T_1*(L_1/n)/(g*J_1((i-1/2)*L_1/n)) + math.Sqrt(x*x) // a comment\n", 140)
	b.SetBytes(int64(len(text.Content)))
	b.ReportAllocs()
	var theirs time.Duration
	for b.Loop() {
		ParseCell(text)
		b.StopTimer()
		start := time.Now()
		if _, err := goparser.ParseFile(gotoken.NewFileSet(), "", goText, 0); err != nil {
			b.Fatal(err)
		}
		theirs += time.Since(start)
		b.StartTimer()
	}
	ours := float64(b.Elapsed()) / float64(len(text.Content))
	b.ReportMetric(ours/(float64(theirs)/float64(len(goText))), "×go/parser")
}

// BenchmarkPrint prints the same cell.
func BenchmarkPrint(b *testing.B) {
	text := source.NewText("", benchmarkCell(20))
	cell, _ := ParseCell(text)
	b.SetBytes(int64(len(text.Content)))
	for b.Loop() {
		_ = cell.String()
	}
}
