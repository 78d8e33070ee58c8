package request

import (
	"net/http/httptest"
	"net/netip"
	"testing"
)

func TestClientAddress(t *testing.T) {
	s := &Site{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}}
	for _, c := range []struct {
		name, from string
		said       []string
		want       string
	}{
		{"straight", "192.0.2.7:5000", nil, "192.0.2.7"},
		{"straight, with a header of one’s own", "192.0.2.7:5000", []string{"198.51.100.1"}, "192.0.2.7"},
		{"through a proxy", "10.0.0.1:5000", []string{"192.0.2.7"}, "192.0.2.7"},
		{"through two", "10.0.0.1:5000", []string{"192.0.2.7, 10.9.9.9"}, "192.0.2.7"},
		{"with an address invented in front", "10.0.0.1:5000", []string{"198.51.100.1, 192.0.2.7"}, "192.0.2.7"},
		{"in two headers", "10.0.0.1:5000", []string{"198.51.100.1", "192.0.2.7"}, "192.0.2.7"},
		{"with a port", "10.0.0.1:5000", []string{"192.0.2.7:4000"}, "192.0.2.7"},
		{"a proxy that says nothing", "10.0.0.1:5000", nil, "10.0.0.1"},
		{"a proxy that says nonsense", "10.0.0.1:5000", []string{"192.0.2.7, unknown"}, "10.0.0.1"},
		{"proxies only", "10.0.0.1:5000", []string{"10.0.0.3, 10.0.0.2"}, "10.0.0.3"},
		{"an address of IPv6 is its network", "[2001:db8:1:2:3:4:5:6]:5000", nil, "2001:db8:1:2::/64"},
		{"IPv4 written as IPv6", "[::ffff:192.0.2.7]:5000", nil, "192.0.2.7"},
		{"a proxy by IPv6", "[fd00::1]:5000", []string{"[2001:db8::1]:443"}, "2001:db8::/64"},
		{"no address", "@", []string{"192.0.2.7"}, "@"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "/", nil)
			r.RemoteAddr = c.from
			r.Header["X-Forwarded-For"] = c.said
			if got := s.ClientOf(r); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

// Whatever a proxy passes on, what counts is an address of the list or the peer.
func FuzzClientAddress(f *testing.F) {
	f.Add("192.0.2.7, 10.9.9.9")
	f.Add(",,")
	f.Add("[::1%x]:7")
	s := &Site{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}}
	f.Fuzz(func(t *testing.T, said string) {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = "10.0.0.1:5000"
		r.Header.Set("X-Forwarded-For", said)
		got := s.ClientOf(r)
		if _, err := netip.ParseAddr(got); err == nil {
			return
		}
		if _, err := netip.ParsePrefix(got); err != nil {
			t.Errorf("%q gives %q", said, got)
		}
	})
}

func TestIsSecure(t *testing.T) {
	s := &Site{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}, Origins: []string{"http://plain.example", "https://twist.example"}}
	for _, c := range []struct {
		name, from, host, said string
		want                   bool
	}{
		{"plain", "192.0.2.7:5000", "x.example", "", false},
		{"under an https origin", "192.0.2.7:5000", "Twist.example", "", true},
		{"under an http origin", "192.0.2.7:5000", "plain.example", "", false},
		{"somebody says so", "192.0.2.7:5000", "x.example", "https", false},
		{"a proxy says so", "10.0.0.1:5000", "x.example", "https", true},
		{"a proxy says no", "10.0.0.1:5000", "twist.example", "http", false},
		{"the last proxy counts", "10.0.0.1:5000", "x.example", "http", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "http://"+c.host+"/", nil)
			r.RemoteAddr = c.from
			if c.said != "" {
				r.Header.Set("X-Forwarded-Proto", c.said)
			}
			if got := s.IsSecure(r); got != c.want {
				t.Errorf("%v", got)
			}
		})
	}
}
