package exercises

import (
	"context"
	"strings"
	"testing"
)

func TestPredict(t *testing.T) {
	v := set(t, quill)
	for _, c := range []struct {
		name, guess string
		ok, held    bool
		says        string
	}{
		{"bracket", "between 0.5 deg and 0.9 deg", true, true, "narrow"},
		{"bracket", "0.7 deg ± 0.6 deg", true, true, "narrower"},
		{"bracket", "between 1 deg and 2 deg", true, false, "below your bracket"},
		{"bracket", "between 0.1 deg and 0.2 deg", true, false, "above your bracket"},
		{"bracket", "0.7 deg", false, false, "A guess is a bracket"},
		{"bracket", "between 1 mm and 2 mm", false, false, "a length"},
		{"bracket", "between 1 and", false, false, "cannot be read"},
		{"bracket", "S.twist ± 0.1", false, false, "given names"},
		{"thicker", "less", true, true, "As you said"},
		{"thicker", "More", true, false, "it is less"},
		{"thicker", "same", true, false, "it is less"},
		{"thicker", "perhaps", false, false, "more, less or same"},
	} {
		p, ok, err := v.Predict(context.Background(), c.name, c.guess)
		if err != nil || ok != c.ok || p.Held != c.held || !strings.Contains(p.Message, c.says) {
			t.Errorf("%s %q: %+v, %v, %v", c.name, c.guess, p, ok, err)
		}
		if (p.Result != "") != c.ok {
			t.Errorf("%s %q shows the result %q", c.name, c.guess, p.Result)
		}
	}
	if _, _, err := v.Predict(context.Background(), "other", "more"); err == nil {
		t.Error("a prediction that is not there has no guess")
	}
}
