package web

import (
	"fmt"
	"io"
	"log"
	"log/slog"
	"strings"

	"shaftbook/kernel/pattern"
)

// NewLog returns a log of the server in a format, "text" or "json" (one object a line).
// What an error quotes of a network address or an e-mail address is left out: nothing
// in the log says who a reader is.
func NewLog(w io.Writer, format string) (*slog.Logger, error) {
	options := &slog.HandlerOptions{ReplaceAttr: func(_ []string, a slog.Attr) slog.Attr {
		switch v := a.Value.Any().(type) {
		case error:
			a.Value = slog.StringValue(impersonal(v.Error()))
		case string:
			if a.Key != AddressKey {
				a.Value = slog.StringValue(impersonal(v))
			}
		}
		return a
	}}
	switch format {
	case "text":
		return slog.New(slog.NewTextHandler(w, options)), nil
	case "json":
		return slog.New(slog.NewJSONHandler(w, options)), nil
	}
	return nil, fmt.Errorf("a log is text or json, not %q", format)
}

// AddressKey is the key of an address of the server itself or of its database, which is
// not left out.
const AddressKey = "address"

var (
	networkAddress = pattern.New(`\b\d{1,3}(\.\d{1,3}){3}(:\d+)?\b|\[[0-9A-Fa-f:]+(%\w+)?\](:\d+)?`)
	emailAddress   = pattern.New(`[^\s"'<>()=,;]+@[^\s"'<>()=,;]+\.[^\s"'<>()=,;]+`)
)

// impersonal is a text without network and e-mail addresses.
func impersonal(s string) string {
	s = networkAddress().ReplaceAllString(s, "(address)")
	if strings.Contains(s, "@") {
		s = emailAddress().ReplaceAllString(s, "(e-mail)")
	}
	return s
}

// errorLog is the log of net/http, which names the addresses of readers.
func (s *Server) errorLog() *log.Logger {
	return log.New(impersonalWriter{s.Log}, "", 0)
}

type impersonalWriter struct{ log *slog.Logger }

func (w impersonalWriter) Write(line []byte) (int, error) {
	w.log.Warn(impersonal(strings.TrimSpace(string(line))))
	return len(line), nil
}
