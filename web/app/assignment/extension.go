package assignment

import (
	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

// ExtensionFields are the fields of a student's extension.
func ExtensionFields(value func(string) string) []page.ClassField {
	return []page.ClassField{
		{Name: "xdue", Label: "Due", Type: "datetime-local", Value: value("xdue")},
		{Name: "xcloses", Label: "Late work accepted until", Type: "datetime-local", Value: value("xcloses"), Optional: true, Help: "If empty: as for the class, or the due time if that is later."},
		{Name: "xreason", Label: "Reason", Type: "text", Value: value("xreason"), Help: "The student and your colleagues can read this."},
	}
}

// ReadExtension reads the times of a form. What is wrong is said at the fields;
// hears is as for readMoment.
func ReadExtension(fields []page.ClassField, a *class.Assignment, x *class.Extension) (hears string) {
	zone := a.TermsFor(nil).Due.Location()
	due, closes, reason := &fields[0], &fields[1], &fields[2]
	var more string
	x.Due, hears = readMoment(due, zone)
	x.Closes, more = readMoment(closes, zone)
	switch {
	case due.Value == "":
		due.Wrong = "Enter the due time for this student."
	case due.Wrong == "" && !x.Due.After(a.Opens):
		due.Wrong = "This must be after the opening time."
	case closes.Wrong == "" && due.Wrong == "" && !x.Closes.IsZero() && x.Closes.Before(x.Due):
		closes.Wrong = "This must not be before the due time."
	}
	if reason.Value == "" {
		reason.Wrong = "Enter a reason."
	}
	return hears + more
}
