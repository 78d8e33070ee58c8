package request

import (
	"context"
	"net/http"

	"shaftbook/exercises/class"
)

// A Visitor is the person who sent a request, and the person's part in the class
// of the address. On an open server all visitors are anonymous.
type Visitor struct {
	Person  class.Person // without an ID if nobody is signed in
	Session string       // hash of the session's token
	Class   class.Class  // of the address, if it names one
	Member  class.Member // of the person in that class
}

type visitorKey struct{}

// WithVisitor returns the request with its visitor, for VisitorFrom.
func WithVisitor(r *http.Request, v *Visitor) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), visitorKey{}, v))
}

// VisitorFrom returns the visitor who sent a request; an anonymous one where
// none was set.
func VisitorFrom(r *http.Request) *Visitor {
	if v, ok := r.Context().Value(visitorKey{}).(*Visitor); ok {
		return v
	}
	return &Visitor{}
}

// IsStaff reports whether the visitor is an instructor of the class of the
// address.
func (v *Visitor) IsStaff() bool { return v.Member.Role == class.Staff && !v.Member.Left }

// AboutPerson begins the name under which servers on one store tell each other that
// something was taken from a person: a session, or the place in a class.
const AboutPerson = "person "
