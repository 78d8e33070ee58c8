package store

import "errors"

// A Refusal is an error that follows from the rules of the store: trying again
// with the same input gives it again. Its text is for the log; [Words] gives
// the learner's.
type Refusal string

func (r Refusal) Error() string { return string(r) }

// The refusals.
const (
	ErrInvalid    = Refusal("store: refused before it reached the database")
	ErrNoTries    = Refusal("store: all tries at this part are used")
	ErrReused     = Refusal("store: the submission identifier was used for another answer")
	ErrPredicted  = Refusal("store: another prediction was committed before")
	ErrErased     = Refusal("store: the learner was erased")
	ErrPagesFull  = Refusal("store: the learner has as many pages as may be kept")
	ErrSharesFull = Refusal("store: the page has as many links as may be kept")
	ErrShownFull  = Refusal("store: as many pages are shown to a class, or answers kept on one, as may be")
	ErrMoved      = Refusal("store: the page was changed by another writer")
	ErrNotOurs    = Refusal("store: the file is not a shaftbook store")
	ErrNewer      = Refusal("store: the store was written by a newer shaftbook")
	ErrNotEmpty   = Refusal("store: there is work in the store already")
	ErrNotDurable = Refusal("store: the database is set not to wait for the disk")
)

// A Fault is an error of the database or of what it runs on. Nothing was
// acknowledged; the same input can be sent again later. Errors that wrap a
// fault wrap the driver's error too, for the log.
type Fault string

func (f Fault) Error() string { return string(f) }

// The faults.
const (
	ErrFull        = Fault("store: no room is left on the store's disk")
	ErrReadOnly    = Fault("store: the store cannot be written; its folder or file is read-only")
	ErrNoRights    = Fault("store: no permission for the store's files")
	ErrBusy        = Fault("store: another program holds the store")
	ErrDamaged     = Fault("store: the store is damaged; restore a backup")
	ErrClosed      = Fault("store: the store is closed")
	ErrUnavailable = Fault("store: the database failed")
	ErrGone        = Fault("store: the database file is not where the server opened it: " +
		"it, its folder or its disk was removed, moved or replaced, and nothing is saved until it is back")
)

// words has each error in words for a learner. Every sentence has what became of the
// work and what to do.
var words = map[error]string{
	ErrInvalid:    "This could not be saved as it is. Check that it is plain text and not too long, then send it again.",
	ErrNoTries:    "You have used all tries for this part, so this answer was not marked. Your earlier answers are kept.",
	ErrReused:     "This answer changed after it was sent. Send it once more.",
	ErrPredicted:  "You had already submitted a prediction; the first one counts.",
	ErrErased:     "This was not saved: the account has been deleted with all its work.",
	ErrPagesFull:  "You already have as many pages as can be kept. Delete one that you no longer need, then try again.",
	ErrSharesFull: "This page already has as many links as it can have. Withdraw one that is no longer needed, then try again.",
	ErrShownFull:  "There are already as many here as can be kept. Withdraw one that is no longer needed, then try again.",
	ErrMoved:      "This was not saved: the page is being changed in another window. Reload the page.",
	ErrFull: "This could not be saved: the server has no space left. What you wrote is still on this page. " +
		"Tell your instructor, and send it again later.",
	ErrReadOnly: "This could not be saved: the server cannot write to its store. What you wrote is still on this page. " +
		"Tell your instructor, and send it again later.",
	ErrNoRights: "This could not be saved: the server cannot open its store. What you wrote is still on this page. " +
		"Tell your instructor, and send it again later.",
	ErrBusy:    "The server is busy and has not saved this yet. What you wrote is still on this page. Send it again in a moment.",
	ErrDamaged: "This could not be saved: the server's store needs repair. What you wrote is still on this page. Tell your instructor.",
	ErrGone: "This could not be saved: the server’s database file is missing or was replaced. What you wrote is still on this page. " +
		"Nothing is saved until the file is back in its place: tell your instructor, and send it again then.",
	ErrClosed: "The server is stopping and has not saved this. What you wrote is still on this page. Send it again in a moment.",
}

// unknown is said of every other error.
const unknown = "This could not be saved. What you wrote is still on this page. Send it again in a moment; " +
	"if that fails too, tell your instructor."

// Words returns an error of a store in words for a learner, in a sentence or two without
// anything of the machine in it.
func Words(err error) string {
	var r Refusal
	if errors.As(err, &r) && words[r] != "" {
		return words[r]
	}
	var f Fault
	if errors.As(err, &f) && words[f] != "" {
		return words[f]
	}
	return unknown
}
