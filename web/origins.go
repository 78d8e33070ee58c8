package web

import (
	"net"
	"net/url"
	"strconv"
)

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
