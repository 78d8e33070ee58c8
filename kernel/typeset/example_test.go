package typeset_test

import (
	"fmt"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
)

func ExampleWithNumbers() {
	cell, _ := notation.ParseCell(source.NewText("", "θ = T·L/(J·G)"))
	statement := cell.Stmts[0]
	values := map[string]string{"T": "420 N·m", "L": "1.2 m", "J": "165000 mm⁴", "G": "79 GPa"}
	with, _ := typeset.WithNumbers(statement, func(ident string) (string, bool) {
		text, ok := values[ident]
		return text, ok
	})
	fmt.Println(typeset.Plain(statement))
	fmt.Println(typeset.TeX(statement))
	fmt.Println(typeset.Spoken(statement))
	fmt.Println("=", typeset.Spoken(with))
	// Output:
	// θ = T·L/(J·G)
	// \theta=\frac{T\cdot L}{J\cdot G}
	// theta equals T times L over J times G
	// = 420 newton metres times 1.2 metres over 165000 millimetres to the fourth times 79 gigapascals
}
