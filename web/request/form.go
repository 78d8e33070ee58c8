package request

import (
	"net/http"
	"net/url"

	"shaftbook/web/page"
)

// BodyLimit is the greatest length of a body in bytes, except for the routes that
// have a limit of their own.
const BodyLimit = 256 << 10

// Line reads a field of one line from a form.
func Line(r *http.Request, name string) string { return page.OneLine(r.PostFormValue(name)) }

// Form returns the form of a request; of a body that cannot be read it is empty.
func Form(r *http.Request) url.Values {
	_ = r.PostFormValue("") // parses any kind of form
	return r.PostForm
}
