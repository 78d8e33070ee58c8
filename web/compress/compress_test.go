package compress

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

func TestSend(t *testing.T) {
	body := strings.Repeat("the twist of a shaft ", 200)
	b := New("text/plain; charset=utf-8", []byte(body))
	for _, c := range []struct {
		name, accept, coding string
	}{
		{"brotli is preferred", "gzip, deflate, br", "br"},
		{"gzip when there is no brotli", "gzip", "gzip"},
		{"a weight of zero refuses", "br;q=0, gzip;q=0.5", "gzip"},
		{"nothing accepted", "", ""},
		{"star gets the plain form", "*", ""},
		{"case does not matter", "BR", "br"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest(http.MethodGet, "/", nil)
			r.Header.Set("Accept-Encoding", c.accept)
			w := httptest.NewRecorder()
			b.ServeHTTP(w, r)
			if got := w.Header().Get("Content-Encoding"); got != c.coding {
				t.Fatalf("Content-Encoding = %q, want %q", got, c.coding)
			}
			if got := unpack(t, w.Body.Bytes(), c.coding); got != body {
				t.Errorf("the body came back changed: %.40q…", got)
			}
			again := httptest.NewRequest(http.MethodGet, "/", nil)
			again.Header.Set("Accept-Encoding", c.accept)
			again.Header.Set("If-None-Match", w.Header().Get("ETag"))
			second := httptest.NewRecorder()
			b.ServeHTTP(second, again)
			if second.Code != http.StatusNotModified || second.Body.Len() != 0 {
				t.Errorf("with its own tag: status %d and %d bytes, want 304 and none", second.Code, second.Body.Len())
			}
		})
	}
}

func unpack(t *testing.T, body []byte, coding string) string {
	t.Helper()
	var r io.Reader = bytes.NewReader(body)
	switch coding {
	case "br":
		r = brotli.NewReader(r)
	case "gzip":
		z, err := gzip.NewReader(r)
		if err != nil {
			t.Fatal(err)
		}
		r = z
	}
	plain, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(plain)
}

func TestErrorPagesCarryNoTag(t *testing.T) {
	w := httptest.NewRecorder()
	New("text/html", []byte("gone")).Send(w, httptest.NewRequest(http.MethodGet, "/", nil), http.StatusNotFound)
	if w.Code != http.StatusNotFound || w.Header().Get("ETag") != "" {
		t.Errorf("status %d, ETag %q; want 404 and no tag", w.Code, w.Header().Get("ETag"))
	}
}
