// Package pattern makes regular expressions when they are first used, so that a program
// starts without those that it may never need.
package pattern

import (
	"regexp"
	"sync"
)

// New returns a function that returns the compiled expression, the same one each time.
// It panics at its first use if the expression is none, as regexp.MustCompile does; the
// test of this package compiles all expressions of the module.
func New(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}
