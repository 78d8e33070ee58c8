package account

import (
	"math"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/web/account/throttle"
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
// for a minute at most.
func NewRateLimits() *RateLimits {
	return &RateLimits{
		failuresPerAccount: throttle.NewWaits(throttle.Rule{Free: 5, First: 2 * time.Second, Longest: 15 * time.Minute, Forgives: time.Hour, Keys: 1 << 14}),
		failuresPerAddress: throttle.NewWaits(throttle.Rule{Free: 120, First: time.Second, Longest: time.Minute, Forgives: 3 * time.Second, Keys: 1 << 14}),
		triesPerAccount:    throttle.NewFlow(40, 15*time.Second, 1<<14),
		PerPerson:          throttle.NewFlow(300, 200*time.Millisecond, 1<<14),
		PerAddress:         throttle.NewFlow(6000, 5*time.Millisecond, 1<<14),
	}
}

// A loginAttempt is one try to sign in. It counts as failed until succeed or undo.
type loginAttempt struct {
	limits        *RateLimits
	name, address string
	now           time.Time
}

// attempt returns a try to sign in, or how long to wait before the next. what is
// the form and name the account that is asked for; of both only a hash is kept.
func (h *Handlers) attempt(r *http.Request, what, name string) (*loginAttempt, time.Duration) {
	k := &loginAttempt{limits: h.Limits, address: h.ClientOf(r), now: h.Now()}
	if wait := h.Limits.failuresPerAddress.Try(k.address, k.now); wait > 0 {
		return nil, wait
	}
	if name == "" {
		return k, 0
	}
	k.name = token.Hash(what + " " + class.FoldSignIn(name))
	wait := h.Limits.triesPerAccount.Take(k.name, k.now)
	if wait == 0 {
		wait = h.Limits.failuresPerAccount.Try(k.name, k.now)
	}
	if wait > 0 {
		h.Limits.failuresPerAddress.Back(k.address, k.now)
		return nil, wait
	}
	return k, 0
}

// undo takes back a try that was neither right nor wrong.
func (k *loginAttempt) undo() {
	k.limits.failuresPerAddress.Back(k.address, k.now)
	if k.name != "" {
		k.limits.failuresPerAccount.Back(k.name, k.now)
	}
}

// succeed takes back a try that was right, and the failures before it.
func (k *loginAttempt) succeed() {
	k.limits.failuresPerAddress.Back(k.address, k.now)
	if k.name != "" {
		k.limits.failuresPerAccount.Clear(k.name)
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
	wait := rate.Take(reader, time.Now())
	if wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
	}
	return wait == 0
}
