package lru

import (
	"errors"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

func TestTheLeastRecentlyUsedGivesWay(t *testing.T) {
	c := New[string, int](2)
	c.Add("a", 1)
	c.Add("b", 2)
	c.Get("a")
	c.Add("c", 3)
	for key, want := range map[string]bool{"a": true, "b": false, "c": true} {
		if _, ok := c.Get(key); ok != want {
			t.Errorf("%s kept: %v, want %v", key, ok, want)
		}
	}
}

func TestTheFirstValueStays(t *testing.T) {
	c := New[string, int](2)
	if got := c.Add("a", 1); got != 1 {
		t.Errorf("first: %d", got)
	}
	if got := c.Add("a", 2); got != 1 {
		t.Errorf("second: %d, want the first", got)
	}
}

func TestCosts(t *testing.T) {
	c := NewOfCost[string](10, func(s string) int { return len(s) })
	c.Add("too large", "12345678901")
	c.Add("half", "12345")
	c.Add("other half", "12345")
	if c.Len() != 2 {
		t.Errorf("%d values, want 2", c.Len())
	}
	c.Add("one more", "1")
	if _, ok := c.Get("half"); ok || c.Len() != 2 {
		t.Errorf("the oldest did not give way: %d values", c.Len())
	}
}

func TestErrorsAreNotKept(t *testing.T) {
	c := New[string, int](2)
	fault := errors.New("fault")
	if _, err := c.Do("a", func() (int, error) { return 0, fault }); !errors.Is(err, fault) {
		t.Errorf("error %v", err)
	}
	if got, err := c.Do("a", func() (int, error) { return 7, nil }); got != 7 || err != nil {
		t.Errorf("%d, %v", got, err)
	}
	if got, _ := c.Do("a", func() (int, error) { t.Error("made again"); return 0, nil }); got != 7 {
		t.Errorf("%d", got)
	}
}

func TestZeroKeepsNothing(t *testing.T) {
	var c Cache[string, int]
	if got := c.Add("a", 1); got != 1 || c.Len() != 0 {
		t.Errorf("%d, %d values", got, c.Len())
	}
}

// TestAgainstASlice compares with the plainest implementation: a slice with the
// most recently used key last.
func TestAgainstASlice(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		most := rapid.IntRange(0, 5).Draw(rt, "most")
		c := New[int, int](most)
		var plain []int
		for range rapid.IntRange(0, 40).Draw(rt, "steps") {
			k := rapid.IntRange(0, 7).Draw(rt, "key")
			i := slices.Index(plain, k)
			if rapid.Bool().Draw(rt, "adds") {
				c.Add(k, k)
				if i < 0 {
					plain = append(plain, k)
				}
			} else if _, ok := c.Get(k); ok != (i >= 0) {
				rt.Fatalf("%d kept: %v, want %v", k, ok, i >= 0)
			}
			if i >= 0 {
				plain = append(slices.Delete(plain, i, i+1), k)
			}
			if len(plain) > most {
				plain = plain[1:]
			}
			if c.Len() != len(plain) {
				rt.Fatalf("%d values, want %d", c.Len(), len(plain))
			}
		}
	})
}

// TestManyAtOnce is of use with the race detector.
func TestManyAtOnce(t *testing.T) {
	c := New[int, int](3)
	var group sync.WaitGroup
	for i := range 8 {
		group.Go(func() {
			for k := range 50 {
				if v, err := c.Do((i+k)%5, func() (int, error) { return (i + k) % 5, nil }); v != (i+k)%5 || err != nil {
					t.Errorf("%d, %v", v, err)
				}
			}
		})
	}
	group.Wait()
	if c.Len() != 3 {
		t.Errorf("%d values, want 3", c.Len())
	}
}
