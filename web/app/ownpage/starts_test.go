package ownpage

import (
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/web/app/derivation"
)

// The starting points show every verdict, and a bound that is proved. What is
// wrong or unfinished in them can be mended, and then everything follows.
func TestStarts(t *testing.T) {
	const gap, follows, agrees, fails, open = derive.Gap, derive.Follows, derive.Agrees, derive.Fails, derive.Open
	for _, c := range []struct {
		key  string
		want []derive.Kind
		mend map[string]string // text to put in the place of another
	}{
		{"uniform", []derive.Kind{follows, gap, follows}, map[string]string{"= ?": "= T·L/(G·J)"}},
		{"taper", []derive.Kind{follows, follows, gap}, map[string]string{"= ?": "= 32·T·L·(1/d_0^3 − 1/d_1^3)/(3·π·G·(d_1 − d_0))"}},
		{"bounds", []derive.Kind{follows, follows, follows, follows, follows}, nil},
		{"mistake", []derive.Kind{agrees, follows, fails, open}, map[string]string{
			"d_0: length > 0, d_1: length > 0": "d_1 > d_0 > 0 mm", "(d_0^4 + d_1^4)": "(d_0 + d_1)^4", "L/d_m^4": "L/d_m^4 for constant T, G"}},
		{"empty", nil, nil},
	} {
		t.Run(c.key, func(t *testing.T) {
			start, ok := StartOf(c.key)
			if !ok {
				t.Fatal("there is no such starting point")
			}
			if got := verdicts(t, start.Text); !slices.Equal(got, c.want) {
				t.Errorf("verdicts %v, want %v", got, c.want)
			}
			mended := start.Text
			for old, fresh := range c.mend {
				mended = replaceOnce(t, mended, old, fresh)
			}
			for _, v := range verdicts(t, mended) {
				if v != follows {
					t.Errorf("mended, it still has %v", v)
				}
			}
		})
	}
	if len(Starts) < 5 {
		t.Errorf("%d starting points", len(Starts))
	}
}

func replaceOnce(t *testing.T, text, old, fresh string) string {
	t.Helper()
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q is not there once", old)
	}
	return strings.Replace(text, old, fresh, 1)
}

func verdicts(t *testing.T, text string) (kinds []derive.Kind) {
	t.Helper()
	o, err := derivation.Judge(t.Context(), derivation.Input{Text: text})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range o.Lines {
		if l.Diagnostics.HasErrors() {
			t.Errorf("%v", l.Diagnostics)
		}
		if l.Verdict != nil {
			kinds = append(kinds, l.Verdict.Kind)
		}
	}
	return kinds
}
