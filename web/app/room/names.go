package room

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"

	"shaftbook/exercises/class"
)

// codeLetters leaves out letters that are taken for digits or for one another
// from the back of a room.
const codeLetters = "ACDEFHJKLMNPRTUVWXY"

// namesOf returns under which name each person is shown. With a key, which is not
// the same for two sign-ins, names become codes such as "K47": the same as long
// as the key is, and in no order of the roster or the alphabet. Someone who
// joins meanwhile leaves the codes of others as they are, unless two draw the
// same one.
func namesOf(people []class.Person, key string) map[string]string {
	names := make(map[string]string, len(people))
	if key == "" {
		for _, p := range people {
			names[p.ID] = p.Name
		}
		return names
	}
	type drawn struct {
		person string
		sum    [sha256.Size]byte
	}
	list := make([]drawn, len(people))
	for i, p := range people {
		list[i] = drawn{p.ID, sha256.Sum256([]byte(key + "\x00" + p.ID))}
	}
	slices.SortFunc(list, func(a, b drawn) int { return slices.Compare(a.sum[:], b.sum[:]) })
	taken := map[string]bool{}
	for _, d := range list {
		n := binary.BigEndian.Uint64(d.sum[8:])
		code := codeOf(n)
		for len(taken) < codes && taken[code] {
			n++
			code = codeOf(n)
		}
		taken[code] = true
		names[d.person] = code
	}
	return names
}

// codes is how many there are.
const codes = len(codeLetters) * 90

func codeOf(n uint64) string {
	n %= uint64(codes)
	return fmt.Sprintf("%c%02d", codeLetters[n/90], 10+n%90)
}
