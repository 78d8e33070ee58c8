package exercises

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math/bits"
)

// HeadlessKey is the key of the commands that run without a server. It is not
// secret: marks of record are made by a server, with a key of its own.
var HeadlessKey = []byte("shaftbook headless key 1")

// A drawer yields the numbers of one learner's variant: HMAC-SHA256 of the
// exercise, the learner, the series and a counter, under a secret key. Who
// does not have the key cannot tell the numbers from random ones (RFC 2104;
// FIPS 198-1).
type drawer struct {
	mac     hash.Hash
	seed    []byte
	counter uint64
}

func newDrawer(key []byte, exercise, learner string, series int) *drawer {
	d := &drawer{mac: hmac.New(sha256.New, key), seed: []byte("variant 1")}
	for _, part := range []string{exercise, learner} {
		// The length before each part keeps ("a", "bc") from ("ab", "c").
		d.seed = binary.BigEndian.AppendUint64(d.seed, uint64(len(part)))
		d.seed = append(d.seed, part...)
	}
	d.seed = binary.BigEndian.AppendUint64(d.seed, uint64(series))
	return d
}

func (d *drawer) next() uint64 {
	d.mac.Reset()
	d.mac.Write(d.seed)
	d.mac.Write(binary.BigEndian.AppendUint64(nil, d.counter))
	d.counter++
	return binary.BigEndian.Uint64(d.mac.Sum(nil))
}

// below returns a whole number from 0 to n − 1, each as likely as the others to
// within n/2⁶⁴. n must be above 0.
func (d *drawer) below(n int) int {
	high, _ := bits.Mul64(d.next(), uint64(n))
	return int(high)
}

// choice draws a structure and a value for each of its givens.
func (d *drawer) choice(e *Exercise) (structure int, values []int) {
	structure = d.below(len(e.Structures))
	for _, g := range e.Structures[structure].Given {
		values = append(values, d.below(len(g.values)))
	}
	return structure, values
}
