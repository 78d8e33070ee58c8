package store

import (
	"fmt"
	"strings"
)

// namedMost is how many damaged rows a verification names.
const namedMost = 20

// A Verification is what reading all answers and the log of a store found.
type Verification struct {
	Checked   int      // rows whose checksum holds
	Unchecked int      // rows kept before there were checksums
	Damaged   int      // rows that are not as they were written, and places with a gap
	Named     []string // the first of the damaged ones, in words
}

// Add counts a damaged row.
func (v *Verification) Add(format string, args ...any) {
	v.Damaged++
	if len(v.Named) < namedMost {
		v.Named = append(v.Named, fmt.Sprintf(format, args...))
	}
}

// Err is [ErrDamaged] with the rows that are damaged, or nil.
func (v *Verification) Err() error {
	if v.Damaged == 0 {
		return nil
	}
	more := ""
	if n := v.Damaged - len(v.Named); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return fmt.Errorf("%w: %s%s", ErrDamaged, strings.Join(v.Named, "; "), more)
}
