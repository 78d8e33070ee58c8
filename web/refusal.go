package web

import (
	"errors"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/web/app/attempt"
)

const kindReused = "reused" // an identifier came again with something else

// deskStatus is the status of each reason for which a desk takes nothing.
var deskStatus = map[string]int{
	"unreadable": http.StatusUnprocessableEntity,
	"too-long":   http.StatusRequestEntityTooLarge,
	"too-fast":   http.StatusTooManyRequests,
}

// refusalOf turns an error of the desk or the store into what the reader is
// told, or nil for a fault of the program. Faults of the store go to the log.
func (s *Server) refusalOf(w http.ResponseWriter, r *http.Request, err error) *refusal {
	var desk *attempt.Refusal
	var rule store.Refusal
	var fault store.Fault
	var unset *attempt.Unset
	switch {
	case errors.As(err, &desk):
		status := deskStatus[desk.Reason]
		if status == 0 {
			status = http.StatusConflict
		}
		if desk.Wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(int(desk.Wait/time.Second)+1))
		}
		return &refusal{status, desk.Reason, "This was not taken", desk.Words}
	case errors.As(err, &rule):
		kind, status := "refused", http.StatusConflict
		switch rule {
		case store.ErrReused:
			kind = kindReused
		case store.ErrInvalid:
			status = http.StatusBadRequest
		}
		return &refusal{status, kind, "This was not taken", store.Words(err)}
	case errors.As(err, &fault):
		s.Log.Error("the store failed", "method", r.Method, "path", loggedPath(r), "error", err)
		return &refusal{http.StatusServiceUnavailable, "store", "This could not be kept", store.Words(err)}
	case errors.As(err, &unset):
		s.Log.Error("an exercise cannot be set", "path", loggedPath(r), "error", err)
		return &refusal{http.StatusConflict, "unset", "This exercise cannot be set", "Its author has to mend it first; the command shaftbook check says where."}
	}
	return nil
}
