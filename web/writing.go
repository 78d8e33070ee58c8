package web

import (
	"context"
	"net/http"
	"slices"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/web/app/proofread"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// startChecking begins to check the lessons that are written, until the server is closed.
// It gives way to readers as whatever else is calculated here.
func (s *Server) startChecking() (*proofread.Service, <-chan struct{}) {
	proofs := proofread.New(s.catalog, s.Writes, func(ctx context.Context, l *lessons.Lesson) (list source.List, err error) {
		err = turns.Do(ctx, turns.Prove, func(ctx context.Context) error {
			list, err = lessons.CheckBehind(ctx, l, false)
			return err
		})
		return list, err
	})
	ctx, stop := context.WithCancel(context.Background())
	s.stopChecking = stop
	go proofs.Run(turns.With(ctx, s.queue, turns.Who{Share: "lessons that are written"}))
	return proofs, ctx.Done()
}

var errNotWriter = request.NewRefusal(http.StatusForbidden, "not-allowed", "Lessons are written on the machine of the server",
	"Open this page there, under the address that the server prints. On a server with classes, instructors who are signed in can open it from anywhere.")

// isWriter reports whether a request on an open server comes from a browser of this
// machine by an address of this machine: not through a proxy, and not from a page that has
// its own name lead here.
func (s *Server) isWriter(r *http.Request) bool {
	if !s.site.IsLocal(r) || len(s.site.Origins) > 0 || len(s.site.Proxies) > 0 {
		return false
	}
	for _, sign := range []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via"} {
		if r.Header.Get(sign) != "" {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin": // no browser, an address that was typed, a page of ours
	default:
		return false
	}
	return slices.Contains(loopbackOrigins(s.scheme(), s.listener.Addr()), s.scheme()+"://"+r.Host)
}

// framed lets pages of this server frame one, for the view as a phone.
func framed(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", writingPolicy)
		next(w, r)
	}
}
