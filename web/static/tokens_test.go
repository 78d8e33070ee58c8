package static

import (
	"regexp"
	"testing"
)

// tokens are the colours of tokens.css and, of quantities, of figure.css, each in light
// and in dark.
func tokens(t *testing.T) map[string][2]string {
	t.Helper()
	pair := regexp.MustCompile(`--([a-z0-9-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\);`)
	found := map[string][2]string{}
	for _, m := range pair.FindAllStringSubmatch(string(mustRead("css/tokens.css"))+string(mustRead("css/figure.css")), -1) {
		found[m[1]] = [2]string{m[2], m[3]}
	}
	return found
}

// printed are the colours that print.css sets for paper.
func printed(t *testing.T) map[string]string {
	t.Helper()
	one := regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]{3,6});`)
	found := map[string]string{}
	for _, m := range one.FindAllStringSubmatch(string(mustRead("css/print.css")), -1) {
		found[m[1]] = m[2]
	}
	return found
}

// requirements are the least contrasts of what is read and of what carries a meaning,
// on every ground that it stands on (WCAG 2.2, 1.4.3 and 1.4.11).
var requirements = []struct {
	least   float64
	what    []string
	grounds []string
}{
	{4.5, []string{"ink", "ink-soft", "link", "bad", "good"}, []string{"paper", "paper-cell", "paper-raised"}},
	{4.5, []string{"ink", "ink-soft", "bad", "link"}, []string{"bad-wash"}},
	{4.5, []string{"ink"}, []string{"select"}},
	{3, []string{"focus", "bad-mark", "note-mark", "rule-strong", "margin-line"}, []string{"paper", "paper-cell", "paper-raised"}},
}

func TestContrasts(t *testing.T) {
	all := tokens(t)
	onPaper := printed(t)
	delete(onPaper, "margin-line") // on paper it divides nothing
	for _, r := range requirements {
		for _, name := range r.what {
			for _, ground := range r.grounds {
				for i, scheme := range []string{"light", "dark"} {
					a, ok := all[name]
					b, okGround := all[ground]
					if !ok || !okGround {
						t.Fatalf("no token %s or %s", name, ground)
					}
					if c := contrast(colourOf(a[i]), colourOf(b[i])); c < r.least {
						t.Errorf("%s, %s on %s: %.2f, want %.1f", scheme, name, ground, c, r.least)
					}
				}
				// A token that paper does not set is as in light.
				a, b := all[name][0], "#ffffff"
				if set, ok := onPaper[name]; ok {
					a = set
				}
				if c := contrast(colourOf(a), colourOf(b)); c < r.least {
					t.Errorf("print, %s: %.2f, want %.1f", name, c, r.least)
				}
			}
		}
	}
}

// Another file may set colours for paper alone.
func TestOnlyTokensNameColours(t *testing.T) {
	named := regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b|\brgba?\(|\bhsl`)
	for _, name := range mustGlob("css/*.css") {
		if name == "css/tokens.css" || name == "css/print.css" || name == "css/figure.css" {
			continue
		}
		text := regexp.MustCompile(`(?s)@media print \{.*?\n\}`).ReplaceAllString(string(mustRead(name)), "")
		if m := named.FindString(text); m != "" {
			t.Errorf("%s names the colour %s", name, m)
		}
	}
}
