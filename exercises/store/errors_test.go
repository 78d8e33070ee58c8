package store

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// Every error that an answer can meet has words of its own, which hold nothing
// of the machine.
func TestWords(t *testing.T) {
	jargon := []string{"record:", "database", "SQL", "disk", "constraint", "%"}
	for _, err := range []error{ErrInvalid, ErrNoTries, ErrReused, ErrPredicted, ErrErased,
		ErrFull, ErrReadOnly, ErrBusy, ErrDamaged, ErrClosed} {
		got := Words(fmt.Errorf("submitting: %w: %w", err, errors.New("SQL logic error (1)")))
		if got == unknown {
			t.Errorf("%v has no words", err)
		}
		for _, word := range jargon {
			if strings.Contains(got, word) {
				t.Errorf("%v says %q to a learner: %s", err, word, got)
			}
		}
		var f Fault
		if errors.As(err, &f) && !strings.Contains(got, "still on this page") {
			t.Errorf("%v does not say that the text is safe: %s", err, got)
		}
	}
	for _, err := range []error{ErrUnavailable, errors.New("anything")} {
		if Words(err) != unknown {
			t.Errorf("%v: %s", err, Words(err))
		}
	}
}

func ExampleWords() {
	err := fmt.Errorf("%w: %w", ErrBusy, errors.New("database is locked (5)"))
	fmt.Println(errors.Is(err, ErrBusy))
	fmt.Println(Words(err))
	// Output:
	// true
	// The server is busy and has not saved this yet. What you wrote is still on this page. Send it again in a moment.
}
