package web

import (
	"net/http"
	"strings"
)

// policy is the content security policy of every answer: everything comes
// from this server, nothing is written inline, and no other page may frame
// this one.
const policy = "default-src 'none'; " +
	"script-src 'self'; " +
	"style-src 'self'; " +
	"font-src 'self'; " +
	"img-src 'self'; " +
	"connect-src 'self'; " + // covers the websocket to the same host
	"base-uri 'none'; " +
	"form-action 'self'; " +
	"frame-ancestors 'none'"

// writingPolicy is that of lessons that are written: pages of this server may frame them,
// to show them as in the window of a phone.
var writingPolicy = strings.Replace(policy, "frame-ancestors 'none'", "frame-ancestors 'self'; frame-src 'self'", 1)

// encryptedFor is how long a browser that came by TLS comes by nothing else, in
// seconds: a year (RFC 6797).
const encryptedFor = "max-age=31536000"

// secured sets the headers that keep a page to itself.
func (s *Server) secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		if s.site.IsSecure(r) {
			h.Set("Strict-Transport-Security", encryptedFor)
		}
		next.ServeHTTP(w, r)
	})
}
