package roster

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// clean writes a field in one form: NFC, with single spaces and none around it.
func clean(s string) string { return norm.NFC.String(strings.Join(strings.Fields(s), " ")) }

// A Field is one of the fields of a line.
type Field string

// The fields, as they are called in sentences.
const (
	Name      Field = "name"
	SignIn    Field = "username"
	Email     Field = "e-mail address"
	SourcedID Field = "student number"
	Section   Field = "group"
)

// Check returns what is wrong with the fields of a line, and at which; both are
// empty if nothing is.
func Check(l Line) (at Field, why string) {
	for _, f := range []struct {
		field Field
		text  string
	}{{Name, l.Name}, {SignIn, l.SignIn}, {Email, l.Email}, {SourcedID, l.SourcedID}, {Section, l.Section}} {
		if n := utf8.RuneCountInString(f.text); n > maxField {
			return f.field, fmt.Sprintf("The %s has %d characters; at most %d are allowed.", f.field, n, maxField)
		}
		if i := strings.IndexFunc(f.text, unshown); i >= 0 {
			r, _ := utf8.DecodeRuneInString(f.text[i:])
			return f.field, fmt.Sprintf("The %s contains a character that cannot be shown (U+%04X). Retype it.", f.field, r)
		}
	}
	if l.SignIn == "" && l.Email == "" && l.SourcedID == "" {
		return SignIn, "It needs an e-mail address, a student number or a username, to tell this person from others."
	}
	if l.Email != "" && !isEmail(l.Email) {
		return Email, fmt.Sprintf("“%s” is not an e-mail address: it needs a name, an @ and a domain, without spaces.", l.Email)
	}
	return "", ""
}

// unshown reports whether a character is invisible or turns what follows
// around. Joiners and direction marks are part of how some names are written.
func unshown(r rune) bool {
	switch r {
	case '\u200c', '\u200d', '\u200e', '\u200f':
		return false
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co) || r == utf8.RuneError
}

func isEmail(s string) bool {
	name, domain, ok := strings.Cut(s, "@")
	return ok && name != "" && domain != "" && !strings.ContainsAny(domain, "@ ") && !strings.Contains(name, " ")
}

// Clean returns a line with all its fields in the form in which they are kept.
func Clean(l Line) Line {
	for _, f := range []*string{&l.Name, &l.SignIn, &l.Email, &l.SourcedID, &l.Section} {
		*f = clean(*f)
	}
	return l
}
