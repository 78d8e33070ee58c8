package web

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/netip"
	"net/url"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"shaftbook/web/live"
)

// Behind a proxy that adds TLS, as INSTRUCTORS.md has it set up: links and cookies
// are of its address, lessons open through it, and readers are told apart.
func TestBehindAProxy(t *testing.T) {
	s := openSchool(t)
	s.site.Proxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.1/32")}
	back, err := url.Parse(s.URL())
	s.must(err)
	from := "192.0.2.7" // whom the proxy says it asks for
	front := httptest.NewTLSServer(&httputil.ReverseProxy{Rewrite: func(p *httputil.ProxyRequest) {
		p.SetURL(back)
		p.Out.Host = p.In.Host
		p.SetXForwarded()
		p.Out.Header.Set("X-Forwarded-For", from)
	}})
	defer front.Close()
	s.site.Origins, s.Origins = []string{front.URL}, []string{front.URL}
	s.hub = s.newHub()
	s.http.Handler = s.handler()

	link, err := s.EntryLink(t.Context(), "s01")
	s.must(err)
	if !strings.HasPrefix(link, front.URL+"/link/") {
		t.Fatalf("the link is %s", link)
	}
	client := front.Client()
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	r, err := client.PostForm(link, url.Values{"password": {goodPassword}})
	s.must(err)
	r.Body.Close()
	cookie := r.Cookies()[0]
	if r.StatusCode != http.StatusSeeOther || cookie.Name != "__Host-shaftbook" || !cookie.Secure || r.Header.Get("Strict-Transport-Security") == "" {
		t.Fatalf("%s %s %v", r.Status, cookie.Raw, r.Header)
	}
	config := client.Transport.(*http.Transport).TLSClientConfig.Clone()
	config.NextProtos = nil
	dialer := websocket.Dialer{TLSClientConfig: config, Subprotocols: []string{live.Protocol}}
	conn, _, err := dialer.Dial(strings.Replace(front.URL, "https", "wss", 1)+"/live", http.Header{"Origin": {front.URL}, "Cookie": {cookie.Name + "=" + cookie.Value}})
	s.must(err)
	conn.Close()

	// One address that guesses links waits; another does not.
	guess := func() int {
		r, err := client.Get(front.URL + "/link/none")
		s.must(err)
		r.Body.Close()
		return r.StatusCode
	}
	for range 121 {
		guess()
	}
	if got := guess(); got != http.StatusTooManyRequests {
		t.Errorf("who guesses gets %d", got)
	}
	if from = "192.0.2.8"; guess() != http.StatusGone {
		t.Error("somebody else waits too")
	}
}
