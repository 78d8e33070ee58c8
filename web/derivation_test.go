package web

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"shaftbook/web/app/derivation"
)

// A server that keeps nothing judges what a form sends.
func TestDerivationForms(t *testing.T) {
	base := strings.TrimSuffix(openAsked(t, nil, io.Discard).URL(), "/")
	const text = "given T: torque > 0, d: length > 0\r\nτ = T·(d/2)/(π/32·d^4)\r\n  = ?\r\n  = 16·T/(π·d^3)"
	for _, c := range []struct {
		name, method, path string
		form               url.Values
		status             int
		want, never        []string
	}{
		{"the starting points", "GET", "/derivation", nil, 200,
			[]string{`href="/derivation?start=taper"`, `<div data-explains="agrees">`}, []string{`name="start"`}},
		{"an empty derivation", "GET", "/derivation?start=empty", nil, 200,
			[]string{`data-outcome="none"`, `class="how screen js-how" open`}, []string{"data-posted", `name="base"`}},
		{"a starting point", "GET", "/derivation?start=mistake", nil, 200, []string{"data-posted", `data-slip="split-power"`, `data-outcome="fails"`}, nil},
		{"no such starting point", "GET", "/derivation?start=none", nil, 404, nil, nil},
		{"a gap is left open", "POST", "/derivation", url.Values{"text": {text}}, 200,
			[]string{`class="step-gap"`, `data-outcome="unfinished"`, `name="gap-1"`}, []string{"\r", `data-verdict="fails"`}},
		{"a gap is filled wrongly", "POST", "/derivation", url.Values{"text": {text}, "gap-1": {"8·T/(π·d^3)"}}, 200,
			[]string{`data-verdict="fails"`, `data-slip="factor"`, `value="8·T/(π·d^3)"`}, nil},
		{"numbers", "POST", "/derivation", url.Values{"text": {text}, "data-T": {"420 N·m"}, "data-d": {"36 mm"}}, 200,
			[]string{"= 45.85 MPa", `class="agree"`, `value="36 mm"`}, nil},
		{"a number without its unit", "POST", "/derivation", url.Values{"text": {text}, "data-T": {"420"}}, 200,
			[]string{`-data-T-said">T`}, nil},
		{"markup is text", "POST", "/derivation", url.Values{"text": {"<script>a</script>"}, "gap-1": {"<b>"}, "data-<b>": {"<b>"}}, 200,
			[]string{"&lt;script&gt;"}, []string{"<script>a", "<b>"}},
		{"too long", "POST", "/derivation", url.Values{"text": {strings.Repeat("a", derivation.TextLimit+1)}}, 413, nil, nil},
		{"a gap of a strange number", "POST", "/derivation", url.Values{"text": {text}, "gap-99999999": {"x"}, "gap--1": {"x"}, "gap-x": {"x"}}, 200, []string{`class="step-gap"`}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, err := http.Get(base + c.path)
			if c.method == http.MethodPost {
				answer, err = http.PostForm(base+c.path, c.form)
			}
			if err != nil {
				t.Fatal(err)
			}
			defer answer.Body.Close()
			all, err := io.ReadAll(answer.Body)
			if err != nil {
				t.Fatal(err)
			}
			body := string(all)
			if answer.StatusCode != c.status {
				t.Fatalf("status %d, want %d", answer.StatusCode, c.status)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("the page lacks %q", want)
				}
			}
			for _, never := range c.never {
				if strings.Contains(body, never) {
					t.Errorf("the page holds %q", never)
				}
			}
		})
	}
}
