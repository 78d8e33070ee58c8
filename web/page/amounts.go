package page

import (
	"strings"
	"time"
)

// Zoned writes a time in a zone, with the name of the zone's clock.
func Zoned(t time.Time, zone string) string { return timeIn(t, zone, "2 January 2006, 15:04 MST") }

// Brief is Zoned for a table.
func Brief(t time.Time, zone string) string { return timeIn(t, zone, "2 Jan 2006, 15:04 MST") }

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

// OneLine makes the spaces of what was typed into a field of one line single, and
// cuts what is too long.
func OneLine(typed string) string {
	text := []rune(strings.Join(strings.Fields(typed), " "))
	if len(text) > lineLimit {
		text = text[:lineLimit]
	}
	return string(text)
}
