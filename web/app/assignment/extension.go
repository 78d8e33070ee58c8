package assignment

import (
	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

// ExtensionFields are the fields of a student's extension.
func ExtensionFields(value func(string) string) []page.ClassField {
	return []page.ClassField{
		{Name: "xdue", Label: "Due", Type: "datetime-local", Value: value("xdue")},
		{Name: "xcloses", Label: "Closes", Type: "datetime-local", Value: value("xcloses"), Optional: true, Help: "Late work is accepted until then. If empty: as for the class, or the due time if that is later."},
		{Name: "xreason", Label: "Reason", Type: "text", Value: value("xreason"), Help: "The student and your colleagues can read this."},
	}
}

// ReadExtension reads the times of a form. What is wrong is said at the fields;
// hears is as for readMoment.
func ReadExtension(fields []page.ClassField, a *class.Assignment, x *class.Extension) (hears string) {
	held := a.TermsFor(nil)
	zone := held.Due.Location()
	due, closes, reason := &fields[0], &fields[1], &fields[2]
	var more string
	x.Due, hears = readMoment(due, zone)
	x.Closes, more = readMoment(closes, zone)
	switch {
	case due.Value == "":
		due.Wrong = "Enter the due time for this student."
	case due.Wrong == "" && !x.Due.After(a.Opens):
		due.Wrong = "This must be after the opening time."
	case due.Wrong == "" && shortens(x, held):
		due.Wrong = "An extension must be later than the due time of the class, " + page.Zoned(held.Due, a.Zone) + "."
	case closes.Wrong == "" && due.Wrong == "" && !x.Closes.IsZero() && x.Closes.Before(x.Due):
		closes.Wrong = "This must not be before the due time."
	case closes.Wrong == "" && due.Wrong == "" && !x.Closes.IsZero() && x.Closes.Before(held.Closes):
		closes.Wrong = "This must not be before the closing time of the class, " + page.Zoned(held.Closes, a.Zone) + "."
	}
	if reason.Value == "" {
		reason.Wrong = "Enter a reason."
	}
	page.RefuseLong(fields)
	return hears + more
}

// shortens reports whether an extension gives no more time than the class has. Due
// at the same time, it may still close later.
func shortens(x *class.Extension, held class.Terms) bool {
	return x.Due.Before(held.Due) || x.Due.Equal(held.Due) && !x.Closes.After(held.Closes)
}
