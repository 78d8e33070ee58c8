package check_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// lesson is a scope made of statements, checked in the order given.
type lesson map[string]*check.Symbol

func (l lesson) Symbol(ident string) (*check.Symbol, bool) { s, ok := l[ident]; return s, ok }

func (l lesson) All() []string {
	var names []string
	for ident := range l {
		names = append(names, ident)
	}
	return names
}

// read checks statements one after the other and returns what was found of the
// last one.
func read(t *testing.T, text string) (check.Statement, source.List) {
	t.Helper()
	cell, list := notation.ParseCell(source.NewText("", text))
	if list.HasErrors() {
		t.Fatalf("%q: %v", text, list.Err())
	}
	scope := lesson{"S": {Ident: "S", Kind: check.ShaftName}}
	c := check.New(scope)
	var info check.Statement
	for _, s := range cell.Stmts {
		info, list = c.Stmt(s)
		switch s := s.(type) {
		case *notation.Define:
			scope[s.Name.Ident] = &check.Symbol{Ident: s.Name.Ident, At: s.Name.Span(), Type: info.Type, Expr: s.Expr}
		case *notation.Vary:
			scope[s.Name.Ident] = &check.Symbol{Ident: s.Name.Ident, At: s.Name.Span(), Type: info.Type}
		case *notation.DefineFunc:
			scope[s.Name.Ident] = &check.Symbol{Ident: s.Name.Ident, Kind: check.Function, At: s.Name.Span(), Func: s}
		}
	}
	return info, list
}

// Dimensions of the quantities are those of SI Brochure, 9th ed., tables 4 to 6.
func TestDimensions(t *testing.T) {
	number, length := unit.Dimension{}, unit.Base(1, 0, 0)
	torque, stress, moment := unit.Base(2, 1, -2), unit.Base(-1, 1, -2), unit.Base(4, 0, 0)
	halfPower, _ := unit.NewRational(1, 2)
	rootLength, _ := length.Pow(halfPower)
	tests := []struct {
		text string
		want unit.Dimension
	}{
		{"a = 36 mm", length},
		{"a = 36 mm/(2 mm)", number},
		{"a = π/32·(36 mm)^4", moment},
		{"a = 420 N·m·(0.8 m)/(79 GPa·(π/32)·(36 mm)^4)", number},
		{"a = sqrt(2 m)", rootLength},
		{"a = √(4 m²)", length},
		{"a = (2 m)^(1/2)", rootLength},
		{"n = 4\na = (2 m)^n", moment},
		{"a = 12 kW/(1450 rpm)", torque},
		{"a = 250 lbf·in + 1 N·m", torque},
		{"f(x) = x^2\na = f(2 m)·f(1 m)", moment},
		{"a = sum of (1 m)·i for i from 1 to 3", length},
		{"a = integral of 2 N·m·x for x from 0 m to 3 m", unit.Base(4, 1, -2)},
		{"a = integral of x for x from 0 to 3 m", unit.Base(2, 0, 0)},
		{"a = derivative of x^3 for x at 2 m", unit.Base(2, 0, 0)},
		{"a = root of x^2 − 4 m² for x from 0 m to 5 m", length},
		{"a = largest of 3 MPa·x/(1 m) for x from 0 m to 1 m", stress},
		{"a = if 2 mm > 0 then 1 m else 2 m", length},
		{"a = 36 mm ± 0.1 mm", length},
		{"a = low(between 1 m and 2 m)", length},
		{"a = |−3 mm|", length},
		{"a = atan2(1 m, 2 m)", number},
		{"a = max(1 m, 20 mm, 3 in)", length},
		{"a = S.twist", number},
		{"a = S.J(0.2 m)", moment},
		{"a = S.stress_max", stress},
		{"a = S.reaction(0 m)", torque},
		{"a = 3 mm in in", length},
	}
	for _, test := range tests {
		info, list := read(t, test.text)
		if list.HasErrors() {
			t.Errorf("%q: %v", test.text, list.Err())
		} else if info.Type.Dim != test.want {
			t.Errorf("%q has the dimension %v, want %v", test.text, info.Type.Dim, test.want)
		}
	}
}

func TestKinds(t *testing.T) {
	tests := []struct {
		text string
		kind check.Kind
	}{
		{"a = 3 m", check.Number},
		{"a = 3 m ± 1 mm\nb = 2·a", check.Bracket},
		{"a = 3 m ± 1 mm\nb = width(a)", check.Number},
		{"a = S.bracket(8)", check.Bracket},
		{"a = 2 m > 1 m", check.Truth},
		{"a = sum of (2 ± 1)/i for i from 1 to 3", check.Bracket},
	}
	for _, test := range tests {
		info, list := read(t, test.text)
		if list.HasErrors() || info.Type.Kind != test.kind {
			t.Errorf("%q: kind %v, %v", test.text, info.Type.Kind, list.Err())
		}
	}
}

func TestAnglesAreKnownForDisplayOnly(t *testing.T) {
	tests := []struct {
		text string
		want check.Angle
	}{
		{"a = 30 deg", check.IsAngle},
		{"a = 2·(30 deg)", check.IsAngle},
		{"a = 30 deg\nb = a/(10 deg)", check.NotAngle},
		{"a = S.twist/2", check.IsAngle},
		{"a = atan(1)", check.IsAngle},
		{"a = 2", check.Unknown},
		{"a = 30 deg + 1", check.IsAngle},
		{"θ = 420 N·m/(1 N·m)", check.IsAngle},
		{"θ = 1 deg\nq = θ/θ", check.NotAngle},
	}
	for _, test := range tests {
		info, list := read(t, test.text)
		if list.HasErrors() || info.Type.Angle != test.want {
			t.Errorf("%q: angle %v, want %v, %v", test.text, info.Type.Angle, test.want, list.Err())
		}
	}
}

func TestWholeNames(t *testing.T) {
	tests := []struct {
		text string
		want bool
	}{
		{"plot S.segments(n) for n from 1 to 50", true},
		{"plot sum of 1/i for i from 1 to n for n from 1 to 50", true},
		{"f(k) = sum of 1/i for i from 1 to k\nplot f(n) for n from 1 to 50", true},
		{"f(n) = sum of 1/i for i from 1 to n\nplot n·f(3) for n from 1 to 50", false},
		{"plot x^2 for x from 0 to 1", false},
	}
	for _, test := range tests {
		info, list := read(t, test.text)
		if list.HasErrors() || info.Whole != test.want {
			t.Errorf("%q: whole = %v, %v", test.text, info.Whole, list.Err())
		}
	}
}

func TestMessages(t *testing.T) {
	tests := []struct {
		text string
		code source.Code
		want string
	}{
		{"T = 420 N·m\na = T + 36 mm", check.CodeDimension, "T = 420 N·m"},
		{"a = 36 mm − 1 N", check.CodeDimension, ""},
		{"a = 36 mm + 5", check.CodeDimension, "5 mm"},
		{"a = 3 m < 2 s", check.CodeDimension, ""},
		{"a = 2·q", check.CodeUndefined, "q "},
		{"θ_max = 3\na = theta_mx", check.CodeUndefined, "θ_max"},
		{"a = exp(3 m)", check.CodeDimension, "3 m"},
		{"a = log(3)", check.CodeLog, ""},
		{"a = sqrt(1, 2)", check.CodeArguments, "sqrt"},
		{"T = 3 N·m\na = T(2 m)", check.CodeNotFunction, "T·(…)"},
		{"f(x) = x\na = f + 1", check.CodeNotFunction, "f"},
		{"a = S + 1", check.CodeKind, "S "},
		{"a = S.twists", check.CodeField, "twist?"},
		{"a = S.torque", check.CodeArguments, "S.torque(x)"},
		{"a = S.twist(3 N)", check.CodeDimension, ""},
		{"a = 1 + (2 < 3)", check.CodeKind, ""},
		{"a = if 3 then 1 else 2", check.CodeKind, ""},
		{"a = if 1 < 2 then 1 m else 2 s", check.CodeDimension, ""},
		{"a = sum of i for i from 1 m to 3 m", check.CodeDimension, ""},
		{"a = integral of x for x from 0 m to 3 s", check.CodeDimension, ""},
		{"a = product of i·(1 m) for i from 1 to 3", check.CodeDimension, ""},
		{"a = 3 mm in N", check.CodeUnitShown, " N"},
		{"expect 3 mm between 1 mm and 2 N", check.CodeDimension, ""},
		{"expect 3 mm ≈ 3.1 mm within 2 N", check.CodeDimension, ""},
		{"expect 3 mm within 4 mm", check.CodeKind, ""},
		{"vary n from 1 mm to 3 N", check.CodeDimension, ""},
		{"draw q", check.CodeUndefined, " q "},
		{"a = 3\ndraw a", check.CodeKind, ""},
		{"prefer mm, cm", check.CodeUnitShown, "length"},
		{"a = (36 mm)^π", check.CodeExponent, ""},
		{"a = floor(3.6 mm)", check.CodeDimension, "floor"},
		{"a = limit of x as x → 0", check.CodeLimitForm, ""},
	}
	for _, test := range tests {
		_, list := read(t, test.text)
		first := list.FirstError()
		if first == nil {
			t.Errorf("%q: no error", test.text)
			continue
		}
		if first.Code != test.code || !strings.Contains(first.Error(), test.want) {
			t.Errorf("%q: %s: %q, want %s: %q", test.text, first.Code, first.Error(), test.code, test.want)
		}
		if !first.Span.IsValid() {
			t.Errorf("%q: the error has no place", test.text)
		}
	}
}

func TestOneFaultIsReportedOnce(t *testing.T) {
	for _, text := range []string{"a = 2·(1 m + 1 s)^2 + q_1·(3 m)", "a = sin(q_1)"} {
		_, list := read(t, text)
		seen := map[source.Span]bool{}
		for _, d := range list {
			if seen[d.Span] {
				t.Errorf("%q: two messages at %q", text, d.Span.Content())
			}
			seen[d.Span] = true
		}
	}
}

// TestUnitOrName chooses between units and names. What a teacher expects of many
// lines is in package working.
func TestUnitOrName(t *testing.T) {
	for _, test := range []struct {
		text, want string
		code       source.Code
	}{
		{"J = 3 mm⁴\na = 5 J", "", check.CodeUnitOrName},
		{"J = 3 mm⁴\na = 0.7 J + 1 mm⁴", "a = 0.7·J + 1 mm⁴", check.CodeUnitOrName},
		{"J = 3 mm⁴\na = 0.7 J in J", "a = 0.7 J in J", ""},
		{"m = 3 kg\na = 5 N·m", "a = 5 N·m", ""},
		{"x = 3\na = 20 N + 5 lb", "", check.CodePounds},
		{"L = 2 m\nf(x) = 36 mm + 18 mm/L·x", "f(x) = 36 mm + 18 mm / L·x", check.CodeUnitOrName},
		{"x = 3\nf(d) = 2 d", "f(d) = 2·d", check.CodeUnitOrName},
		{"x = 3\ny = e^x", "y = exp(x)", notation.Exponential},
		{"e = 3\ny = e^e", "y = e^e", ""},
	} {
		first, line, _ := strings.Cut(test.text, "\n")
		cell, list := notation.ParseCell(source.NewText("", line))
		if list.HasErrors() {
			t.Fatal(list)
		}
		info, _ := read(t, first)
		ident, _, _ := strings.Cut(first, " ")
		scope := lesson{ident: {Ident: ident, Type: info.Type}}
		r := check.New(scope).ChooseStmt(cell.Stmts[0], func(string) bool { return false })
		said := append(r.Asked, r.Parsed...)
		code := source.Code("")
		if len(said) > 0 {
			code = said[0].Code
		}
		got := ""
		if !r.Asked.HasErrors() {
			got = notation.Print(r.Node)
		}
		if got != test.want || code != test.code {
			t.Errorf("%q: %q, %s; want %q, %s", test.text, got, code, test.want, test.code)
		}
	}
}
