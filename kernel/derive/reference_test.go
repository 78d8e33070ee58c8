package derive_test

import (
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// The derivations of the reference get the verdicts that it states behind "# →".
func TestReference(t *testing.T) {
	text, err := os.ReadFile("../notation/README.md")
	if err != nil {
		t.Fatal(err)
	}
	stated := 0
	for i, part := range strings.Split(string(text), "```") {
		body, isDerivation := strings.CutPrefix(part, "derive\n")
		if i%2 == 0 || !isDerivation {
			continue
		}
		want := map[int]string{}
		for n, line := range strings.Split(body, "\n") {
			if _, kind, ok := strings.Cut(line, "# → "); ok {
				want[n+1] = strings.TrimSpace(kind)
				stated++
			}
		}
		r := judgeText(t, body)
		for _, v := range r.Verdicts {
			if kind, ok := want[v.Line]; ok && v.Kind.String() != kind || !ok && v.Kind != derive.Gap && v.Kind != derive.Follows {
				t.Errorf("%s: %s, the reference states %q: %s", v.Span.Content(), v.Kind, want[v.Line], v.Why)
			}
		}
	}
	if stated < 20 {
		t.Errorf("only %d verdicts are stated", stated)
	}
}
