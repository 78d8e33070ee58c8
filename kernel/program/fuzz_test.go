package program

import (
	"context"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// FuzzEvaluate evaluates whatever parses, under small limits: nothing panics
// or hangs, every failure has a message, every number is finite, and a program
// gives the walker's bits.
func FuzzEvaluate(f *testing.F) {
	for _, text := range loops {
		f.Add(text)
	}
	for _, c := range faultCases {
		f.Add(c.text)
	}
	for _, text := range []string{
		"d(x)", "q·x", "if q < x then 1 else S", "low(q)^x", "derivative of |x| for x at x", "(1 ± 0.1)^(1/3)", "integral of q/x for x from 1 to 2",
		"largest of q·x for x from 0 to 1", "f(f(f(x)))", "g(x)", "h(2)", "x^x^x", "1e308·x", "min(x, q)", "sum of S.twist(i) for i from 1 to 3",
		strings.Repeat("f(", 20) + "q" + strings.Repeat(")", 20), "derivative of " + strings.Repeat("f(", 20) + "x" + strings.Repeat(")", 20) + " for x at 1",
		"derivative of (derivative of (derivative of (derivative of x·f(x) for x at x) for x at x) for x at x) for x at 1", "low(low(low(q ± 1) ± 1) ± width(q ± 1))",
		"derivative of (root of u^2 − x for u from 0 to 9)·x for x at 2",
	} {
		f.Add(text)
	}
	s := define(f, taper(f), "q", "between 1 and 2", "f(u)", "u^2 + 1", "r(u)", "low(q·u)")
	s["g"] = &Function{Params: []string{"u"}, Body: parse(f, "g(u)")} // what the checker refuses must not hang
	s["h"] = &Function{Params: []string{"u"}, Body: parse(f, "h(u + 1) + h(u·2)")}
	s["S"] = &testShaft{}
	f.Fuzz(func(t *testing.T, text string) {
		e, list := notation.ParseExpr(source.NewText("", text))
		if list.HasErrors() {
			return
		}
		limits := Limits{Terms: 20_000, Work: 20_000_000, Memory: 8 << 20}
		s["x"] = Scalar(0.75)
		v, list := Evaluate(NewRun(context.Background(), limits), e, s)
		checkOutcome(t, v, list)
		EvaluateBracket(NewRun(context.Background(), limits), e, nil, s)
		p, compiled := Compile(e, []string{"x"}, s)
		if compiled.HasErrors() || v.IsBracket || v.IsTruth {
			return
		}
		got, err := p.At(NewRun(context.Background(), limits), 0.75)
		limited := list.HasErrors() && isLimitCode(list[0].Code)
		if l, ok := err.(source.List); ok {
			limited = limited || isLimitCode(l[0].Code)
		}
		switch {
		case limited: // the two count calls differently
		case (err == nil) != !list.HasErrors():
			t.Errorf("program: %v, walker: %v", err, list)
		case err == nil && math.Float64bits(got) != math.Float64bits(v.Number):
			t.Errorf("program %v, walker %v", got, v.Number)
		}
	})
}

func isLimitCode(c source.Code) bool {
	switch c {
	case CodeTermLimit, CodeWorkLimit, CodeMemoryLimit, CodeStopped, CodeSizeLimit:
		return true
	}
	return false
}

func checkOutcome(t *testing.T, v Value, list source.List) {
	if list.HasErrors() {
		if list.FirstError().Message == "" || !list.FirstError().Span.IsValid() {
			t.Errorf("an error without words or place: %+v", list[0])
		}
		return
	}
	if !finite(v.Number) || !finite(v.ErrorEstimate) || !finite(v.Bracket.Lo) || !finite(v.Bracket.Hi) || v.Bracket.Lo > v.Bracket.Hi {
		t.Errorf("a result that is no number: %+v", v)
	}
}
