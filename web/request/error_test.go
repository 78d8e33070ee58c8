package request

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"testing"

	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// What there was no room for is not a fault of the program: it is answered with 503
// and a reason, as a page and as a problem object.
func TestNoRoomIsNotAFault(t *testing.T) {
	s := &Site{Log: slog.New(slog.DiscardHandler), Assets: &page.Assets{}}
	for _, c := range []struct {
		name   string
		err    error
		status int
	}{
		{"too many wait", turns.ErrFull, 503},
		{"no page waits any more", fmt.Errorf("an evaluation: %w", context.DeadlineExceeded), 503},
		{"a refusal", ErrNotFound, 404},
		{"a fault", errors.New("a fault"), 500},
	} {
		for _, accept := range []string{"text/html", "application/json"} {
			r := httptest.NewRequest("GET", "/lesson/taper/figure/shaft/1/png", nil)
			r.Header.Set("Accept", accept)
			w := httptest.NewRecorder()
			s.Fail(w, r, c.err)
			if w.Code != c.status || w.Body.Len() == 0 {
				t.Errorf("%s, %s: status %d, want %d", c.name, accept, w.Code, c.status)
			}
			if again := w.Header().Get("Retry-After"); (again != "") != (c.status == 503) {
				t.Errorf("%s: Retry-After %q", c.name, again)
			}
		}
	}
}
