package assignment

import (
	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

// ExtensionFields are the fields of a student's extension.
func ExtensionFields(value func(string) string) []page.ClassField {
	return []page.ClassField{
		{Name: "xdue", Label: "Due", Type: "datetime-local", Value: value("xdue")},
		{Name: "xcloses", Label: "Taken late until", Type: "datetime-local", Value: value("xcloses"), Optional: true, Help: "Left out, as for the class, or until it is due if that is later."},
		{Name: "xreason", Label: "Because", Type: "text", Value: value("xreason"), Help: "The student and your colleagues read it."},
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
		due.Wrong = "Say until when it is due for this student."
	case due.Wrong == "" && !x.Due.After(a.Opens):
		due.Wrong = "This is not after it opens."
	case closes.Wrong == "" && due.Wrong == "" && !x.Closes.IsZero() && x.Closes.Before(x.Due):
		closes.Wrong = "This is before it is due."
	}
	if reason.Value == "" {
		reason.Wrong = "Say why."
	}
	return hears + more
}
