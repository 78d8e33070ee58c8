package password

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"runtime"
	"strconv"
	"strings"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// The cost of a new hash: a setting that OWASP's Password Storage Cheat Sheet gives
// for Argon2id (from memory; others quote it so).
var present = cost{memory: 19 << 10, time: 2, threads: 1}

const (
	saltBytes = 16
	hashBytes = 32

	// Bounds of what Verify takes, so that no string in a store can ask for more
	// than a server has.
	mostMemory  = 256 << 10 // KiB
	mostTime    = 16
	mostThreads = 16
	mostBytes   = 64 // of a salt or a hash

	mostWaiting = 256 // hashings that wait for their turn
)

// A cost is what one hashing takes.
type cost struct {
	memory  uint32 // KiB
	time    uint32 // passes over the memory
	threads uint8
}

// ErrBusy says that too many passwords are being looked at for one more.
var ErrBusy = errors.New("password: too many are being looked at")

// A Hasher hashes as many passwords at a time as the machine has processors, so
// that it needs no more than so many times 19 MiB, however many people come at
// once. It is safe for concurrent use.
type Hasher struct {
	turns   chan struct{} // one for each hashing under way
	waiting chan struct{} // one for each that is under way or waits
	cost    cost
	nobody  string // a hash that no password has
}

// NewHasher returns a hasher of the present cost.
func NewHasher() *Hasher { return newHasher(present) }

func newHasher(c cost) *Hasher {
	h := &Hasher{
		turns: make(chan struct{}, runtime.GOMAXPROCS(0)), waiting: make(chan struct{}, mostWaiting), cost: c,
	}
	h.nobody = encoded{c, random(saltBytes), random(hashBytes)}.String()
	return h
}

// Hash returns the encoded hash of a password under a new salt. ErrBusy if too
// many wait, the error of ctx if it ends before its turn comes.
func (h *Hasher) Hash(ctx context.Context, password string) (string, error) {
	e := encoded{cost: h.cost, salt: random(saltBytes)}
	err := h.inTurn(ctx, func() { e.hash = e.key(password, hashBytes) })
	if err != nil {
		return "", err
	}
	return e.String(), nil
}

// Verify reports whether a password is the one of an encoded hash, and whether
// the hash costs less than a new one would, so that it is time to hash again.
// Nothing encoded is the account of no one: it takes as long, and is never
// right. Errors are those of Hash, and one that says what of an encoded hash
// cannot be read.
func (h *Hasher) Verify(ctx context.Context, encodedHash, password string) (right, stale bool, err error) {
	nobody := encodedHash == ""
	if nobody {
		encodedHash = h.nobody
	}
	e, err := parse(encodedHash)
	if err != nil {
		return false, false, err
	}
	err = h.inTurn(ctx, func() {
		right = subtle.ConstantTimeCompare(e.hash, e.key(password, uint32(len(e.hash)))) == 1
	})
	return right && !nobody, e.cost != h.cost, err
}

// inTurn does a hashing when its turn comes.
func (h *Hasher) inTurn(ctx context.Context, do func()) error {
	select {
	case h.waiting <- struct{}{}:
	default:
		return ErrBusy
	}
	defer func() { <-h.waiting }()
	select {
	case h.turns <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-h.turns }()
	do()
	return nil
}

// encoded is a hash with what it was made from.
type encoded struct {
	cost
	salt, hash []byte
}

func (e encoded) key(password string, length uint32) []byte {
	return argon2.IDKey([]byte(Normal(password)), e.salt, e.time, e.memory, e.threads, length)
}

// String writes the hash; parse reads it.
func (e encoded) String() string {
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, e.memory, e.time, e.threads,
		base64.RawStdEncoding.EncodeToString(e.salt), base64.RawStdEncoding.EncodeToString(e.hash))
}

// parse reads a hash as String writes it, with other parameters too.
func parse(s string) (encoded, error) {
	var e encoded
	fields := strings.Split(s, "$")
	if len(fields) != 6 || fields[0] != "" || fields[1] != "argon2id" || fields[2] != "v="+strconv.Itoa(argon2.Version) {
		return e, errors.New("password: the hash in the store is not one of Argon2id, version 19")
	}
	costs := strings.Split(fields[3], ",")
	if len(costs) != 3 {
		return e, errors.New("password: the hash in the store says no cost")
	}
	var read [3]uint64
	for i, c := range []struct {
		name        string
		least, most uint64
	}{{"m=", 8, mostMemory}, {"t=", 1, mostTime}, {"p=", 1, mostThreads}} {
		digits, found := strings.CutPrefix(costs[i], c.name)
		n, err := strconv.ParseUint(digits, 10, 32)
		if !found || err != nil || n < c.least || n > c.most || strconv.FormatUint(n, 10) != digits {
			return e, fmt.Errorf("password: the hash in the store has the cost %q", costs[i])
		}
		read[i] = n
	}
	e.cost = cost{uint32(read[0]), uint32(read[1]), uint8(read[2])}
	var err error
	if e.salt, err = bytesOf(fields[4], 8); err == nil {
		e.hash, err = bytesOf(fields[5], 16)
	}
	return e, err
}

// bytesOf reads a salt or a hash of at least so many bytes.
func bytesOf(s string, least int) ([]byte, error) {
	b, err := base64.RawStdEncoding.DecodeString(s)
	// Written again, so that there is one form only: decoding overlooks line ends
	// and loose bits.
	if err != nil || len(b) < least || len(b) > mostBytes || base64.RawStdEncoding.EncodeToString(b) != s {
		return nil, errors.New("password: the salt or hash in the store has another length or sign than one has")
	}
	return b, nil
}

// Normal is a password as it is hashed and compared.
func Normal(password string) string { return norm.NFKC.String(password) }

func random(n int) []byte {
	b := make([]byte, n)
	_, _ = rand.Read(b) // never fails: see crypto/rand
	return b
}
