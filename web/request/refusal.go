package request

import (
	"errors"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
)

// statusOf is the status of each reason for which an answer is not taken.
var statusOf = map[attempt.Reason]int{
	attempt.NoSeries:     http.StatusConflict,
	attempt.OtherLearner: http.StatusConflict,
	attempt.Done:         http.StatusConflict,
	attempt.Unreadable:   http.StatusUnprocessableEntity,
	attempt.NotOffered:   http.StatusUnprocessableEntity,
	attempt.TooFast:      http.StatusTooManyRequests,
	attempt.TooLong:      http.StatusRequestEntityTooLarge,
	attempt.TooEarly:     http.StatusConflict,
	attempt.Closed:       http.StatusConflict,
	attempt.NoPractice:   http.StatusConflict,
}

// RefusalOf turns an error of an answer or of the store into what the reader is
// told, or nil for a fault of the program. Faults of the store go to the log.
func (s *Site) RefusalOf(w http.ResponseWriter, r *http.Request, err error) *Refusal {
	var refused *attempt.Refusal
	var rule store.Refusal
	var fault store.Fault
	var unset *attempt.Unset
	var early *assignment.NotOpen
	switch {
	case errors.As(err, &refused):
		if refused.Wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(int(refused.Wait/time.Second)+1))
		}
		return NewRefusal(statusOf[refused.Reason], string(refused.Reason), "This was not accepted", refused.Words)
	case errors.As(err, &rule):
		kind, status := "refused", http.StatusConflict
		switch rule {
		case store.ErrReused:
			kind = KindReused
		case store.ErrInvalid:
			status = http.StatusBadRequest
		}
		return NewRefusal(status, kind, "This was not accepted", store.Words(err))
	case errors.As(err, &fault):
		s.Log.Error("the store failed", "route", r.Pattern, "error", err)
		if r.URL.Path == "/sign-in" {
			return errNoSignIn // nothing of the reader's was to be saved
		}
		return NewRefusal(http.StatusServiceUnavailable, "store", "This could not be saved", store.Words(err))
	case errors.Is(err, assignment.ErrNoLesson):
		return errNoLesson
	case errors.Is(err, assignment.ErrWithdrawn):
		return errWithdrawn
	case errors.As(err, &early):
		return NewRefusal(http.StatusForbidden, "not-open", "This is not open yet", "It opens on "+page.Zoned(early.Opens, early.Zone)+".")
	case errors.As(err, &unset):
		s.Log.Error("an exercise cannot be set", "route", r.Pattern, "error", err)
		return NewRefusal(http.StatusConflict, "unset", "This exercise cannot be set", "Its author has to fix it first; the command shaftbook check shows where.")
	}
	return nil
}

// FailStore answers a request that the store could not serve.
func (s *Site) FailStore(w http.ResponseWriter, r *http.Request, err error) {
	if told := s.RefusalOf(w, r, err); told != nil {
		err = told
	}
	s.Fail(w, r, err)
}

// FailClass answers a request with an error of the class store.
func (s *Site) FailClass(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, class.ErrNone):
		err = ErrNotFound
	case errors.Is(err, class.ErrStaff):
		err = errIsStaff
	case errors.Is(err, class.ErrElsewhere):
		err = errElsewhere
	case errors.Is(err, class.ErrOwnOut):
		err = errLastOut
	case errors.Is(err, enrolment.ErrLeft):
		err = errHasLeft
	case errors.Is(err, enrolment.ErrNotAllowed):
		err = ErrNotAllowed
	case errors.Is(err, class.ErrTaken):
		err = errTakenNow
	}
	s.FailStore(w, r, err)
}

var (
	errNoSignIn  = NewRefusal(http.StatusServiceUnavailable, "store", "You cannot sign in just now", "The server cannot reach its store. Your account and your work are kept. Try again in a moment; if that fails too, tell your instructor.")
	errNoLesson  = NewRefusal(http.StatusNotFound, "not-found", "There is no such lesson", "It may have been renamed or removed. See the list of lessons.")
	errWithdrawn = NewRefusal(http.StatusGone, "withdrawn", "This assignment was withdrawn", "Your instructor has withdrawn it. Your work is kept. The lesson itself is in the list of lessons.")
	errHasLeft   = NewRefusal(http.StatusConflict, "left", "The student has left the class", "Add the student back to the class first.")
	errIsStaff   = NewRefusal(http.StatusConflict, "staff", "This is an instructor’s account", "Instructors manage their own accounts, on the page Account.")
	errElsewhere = NewRefusal(http.StatusConflict, "elsewhere", "Another class manages this account", "The student was in another class first, and its instructors manage the account. The student knows which class it is.")
	errLastOut   = NewRefusal(http.StatusConflict, "last", "The last instructor cannot leave", "A class keeps at least one instructor. Invite a colleague first.")
	errTakenNow  = NewRefusal(http.StatusConflict, "taken", "Someone else has that name or school ID", "It was taken while this page was open. Nothing was changed; open the roster again.")
)
