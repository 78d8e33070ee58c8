package request

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// A Refusal is an error whose words are shown to the reader; of every other error
// the reader is shown a number that is in the log.
type Refusal struct {
	Status         int
	Kind           string // of the problem object
	Title, Message string
}

// NewRefusal returns a refusal with an HTTP status.
func NewRefusal(status int, kind, title, message string) *Refusal {
	return &Refusal{status, kind, title, message}
}

func (r *Refusal) Error() string { return r.Title + ": " + r.Message }

// Kinds of refusals that are looked for.
const (
	KindSignIn = "sign-in"
	KindSpent  = "spent"  // a one-time link that no longer works
	KindReused = "reused" // an identifier came again with something else
)

var (
	ErrNotFound    = NewRefusal(http.StatusNotFound, "not-found", "Page not found", "There is no page at this address. Try the list of lessons.")
	ErrNotAllowed  = NewRefusal(http.StatusForbidden, "forbidden", "This is for instructors", "Your account does not allow this. If it should, ask the person who runs this server.")
	ErrCrossOrigin = NewRefusal(http.StatusForbidden, "origin", "This came from another site", "The server accepts only what its own pages send.")
)

// errBusy is said of a calculation that others, or the visitor's own in other
// windows, have left no room for.
var errBusy = NewRefusal(http.StatusServiceUnavailable, "busy", "The server has too much to calculate",
	"This was not finished within the time for which a page waits, because other calculations came before it. Nothing is wrong with what you asked for: close pages that are still calculating, or try again in a minute.")

// Fail answers a request with an error: a page for a reader, a problem object
// (RFC 9457) for a script.
func (s *Site) Fail(w http.ResponseWriter, r *http.Request, err error) {
	var told *Refusal
	var long *http.MaxBytesError
	switch {
	case errors.As(err, &long):
		told = TooLong(long.Limit)
	case errors.As(err, &told):
	case errors.Is(err, turns.ErrFull), errors.Is(err, context.DeadlineExceeded):
		told = errBusy
		w.Header().Set("Retry-After", "60")
	case errors.Is(err, context.Canceled) && r.Context().Err() != nil:
		told = errBusy // to nobody: the visitor has gone away
	default:
		id := rand.Text()[:8]
		s.Log.Error("request failed", "id", id, "route", r.Pattern, "error", err)
		told = NewRefusal(http.StatusInternalServerError, "internal", "Something went wrong in the program",
			"It is in the server’s log as "+id+". Go back and try again.")
	}
	w.Header().Set("Cache-Control", "no-store")
	if WantsProblem(r) {
		w.Header().Set("Content-Type", "application/problem+json")
		w.WriteHeader(told.Status)
		_ = json.NewEncoder(w).Encode(map[string]any{
			"type": "/problem/" + told.Kind, "title": told.Title, "status": told.Status, "detail": told.Message,
		})
		return
	}
	body, err := page.Render("problem", page.Problem{
		Frame:   s.Frame(told.Title, ""),
		Kind:    told.Kind,
		Heading: told.Title,
		Detail:  told.Message,
		SignIn:  told.Kind == KindSignIn || told.Kind == KindSpent,
	})
	if err != nil {
		s.Log.Error("the page of an error failed", "error", err)
		http.Error(w, told.Title, told.Status)
		return
	}
	compress.New(HTMLType, body).Send(w, r, told.Status)
}

// TooLong is said of a body of more bytes than its route takes.
func TooLong(limit int64) *Refusal {
	most := fmt.Sprintf("%d kB", limit>>10)
	if limit >= 1<<20 {
		most = fmt.Sprintf("%d MB", limit>>20)
	}
	return NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "That is too long", "The server accepts at most "+most+" at a time here. Nothing was changed; send it in parts.")
}

// Unreadable says that a body is not what was asked for; a body that is
// too long keeps its own error.
func Unreadable(err error) error {
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return err
	}
	return NewRefusal(http.StatusBadRequest, "unreadable", "The server cannot read that", err.Error())
}
