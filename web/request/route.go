package request

import "net/http"

// A Route is a pattern of http.ServeMux with its handler. Package web holds the
// rule of who may use it; a route without a rule is refused to everybody.
type Route struct {
	Pattern string
	Handle  http.HandlerFunc
}
