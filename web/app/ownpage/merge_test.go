package ownpage

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestMerge(t *testing.T) {
	for _, c := range []struct {
		name, was, mine, theirs, want string
		both                          bool
	}{
		{"nothing", "abc", "abc", "abc", "abc", false},
		{"only mine", "abc", "aXc", "abc", "aXc", false},
		{"only theirs", "abc", "abc", "abY", "abY", false},
		{"neighbours changed", "abc", "Xbc", "aYc", "XYc", false},
		{"one changed, one added below it", "abc", "aXc", "abNc", "aXNc", false},
		{"one changed, one added above it", "abc", "aXc", "aNbc", "aNXc", false},
		{"both added at one place", "ab", "aMb", "aNb", "aNMb", false},
		{"both added the same", "ab", "aNb", "aNb", "aNb", false},
		{"both added at the end", "a", "aM", "aN", "aNM", false},
		{"one removed, another changed", "abc", "bc", "abY", "bY", false},
		{"both removed", "abc", "ac", "ac", "ac", false},
		{"both changed", "abc", "aXc", "aYc", "aXc", true},
		{"both changed to the same and one more", "abc", "aXc", "aXY", "aXY", false},
		{"mine removed what theirs changed", "abc", "ac", "aYc", "ac", true},
		{"theirs removed what mine changed", "abc", "aXc", "ac", "aXc", true},
		{"mine moved what theirs changed", "abcd", "bcda", "Ybcd", "bcdY", false},
		{"theirs moved what mine changed", "abcd", "Xbcd", "bcda", "bcdX", false},
		{"from nothing", "", "M", "N", "NM", false},
		{"to nothing", "ab", "", "ab", "", false},
		{"to nothing, and added", "ab", "", "aNb", "N", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, both := Merge(letters(c.was), letters(c.mine), letters(c.theirs))
			if got := strings.Join(out, ""); got != c.want || both != c.both {
				t.Errorf("got %q, %v, want %q, %v", got, both, c.want, c.both)
			}
		})
	}
}

func letters(s string) []string {
	return strings.FieldsFunc(strings.Join(strings.Split(s, ""), " "), func(r rune) bool { return r == ' ' })
}

// Whoever changes alone has it all; each block of mine that was not in the text before is
// in the outcome, and each of theirs too unless both is true.
func TestMergeLosesNothing(t *testing.T) {
	list := rapid.SliceOfN(rapid.SampledFrom(letters("abcdefgh")), 0, 8)
	change := func(t *rapid.T, was []string, fresh string) []string {
		now := slices.Clone(was)
		for i := range rapid.IntRange(0, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(now)).Draw(t, "at")
			switch kind := rapid.IntRange(0, 3).Draw(t, "kind"); {
			case kind == 0:
				now = slices.Insert(now, at, fresh+string(rune('0'+i)))
			case at == len(now):
			case kind == 1:
				now[at] = fresh + string(rune('0'+i))
			case kind == 2:
				now = slices.Delete(now, at, at+1)
			default:
				moved := now[at]
				now = slices.Delete(now, at, at+1)
				now = slices.Insert(now, rapid.IntRange(0, len(now)).Draw(t, "to"), moved)
			}
		}
		return now
	}
	rapid.Check(t, func(t *rapid.T) {
		was := list.Draw(t, "was")
		mine, theirs := change(t, was, "M"), change(t, was, "T")
		out, both := Merge(was, mine, theirs)
		for _, raw := range mine {
			if raw[0] == 'M' && !slices.Contains(out, raw) {
				t.Fatalf("%v, %v, %v became %v without %s", was, mine, theirs, out, raw)
			}
		}
		for _, raw := range theirs {
			if raw[0] == 'T' && !slices.Contains(out, raw) && !both {
				t.Fatalf("%v, %v, %v became %v without %s, and it is not said", was, mine, theirs, out, raw)
			}
		}
		for _, raw := range was {
			if count(was, raw) == 1 && count(mine, raw) == 1 && count(theirs, raw) == 1 && count(out, raw) != 1 {
				t.Fatalf("%v, %v, %v became %v, where %s is %d times", was, mine, theirs, out, raw, count(out, raw))
			}
		}
		if got, _ := Merge(was, mine, was); !slices.Equal(got, mine) {
			t.Fatalf("alone %v became %v", mine, got)
		}
	})
}

func count(list []string, s string) int {
	n := 0
	for _, x := range list {
		if x == s {
			n++
		}
	}
	return n
}
