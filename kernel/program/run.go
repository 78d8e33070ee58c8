package program

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"time"

	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
)

// Limits bound one evaluation. A zero field means its default.
type Limits struct {
	// Terms is how often bodies may be evaluated: terms of sums and products,
	// points of integrands and curves, calls of functions. Default 10⁸; a term
	// of a tapered shaft costs 0.3 to 2 ns, one with a function 5 to 20 ns.
	Terms int64
	// Work bounds what the evaluation may cost in units of one addition of two
	// numbers in a block, by the table of costs in cost.go; about a nanosecond
	// each on a computer of 2020. Default 2·10⁹. It counts what is done and not
	// the time it takes, so that every machine gives the same result.
	Work int64
	// Memory bounds what blocks and partial sums may take, in bytes. Default 64 MiB.
	Memory int64
}

// DefaultWork is what one evaluation may cost unless its Limits say otherwise.
const DefaultWork = 2_000_000_000

const (
	defaultTerms  = 100_000_000
	defaultMemory = 64 << 20

	progressAfter = 250 * time.Millisecond
	progressEvery = 100 * time.Millisecond

	// checkEvery is the work between two looks at the context; about 0.2 ms.
	checkEvery = 200_000
	// reportEvery is the number of terms of a guaranteed sum between two reports.
	reportEvery = 8192
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
	point    pause.Point // where the evaluation gives way to others; nil if it need not
	limits   Limits
	start    time.Time
	spent    *spent // shared with the runs that Aside returns
	reported time.Time
	doubt    *doubts // shared as spent is
	cores    int     // goroutines for one sum; 0 means GOMAXPROCS. Set by tests
	block    int     // lanes a block; 0 means blockLanes. Set by tests
}

// spent counts what has been used up of the limits.
type spent struct {
	terms, work, memory atomic.Int64
	looked              atomic.Int64 // work at the last look at the context
}

// NewRun starts a budget.
func NewRun(ctx context.Context, l Limits) *Run {
	if l.Terms <= 0 {
		l.Terms = defaultTerms
	}
	if l.Work <= 0 {
		l.Work = DefaultWork
	}
	if l.Memory <= 0 {
		l.Memory = defaultMemory
	}
	return &Run{ctx: ctx, point: pause.From(ctx), limits: l, start: time.Now(), spent: new(spent), doubt: new(doubts)}
}

// kept returns a run for something that is kept beyond r: it gives way where r does,
// but never ends early, so that nothing half-made is kept.
func (r *Run) kept(l Limits) *Run { return NewRun(context.WithoutCancel(r.ctx), l) }

// Aside returns a run for work that an evaluation leaves to others, such as a
// shaft that works out its diameter: it spends the budget of r, ends with r's
// context, and may be used by another goroutine. The error reports that r has
// ended.
func (r *Run) Aside() (*Run, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	return &Run{ctx: r.ctx, point: r.point, limits: r.limits, start: r.start, spent: r.spent, doubt: r.doubt}, nil
}

// Terms returns how many terms the run has evaluated.
func (r *Run) Terms() int64 { return r.spent.terms.Load() }

// Work returns what the run has cost so far, in the unit of Limits.Work.
func (r *Run) Work() int64 { return r.spent.work.Load() }

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

// spend books n terms of a cost each.
func (r *Run) spend(n, cost int64) error {
	if r.spent.terms.Add(n) > r.limits.Terms {
		return r.tooManyTerms()
	}
	return r.charge(n * cost)
}

// Book books terms and work that were done before and whose results are used again, so
// that whether a limit is met does not depend on what was kept. It fails as an
// evaluation does that meets a limit.
func (r *Run) Book(terms, work int64) error {
	if r.spent.terms.Add(terms) > r.limits.Terms {
		return r.tooManyTerms()
	}
	return r.charge(work)
}

// charge books work and looks at the context now and then.
func (r *Run) charge(work int64) error {
	total := r.spent.work.Add(work)
	if total > r.limits.Work {
		return r.tooMuchWork()
	}
	done := total - r.spent.looked.Load()
	if done < checkEvery {
		return nil
	}
	r.spent.looked.Store(total)
	runtime.Gosched() // a goroutine that wants to cancel needs the processor too
	if r.point != nil {
		r.point.Here(done)
	}
	return r.check()
}

// look gives way to others and looks at the context, between bookings of work that
// are far apart.
func (r *Run) look() error {
	if r.point != nil {
		r.point.Here(0)
	}
	return r.check()
}

// check looks at the context.
func (r *Run) check() error {
	if r.ctx.Err() != nil {
		return &limitError{CodeStopped, "the calculation was stopped", "change something to start it again"}
	}
	return nil
}

// afford refuses a loop of n terms of a cost each that cannot fit before it
// starts.
func (r *Run) afford(n, cost int64) error {
	if left := r.limits.Terms - r.spent.terms.Load(); n > left {
		message := fmt.Sprintf("%s terms are more than the limit of %s for one calculation", thousands(n), thousands(r.limits.Terms))
		if n <= r.limits.Terms {
			message = fmt.Sprintf("of the %s terms that one calculation may add up, %s are used, and another %s do not fit",
				thousands(r.limits.Terms), thousands(r.limits.Terms-left), thousands(n))
		}
		return &limitError{CodeTermLimit, message,
			"use fewer terms; beyond a few thousand segments the answer hardly changes"}
	}
	if n > (r.limits.Work-r.spent.work.Load())/cost {
		return r.tooMuchWork()
	}
	return nil
}

func (r *Run) tooMuchWork() error {
	return &limitError{CodeWorkLimit,
		fmt.Sprintf("the calculation needs more than %s operations, the limit", thousands(r.limits.Work)),
		"use fewer terms, segments or points"}
}

func (r *Run) tooManyTerms() error {
	return &limitError{CodeTermLimit,
		fmt.Sprintf("the calculation needs more than %s terms, the limit", thousands(r.limits.Terms)),
		"use fewer terms, segments or points"}
}

// reserve books memory; release gives it back.
func (r *Run) reserve(bytes int64) error {
	if r.spent.memory.Add(bytes) > r.limits.Memory {
		r.spent.memory.Add(-bytes)
		return &limitError{CodeMemoryLimit,
			fmt.Sprintf("the calculation needs more than %d MB of memory, the limit", r.limits.Memory>>20),
			"use fewer terms, or a shorter formula"}
	}
	return nil
}

func (r *Run) release(bytes int64) { r.spent.memory.Add(-bytes) }

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
