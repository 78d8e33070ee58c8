package derive_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// Lines whose formulas, with all definitions and functions put in, have more parts
// than any machine holds get a verdict or a message.
func TestDerivationsThatGrow(t *testing.T) {
	chain := func(n int, formula string) string {
		var b strings.Builder
		for i := 1; i <= n; i++ {
			fmt.Fprintf(&b, "y_%d = %s\n", i, strings.ReplaceAll(formula, "y", fmt.Sprintf("y_%d", i-1)))
		}
		return b.String()
	}
	nested := func(n int, inner string) string {
		return strings.Repeat("f(", n) + inner + strings.Repeat(")", n)
	}
	for name, text := range map[string]string{
		"definitions": "given y_0: number > 0\n" + chain(30, "y·(1 + y/4)") + "z = y_30\n  = y_29\n",
		"a slope":     "given x: number > 0\nf(u) = u^2 − u\ny = derivative of " + nested(30, "x") + " for x at x\n  = x",
		"an integral": "given x: number > 0\nf(u) = u^2 − u\ny = ∫_0^x " + nested(24, "u") + " du\n  = x",
		"exponents":   "given x: number > 0\ny_0 = 3\n" + chain(9, "y^16") + "z = x^y_9\n  = x",
	} {
		t.Run(name, func(t *testing.T) {
			report := derive.JudgeText(context.Background(), source.NewText("", text), derive.Settings{})
			if len(report.Verdicts) == 0 && !report.Diagnostics.HasErrors() {
				t.Error("neither a verdict nor a message")
			}
		})
	}
}
