package account

import (
	"net/http/httptest"
	"testing"
	"time"

	"shaftbook/web/request"
)

// Right passwords over and over are bounded too: each costs a hashing.
func TestRightPasswordsAreLimited(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	h := New(&request.Site{Clock: func() time.Time { return now }}, nil, nil, nil)
	right := func() (*loginAttempt, time.Duration) {
		k, wait, err := h.attempt(httptest.NewRequest("POST", "/sign-in", nil), "sign-in", "s01")
		if err != nil {
			t.Fatal(err)
		}
		return k, wait
	}
	for i := range 1000 {
		k, wait := right()
		if wait == 0 {
			k.succeed()
			continue
		}
		if i < 20 {
			t.Errorf("number %d waits %v", i, wait)
		}
		now = now.Add(wait)
		if _, more := right(); more != 0 {
			t.Errorf("after %v it is %v more", wait, more)
		}
		return
	}
	t.Error("1000 are let through")
}
