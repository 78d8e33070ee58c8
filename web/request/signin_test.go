package request

import (
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"shaftbook/exercises/store"
)

// A sign-in that the store cannot serve is not told that something was not saved.
func TestStoreFailsAtSignIn(t *testing.T) {
	s := &Site{Log: slog.New(slog.DiscardHandler)}
	for path, want := range map[string]string{"/sign-in": "cannot sign in", "/lesson/quill/kept": "could not be saved"} {
		told := s.RefusalOf(httptest.NewRecorder(), httptest.NewRequest("POST", path, nil), store.ErrGone)
		if told == nil || !strings.Contains(told.Title, want) {
			t.Errorf("%s: %+v, want %q", path, told, want)
		}
	}
}
