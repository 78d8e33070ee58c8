package request

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"

	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// HTMLType is the content type of pages.
const HTMLType = "text/html; charset=utf-8"

// WantsProblem reports whether an error is to be answered with a problem object.
func WantsProblem(r *http.Request) bool {
	accept := r.Header.Get("Accept")
	return strings.Contains(accept, "json") && !strings.Contains(accept, "text/html")
}

// WantsFragment reports whether a script asks for a piece of a page.
func WantsFragment(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept"), "application/json")
}

// SendPage sends a page that only its reader may see, made by the template of a
// view.
func (s *Site) SendPage(w http.ResponseWriter, r *http.Request, status int, name string, view any) {
	body, err := page.Render(name, view)
	if err != nil {
		s.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	compress.NewForOne(HTMLType, body).Send(w, r, status)
}

// SendShared sends a page that is the same for everybody and may be cached, but
// must be asked for again each time; or answers with the error of making it.
func (s *Site) SendShared(w http.ResponseWriter, r *http.Request, body *compress.Bytes, err error) {
	if err != nil {
		s.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-cache")
	body.ServeHTTP(w, r)
}

// SendJSON sends a value to a script.
func SendJSON(w http.ResponseWriter, v any) {
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(v) // a reader that has gone away is no fault of ours
}

// SendFile sends JSON as a file that only its reader may see.
func SendFile(w http.ResponseWriter, name string, body []byte) {
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", "application/json")
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
	_, _ = w.Write(body)
}

// SeeOther sends the reader on to a page that says what was done; said is the key
// of its sentence, or empty.
func SeeOther(w http.ResponseWriter, r *http.Request, path, said string) {
	if said != "" {
		path += "?" + url.Values{"said": {said}}.Encode()
	}
	http.Redirect(w, r, path, http.StatusSeeOther)
}
