package web

import (
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"shaftbook/web/request"
)

var errHost = request.NewRefusal(http.StatusMisdirectedRequest, "host", "This is not an address of this server",
	"Open the address that your instructor gave you. The person who runs the server names its addresses with --origin.")

// addressed refuses requests that were not sent to this server by an address of its
// own: where it was told origins, the host of a request is one of theirs, or its own
// address from this machine or a trusted proxy (health checks, and proxies that pass
// on no name). And the page that sends a form is of such an origin with its scheme: a
// page that came unencrypted may be anybody's.
func (s *Server) addressed(next http.Handler) http.Handler {
	own := ownOrigins(s.scheme(), s.listener.Addr())
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(s.site.Origins) > 0 && !s.hasHost(r, own) {
			s.site.Fail(w, r, errHost)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead && !s.isOfScheme(r, own) {
			s.site.Fail(w, r, request.ErrCrossOrigin)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// hasHost reports whether a request names a host of this server.
func (s *Server) hasHost(r *http.Request, own []string) bool {
	for _, o := range s.site.Origins {
		if _, host, _ := strings.Cut(o, "://"); strings.EqualFold(strings.TrimSuffix(host, "/"), r.Host) {
			return true
		}
	}
	if strings.HasPrefix(r.URL.Path, healthPrefix) && s.site.IsLocal(r) {
		return true // whatever a supervisor on this machine calls it
	}
	return s.site.IsNear(r) && slices.Contains(own, s.scheme()+"://"+r.Host)
}

// isOfScheme reports whether the origin of a request, where its host is that of the
// request, has a scheme under which this server is reached. Other hosts are looked at
// elsewhere.
func (s *Server) isOfScheme(r *http.Request, own []string) bool {
	origin := r.Header.Get("Origin")
	scheme, host, _ := strings.Cut(origin, "://")
	switch {
	case origin == "", !strings.EqualFold(host, r.Host):
		return true
	case r.TLS != nil:
		return scheme == "https"
	case len(s.site.Origins) > 0:
		return slices.Contains(s.site.Origins, origin) || slices.Contains(own, origin)
	}
	return true // a proxy of which the server was not told may add TLS
}

// ownOrigins are the origins under which a page of this server can be opened
// without a proxy.
func ownOrigins(scheme string, address net.Addr) []string {
	tcp := address.(*net.TCPAddr)
	hosts := []string{tcp.IP.String()}
	if tcp.IP.IsLoopback() || tcp.IP.IsUnspecified() {
		hosts = append(hosts, "localhost", "127.0.0.1", "::1")
	}
	if tcp.IP.IsUnspecified() {
		hosts = append(hosts, interfaceHosts()...)
	}
	usual := map[string]int{"http": 80, "https": 443}[scheme]
	origins := make([]string, len(hosts))
	for i, host := range hosts {
		u := url.URL{Scheme: scheme, Host: net.JoinHostPort(host, strconv.Itoa(tcp.Port))}
		if tcp.Port == usual {
			u.Host = host
		}
		origins[i] = u.String()
	}
	return origins
}

// loopbackOrigins are the origins of this server that only this machine reaches.
func loopbackOrigins(scheme string, address net.Addr) (list []string) {
	port := address.(*net.TCPAddr).Port
	for _, host := range []string{"localhost", "127.0.0.1", "::1"} {
		list = append(list, scheme+"://"+net.JoinHostPort(host, strconv.Itoa(port)))
	}
	return list
}

// interfaceHosts are the addresses of this machine, for a server that a class
// reaches over the local network.
func interfaceHosts() []string {
	var hosts []string
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return nil // then --origin names them
	}
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok {
			hosts = append(hosts, n.IP.String())
		}
	}
	return hosts
}
