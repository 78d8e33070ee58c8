package store

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// The greatest lengths in bytes. They stop a mistake or an attack from filling
// the disk; no answer or cell comes near them.
const (
	maxName = 256
	maxText = 1 << 20
)

// field is a text with its limit.
type field struct {
	name, text string
	most       int
}

// texts checks what both databases need of a text: UTF-8 without NUL (which
// PostgreSQL cannot keep), not too long.
func texts(fields ...field) error {
	for _, f := range fields {
		switch {
		case len(f.text) > f.most:
			return invalid(fmt.Sprintf("the %s is longer than %d bytes", f.name, f.most))
		case !utf8.ValidString(f.text):
			return invalid(fmt.Sprintf("the %s is not UTF-8", f.name))
		case strings.ContainsRune(f.text, 0):
			return invalid(fmt.Sprintf("the %s holds a NUL character", f.name))
		}
	}
	return nil
}

func (p *Place) validate() error {
	switch {
	case p.Learner == "" || p.Lesson == "" || p.Exercise == "":
		return invalid("a place needs a learner, a lesson and an exercise")
	case p.Series < 0 || p.Series > math.MaxInt32:
		return invalid("a series counts from 0")
	}
	return texts(field{"learner", p.Learner, maxName}, field{"lesson", p.Lesson, maxName},
		field{"exercise", p.Exercise, maxName}, field{"part", p.Part, maxName})
}

func invalid(why string) error { return fmt.Errorf("%w: %s", ErrInvalid, why) }
