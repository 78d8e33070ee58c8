package class

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// A Deadline is one assignment in a student's calendar.
type Deadline struct {
	Assignment Assignment
	Class      string     // name of the class
	Extension  *Extension // of the student, or nil
	Address    string     // of the assignment's page, absolute, or empty
}

// Calendar writes deadlines as an iCalendar object (RFC 5545): an event at the
// time each is due, in UTC and without length (section 3.6.1: one with DTSTART
// alone ends when it begins). The identifier of an event is that of its
// assignment (section 3.8.4.7), so that a reader that fetches the calendar again
// replaces it; SEQUENCE is Revision (section 3.8.7.4). One that was withdrawn
// stays as cancelled (section 3.8.1.11). What is never due is left out.
//
// DTSTAMP is when the event last changed (section 3.8.7.2, without METHOD), not
// when it was asked for, so that the same deadlines give the same bytes.
func Calendar(name string, list []Deadline) []byte {
	var c calendar
	c.line("BEGIN", "VCALENDAR")
	c.line("VERSION", "2.0")
	c.line("PRODID", "-//shaftbook//deadlines//EN")
	c.line("CALSCALE", "GREGORIAN")
	c.line("X-WR-CALNAME", escapeText(name)) // common practice, no source
	for _, d := range list {
		c.event(d)
	}
	c.line("END", "VCALENDAR")
	return []byte(c.b.String())
}

type calendar struct{ b strings.Builder }

func (c *calendar) event(d Deadline) {
	a := &d.Assignment
	terms := a.TermsFor(d.Extension)
	if terms.Due.IsZero() {
		return
	}
	changed := a.ChangedAt
	if d.Extension != nil && d.Extension.At.After(changed) {
		changed = d.Extension.At
	}
	c.line("BEGIN", "VEVENT")
	c.line("UID", escapeText(a.ID+"@shaftbook"))
	c.line("DTSTAMP", stamp(changed))
	c.line("DTSTART", stamp(terms.Due))
	c.line("SEQUENCE", strconv.Itoa(a.Revision))
	c.line("SUMMARY", escapeText(a.Title+" is due"))
	c.line("DESCRIPTION", escapeText(deadlineWords(d.Class, terms)))
	if d.Address != "" {
		c.line("URL", d.Address) // a URI is not escaped: section 3.3.13
	}
	if a.Withdrawn {
		c.line("STATUS", "CANCELLED")
	} else {
		c.line("STATUS", "CONFIRMED")
	}
	c.line("TRANSP", "TRANSPARENT")
	c.line("END", "VEVENT")
}

func deadlineWords(class string, t Terms) string {
	const form = "2006-01-02 15:04 MST"
	words := class + "\nDue " + t.Due.Format(form)
	if t.Closes.After(t.Due) {
		words += ", closes " + t.Closes.Format(form)
	}
	return words
}

// stamp is a time in form 2 of RFC 5545, section 3.3.5: UTC.
func stamp(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// escapeText writes a value of type TEXT (RFC 5545, section 3.3.11). Controls
// other than the tab may not occur in one (section 3.1) and are left out; an
// end of line of any kind is one.
func escapeText(s string) string {
	s = strings.ToValidUTF8(strings.ReplaceAll(s, "\r\n", "\n"), "\uFFFD")
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n' || r == '\r':
			b.WriteString(`\n`)
		case r == '\t' || r >= ' ' && r != 0x7f:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// mostOctets is the length of a line without its end: RFC 5545, section 3.1.
const mostOctets = 75

// line writes a content line, folded: a line that goes on begins with a space,
// which counts. No character is cut.
func (c *calendar) line(name, value string) {
	rest, room := name+":"+value, mostOctets
	for len(rest) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(rest[cut]) {
			cut--
		}
		c.b.WriteString(rest[:cut])
		c.b.WriteString("\r\n ")
		rest, room = rest[cut:], mostOctets-1
	}
	c.b.WriteString(rest)
	c.b.WriteString("\r\n")
}
