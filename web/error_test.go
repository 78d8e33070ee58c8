package web

import (
	"bytes"
	"log/slog"
	"net/http"
	"strings"
	"testing"
)

// The token of a link is not in the log, where it would let in anyone who reads it.
func TestLogHoldsNoTokens(t *testing.T) {
	s := openSchool(t)
	var log bytes.Buffer
	s.site.Log = slog.New(slog.NewTextHandler(&log, nil))
	s.must(s.store.Close()) // so that everything fails
	r, body := s.at("", "GET", "/link/SECRETTOKEN")
	wantStatus(t, r, body, http.StatusServiceUnavailable)
	if !strings.Contains(log.String(), "/link/{token}") || strings.Contains(log.String(), "SECRETTOKEN") {
		t.Errorf("the log says %s", log.String())
	}
}
