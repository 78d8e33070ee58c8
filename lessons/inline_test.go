package lessons

import "testing"

func TestInline(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"plain words", "By how much?", "By how much?"},
		{"emphasis", "the *far* end", "the <em>far</em> end"},
		{"raw HTML is not passed through", "a <b>bold</b> claim", "a bold claim"},
		{"a character that HTML reserves", "d < 3", "d &lt; 3"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := Inline(test.in)
			if err != nil || got != test.want {
				t.Errorf("%q, %v; want %q", got, err, test.want)
			}
		})
	}
}
