package program_test

import (
	"context"
	"fmt"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
)

// noNames is a scope in which nothing is defined.
type noNames struct{}

func (noNames) Lookup(string) (program.Object, bool) { return nil, false }

func read(text string) notation.Expr {
	e, _ := notation.ParseExpr(source.NewText("", text))
	return e
}

func ExampleEvaluate() {
	run := program.NewRun(context.Background(), program.Limits{})
	v, _ := program.Evaluate(run, read("sum of 1/i^2 for i from 1 to 1000"), noNames{})
	fmt.Printf("%.6f\n", v.Number)
	_, list := program.Evaluate(run, read("1/sqrt(2 − 3)"), noNames{})
	fmt.Print(list.FirstError().Render())
	// Output:
	// 1.643935
	// line 1, column 3: a negative number has no square root: 2 − 3 is −1
	//   1/sqrt(2 − 3)
	//     ^^^^^^^^^^^
}

func ExampleCompile() {
	p, _ := program.Compile(read("x^2 + 1"), []string{"x"}, noNames{})
	run := program.NewRun(context.Background(), program.Limits{})
	dst := make([]float64, 3)
	if err := p.Block(run, dst, []float64{0, 1, 2}); err != nil {
		fmt.Println(err)
	}
	fmt.Println(dst)
	// Output: [1 2 5]
}

func ExampleEvaluateBracket() {
	run := program.NewRun(context.Background(), program.Limits{})
	x := map[string]interval.Interval{"x": {Lo: -1, Hi: 2}}
	square, _ := program.EvaluateBracket(run, read("x^2"), x, noNames{})
	apart, _ := program.EvaluateBracket(run, read("x − x"), x, noNames{})
	fmt.Println(square)
	fmt.Println(apart) // both are one value
	// Output:
	// between 0 and 4
	// 0
}
