package static

import (
	"bytes"
	"testing"
)

// Comments are for who changes the files; a string or an address that looks like one would
// be lost with them.
func TestSheetsAreSentWithoutComments(t *testing.T) {
	s := New()
	for _, sheet := range sheets {
		b := s.byURL[s.sheet[sheet.name]]
		if b == nil {
			t.Fatalf("no %s", sheet.name)
		}
	}
	for _, name := range mustGlob("css/*.css") {
		text := mustRead(name)
		rest := comment.ReplaceAll(text, nil)
		if bytes.Contains(rest, []byte("/*")) || bytes.Contains(rest, []byte("*/")) {
			t.Errorf("%s: a comment is left", name)
		}
		if bytes.Count(rest, []byte("{")) != bytes.Count(rest, []byte("}")) {
			t.Errorf("%s: braces do not match without its comments", name)
		}
	}
}
