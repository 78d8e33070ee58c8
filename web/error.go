package web

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// A refusal is an error that the reader is told about in full; every other
// error is told as a number that stands in the log.
type refusal struct {
	status         int
	kind           string // of the problem object
	title, message string
}

func (r *refusal) Error() string { return r.title + ": " + r.message }

var (
	errNotFound    = &refusal{http.StatusNotFound, "not-found", "There is no such page", "The address leads nowhere here; the list of lessons may help."}
	errCrossOrigin = &refusal{http.StatusForbidden, "origin", "This came from another site", "The server only takes what its own pages send."}
)

// fail answers a request with an error: a page for a reader, a problem object
// (RFC 9457) for a script.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var told *refusal
	var long *http.MaxBytesError
	switch {
	case errors.As(err, &long):
		told = tooLong(long.Limit)
	case !errors.As(err, &told):
		id := rand.Text()[:8]
		s.Log.Error("request failed", "id", id, "method", r.Method, "path", loggedPath(r), "error", err)
		told = &refusal{http.StatusInternalServerError, "internal", "Something went wrong in the program",
			"It is in the server’s log as " + id + ". Going back and trying again may work."}
	}
	w.Header().Set("Cache-Control", "no-store")
	if wantsProblem(r) {
		w.Header().Set("Content-Type", "application/problem+json")
		w.WriteHeader(told.status)
		_ = json.NewEncoder(w).Encode(map[string]any{
			"type": "/problem/" + told.kind, "title": told.title, "status": told.status, "detail": told.message,
		})
		return
	}
	body, err := page.Render("problem", page.Problem{
		Frame:   s.frame(told.title, ""),
		Heading: told.title,
		Detail:  told.message,
		SignIn:  told.kind == errSignIn.kind || told.kind == errSpentLink.kind,
	})
	if err != nil {
		s.Log.Error("the page of an error failed", "error", err)
		http.Error(w, told.title, told.status)
		return
	}
	compress.New(htmlType, body).Send(w, r, told.status)
}

// loggedPath is the address of a request for the log. One that lets in whoever
// knows it does not stand there.
func loggedPath(r *http.Request) string {
	if r.PathValue("token") != "" || r.PathValue("feed") != "" {
		return r.Pattern
	}
	return r.URL.Path
}

// tooLong is said of a body of more bytes than its route takes.
func tooLong(limit int64) *refusal {
	most := fmt.Sprintf("%d kB", limit>>10)
	if limit >= 1<<20 {
		most = fmt.Sprintf("%d MB", limit>>20)
	}
	return &refusal{http.StatusRequestEntityTooLarge, "too-long", "That is too long", "The server takes at most " + most + " at a time here. Nothing was changed; send it in parts."}
}

const htmlType = "text/html; charset=utf-8"

func wantsProblem(r *http.Request) bool {
	accept := r.Header.Get("Accept")
	return strings.Contains(accept, "json") && !strings.Contains(accept, "text/html")
}

func (s *Server) frame(title, description string) page.Frame {
	if title != siteTitle {
		title += " · " + siteTitle
	}
	return page.Frame{Title: title, Description: description, Assets: &s.assets, Accounts: s.Class != nil}
}

const siteTitle = "shaftbook"

// unreadableBody says that a body is not what was asked for; a body that is
// too long keeps its own error.
func unreadableBody(err error) error {
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return err
	}
	return &refusal{http.StatusBadRequest, "unreadable", "The server cannot read that", err.Error()}
}
