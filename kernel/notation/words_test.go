package notation

import (
	"fmt"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

func TestCanonical(t *testing.T) {
	tests := map[string]string{
		"T": "T", "theta": "θ", "Theta": "Θ", "tau_max": "τ_max", "Delta_x": "Δ_x", "Deltax": "Deltax",
		"x_alpha_beta": "x_α_β", "pi": "π", "Pi": "Π", "PI": "PI", "thetas": "thetas", "_": "_",
		"µ": "μ", "\u2126": "Ω", "∆x": "Δx", "ϕ_ϵ": "φ_ε", "ϑ": "θ",
		"d₀": "d_0", "d₁₂": "d_12", "d_₁": "d_1", "x₁_max": "x_1_max",
		"e\u0301": "é", "x\u0304": "x\u0304", "длина": "длина",
	}
	for name, want := range tests {
		if got := Canonical(name); got != want {
			t.Errorf("Canonical(%q) = %q, want %q", name, got, want)
		}
		if again := Canonical(want); again != want {
			t.Errorf("Canonical(%q) = %q is not stable", want, again)
		}
	}
	if len(greek) != 48 {
		t.Errorf("%d Greek names, want 24 letters twice", len(greek))
	}
}

func TestWordsAreDisjoint(t *testing.T) {
	for _, b := range Builtins {
		if IsReserved(b.Name) {
			t.Errorf("%s is a word and a function", b.Name)
		}
		if Canonical(b.Name) != b.Name {
			t.Errorf("the function %s spells a Greek letter", b.Name)
		}
	}
	for word := range reserved {
		if Canonical(word) != word {
			t.Errorf("the word %s spells a Greek letter", word)
		}
	}
	for word := range statementWords {
		if !IsReserved(word) {
			t.Errorf("%s opens a statement but can be a name", word)
		}
	}
}

func TestDecimal(t *testing.T) {
	tests := map[string]string{
		"1200": "1200", "3.2e-5": "3.2e-5", "3.2E−5": "3.2E-5", "3.2×10^-5": "3.2e-5", "3.2 · 10^−5": "3.2e-5",
		"3.2×10⁻⁵": "3.2e-5", "7*10^+3": "7e+3",
	}
	for literal, want := range tests {
		if got := Decimal(literal); got != want {
			t.Errorf("Decimal(%q) = %q, want %q", literal, got, want)
		}
	}
}

func ExampleParseExpr() {
	e, list := ParseExpr(source.NewText("answer", "T·L/(J·G)"))
	fmt.Println(Print(e), list.Err())
	_, list = ParseExpr(source.NewText("answer", "T L/(J·G)"))
	fmt.Print(list[0].Render())
	// Output:
	// T·L/(J·G) <nil>
	// line 1, column 1: read as T·L/(J·G)
	//   T L/(J·G)
	//   ^^^^^^^^^
}

func ExampleFreeNames() {
	e, _ := ParseExpr(source.NewText("", "sum of T·i/G for i from 1 to n"))
	var names []string
	for _, n := range FreeNames(e) {
		names = append(names, n.Ident)
	}
	fmt.Println(strings.Join(names, " "))
	// Output: T G n
}

func ExampleParseCell() {
	cell, list := ParseCell(source.NewText("cell 1", "T = 420 N·m\ntheta = 32*T*L/(pi*G*d^4) in deg"))
	fmt.Println(cell, list.Err())
	// Output:
	// T = 420 N·m
	// θ = 32·T·L/(π·G·d^4) in deg <nil>
}
