package account

import (
	"net/url"
	"strings"
	"testing"
)

var localPaths = []struct{ name, address, want string }{
	{"a page", "/lesson/wheel", "/lesson/wheel"},
	{"a page with a query", "/lesson/wheel?at=%2F%2Fweir.example", "/lesson/wheel?at=%2F%2Fweir.example"},
	{"the shelf", "/", "/"},
	{"nothing", "", ""},
	{"another host", "https://weir.example/", ""},
	{"another host, the scheme left out", "//weir.example/", ""},
	{"with a backslash", `/\weir.example/`, ""},
	{"with two", `\\weir.example/`, ""},
	{"with a tab that browsers take out", "/\t/weir.example/", ""},
	{"with a line end", "/\n/weir.example/", ""},
	{"with a space in front", " //weir.example/", ""},
	{"a script", "javascript:alert(1)", ""},
	{"a page beside", "lesson/wheel", ""},
	{"a host that is no host", "/%zz", ""},
}

func TestLocalPath(t *testing.T) {
	for _, c := range localPaths {
		t.Run(c.name, func(t *testing.T) {
			if got := localPath(c.address); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// Wherever someone is sent after signing in, it is a page of this server, as a
// browser reads addresses: it takes out tabs and line ends and reads a backslash
// as a slash (WHATWG URL Standard, basic URL parser).
func FuzzLocalPath(f *testing.F) {
	for _, c := range localPaths {
		f.Add(c.address)
	}
	f.Fuzz(func(t *testing.T, address string) {
		got := localPath(address)
		if got == "" {
			return
		}
		read := strings.NewReplacer("\t", "", "\n", "", "\r", "", `\`, "/").Replace(strings.TrimSpace(got))
		base, _ := url.Parse("https://twist.example/sign-in")
		u, err := base.Parse(read)
		if err != nil || u.Host != base.Host || u.Scheme != base.Scheme || strings.HasPrefix(read, "//") {
			t.Errorf("%q leads to %v (%v)", address, u, err)
		}
	})
}
