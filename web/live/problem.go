package live

import (
	"encoding/json"
	"net/http"
	"strings"
)

// A Problem is the reason why something was refused, in the form of RFC 9457.
type Problem struct {
	Type   string `json:"type"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail"`
}

func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// problemPrefix is before the kind of each problem in its type.
const problemPrefix = "/problem/"

func problem(kind string, status int, title, detail string) *Problem {
	return &Problem{Type: problemPrefix + kind, Title: title, Status: status, Detail: strings.TrimPrefix(detail, "json: ")}
}

// crowded is the problem of work for which there is no room.
func crowded() *Problem {
	return problem("busy", http.StatusServiceUnavailable, "Too much is being calculated",
		"the server has too many calculations waiting for you; close some pages or wait a moment, then change something to start again")
}

// refuse answers a request that does not become a connection.
func refuse(w http.ResponseWriter, p *Problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // the client may be gone; nothing depends on it
}
