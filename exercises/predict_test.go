package exercises

import (
	"context"
	"fmt"
	"strings"
	"testing"
)

func TestPredict(t *testing.T) {
	v := set(t, quill)
	var said strings.Builder
	for _, c := range []struct {
		name, guess string
		ok, held    bool
	}{
		{"bracket", "between 0.5 deg and 0.9 deg", true, true},
		{"bracket", "0.7 deg ± 0.6 deg", true, true},
		{"bracket", "between 1 deg and 2 deg", true, false},
		{"bracket", "between 0.1 deg and 0.2 deg", true, false},
		{"bracket", "between 0,5 deg and 0,9 degrees.", true, true},
		{"bracket", "between 0,5 deg and 1,000 deg", true, true}, // the other comma is a decimal mark
		{"bracket", "between 1,000 deg and 2,000 deg", false, false},
		{"bracket", "between 0,5,1 deg and 1 deg", false, false},
		{"bracket", "0.7 deg", false, false},
		{"bracket", "between 1 mm and 2 mm", false, false},
		{"bracket", "between 1 and", false, false},
		{"bracket", "S.twist ± 0.1", false, false},
		{"thicker", "less", true, true},
		{"thicker", "More", true, false},
		{"thicker", "same", true, false},
		{"thicker", "perhaps", false, false},
	} {
		p, ok, err := v.Predict(context.Background(), c.name, c.guess)
		if err != nil || ok != c.ok || p.Held != c.held {
			t.Errorf("%s %q: %+v, %v, %v", c.name, c.guess, p, ok, err)
		}
		fmt.Fprintf(&said, "%s, %s: %s\n", c.name, c.guess, p.Message)
		if (p.Result != "") != c.ok {
			t.Errorf("%s %q shows the result %q", c.name, c.guess, p.Result)
		}
	}
	golden(t, "predict.golden", said.String())
	if _, _, err := v.Predict(context.Background(), "other", "more"); err == nil {
		t.Error("a prediction that is not there has no guess")
	}
}
