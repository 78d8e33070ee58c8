package request

import (
	"net/http"
	"slices"
)

// OriginFor is the origin of addresses that the visitor hands on to others:
// that of the request, unless the server was told origins and it is none of
// them, as behind a proxy that does not pass on the name it was asked by.
func (s *Site) OriginFor(r *http.Request) string {
	own := "http://" + r.Host
	if s.IsSecure(r) {
		own = "https://" + r.Host
	}
	if len(s.Origins) == 0 || slices.Contains(s.Origins, own) {
		return own
	}
	return s.Origins[0]
}
