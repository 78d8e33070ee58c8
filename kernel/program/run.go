package program

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"time"

	"shaftbook/kernel/source"
)

// Limits bound one evaluation. A zero field means its default.
type Limits struct {
	// Terms is how often bodies may be evaluated: terms of sums and products,
	// points of integrands and curves, calls of functions. Default 10⁸; a term
	// of a tapered shaft costs 0.3 to 2 ns, one with a function 5 to 20 ns.
	Terms int64
	// Time is how long the evaluation may take. Default 2 s.
	Time time.Duration
	// Memory bounds what blocks and partial sums may take, in bytes. Default 64 MiB.
	Memory int64
}

// DefaultTime is how long one evaluation may take unless its Limits say
// otherwise.
const DefaultTime = 2 * time.Second

const (
	defaultTerms  = 100_000_000
	defaultMemory = 64 << 20

	progressAfter = 250 * time.Millisecond
	progressEvery = 100 * time.Millisecond

	// checkEvery is the number of terms between two looks at the clock. At
	// 20 ns a term it is 0.2 ms.
	checkEvery = 8192
)

// A Run is one evaluation under a budget. It belongs to one caller, but a
// program may spread its work over several goroutines within a Run.
type Run struct {
	// Progress, if set, is called from the evaluating goroutine when an
	// evaluation takes longer than a quarter of a second, ten times a second
	// at most: the part done, from 0 to 1 where it is known, else −1, and of what.
	Progress func(fraction float64, what string)
	// Notes collects remarks on results, for example lost digits.
	Notes source.List

	ctx      context.Context
	limits   Limits
	start    time.Time
	deadline time.Time
	terms    atomic.Int64
	looked   atomic.Int64 // terms at the last look at the clock
	memory   atomic.Int64
	reported time.Time
	cores    int // goroutines for one sum; 0 means GOMAXPROCS. Set by tests
	block    int // lanes a block; 0 means blockLanes. Set by tests
}

// NewRun starts a budget. The clock runs from now.
func NewRun(ctx context.Context, l Limits) *Run {
	if l.Terms <= 0 {
		l.Terms = defaultTerms
	}
	if l.Time <= 0 {
		l.Time = DefaultTime
	}
	if l.Memory <= 0 {
		l.Memory = defaultMemory
	}
	now := time.Now()
	return &Run{ctx: ctx, limits: l, start: now, deadline: now.Add(l.Time)}
}

// Aside returns a run for work that an evaluation leaves to others, such as a
// shaft that works out its diameter: it ends with r, by its clock and its
// context, and may be used by another goroutine. The error reports that r has
// ended.
func (r *Run) Aside() (*Run, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	return &Run{ctx: r.ctx, limits: r.limits, start: r.start, deadline: r.deadline}, nil
}

// Terms returns how many terms the run has evaluated.
func (r *Run) Terms() int64 { return r.terms.Load() }

// A limitError reports which limit an evaluation met. The walker gives it a place.
type limitError struct {
	code    source.Code
	message string
	repair  string
}

func (e *limitError) Error() string { return e.message + ": " + e.repair }

// isLimit reports whether an error ends the whole evaluation, rather than one
// value of it.
func isLimit(err error) bool {
	var l *limitError
	return errors.As(err, &l)
}

// spend books n terms and looks at the clock and the context now and then.
func (r *Run) spend(n int64) error {
	total := r.terms.Add(n)
	if total > r.limits.Terms {
		return r.tooManyTerms()
	}
	if looked := r.looked.Load(); total-looked < checkEvery {
		return nil
	}
	r.looked.Store(total)
	runtime.Gosched() // whoever wants to cancel needs a turn too
	return r.check()
}

// check looks at the context and the clock.
func (r *Run) check() error {
	if r.ctx.Err() != nil {
		return &limitError{CodeStopped, "the calculation was stopped", "change something to start it again"}
	}
	if time.Now().After(r.deadline) {
		return &limitError{CodeTimeLimit,
			fmt.Sprintf("the calculation takes longer than %s, the limit", seconds(r.limits.Time)),
			"ask for fewer terms, segments or points"}
	}
	return nil
}

// afford refuses a loop that cannot fit before it starts.
func (r *Run) afford(n int64) error {
	if n > r.limits.Terms-r.terms.Load() {
		return &limitError{CodeTermLimit,
			fmt.Sprintf("%s terms are more than the limit of %s for one calculation allows", thousands(n), thousands(r.limits.Terms)),
			"ask for fewer terms; beyond some thousand segments the answer hardly changes"}
	}
	return nil
}

func (r *Run) tooManyTerms() error {
	return &limitError{CodeTermLimit,
		fmt.Sprintf("the calculation needs more than %s terms, the limit", thousands(r.limits.Terms)),
		"ask for fewer terms, segments or points"}
}

// reserve books memory; release gives it back.
func (r *Run) reserve(bytes int64) error {
	if r.memory.Add(bytes) > r.limits.Memory {
		r.memory.Add(-bytes)
		return &limitError{CodeMemoryLimit,
			fmt.Sprintf("the calculation needs more than %d MB of memory, the limit", r.limits.Memory>>20),
			"ask for fewer terms, or for a shorter formula"}
	}
	return nil
}

func (r *Run) release(bytes int64) { r.memory.Add(-bytes) }

// report passes progress on if it is due. Only the goroutine that evaluates
// calls it.
func (r *Run) report(fraction float64, what string) {
	if r.Progress == nil {
		return
	}
	now := time.Now()
	if now.Sub(r.start) < progressAfter || now.Sub(r.reported) < progressEvery {
		return
	}
	r.reported = now
	r.Progress(fraction, what)
}

func seconds(d time.Duration) string {
	if d < time.Second {
		return fmt.Sprintf("%d ms", d.Milliseconds())
	}
	return fmt.Sprintf("%g s", d.Seconds())
}

// thousands writes a whole number with thin spaces between groups of three
// (SI Brochure, 9th ed., 5.4.4).
func thousands(n int64) string {
	s := fmt.Sprint(n)
	if len(s) <= 4 {
		return s
	}
	var b []byte
	for i := range len(s) {
		if i > 0 && (len(s)-i)%3 == 0 && s[i-1] != '-' {
			b = append(b, "\u202f"...)
		}
		b = append(b, s[i])
	}
	return string(b)
}
