package request

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// ClientOf returns the address of the visitor, as what is limited by address
// counts it: of IPv6 the network, since one line has all the addresses of a /64.
//
// A header gives the address only if a proxy that the server was told of has sent
// it: then the last of the addresses that is not a proxy itself, since what is
// before it may be invented.
func (s *Site) ClientOf(r *http.Request) string {
	client, ok := peer(r)
	if !ok {
		return r.RemoteAddr
	}
	if s.isProxy(client) {
		said := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
		for _, one := range slices.Backward(said) {
			before, ok := addressIn(one)
			if !ok {
				break
			}
			if client = before; !s.isProxy(client) {
				break
			}
		}
	}
	if client.Is6() {
		network, _ := client.Prefix(64)
		return network.String()
	}
	return client.String()
}

// peer is the address at the other end of a connection.
func peer(r *http.Request) (netip.Addr, bool) { return addressIn(r.RemoteAddr) }

// addressIn reads an address, with or without a port.
func addressIn(s string) (netip.Addr, bool) {
	s = strings.TrimSpace(s)
	if a, err := netip.ParseAddrPort(s); err == nil {
		return a.Addr().Unmap().WithZone(""), true
	}
	a, err := netip.ParseAddr(s)
	return a.Unmap().WithZone(""), err == nil
}

// IsLocal reports whether a request comes from this machine.
func (s *Site) IsLocal(r *http.Request) bool {
	from, ok := peer(r)
	return ok && from.IsLoopback()
}

// IsNear reports whether a request comes from this machine or from a proxy that the
// server was told of.
func (s *Site) IsNear(r *http.Request) bool {
	from, ok := peer(r)
	return ok && (from.IsLoopback() || s.isProxy(from))
}

func (s *Site) isProxy(a netip.Addr) bool {
	return slices.ContainsFunc(s.Proxies, func(p netip.Prefix) bool { return p.Contains(a) })
}

// IsSecure reports whether the reader's own connection is encrypted: here, by a
// proxy that says so and that the server was told to believe, or under one of the
// https origins that it was told of.
func (s *Site) IsSecure(r *http.Request) bool {
	if r.TLS != nil {
		return true
	}
	if from, ok := peer(r); ok && s.isProxy(from) {
		if said := r.Header.Values("X-Forwarded-Proto"); len(said) > 0 {
			return strings.EqualFold(strings.TrimSpace(said[len(said)-1]), "https")
		}
	}
	return slices.ContainsFunc(s.Origins, func(o string) bool {
		host, found := strings.CutPrefix(o, "https://")
		return found && strings.EqualFold(host, r.Host)
	})
}
