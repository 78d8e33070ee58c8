package reader

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"shaftbook/web/compress"
)

func TestCutAndFill(t *testing.T) {
	gaps := []string{"<!--1-->", "<!--2-->", "<!--3-->"}
	fill := map[string][]byte{"<!--1-->": []byte("one"), "<!--2-->": []byte("a <!--3--> of its own")}
	for _, c := range []struct{ name, text, want string }{
		{"no text", "", ""},
		{"no gap", "a page", "a page"},
		{"in the order of the list", "a<!--1-->b<!--2-->c", "aoneba <!--3--> of its ownc"},
		{"in another order", "a<!--2-->b<!--1-->c", "aa <!--3--> of its ownbonec"},
		{"side by side, at both ends", "<!--1--><!--2-->", "onea <!--3--> of its own"},
		{"nothing to fill it", "a<!--3-->b<!--1-->", "a<!--3-->bone"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := httptest.NewRecorder()
			compress.Joined("text/html", filled(cut([]byte(c.text), gaps), fill)...).ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
			if got := w.Body.String(); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
