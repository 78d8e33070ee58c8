package web

import (
	"math"
	"net/http"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/account/throttle"
)

// doors bound how often somebody tries to come in, and how much one asks for.
type doors struct {
	names     *throttle.Waits // failures by account
	addresses *throttle.Waits // failures by address
	arrivals  *throttle.Flow  // tries by account, right or wrong: each costs a hashing
	people    *throttle.Flow  // requests by person
	crowds    *throttle.Flow  // requests by address
}

// newDoors sets the limits. Of an account five wrong passwords are free; then each
// makes the wait twice as long, up to a quarter of an hour: at most some hundred
// guesses a day, and never shut for good. A school sits behind one address, so that
// a class can mistype twice each at the same time before anybody waits, and then
// for a minute at most.
func newDoors() *doors {
	return &doors{
		names:     throttle.NewWaits(throttle.Rule{Free: 5, First: 2 * time.Second, Longest: 15 * time.Minute, Forgives: time.Hour, Keys: 1 << 14}),
		addresses: throttle.NewWaits(throttle.Rule{Free: 120, First: time.Second, Longest: time.Minute, Forgives: 3 * time.Second, Keys: 1 << 14}),
		arrivals:  throttle.NewFlow(40, 15*time.Second, 1<<14),
		people:    throttle.NewFlow(300, 200*time.Millisecond, 1<<14),
		crowds:    throttle.NewFlow(6000, 5*time.Millisecond, 1<<14),
	}
}

// A knock is one try to come in. It counts as failed until it is told otherwise.
type knock struct {
	doors         *doors
	name, address string
	now           time.Time
}

// knock returns a try to come in, or how long to wait before the next. what is
// the door and name the account that is asked for; neither is kept as it stands.
func (s *Server) knock(r *http.Request, what, name string) (*knock, time.Duration) {
	k := &knock{doors: s.doors, address: s.clientOf(r), now: s.now()}
	if wait := s.doors.addresses.Try(k.address, k.now); wait > 0 {
		return nil, wait
	}
	if name == "" {
		return k, 0
	}
	k.name = hashToken(what + " " + class.FoldSignIn(name))
	wait := s.doors.arrivals.Take(k.name, k.now)
	if wait == 0 {
		wait = s.doors.names.Try(k.name, k.now)
	}
	if wait > 0 {
		s.doors.addresses.Back(k.address, k.now)
		return nil, wait
	}
	return k, 0
}

// undone says that the try came to nothing, neither right nor wrong.
func (k *knock) undone() {
	k.doors.addresses.Back(k.address, k.now)
	if k.name != "" {
		k.doors.names.Back(k.name, k.now)
	}
}

// right says that the try was right.
func (k *knock) right() {
	k.doors.addresses.Back(k.address, k.now)
	if k.name != "" {
		k.doors.names.Clear(k.name)
	}
}

// tooSoon says how long to wait, in a header and in words.
func tooSoon(w http.ResponseWriter, wait time.Duration) string {
	seconds := int(math.Ceil(wait.Seconds()))
	w.Header().Set("Retry-After", strconv.Itoa(seconds))
	long := howMany(seconds, "second", "seconds")
	if seconds > 90 {
		long = "about " + howMany((seconds+59)/60, "minute", "minutes")
	}
	return "There were too many tries. Wait " + long + ", then try again."
}

var errTooMany = &refusal{http.StatusTooManyRequests, "too-fast", "That was too much at once", "The server takes only so many requests of one reader. Wait a few seconds, then open the page again."}

// flows reports whether a reader may ask for one more thing. It is told by the
// machine's clock: what is bounded is the work of the machine.
func (s *Server) flows(w http.ResponseWriter, flow *throttle.Flow, who string) bool {
	wait := flow.Take(who, time.Now())
	if wait > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
	}
	return wait == 0
}
