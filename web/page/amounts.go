package page

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Zoned writes a time in a zone, with the name of the zone's clock.
func Zoned(t time.Time, zone string) string { return timeIn(t, zone, "2 January 2006, 15:04 MST") }

// Brief is Zoned for a table.
func Brief(t time.Time, zone string) string { return timeIn(t, zone, "2 Jan 2006, 15:04 MST") }

// Short writes a time on one line of a table whose page names the zone home: the
// day of the week and, where the year is not that of now, the year; the zone's
// clock only where it is another zone.
func Short(t time.Time, zone, home string, now time.Time) string {
	layout := "Mon 2 Jan 15:04"
	if timeIn(t, zone, "2006") != timeIn(now, zone, "2006") {
		layout = "Mon 2 Jan 2006 15:04"
	}
	if zone != home {
		layout += " MST"
	}
	return strings.ReplaceAll(timeIn(t, zone, layout), " ", "\u00a0")
}

// Dated writes the day of a time in a zone.
func Dated(t time.Time, zone string) string { return timeIn(t, zone, "2 January 2006") }

func timeIn(t time.Time, zone, layout string) string {
	if t.IsZero() {
		return ""
	}
	place, err := time.LoadLocation(zone)
	if err != nil {
		place = time.UTC
	}
	return t.In(place).Format(layout)
}

// lineLimit is the greatest length of a field of one line, in characters.
const lineLimit = 200

// OneLine makes the spaces of what was typed into a field of one line single.
func OneLine(typed string) string { return strings.Join(strings.Fields(typed), " ") }

// RefuseLong reports at each field of one line that is longer than can be kept that
// it is, and whether there was one. Nothing is cut: a name that ends early is wrong.
func RefuseLong(form []ClassField) (refused bool) {
	for i := range form {
		f := &form[i]
		if n := utf8.RuneCountInString(f.Value); n > lineLimit && f.Type != "password" && !f.Fixed {
			f.Wrong = fmt.Sprintf("This has %d characters; at most %d are allowed.", n, lineLimit)
			refused = true
		}
	}
	return refused
}
