package request

import (
	"net/http/httptest"
	"testing"
)

func TestOriginFor(t *testing.T) {
	told := []string{"https://twist.example", "http://mill.example:8080"}
	for _, c := range []struct {
		name    string
		origins []string
		host    string
		want    string
	}{
		{"told nothing", nil, "192.0.2.7:8080", "http://192.0.2.7:8080"},
		{"the first of those told", told, "twist.example", "https://twist.example"},
		{"another of those told", told, "mill.example:8080", "http://mill.example:8080"},
		{"a proxy that asks by another name", told, "127.0.0.1:8080", "https://twist.example"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest("GET", "/classes", nil)
			r.Host = c.host
			s := &Site{Origins: c.origins}
			if got := s.OriginFor(r); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
