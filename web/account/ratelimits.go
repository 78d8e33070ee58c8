package account

import (
	"context"
	"math"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/web/app/throttle"
	"shaftbook/web/app/token"
	"shaftbook/web/request"
)

// RateLimits bound how often sign-in is tried and how much one reader asks for.
type RateLimits struct {
	failuresPerAccount *throttle.Waits
	failuresPerAddress *throttle.Waits
	triesPerAccount    *throttle.Flow // right or wrong: each costs a hashing
	PerPerson          *throttle.Flow // requests
	PerAddress         *throttle.Flow // requests
}

// NewRateLimits sets the limits. Of an account five wrong passwords are free; then each
// makes the wait twice as long, up to a quarter of an hour: at most some hundred
// guesses a day, and an account is never locked permanently. A school sits behind one address, so that
// a class can mistype twice each at the same time before anyone waits, and then
// for a minute at most. These are counted in tries, and by all servers together that
// have the same; nil is the memory of this server. Requests are always counted by each
// server, since what they bound is its work.
func NewRateLimits(tries throttle.Keeper) *RateLimits {
	return &RateLimits{
		failuresPerAccount: throttle.NewWaits(throttle.Rule{Name: "failures account", Free: 5, First: 2 * time.Second, Longest: 15 * time.Minute, Forgives: time.Hour}, tries),
		failuresPerAddress: throttle.NewWaits(throttle.Rule{Name: "failures address", Free: 120, First: time.Second, Longest: time.Minute, Forgives: 3 * time.Second}, tries),
		triesPerAccount:    throttle.NewFlow("tries account", 40, 15*time.Second, tries),
		PerPerson:          throttle.NewFlow("person", 300, 200*time.Millisecond, nil),
		PerAddress:         throttle.NewFlow("address", 6000, 5*time.Millisecond, nil),
	}
}

// A loginAttempt is one try to sign in. It counts as failed until succeed or undo.
type loginAttempt struct {
	handlers      *Handlers
	ctx           context.Context // ends no sooner than the try is counted
	name, address string
	now           time.Time
}

// attempt returns a try to sign in, or how long to wait before the next. what is
// the form and name the account that is asked for; of both only a hash is kept. The
// error is of the store that counts tries.
func (h *Handlers) attempt(r *http.Request, what, name string) (*loginAttempt, time.Duration, error) {
	k := &loginAttempt{handlers: h, ctx: context.WithoutCancel(r.Context()), address: h.ClientOf(r), now: h.Now()}
	if wait, err := h.Limits.failuresPerAddress.Try(k.ctx, k.address, k.now); err != nil || wait > 0 {
		return nil, wait, err
	}
	if name == "" {
		return k, 0, nil
	}
	k.name = token.Hash(what + " " + class.FoldSignIn(name))
	wait, err := h.Limits.triesPerAccount.Take(k.ctx, k.name, k.now)
	if err == nil && wait == 0 {
		wait, err = h.Limits.failuresPerAccount.Try(k.ctx, k.name, k.now)
	}
	if err != nil || wait > 0 {
		k.note(h.Limits.failuresPerAddress.Back(k.ctx, k.address, k.now))
		return nil, wait, err
	}
	return k, 0, nil
}

// note puts into the log that a try stays counted as failed.
func (k *loginAttempt) note(err error) {
	if err != nil {
		k.handlers.Log.Warn("a sign-in stays counted as failed", "error", err)
	}
}

// undo takes back a try that was neither right nor wrong.
func (k *loginAttempt) undo() {
	limits := k.handlers.Limits
	k.note(limits.failuresPerAddress.Back(k.ctx, k.address, k.now))
	if k.name != "" {
		k.note(limits.failuresPerAccount.Back(k.ctx, k.name, k.now))
	}
}

// succeed takes back a try that was right, and the failures before it.
func (k *loginAttempt) succeed() {
	limits := k.handlers.Limits
	k.note(limits.failuresPerAddress.Back(k.ctx, k.address, k.now))
	if k.name != "" {
		k.note(limits.failuresPerAccount.Clear(k.ctx, k.name))
	}
}

// tooSoon returns how long to wait in words, and sets it in a header.
func tooSoon(w http.ResponseWriter, wait time.Duration) string {
	seconds := int(math.Ceil(wait.Seconds()))
	w.Header().Set("Retry-After", strconv.Itoa(seconds))
	long := words.CountOf(seconds, "second", "seconds")
	if seconds > 90 {
		long = "about " + words.CountOf((seconds+59)/60, "minute", "minutes")
	}
	return "Too many attempts. Wait " + long + ", then try again."
}

// ErrTooMany is the refusal of a request above the rate.
var ErrTooMany = request.NewRefusal(http.StatusTooManyRequests, "too-fast", "Too many requests", "The server limits how many requests one reader can make. Wait a few seconds, then reload the page.")

// Admit reports whether one more request of a reader is within the rate, and sets
// how long to wait in a header if it is not. It uses the machine's clock: what is
// bounded is the work of the machine.
func Admit(w http.ResponseWriter, rate *throttle.Flow, reader string) bool {
	wait, err := rate.Take(context.Background(), reader, time.Now())
	if err == nil && wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
	}
	return wait == 0 // also after an error, which the memory of a server has none of
}
