package web

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"shaftbook/web/app/derivation"
)

func TestDerivationForms(t *testing.T) {
	base := strings.TrimSuffix(open(t).URL(), "/")
	const text = "given T: torque > 0, d: length > 0\r\nτ = T·(d/2)/(π/32·d^4)\r\n  = ?\r\n  = 16·T/(π·d^3)"
	for _, c := range []struct {
		name, method, path string
		form               url.Values
		status             int
		want, never        []string
	}{
		{"an empty sheet", "GET", "/derivation", nil, 200,
			[]string{"There is no step to judge yet", "How a derivation is written", `href="/derivation?example=taper"`}, []string{"data-posted"}},
		{"an example", "GET", "/derivation?example=slip", nil, 200, []string{"data-posted", "one name for another", "The first line that does not follow is"}, nil},
		{"no such example", "GET", "/derivation?example=none", nil, 404, nil, nil},
		{"a gap is left open", "POST", "/derivation", url.Values{"text": {text}}, 200,
			[]string{"to be filled in", "1 step follows; 1 is to be filled in.", `name="gap-1"`}, []string{"\r", "does not follow"}},
		{"a gap is filled wrongly", "POST", "/derivation", url.Values{"text": {text}, "gap-1": {"8·T/(π·d^3)"}}, 200,
			[]string{"does not follow", "Kind of mistake: <strong>a constant factor</strong>", `value="8·T/(π·d^3)"`}, nil},
		{"numbers", "POST", "/derivation", url.Values{"text": {text}, "data-T": {"420 N·m"}, "data-d": {"36 mm"}}, 200,
			[]string{"= 45.85 MPa", "Every line has the value of the line above it", `value="36 mm"`}, nil},
		{"a number without its unit", "POST", "/derivation", url.Values{"text": {text}, "data-T": {"420"}}, 200,
			[]string{"T is a torque, so its number needs a unit, such as N·m."}, nil},
		{"markup is text", "POST", "/derivation", url.Values{"text": {"<script>a</script>"}, "gap-1": {"<b>"}, "data-<b>": {"<b>"}}, 200,
			[]string{"&lt;script&gt;"}, []string{"<script>a", "<b>"}},
		{"too long", "POST", "/derivation", url.Values{"text": {strings.Repeat("a", derivation.TextLimit+1)}}, 413, nil, nil},
		{"a gap of a strange number", "POST", "/derivation", url.Values{"text": {text}, "gap-99999999": {"x"}, "gap--1": {"x"}, "gap-x": {"x"}}, 200, []string{"to be filled in"}, nil},
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
