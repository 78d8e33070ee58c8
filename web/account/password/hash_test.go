package password

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// cheap makes tests quick; its hashes are read like all others.
var cheap = cost{memory: 8, time: 1, threads: 1}

// Encoded hashes of the reference implementation of Argon2, as its own test has
// them (phc-winner-argon2, src/test.c, version 0x13, argon2id; read in copies of
// it in other projects). The vector of RFC 9106, section 5.3, has a secret and
// associated data, for which the library has no way in.
func TestReferenceVectors(t *testing.T) {
	h := NewHasher()
	for _, c := range []struct{ name, encoded, password string }{
		{"64 MiB", "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc", "password"},
		{"256 KiB", "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4", "password"},
		{"two lanes", "$argon2id$v=19$m=256,t=2,p=2$c29tZXNhbHQ$bQk8UB/VmZZF4Oo79iDXuL5/0ttZwg2f/5U52iv1cDc", "password"},
	} {
		t.Run(c.name, func(t *testing.T) {
			right, stale, err := h.Verify(t.Context(), c.encoded, c.password)
			if !right || !stale || err != nil {
				t.Errorf("right %v, stale %v, error %v; want right and stale", right, stale, err)
			}
			if right, _, _ := h.Verify(t.Context(), c.encoded, c.password+"x"); right {
				t.Error("another password is right too")
			}
			e, err := parse(c.encoded)
			if err != nil || e.String() != c.encoded {
				t.Errorf("written again: %s, %v", e.String(), err)
			}
		})
	}
}

func TestHashAndVerify(t *testing.T) {
	h := NewHasher()
	first, err := h.Hash(t.Context(), "the quill tapers")
	if err != nil || !strings.HasPrefix(first, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Fatalf("%q, %v", first, err)
	}
	second, _ := h.Hash(t.Context(), "the quill tapers")
	if first == second {
		t.Error("two hashes of one password are the same: the salt is")
	}
	right, stale, err := h.Verify(t.Context(), first, "the quill tapers")
	if !right || stale || err != nil {
		t.Errorf("right %v, stale %v, error %v", right, stale, err)
	}
}

func TestVerifyRefuses(t *testing.T) {
	h := newHasher(cheap)
	kept, err := h.Hash(t.Context(), "the Å quill ﬁts")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, encoded, password string
		right                   bool
	}{
		{"the same", kept, "the Å quill ﬁts", true},
		{"from another keyboard", kept, "the A\u030A quill fits", true},
		{"other capitals", kept, "the å quill ﬁts", false},
		{"nothing", kept, "", false},
		{"nobody", "", "the Å quill ﬁts", false},
		{"nobody and nothing", "", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			right, _, err := h.Verify(t.Context(), c.encoded, c.password)
			if right != c.right || err != nil {
				t.Errorf("%v, %v; want %v", right, err, c.right)
			}
		})
	}
}

func TestParseRefuses(t *testing.T) {
	good := encoded{cheap, random(saltBytes), random(hashBytes)}.String()
	for _, c := range []struct{ name, from, to string }{
		{"another function", "argon2id", "argon2i"},
		{"another version", "v=19", "v=16"},
		{"no version", "v=19$", ""},
		{"more memory than a server has", "m=8,", "m=4194304,"},
		{"no memory", "m=8,", "m=0,"},
		{"a number in another form", "m=8,", "m=08,"},
		{"no pass", "t=1", "t=0"},
		{"costs in another order", "m=8,t=1", "t=1,m=8"},
		{"no lane", "p=1", "p=0"},
		{"a field more", "$argon2id", "$x$argon2id"},
		{"a line end in the salt", "p=1$", "p=1$\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := parse(strings.Replace(good, c.from, c.to, 1)); err == nil {
				t.Error("it is taken")
			}
		})
	}
	if _, err := parse(good[:len(good)-40]); err == nil {
		t.Error("a hash that was cut off is taken")
	}
}

// An account that is not there must take as long as one that is: someone who guesses
// would learn from the time which there are. What is compared is the work, not
// the clock.
func TestNobodyCostsWhatAnAccountCosts(t *testing.T) {
	h := NewHasher()
	e, err := parse(h.nobody)
	if err != nil || e.cost != present || len(e.salt) != saltBytes || len(e.hash) != hashBytes {
		t.Errorf("nobody’s hash is %s (%v)", h.nobody, err)
	}
}

func TestHashingIsBounded(t *testing.T) {
	h := newHasher(cheap)
	for range cap(h.turns) {
		h.turns <- struct{}{} // all processors are taken
	}
	ctx, cancel := context.WithCancel(t.Context())
	var all sync.WaitGroup
	for range mostWaiting {
		all.Go(func() {
			if _, err := h.Hash(ctx, "the quill tapers"); !errors.Is(err, context.Canceled) {
				t.Errorf("one that waited: %v", err)
			}
		})
	}
	for len(h.waiting) < mostWaiting {
		runtime.Gosched() // until all wait
	}
	if _, err := h.Hash(ctx, "the quill tapers"); !errors.Is(err, ErrBusy) {
		t.Errorf("one too many: %v", err)
	}
	cancel()
	all.Wait()
	<-h.turns
	if _, err := h.Hash(t.Context(), "the quill tapers"); err != nil {
		t.Errorf("after all have gone: %v", err)
	}
}

// Whatever a store holds, reading it gives an error or what it says.
func FuzzParse(f *testing.F) {
	f.Add("$argon2id$v=19$m=19456,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc")
	f.Add("$argon2id$v=19$m=8,t=1,p=1$$")
	f.Add("$argon2id$v=19$m=8,t=1,p=1$c29tZ\nXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc")
	f.Add("x")
	f.Fuzz(func(t *testing.T, s string) {
		e, err := parse(s)
		if err == nil && e.String() != s {
			t.Errorf("%q is read as %q", s, e.String())
		}
	})
}
