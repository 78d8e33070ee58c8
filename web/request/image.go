package request

import "net/http"

// imagePolicy is the content security policy of an image: a drawing has styles of its
// own, and asks for nothing and runs nothing, also where it is opened by itself.
const imagePolicy = "default-src 'none'; style-src 'unsafe-inline'; sandbox; frame-ancestors 'none'"

// SecureImage sets the headers of an image of a lesson, which a browser asks for again
// each time.
func SecureImage(w http.ResponseWriter) {
	w.Header().Set("Content-Security-Policy", imagePolicy)
	w.Header().Set("Cache-Control", "private, no-cache")
}
