package compress

import (
	"bytes"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// TestJoined unpacks bodies of pieces with readers of others and compares them byte for
// byte.
func TestJoined(t *testing.T) {
	random := make([]byte, 100_000) // more than one stored block
	source := rand.NewChaCha8([32]byte{})
	_, _ = source.Read(random)
	shared := NewPiece([]byte(strings.Repeat("a page that all readers share ", 3000)))
	for _, c := range []struct {
		name   string
		pieces []*Piece
	}{
		{"none", nil},
		{"one that is empty", []*Piece{NewPiece(nil)}},
		{"one", []*Piece{NewPiece([]byte("x"))}},
		{"between two that are shared", []*Piece{shared, NewPiece([]byte("<p>mine</p>")), shared}},
		{"empty ones between", []*Piece{NewPiece(nil), shared, NewPiece(nil), NewPiece([]byte("end"))}},
		{"one that cannot be packed", []*Piece{shared, NewPiece(random), shared}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var want []byte
			for _, p := range c.pieces {
				want = append(want, p.plain...)
			}
			b := Joined("text/html", c.pieces...)
			if b.Len() != len(want) {
				t.Errorf("Len = %d, want %d", b.Len(), len(want))
			}
			tags := map[string]bool{}
			for accept, coding := range map[string]string{"gzip, br": "gzip", "gzip": "gzip", "br": "br", "": ""} {
				r := httptest.NewRequest(http.MethodGet, "/", nil)
				r.Header.Set("Accept-Encoding", accept)
				w := httptest.NewRecorder()
				b.ServeHTTP(w, r)
				h := w.Header()
				if h.Get("Content-Encoding") != coding || h.Get("Vary") != "Accept-Encoding" || h.Get("Content-Length") != strconv.Itoa(w.Body.Len()) {
					t.Fatalf("%q: %d bytes with %v", accept, w.Body.Len(), h)
				}
				if got := unpack(t, w.Body.Bytes(), coding); got != string(want) {
					t.Errorf("%q: the body came back changed: %.40q…", accept, got)
				}
				tags[h.Get("ETag")] = true
				r.Header.Set("If-None-Match", h.Get("ETag"))
				w = httptest.NewRecorder()
				b.ServeHTTP(w, r)
				if w.Code != http.StatusNotModified || w.Body.Len() != 0 {
					t.Errorf("%q with its own tag: status %d and %d bytes", accept, w.Code, w.Body.Len())
				}
			}
			if len(tags) != 3 {
				t.Errorf("three codings have the tags %v", tags)
			}
		})
	}
}

// TestJoinedTags compares the tags of bodies that differ in what one reader has.
func TestJoinedTags(t *testing.T) {
	shared := NewPiece([]byte("shared"))
	tags := map[string]string{}
	for _, own := range []string{"", "a", "b", "ab", "shared"} {
		tag := Joined("text/html", shared, NewPiece([]byte(own)), shared).Hash()
		if again := Joined("text/html", shared, NewPiece([]byte(own)), shared).Hash(); again != tag {
			t.Errorf("%q has the tags %s and %s", own, tag, again)
		}
		if before, ok := tags[tag]; ok {
			t.Errorf("%q and %q have the tag %s", before, own, tag)
		}
		tags[tag] = own
	}
}

// TestJoinedTogether sends one piece to many readers at once.
func TestJoinedTogether(t *testing.T) {
	shared := NewPiece([]byte(strings.Repeat("a page that all readers share ", 3000)))
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			own := bytes.Repeat([]byte{byte('a' + i)}, 1000*i)
			r := httptest.NewRequest(http.MethodGet, "/", nil)
			r.Header.Set("Accept-Encoding", "gzip")
			w := httptest.NewRecorder()
			Joined("text/html", shared, NewPiece(own), shared).ServeHTTP(w, r)
			if got := unpack(t, w.Body.Bytes(), "gzip"); got != string(shared.plain)+string(own)+string(shared.plain) {
				t.Errorf("reader %d has another page", i)
			}
		})
	}
	all.Wait()
}
